"""Slips in numbers: units forgotten or unknown, times and dates in another shape, lengths in other notations.

Each function knows one slip and returns its finding, or None where the line has another.
"""

import re

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.amounts import unit_slip
from standfast.language.faulty import FaultyLine
from standfast.language.words import UNIT_MEANT, is_word

_ISO = re.compile(r"P(?:(\d{1,6})D)?(?:T(?:(\d{1,6})H)?(?:(\d{1,6})M)?(?:(\d{1,6}(?:\.\d{1,6})?)S)?)?")
_RUN_TOGETHER = re.compile(r"()(?:(\d{1,6})h)?(?:(\d{1,6})m(?:in)?)?(?:(\d{1,6}(?:\.\d{1,6})?)s)?")
_CLOCK = re.compile(r"(?:(\d{1,6}):)?(\d{1,6}):(\d{1,2}(?:\.\d{1,6})?)")
_LOOSE_CLOCK = re.compile(r"(\d{1,6})[:.](\d{1,2})([.,]\d{1,6})?")
_DECIMAL_COMMA = re.compile(r"(\d+),(\d+)(.*)")
_NUMBER_AND_WORD = re.compile(r"(\d+(?:\.\d+)?)([a-z_]+(?:/[a-z]+)?)")
_NUMBERS = frozenset({"INT", "DECIMAL"})


def date_shape(line: FaultyLine) -> Diagnostic | None:
    if not line.piece or "DATE" not in line.wanted_at(line.run[0]):
        return None
    where = (line.run[0], len(line.text))
    return line.finding(reading.DATE_SHAPE, where, found=line.text[slice(*where)])


def clock_shape(line: FaultyLine) -> Diagnostic | None:
    """In a log: a time that is not `m:ss`."""
    if not line.piece[:1].isdigit() or "CLOCK" not in line.wanted_at(line.run[0]):
        return None
    facts = {"found": line.piece}
    if loose := _LOOSE_CLOCK.fullmatch(line.piece):
        minutes, seconds, decimals = loose.groups()
        near = f"{minutes}:{seconds.rjust(2, '0')}{(decimals or '').replace(',', '.')}"
        if line.helped(line.run, near):
            facts["near"] = near
    return line.finding(reading.CLOCK_SHAPE, line.run, **facts)


def clock_for_length(line: FaultyLine) -> Diagnostic | None:
    found = _CLOCK.fullmatch(line.piece)
    if found is None or not _NUMBERS & line.wanted_at(line.run[0]):
        return None
    near = _length(None, found[1], found[2], found[3])
    return line.finding(reading.CLOCK_FOR_LENGTH, line.run, found=line.piece, near=near)


def other_notation(line: FaultyLine) -> Diagnostic | None:
    """`PT1M40S` or `1m40s` for `1 min 40 s`."""
    if not line.piece or not _NUMBERS & line.wanted_at(line.run[0]):
        return None
    found = _ISO.fullmatch(line.piece) or _RUN_TOGETHER.fullmatch(line.piece)
    near = found and _length(*found.groups())
    if not near or not line.helped(line.run, near):
        return None
    return line.finding(reading.ISO_LENGTH, line.run, found=line.piece, near=near)


def _length(days: str | None, hours: str | None, minutes: str | None, seconds: str | None) -> str:
    """The length as it is said, without parts that are nought; empty if all are."""
    whole = int(days or 0) * 24 + int(hours or 0)
    parts = ((str(whole), "h"), (minutes or "0", "min"), (seconds or "0", "s"))
    said = [f"{number.lstrip('0') or '0'} {unit}" for number, unit in parts if number.strip("0.")]
    return " ".join(said).replace(" .", " 0.")


def decimal_comma(line: FaultyLine) -> Diagnostic | None:
    found = _DECIMAL_COMMA.fullmatch(line.piece)
    if found is None or not _NUMBERS & line.wanted_at(line.run[0]):
        return None
    near = f"{found[1]}.{found[2]}{found[3]}"
    if len(found[2]) == 3 and line.helped(line.run, found[1] + found[2]):
        near = found[1] + found[2]
    return line.finding(reading.DECIMAL_COMMA, line.run, found=line.piece, near=near)


def no_blank(line: FaultyLine) -> Diagnostic | None:
    """`90s` for `90 s`."""
    found = _NUMBER_AND_WORD.fullmatch(line.piece)
    if found is None or not _NUMBERS & line.wanted_at(line.run[0]):
        return None
    near = f"{found[1]} {UNIT_MEANT.get(found[2], found[2])}"
    if not line.helped(line.run, near):
        return None
    return line.finding(reading.NO_BLANK, line.run, found=line.piece, near=near)


def not_whole(line: FaultyLine) -> Diagnostic | None:
    """Decimals where things are counted."""
    words = line.stuck.words
    for number, word in enumerate(words):
        if word.kind == "DECIMAL" and "INT" in line.stuck.expected[number] and number >= len(words) - 2:
            where = (word.start, word.end)
            if line.helped(where, "2"):
                return line.finding(reading.NOT_WHOLE, where, found=word.text)
    return None


def unknown_unit(line: FaultyLine) -> Diagnostic | None:
    before, found = line.stuck.before, line.stuck.found
    unit = line.text[line.stuck.at : line.run[1]]
    if not before or "UNIT" not in line.stuck.wanted or not unit:
        return None
    if not (unit[0].isalpha() or unit[0] in "%\u00b0") or (
        found is not None and is_word(found.kind) and unit not in UNIT_MEANT
    ):
        return None
    number = before[-1].text if before[-1].kind in _NUMBERS else ""
    code, facts = unit_slip(number, unit, "_NL" in line.stuck.wanted)
    return line.finding(code, (line.stuck.at, line.run[1]), **facts)


def missing_unit(line: FaultyLine) -> Diagnostic | None:
    before = line.stuck.before
    if not before or before[-1].kind not in _NUMBERS or "UNIT" not in line.stuck.wanted:
        return None
    number = before[-1]
    counted = "NAME" in line.stuck.wanted
    expected = "a unit or what is counted" if counted else "a unit after it"
    examples = f"`{number.text} s`" + (f" or `{number.text} throws`" if counted else "")
    where = (number.start, number.end)
    return line.finding(reading.MISSING_UNIT, where, number=number.text, expected=expected, examples=examples)
