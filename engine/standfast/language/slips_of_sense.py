"""Slips in sense: what an author says in words of their own, where the language has others for it.

Each rewording is of the whole line, and is told only if with it the line can be read.
"""

import re
from collections.abc import Iterator

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.faulty import FaultyLine
from standfast.language.places import Place
from standfast.language.words import one_of

_QUOTED = re.compile(r'"[^"]*"')
_LENGTH = r"\d+(?:\.\d+)? (?:h|min|s|ms)\b"
_NUMBER = r"\d+(?:\.\d+)?"

# What is written, and what is meant; those of one pattern are tried one after another.
_REWORDED: tuple[tuple[re.Pattern[str], tuple[str, ...]], ...] = tuple(
    (re.compile(pattern), tuple(meant))
    for pattern, *meant in (
        (rf"\bfrom ({_NUMBER}) to ({_NUMBER}) ([a-z/]+)", r"from \1 \3 to \2 \3"),
        (r"\bout[-_]of[-_]order\b", "out of order"),
        (r"^any order\b", "in any order"),
        (r"^restart on (.+?) at once\b", r"restart at once on \1"),
        (rf"^before(?= {_LENGTH})", "under"),
        (rf"^at least(?= {_LENGTH})", "not before"),
        (r"^not (?:over|after|above|longer than|later than)\b", "within"),
        (r"\bno(?:t)? more than\b", "at most"),
        (r"\bno(?:t)? less than\b", "at least"),
        (r"\b(more than|at most) 1\b", r"\1 once"),
        (r"\b(more than|at most) (\d+)\b", r"\1 \2 times"),
        (r"\bmore than(?= \d)", "over"),
        (r"\bless than(?= \d)", "under"),
        (r"^gives \S+ (UNFINISHED|VOID)\b", r"gives \1"),
        (r"^gives (UNFINISHED|VOID) (?!for\b)\S+", r"gives \1"),
    )
)
_REWORDED_IN: dict[Place, tuple[tuple[re.Pattern[str], str], ...]] = {
    Place.CONDITIONS: (
        (re.compile(r'^(\w+) "(yes|no)"'), r"\1 \2"),
        (re.compile(r"^(?:no|not) (\w+)"), r"\1 no"),
    ),
    Place.CASE: ((re.compile(r'^with (\w+) "(yes|no)"'), r"with \1 \2"),),
    Place.STANDARD: (
        (re.compile(r'^version "?([^"]+)"?$'), r'edition "\1"'),
        (re.compile(r'^description ("[^"]*")$'), r"guidance \1"),
        (re.compile(r'^warning ("[^"]*")$'), r"caution \1"),
    ),
}
_CHOICES = re.compile(r"(is one of )(.+?)( \"[^\"]*\")?$")
_BETWEEN_CHOICES = re.compile(r"\s*[/|;]\s*|,?\s+(?:or|and)\s+|\s*,\s*")
_JOINED = re.compile(r"\b(?:and|or)\b")
_TWO_MARKS = re.compile(r"^((?:note|restart|fail|halt|disqualify)(?: at once)? on )(\w+) (?:and|or) (?=\w+)")
_UNTIL_AMOUNT = re.compile(rf"^until (\w+) ({_NUMBER} [a-z/]+)$")
_TITLE = re.compile(r'^(?:title|name) ("[^"]*")$')


def said_in_own_words(line: FaultyLine) -> Diagnostic | None:
    for found, near in _rewordings(line):
        text = line.replaced(found.span(), near)
        if not _in_quotes(line, found.start()) and line.mended(text):
            return line.finding(reading.OWN_WORDS, found.span(), found=found.group(), near=near)
    return None


def _rewordings(line: FaultyLine) -> Iterator[tuple[re.Match[str], str]]:
    for pattern, meant in (*_REWORDED_IN.get(line.place, ()), *((p, m) for p, ms in _REWORDED for m in ms)):
        for found in pattern.finditer(line.text):
            yield found, found.expand(meant)
    for found in _CHOICES.finditer(line.text):
        yield found, f"{found[1]}{', '.join(_BETWEEN_CHOICES.split(found[2]))}{found[3] or ''}"
    for found in _JOINED.finditer(line.text):
        yield found, "or"


def _in_quotes(line: FaultyLine, at: int) -> bool:
    return any(quoted.start() < at < quoted.end() for quoted in _QUOTED.finditer(line.text))


def two_marks(line: FaultyLine) -> Diagnostic | None:
    """`fail on hit and call`: a line names one mark."""
    found = _TWO_MARKS.match(line.text)
    if found is None:
        return None
    lines = [f"{found[1]}{line.text[found.end() :]}", f"{found[1]}{found[2]}"]
    after = line.text[found.end() :].split(maxsplit=1)
    lines[1] += f" {after[1]}" if len(after) > 1 else ""
    if not all(map(line.mended, lines)):
        return None
    advice = f"write a line for each: {' and '.join(f'`{each}`' for each in reversed(lines))}"
    return line.finding(reading.OWN_WORDS, found.span(), found=found.group().strip(), advice=advice)


def total_or_value(line: FaultyLine) -> Diagnostic | None:
    """`until line 40 m`: all of them together, or one?"""
    found = _UNTIL_AMOUNT.match(line.text)
    if found is None:
        return None
    total, one = f"until {found[1]} totals {found[2]}", f"until {found[1]} at least {found[2]}"
    if not (line.mended(total) and line.mended(one)):
        return None
    advice = f"write {one_of([f'`{total}` for a sum', f'`{one}` for a single mark'])}"
    return line.finding(reading.OWN_WORDS, found.span(), found=found.group(), advice=advice)


def title_of_its_own(line: FaultyLine) -> Diagnostic | None:
    found = _TITLE.match(line.text)
    if found is None or line.place in (Place.FILE, Place.MARKS, Place.CONDITIONS):
        return None
    advice = "take the line out: a title stands in quotes at the end of the line that opens its block"
    return line.finding(reading.OWN_WORDS, found.span(), found=found.group(), advice=advice)
