"""Slips in quotes and blanks: forgotten, of another kind, or in the wrong place.

Each function knows one slip and returns its finding, or None where the line has another.
"""

import re

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.faulty import FaultyLine
from standfast.language.words import is_word

_QUOTED = re.compile(r'"[^"]*"')
_OTHER_QUOTES = re.compile("[\u201c\u201d\u201e\u201f\u00ab\u00bb]")
SINGLE_QUOTES = frozenset("'\u2018\u201a")
_SINGLE_QUOTES = re.compile("(?<!\\S)['\u2018\u201a]")


def other_quotes(line: FaultyLine) -> Diagnostic | None:
    bare = _QUOTED.sub(lambda found: " " * len(found.group()), line.text)
    found = _OTHER_QUOTES.search(bare) or ('"' not in line.text and _SINGLE_QUOTES.search(bare)) or None
    return found and line.finding(reading.OTHER_QUOTES, found.span(), found=found.group())


def unclosed_quote(line: FaultyLine) -> Diagnostic | None:
    if line.text.count('"') % 2 == 0:
        return None
    where = line.text.rindex('"')
    return line.finding(reading.UNCLOSED_QUOTE, (where, where + 1))


def quote_within(line: FaultyLine) -> Diagnostic | None:
    where = line.stuck.at
    if not where or line.text[where - 1] != '"' or line.piece in {"", ","} or line.text.count('"') < 4:
        return None
    return line.finding(reading.QUOTE_WITHIN, line.run, found=line.piece)


def other_blank(line: FaultyLine) -> Diagnostic | None:
    bare = _QUOTED.sub(lambda found: " " * len(found.group()), line.text)
    where = next((at for at, sign in enumerate(bare) if sign.isspace() and sign not in " \t"), None)
    if where is None:
        return None
    return line.finding(reading.OTHER_BLANK, (where, where + 1), point=f"U+{ord(bare[where]):04X}")


def missing_quotes(line: FaultyLine) -> Diagnostic | None:
    where = (line.run[0], len(line.text))
    rest = line.text[slice(*where)]
    if (
        not rest
        or '"' in rest
        or "TEXT" not in line.stuck.wanted
        or not line.mended(line.replaced(where, '"why"'))
    ):
        return None
    found = line.stuck.found
    is_rule = found is not None and (is_word(found.kind) or found.kind == "COMMA")
    if line.stuck.wanted != {"TEXT"} and (is_rule or " " not in rest or any(sign.isdigit() for sign in rest)):
        return None
    return line.finding(reading.MISSING_QUOTES, where, found=rest)
