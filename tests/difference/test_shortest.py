"""That a log shown is the shortest there is, where the first that was found is not."""

from collections.abc import Callable

import pytest
from trials.alterations import meant
from trials.written import TEXTS

from standfast.difference.behaviour import compare
from standfast.difference.claims import shorter
from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.values import evolve

Compared = Callable[..., Comparison]

TIED = """\
event drill
    attempts 2
    start on go
    in order tying
        before {number} knots
        step holding
            start on knot red
            until 2 slips
        step calling
            until go

event signals
    attempts 3
    start on throw
    in any order both
        step waiting
            until knot
            disqualify on go more than once
        step answering
            start on go
            until knot blue
"""


@pytest.mark.parametrize("turned", [False, True])
def test_a_log_of_one_event_among_those_of_the_others_is_not_the_last_word(
    turned: bool, compared: Compared
) -> None:
    editions = [TIED.format(number=2), TIED.format(number=7)]
    comparison = compared(*editions[:: -1 if turned else 1])
    assert comparison.word is Word.MIXED
    claims = [comparison.course.lost, comparison.course.gained][:: -1 if turned else 1]
    assert [(claim.entries, claim.shortest) for claim in claims] == [(15, True), (10, True)]


def test_of_several_logs_none_is_the_shortest_where_one_might_be_shorter(compared: Compared) -> None:
    """As for two kinds of candidate: the shortest of one may have more entries than that of the other."""
    course = compared(TIED.format(number=2), TIED.format(number=7)).course
    assert shorter([course.lost, course.gained]).shortest
    assert shorter([course.lost, course.gained]).shown == course.gained.shown
    assert not shorter([evolve(course.lost, shortest=False), course.gained]).shortest


@pytest.mark.parametrize("turned", [False, True])
def test_the_log_shown_is_as_short_whichever_edition_is_the_old_one(turned: bool) -> None:
    """Its instants meet a rate and two limits on one sum of times, granted one after another."""
    text = TEXTS["manikin_drill_3"]
    editions = [meant(text), meant(text.replace("at most 3 min 30 s", "at most 2 min 30 s"))]
    old, new = editions[:: -1 if turned else 1]
    assert old is not None and new is not None
    told = compare(old, new, 3_000).course.told
    assert (told.entries, told.shortest) == (18, True)
