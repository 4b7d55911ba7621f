"""Slips in words: misspelt, reserved, capital, in the wrong block, quotes forgotten or of another kind.

Each function knows one slip and returns its finding, or None where the line has another.
"""

import re
import unicodedata
from difflib import SequenceMatcher, get_close_matches

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.faulty import FaultyLine
from standfast.language.nodes import Node
from standfast.language.places import OPENINGS, Place, opener, opening_words
from standfast.language.words import is_word, model, one_of, spelled, substitute
from standfast.source import Source

_QUOTED = re.compile(r'"[^"]*"')
_OTHER_QUOTES = re.compile("[\u201c\u201d\u201e\u201f\u00ab\u00bb]")
_SINGLE_QUOTES = re.compile("(?<!\\S)['\u2018\u201a]")
_CAPITALS = re.compile(r"[A-Za-z][A-Za-z0-9_-]*")
_VERDICTS = {"go": "GO", "nogo": "NO-GO", "unfinished": "UNFINISHED", "void": "VOID"}
_NEAR = 0.7
_VERY_NEAR = 0.8
_LONGEST_WORD = 40
_FIRST_OF_TWO = frozenset({"any", "at", "carry", "events", "in", "not", "owed"})


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


def misspelt_beginning(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word is none of the language, but nearly one that begins a line here."""
    found = line.stuck.found
    return None if found is not None and is_word(found.kind) else other_beginning(line)


def other_beginning(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word, even one of the language, is nearly one that begins a line here."""
    if line.stuck.before or not line.piece:
        return None
    near = _near(line.piece.lower(), {*_beginnings(line), *opening_words(line.place)})
    if near is None or near == line.piece:
        return None
    if near == line.piece.lower():
        return line.finding(reading.UPPER_CASE, line.run, word=line.piece, near=near)
    return line.finding(reading.UNKNOWN_LINE, line.run, word=line.piece, place=line.place.value, near=near)


def wrong_place(line: FaultyLine) -> Diagnostic | None:
    """A line that could stand in another kind of block."""
    opens = opener(line.text)
    found = line.stuck.found
    if opens is not None:
        places = OPENINGS[opens].within
    else:
        places = tuple(
            place
            for place, opening in OPENINGS.items()
            if isinstance(line.attempt(line.text, opening.line), Node) and " " in line.text
        )
        if not places and not line.stuck.before and found is not None and is_word(found.kind):
            name = substitute(found.text)
            if "NAME" in line.stuck.wanted and line.mended(line.replaced((found.start, found.end), name)):
                return None
            places = tuple(place for place, o in OPENINGS.items() if found.kind in line.beginnings(o.line))
    if not places or line.place in places or (opens is not None and "NAME" in line.stuck.wanted):
        return None
    return misplaced(line.source, line.start, line.text, line.place, places)


def misplaced(source: Source, start: int, text: str, place: Place, places: tuple[Place, ...]) -> Diagnostic:
    """The finding about a line, or the head of a block, in one place that belongs in one of `places`."""
    words = text.split()
    first = words[0]
    word = " ".join(words[: 2 if first in _FIRST_OF_TWO else 1])
    facts = {"word": word, "place": place.value, "places": one_of([place.value for place in places])}
    if place is Place.FILE:
        facts["advice"] = f"indent it below the block it belongs to: {facts['places']}"
    elif places == (Place.FILE,):
        facts["advice"] = "begin it at the left edge"
    elif place is Place.GROUP and first in {"until", "for"}:
        facts["advice"] = "put the goal in a step of the group: a group is done when its items are"
    elif place is Place.STEP and opener(text) in {Place.STEP, Place.GROUP}:
        facts["advice"] = "make the block around it a group, such as `in order`, or end that step first"
    return Diagnostic(reading.WRONG_PLACE, source.span(start, start + len(first)), facts)


def reserved(line: FaultyLine) -> Diagnostic | None:
    found = line.stuck.found
    if found is None or "NAME" not in line.stuck.wanted or not (is_word(found.kind) or found.kind == "UNIT"):
        return None
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
    likeness = SequenceMatcher(None, line.piece.lower(), near).ratio()
    return _misspelt(line, line.run, near) if likeness >= _VERY_NEAR or line.helped(line.run, near) else None


def misspelt_before(line: FaultyLine) -> Diagnostic | None:
    """The word just before, taken for a name, that is very nearly one of the language."""
    number = len(line.stuck.before) - 1
    if number < 0 or (word := line.stuck.before[number]).kind != "NAME":
        return None
    near = _near_word(word.text, line.stuck.expected[number])
    if near is None or SequenceMatcher(None, word.text, near).ratio() < _VERY_NEAR:
        return None
    return _misspelt(line, (word.start, word.end), near)


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
    where = (line.run[0], line.run[0])
    if not line.piece or "COMMA" not in line.stuck.wanted or not line.helped(where, ", "):
        return None
    return line.finding(reading.MISSING_COMMA, line.run, found=line.piece)


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
    if line.stuck.wanted != {"TEXT"} and (is_rule or any(sign.isdigit() for sign in rest)):
        return None
    return line.finding(reading.MISSING_QUOTES, where, found=rest)


def second_clause(line: FaultyLine) -> Diagnostic | None:
    where = (line.stuck.at, len(line.text))
    rest = line.text[slice(*where)].removeprefix(",").lstrip()
    if "_NL" not in line.stuck.wanted | line.wanted_before_comma() or not line.mended(rest):
        return None
    return line.finding(reading.SECOND_CLAUSE, where, found=rest)


def unknown_line(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word begins no line here, and nearly none."""
    if line.stuck.before or not line.piece:
        return None
    words = {*_beginnings(line), *opening_words(line.place)}
    if not words or "NAME" in line.stuck.wanted:
        return None
    listed = one_of([f"`{word}`" for word in sorted(words)])
    return line.finding(reading.UNKNOWN_LINE, line.run, word=line.piece, place=line.place.value, words=listed)


def _beginnings(line: FaultyLine) -> set[str]:
    """The fixed words that begin a line of the rule."""
    return {spelled(kind) for kind in line.stuck.expected[0] if is_word(kind)}


def _near_word(word: str, wanted: frozenset[str]) -> str | None:
    return _near(word, {spelled(kind) for kind in wanted if is_word(kind)})


def _near(word: str, words: set[str]) -> str | None:
    if not word or len(word) > _LONGEST_WORD:
        return None
    return next(iter(get_close_matches(word, sorted(words), n=1, cutoff=_NEAR)), None)
