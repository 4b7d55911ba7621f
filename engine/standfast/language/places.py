"""The kinds of block: the words that open each, where it may stand, and the rule of the grammar for its lines."""

import re
from difflib import get_close_matches
from enum import Enum

from standfast.values import frozen


class Place(Enum):
    """A kind of block, by what an author would call it."""

    FILE = "the outermost level"
    STANDARD = "the header"
    CANDIDATE = "`candidate`"
    CONDITIONS = "`conditions`"
    MARKS = "`marks`"
    ALWAYS = "`always`"
    GRADE = "a grade"
    EVENT = "an event"
    STEP = "a step"
    GROUP = "a group"
    ROUNDS = "`rounds`"
    SCORE = "a score"
    CASE = "a case"
    LOG = "a log"


@frozen
class Opening:
    """How a block begins. `head` and `line` are rules of the grammar; `hint` is a line that could stand in it."""

    words: tuple[str, ...]
    head: str
    line: str
    within: tuple[Place, ...]
    hint: str


OPENINGS: dict[Place, Opening] = {
    Place.STANDARD: Opening(("standard",), "standard_head", "header_line", (Place.FILE,), 'edition "1"'),
    Place.CANDIDATE: Opening(
        ("candidate",), "candidate_head", "candidate_line", (Place.FILE,), 'body_mass in kg "Weighed on the day"'
    ),
    Place.CONDITIONS: Opening(
        ("conditions",), "conditions_head", "conditions_line", (Place.FILE, Place.EVENT), "lookouts at least 2"
    ),
    Place.MARKS: Opening(("marks",), "marks_head", "marks_line", (Place.FILE,), 'go "The starter\'s signal"'),
    Place.ALWAYS: Opening(
        ("always",), "always_head", "always_line", (Place.FILE,), 'halt on stop_call "stopped for safety"'
    ),
    Place.GRADE: Opening(("grade",), "grade_head", "grade_line", (Place.FILE,), "points at least 12"),
    Place.EVENT: Opening(("event",), "event_head", "event_line", (Place.FILE,), "attempts 2"),
    Place.STEP: Opening(
        ("step",), "step_head", "step_line", (Place.EVENT, Place.GROUP, Place.ROUNDS), "until 2 hits"
    ),
    Place.GROUP: Opening(
        ("in order", "in any order", "any one of"),
        "group_head",
        "group_line",
        (Place.EVENT, Place.GROUP, Place.ROUNDS),
        "step reach",
    ),
    Place.ROUNDS: Opening(("rounds",), "rounds_head", "rounds_line", (Place.EVENT, Place.GROUP), "tries 3"),
    Place.SCORE: Opening(
        ("score",), "score_head", "score_line", (Place.EVENT, Place.STEP, Place.GROUP), "otherwise gives 1"
    ),
    Place.CASE: Opening(("case",), "case_head", "case_line", (Place.FILE,), "log"),
    Place.LOG: Opening(("log",), "log_head", "log_line", (Place.CASE,), "0:00 end"),
}

RULES: tuple[str, ...] = ("file", *(rule for o in OPENINGS.values() for rule in (o.head, o.line)))

_OPENERS = {words: place for place, opening in OPENINGS.items() for words in opening.words}
_FIRST_WORDS = frozenset(words.split()[0] for words in _OPENERS)
_LEADING_WORDS = re.compile(r"[^\s\"]+(?:[ \t]+[^\s\"]+){0,2}")


def opener(text: str) -> Place | None:
    """The block a line would open by its first words."""
    found = _LEADING_WORDS.match(text)
    words = found.group().split() if found else []
    if not words or words[0] not in _FIRST_WORDS:
        return None
    return next((_OPENERS[key] for n in (1, 2, 3) if (key := " ".join(words[:n])) in _OPENERS), None)


def near_opener(text: str, place: Place) -> Place | None:
    """The block a line in `place` was meant to open, if its first word is nearly an opening word."""
    inside = {word.split()[0]: p for p, o in OPENINGS.items() if place in o.within for word in o.words}
    found = _LEADING_WORDS.match(text)
    near = get_close_matches(found.group().split()[0].lower(), inside, n=1, cutoff=0.7) if found else []
    return inside[near[0]] if near else None


def opening_words(place: Place) -> frozenset[str]:
    """The words that begin a block in this place."""
    return frozenset(word for opening in OPENINGS.values() if place in opening.within for word in opening.words)
