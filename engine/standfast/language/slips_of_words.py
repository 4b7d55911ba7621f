"""Slips in words: misspelt, reserved, with capitals or signs, run together, left out.

Each function knows one slip and returns its finding, or None where the line has another.
"""

import re
import unicodedata

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.faulty import FaultyLine
from standfast.language.places import Place
from standfast.language.words import (
    LEFT_OUT,
    NEAR,
    OTHERWISE,
    VERY_NEAR,
    is_word,
    model,
    near_word,
    spelled,
    substitute,
)

_CAPITALS = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")
_WHOSE_OTHERWISE = (
    ("A_GRADER", re.compile(r"(for )?(a|an|any|each|every|one|per|the)( \w+)?|graders?"), "a grader"),
    ("ANYONE", re.compile(r"(any|every)_?(body| ?one)|(any|each|every|all)( (of them|\w+))?"), "anyone"),
)
_VERDICTS = {"go": "GO", "nogo": "NO-GO", "unfinished": "UNFINISHED", "void": "VOID"}


def reserved(line: FaultyLine) -> Diagnostic | None:
    found = line.stuck.found
    if found is None or "NAME" not in line.stuck.wanted or not (is_word(found.kind) or found.kind == "UNIT"):
        return None
    if found.kind in {"ONCE", "TWICE"} and any(word.kind == "ON" for word in line.stuck.before):
        return None  # a number of times in a wrong place
    if found.kind == "UNIT" and line.stuck.before[-1:] and line.stuck.before[-1].kind == "INT":
        return None  # `at least 20 s` is no attempt at a name
    where = (found.start, found.end)
    name = substitute(found.text)
    if found.text[0].isupper() or not line.helped(where, name):
        return None
    what = "a unit" if found.kind == "UNIT" else "a word of the language"
    return line.finding(reading.RESERVED, where, word=found.text, what=what, substitute=name)


def upper_case(line: FaultyLine) -> Diagnostic | None:
    if not _CAPITALS.fullmatch(line.piece) or line.piece.islower():
        return None
    near = line.piece.lower().replace("-", "_")
    if not line.helped(line.run, near):
        return None
    return line.finding(reading.UPPER_CASE, line.run, word=line.piece, near=near)


def not_a_name(line: FaultyLine) -> Diagnostic | None:
    if not line.piece or "NAME" not in line.wanted_at(line.run[0]) or line.piece[0] in '",':
        return None
    plain = unicodedata.normalize("NFKD", line.piece.casefold()).encode("ascii", "ignore").decode()
    near = re.sub(r"[^a-z0-9_]+", "_", plain).strip("_")
    if near != line.piece and near[:1].isalpha() and line.helped(line.run, near):
        return line.finding(reading.NOT_A_NAME, line.run, word=line.piece, near=near)
    if line.piece[0].isdigit() and line.piece[-1].isalpha() and line.helped(line.run, "name_1"):
        return line.finding(reading.NOT_A_NAME, line.run, word=line.piece)
    return None


def run_together(line: FaultyLine) -> Diagnostic | None:
    """`atleast` for `at least`."""
    for first in (spelled(kind) for kind in line.stuck.wanted if is_word(kind)):
        near = f"{first} {line.piece.removeprefix(first)}"
        if line.piece.startswith(first) and line.helped(line.run, near):
            return line.finding(reading.NO_BLANK, line.run, found=line.piece, near=near)
    return None


def stray_sign(line: FaultyLine) -> Diagnostic | None:
    """A colon, full stop or the like at the end of a word that the line can be read without."""
    where = (line.stuck.at, line.stuck.at + 1)
    sign = line.text[slice(*where)]
    if not sign or sign not in ":;.,!?()" or where[1] < line.run[1] or not line.mended(line.replaced(where, " ")):
        return None
    facts = {"found": f"`{sign}`", "expected": "nothing there", "advice": f"take the `{sign}` away"}
    return line.finding(reading.UNEXPECTED, where, **facts)


def misspelt_name(line: FaultyLine) -> Diagnostic | None:
    """A word taken for a name that is nearly one of the language, with which the line can be read."""
    for number, word in reversed(list(enumerate(line.stuck.before))):
        near = _near_word(word.text, line.stuck.expected[number]) if word.kind == "NAME" else None
        if near is not None and line.mended(line.replaced((word.start, word.end), near)):
            return _misspelt(line, (word.start, word.end), near)
    return None


def misspelt(line: FaultyLine) -> Diagnostic | None:
    """A word that is nearly the one wanted where it got stuck."""
    near = _near_word(line.piece.lower(), line.stuck.wanted)
    if near is None:
        return None
    sure = _near_word(line.piece.lower(), line.stuck.wanted, VERY_NEAR) == near or line.helped(line.run, near)
    return _misspelt(line, line.run, near) if sure else None


def misspelt_before(line: FaultyLine) -> Diagnostic | None:
    """The word just before, taken for a name, that is very nearly one of the language."""
    number = len(line.stuck.before) - 1
    if number < 0 or (word := line.stuck.before[number]).kind != "NAME":
        return None
    near = _near_word(word.text, line.stuck.expected[number], VERY_NEAR)
    return None if near is None else _misspelt(line, (word.start, word.end), near)


def _misspelt(line: FaultyLine, where: tuple[int, int], near: str) -> Diagnostic:
    return line.finding(reading.MISSPELT, where, word=line.text[slice(*where)], near=near)


def verdict_otherwise(line: FaultyLine) -> Diagnostic | None:
    """`go` or `NOGO` where a verdict is given."""
    if not line.text.startswith("gives"):
        return None
    for found in re.finditer(r"[A-Za-z][A-Za-z_-]*", line.text):
        verdict = _VERDICTS.get(re.sub("[^a-z]", "", found.group().lower()))
        if verdict is not None and line.mended(line.replaced(found.span(), verdict)):
            return _misspelt(line, found.span(), verdict)
    return None


def bare_silence(line: FaultyLine) -> Diagnostic | None:
    """`no answer for 45 s`, which does not say whether the limit itself is in time."""
    kinds = [word.kind for word in line.stuck.before]
    if "OR" not in line.stuck.wanted or "NO" not in kinds or "FOR" not in kinds:
        return None
    found = f"`{line.piece}`" if line.piece else "the end of the line"
    facts = {"expected": "`over` before the length, or `or more` after it"}
    facts["advice"] = f"such a line reads `{model('no', line.place)}`"
    return line.finding(reading.UNEXPECTED, line.run, found=found, **facts)


def missing_comma(line: FaultyLine) -> Diagnostic | None:
    """A comma left out where it got stuck, or before a word that was taken for something else."""
    where = (line.run[0], line.run[0])
    if line.piece and "COMMA" in line.stuck.wanted and line.helped(where, ", "):
        return line.finding(reading.MISSING_COMMA, line.run, found=line.piece)
    for number, word in enumerate(line.stuck.before):
        if "COMMA" in line.stuck.expected[number] and line.mended(line.replaced((word.start, word.start), ", ")):
            return line.finding(reading.MISSING_COMMA, (word.start, word.end), found=word.text)
    return None


def left_out(line: FaultyLine) -> Diagnostic | None:
    """Words left out before the one it got stuck at, if only those can be meant: `start go` for `start on go`."""
    where = (line.run[0], line.run[0])
    may_be_capped = line.text.startswith("restart")
    mends = [
        words
        for words in LEFT_OUT
        if line.piece and (may_be_capped or words[0] != ",") and line.mended(line.replaced(where, f"{words} "))
    ]
    if len(mends) != 1:
        return None
    facts = {"found": line.piece, "missing": mends[0].removeprefix(", "), "near": f"{mends[0]} {line.piece}"}
    return line.finding(reading.MISSING_WORD, line.run, **facts)


def said_otherwise(line: FaultyLine) -> Diagnostic | None:
    """A word or sign for which the language has another: `>=` for `at least`."""
    if "MORE" in line.stuck.wanted:
        return None  # a number of marks or a value: `more than 2 times` or `over 2 kg`
    meant = OTHERWISE.get(line.piece, ())
    near = next((near for near in meant if line.helped(line.run, near)), None)
    return None if near is None else _misspelt(line, line.run, near)


def once_otherwise(line: FaultyLine) -> Diagnostic | None:
    """`once per grader` for `once a grader`, `by any candidate` for `by anyone`."""
    for kind, otherwise, near in _WHOSE_OTHERWISE:
        found = otherwise.match(line.text, line.run[0])
        if kind in line.stuck.wanted and found is not None and line.helped(found.span(), near):
            return _misspelt(line, found.span(), near)
    return None


def split_name(line: FaultyLine) -> Diagnostic | None:
    """A name of two words."""
    before, found = line.stuck.before, line.stuck.found
    if found is None or found.kind != "NAME" or not before or before[-1].kind != "NAME":
        return None
    if line.place not in {Place.MARKS, Place.CONDITIONS, Place.CANDIDATE} and not line.rule.endswith("_head"):
        return None  # elsewhere the second may be a value
    where, near = (before[-1].start, found.end), f"{before[-1].text}_{found.text}"
    if not line.mended(line.replaced(where, near)):
        return None
    return line.finding(reading.NOT_A_NAME, where, word=line.text[slice(*where)], near=near)


def _near_word(word: str, wanted: frozenset[str], least: float = NEAR) -> str | None:
    return near_word(word, {spelled(kind) for kind in wanted if is_word(kind)}, least)
