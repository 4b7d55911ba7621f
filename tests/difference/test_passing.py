"""Where a condition alone differs: a log that is GO under one edition, or that there is none."""

from collections.abc import Callable

import pytest

from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.verdict import Outcome

from .conftest import LONG, MARKS, lines

Compared = Callable[..., Comparison]

DEPTH = """\
conditions
    depth at least {least} m

"""
WITHIN_9 = LONG.format(within=9)
NEVER = WITHIN_9.replace("within 9 s", "not before 9 s\n        under 8 s")
KEPT = """\
event drill
    attempts 1
    start on go
    in order both
        step loading
            until load
        step throwing
            until throw
        smallest of load in loading plus total of load over 5 kg
"""


def deeper(body: str, compared: Compared, most: int, *, turned: bool = False) -> Comparison:
    """The new edition asks for half a metre more; `turned`: for less."""
    editions = [DEPTH.format(least=least) + body for least in ("2.5", "3")]
    return compared(*editions[:: -1 if turned else 1], most=most)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(("most", "shortest"), [(60, False), (2_000, True)])
def test_a_log_that_passes_is_void_by_the_condition(
    most: int, shortest: bool, turned: bool, compared: Compared
) -> None:
    comparison = deeper(WITHIN_9, compared, most, turned=turned)
    claim = comparison.whole.gained if turned else comparison.whole.lost
    assert comparison.word is (Word.EASIER if turned else Word.HARDER)
    assert comparison.course.word is Word.SAME
    assert claim.shown is not None
    assert claim.shortest is shortest
    assert len(lines(claim)) == 9
    assert str(claim.shown.old_log.conditions["depth"]) == "2.5 m"
    outcomes = [claim.shown.old.outcome, claim.shown.new.outcome]
    assert outcomes == [Outcome.GO, Outcome.VOID][:: -1 if turned else 1]


def test_what_nobody_passes_a_condition_makes_no_harder(compared: Compared) -> None:
    comparison = deeper(NEVER, compared, most=60)
    assert comparison.word is Word.SAME
    assert [change.word for change in comparison.conditions] == [Word.HARDER]


@pytest.mark.parametrize("most", [200, 2_000])
def test_that_there_is_none_is_not_said_where_the_way_alone_shows_none(most: int, compared: Compared) -> None:
    """The first way to pass has no amount yet that is kept; it needs one that the standard names."""
    claim = deeper(KEPT, compared, most).whole.lost
    assert claim.shown is not None
    assert not claim.shortest
    assert lines(claim)[1] == "1 load 5 kg"


def test_it_is_not_decided_where_little_is_looked_at(compared: Compared) -> None:
    assert deeper(WITHIN_9, compared, most=2).word is Word.NOT_DECIDED


@pytest.mark.parametrize(("body", "passed"), [(WITHIN_9, True), (NEVER, False)])
def test_whether_a_log_of_the_shared_marks_passes(body: str, passed: bool, compared: Compared) -> None:
    more = f'{MARKS}    bell "A bell"\n'
    comparison = compared(body, body.replace("9 s", "10 s"), (MARKS, more), most=60)
    assert comparison.passed == (passed, passed)
