"""Lines in the wrong block, and lines whose first word is wrong.

Each function knows one slip and returns its finding, or None where the line has another.
"""

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.faulty import FaultyLine
from standfast.language.nodes import Node, Stuck
from standfast.language.places import OPENINGS, Place, opener, opening_words
from standfast.language.words import (
    BEGINNINGS_OTHERWISE,
    beginnings,
    is_word,
    near_word,
    one_of,
    spelled,
    substitute,
)
from standfast.quantity import UNITS, Dimension
from standfast.source import Source

_FIRST_OF_TWO = frozenset({"any", "at", "carry", "events", "in", "not", "only", "owed", "times"})


def misspelt_beginning(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word is none of the language, but nearly one that begins a line here."""
    found = line.stuck.found
    return None if found is not None and is_word(found.kind) else other_beginning(line)


def other_beginning_mends(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word is one of the language, but with a like one it can be read."""
    finding = other_beginning(line)
    if finding is None or not line.mended(line.replaced(line.run, finding.facts["near"])):
        return None
    return finding


def other_beginning(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word, even one of the language, is nearly one that begins a line here."""
    if line.stuck.before or not line.piece:
        return None
    near = near_word(line.piece.lower(), {*_beginnings(line), *opening_words(line.place)})
    if near is None or near == line.piece:
        return None
    if near == line.piece.lower():
        return line.finding(reading.UPPER_CASE, line.run, word=line.piece, near=near)
    return line.finding(reading.UNKNOWN_LINE, line.run, word=line.piece, place=line.place.value, near=near)


def begun_otherwise(line: FaultyLine) -> Diagnostic | None:
    """A line that begins with words of another language for ours: `max 90 s`."""
    for words, meant in BEGINNINGS_OTHERWISE.items():
        if not line.text.startswith(f"{words} "):
            continue
        near = next((near for near in meant if line.mended(near + line.text[len(words) :])), None)
        if near is not None:
            facts = {"word": words, "place": line.place.value, "near": near}
            return line.finding(reading.UNKNOWN_LINE, (0, len(words)), **facts)
    return None


def belongs_elsewhere(line: FaultyLine) -> Diagnostic | None:
    """A line that can be read in another kind of block as it stands."""
    if " " not in line.text:
        return None
    places = tuple(
        place for place, opening in OPENINGS.items() if isinstance(line.attempt(line.text, opening.line), Node)
    )
    if not places or line.place in places:
        return None
    return misplaced(line.source, line.start, line.text, line.place, places)


def begins_elsewhere(line: FaultyLine) -> Diagnostic | None:
    """A line whose first words begin a line in another kind of block, and none here."""
    opens, found = opener(line.text), line.stuck.found
    if line.stuck.before or found is None or not is_word(found.kind):
        return None
    name = substitute(found.text)
    if "NAME" in line.stuck.wanted and line.mended(line.replaced((found.start, found.end), name)):
        return None
    places = OPENINGS[opens].within if opens is not None else _furthest(line)
    return misplaced(line.source, line.start, line.text, line.place, places) if places else None


def _furthest(line: FaultyLine) -> tuple[Place, ...]:
    """The places by whose rules most words of the line can be read, if any."""
    tried = {place: line.attempt(line.text, opening.line) for place, opening in OPENINGS.items()}
    words = {place: len(result.before) for place, result in tried.items() if isinstance(result, Stuck)}
    most = max(words.values())
    return tuple(place for place, number in words.items() if number == most) if most else ()


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


def second_clause(line: FaultyLine) -> Diagnostic | None:
    where = (_second_begins(line), len(line.text))
    rest = line.text[slice(*where)].removeprefix(",").lstrip()
    ends = line.stuck.wanted | line.wanted_before_comma() | line.wanted_at(where[0])
    if "_NL" not in ends or not isinstance(result := line.attempt(rest, line.rule), Node):
        return None
    if result.first().kind == "NAME":
        return None
    return line.finding(reading.SECOND_CLAUSE, where, found=rest)


def _second_begins(line: FaultyLine) -> int:
    """Where it got stuck, or at a limit such as `within 90 s` that was taken for the beginning of a test."""
    units = {word.text for word in line.stuck.before if word.kind == "UNIT"}
    limits = [word.start for word in line.stuck.before if word.kind == "WITHIN" and word.start]
    if line.piece or not limits or not all(UNITS[unit].dimension is Dimension.TIME for unit in units):
        return line.stuck.at
    return limits[-1]


def unknown_line(line: FaultyLine) -> Diagnostic | None:
    """A line whose first word begins no line here, and nearly none."""
    if line.stuck.before or not line.piece:
        return None
    words = {*_beginnings(line), *opening_words(line.place)}
    if not words or "NAME" in line.stuck.wanted:
        return None
    facts = {"word": line.piece, "place": line.place.value, "words": beginnings(words)}
    return line.finding(reading.UNKNOWN_LINE, line.run, **facts)


def _beginnings(line: FaultyLine) -> set[str]:
    """The fixed words that begin a line of the rule."""
    return {spelled(kind) for kind in line.stuck.expected[0] if is_word(kind)}
