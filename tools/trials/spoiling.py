"""Good files made bad: what a slip of the hand, an editor, a spreadsheet or a broken disk does to a text."""

import re
from collections.abc import Callable
from random import Random

Spoil = Callable[[Random, str], str]

_VOCABULARY = """
    standard edition in force from conditions marks always event attempts without limit rest at least most between
    else start on with first step until totals for within under not before no over or more as fail restart once
    twice halt charged disqualify note out of order any one is carry owed the end fails guidance accept case log
    gives GO NO-GO UNFINISHED VOID begins yes exactly other than times s min m kg 0:05 2026-02-30 1 2 0 C-1 D601
    strike amend seen_by "end" =cmd() "# # , ; "" 00:40:00 0:40,5
"""
_WORDS = tuple(_VOCABULARY.split())
_STRANGE: tuple[str, ...] = (
    *"\"'\\#,.:;-_()[]{}|<>/*+=&%$!?~^`@ \t\r\n\0\x07\x1b\x7f",
    *"\u00a0\u00ad\u200b\u200d\u202e\u2028\ufeff\ufffd\u0301\u201c\u201d\u2013",
    *"\u0660\u00b2\u0130\u00e9\u4e2d\u05d0\U0001f6df\U000e0041",
)
_NUMBERS = (
    *("0", "00", "1", "2", "-1", "+1", "0.5", ".5", "1.", "1e3", "1e999", "NaN", "Infinity"),
    *("999999999999", "1000000000000", "100000000000000000000000000000", "9" * 5000),
    *("0.000001", "0.0000001", "3.14159265358979", "1,5", "1_000", "0x10", "\u0663"),
    *("1:60", "59:59:59", "0:00", "99999999999:00", "0:00.0000001"),
)


def _spot(rng: Random, text: str) -> int:
    return rng.randrange(len(text) + 1)


def _a_character(rng: Random, text: str) -> str:
    at = _spot(rng, text)
    match rng.randrange(4):
        case 0:
            return text[:at] + text[at + 1 :]
        case 1:
            return text[:at] + text[at : at + 1] * 2 + text[at + 1 :]
        case 2:
            return text[:at] + text[at + 1 : at + 2] + text[at : at + 1] + text[at + 2 :]
    return text[:at] + rng.choice(_STRANGE) + text[at:]


def _a_token(rng: Random, text: str) -> str:
    tokens: list[str] = re.findall(r"\w+|[^\w\n]|\n[ \t]*", text)
    if not tokens:
        return rng.choice(_WORDS)
    one, other = rng.randrange(len(tokens)), rng.randrange(len(tokens))
    match rng.randrange(5):
        case 0:
            del tokens[one]
        case 1:
            tokens[one] += " " + tokens[one]
        case 2:
            tokens[one], tokens[other] = tokens[other], tokens[one]
        case 3:
            tokens[one] = rng.choice(_WORDS)
        case 4:
            tokens.insert(one, f" {rng.choice((*_WORDS, tokens[other]))} ")
    return "".join(tokens)


def _a_line(rng: Random, text: str) -> str:
    lines = text.splitlines(keepends=True) or [""]
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    match rng.randrange(5):
        case 0:
            del lines[one]
        case 1:
            lines.insert(other, lines[one])
        case 2:
            lines[one], lines[other] = lines[other], lines[one]
        case 3:
            lines[one] = lines[one].rstrip("\r\n")
        case 4:
            lines.insert(other, lines.pop(one))
    return "".join(lines)


def _the_indentation(rng: Random, text: str) -> str:
    lines = text.split("\n")
    first = rng.randrange(len(lines))
    pad = rng.choice((" ", "  ", "    ", "\t", "        ", "\u00a0"))
    for number in range(first, min(len(lines), first + rng.choice((1, 1, 2, 5)))):
        lines[number] = pad + lines[number] if rng.random() < 0.5 else lines[number].removeprefix(pad)
    return "\n".join(lines)


def _a_number(rng: Random, text: str) -> str:
    found = list(re.finditer(r"[0-9][0-9.:]*", text))
    if not found:
        return text + rng.choice(_NUMBERS)
    number = rng.choice(found)
    return text[: number.start()] + rng.choice(_NUMBERS) + text[number.end() :]


def _cut_off(rng: Random, text: str) -> str:
    at = _spot(rng, text)
    return text[:at] if rng.random() < 0.8 else text[at:]


def _very_long(rng: Random, text: str) -> str:
    at = _spot(rng, text)
    width = rng.choice((1, 2, 10, 80))
    piece = text[at : at + width] or "x"
    return text[:at] + piece * (rng.choice((300, 3_000, 40_000)) // width) + text[at:]


_SPOILS: tuple[Spoil, ...] = (
    *(_a_character,) * 4, *(_a_token,) * 6, *(_a_line,) * 4, *(_the_indentation,) * 2, *(_a_number,) * 3, _cut_off
)  # fmt: skip


def spoilt(rng: Random, text: str) -> bytes:
    """The text with one to four things done to it, now and then down to its bytes."""
    for _ in range(rng.choice((1, 1, 1, 2, 3, 4))):
        text = (_very_long if rng.random() < 0.01 else rng.choice(_SPOILS))(rng, text)
    data = bytearray(text.encode())
    for _ in range(rng.choice((0,) * 9 + (1, 3))):
        at = rng.randrange(len(data) + 1)
        data[at : at + rng.randrange(3)] = rng.choice((b"", b"\xff", b"\xc3", b"\xed\xa0\x80", b"\0", b"\x80\x80"))
    if rng.random() < 0.02:
        return text.encode(rng.choice(("utf-16", "utf-8-sig", "latin-1", "utf-32")), "replace")
    return bytes(data)
