"""Logs that show a difference behind much that differs in nothing: found, though not the shortest."""

from collections.abc import Callable

import pytest

from standfast.difference.comparison import Comparison
from standfast.difference.guided import lone_log
from standfast.difference.of_one import passing
from standfast.difference.shown import Edition
from standfast.machine.compile import compile_standard
from standfast.verdict import Outcome

from .conftest import LONG, edition, lines

Compared = Callable[..., Comparison]

MOST = 60


@pytest.mark.parametrize("turned", [False, True])
def test_a_log_is_found_that_a_walk_of_as_many_pairs_does_not_come_to(turned: bool, compared: Compared) -> None:
    editions = [LONG.format(within=9), LONG.format(within=8)]
    comparison = compared(*editions[:: -1 if turned else 1], most=MOST)
    claim = comparison.whole.gained if turned else comparison.whole.lost
    assert claim.shown is not None
    assert not claim.shortest
    assert (claim.shown.old.outcome is Outcome.GO, claim.shown.new.outcome is Outcome.GO) == (not turned, turned)


def test_it_is_the_same_log_the_other_way_round(compared: Compared) -> None:
    one = compared(LONG.format(within=9), LONG.format(within=8), most=MOST)
    other = compared(LONG.format(within=8), LONG.format(within=9), most=MOST)
    assert lines(one.whole.lost) == lines(other.whole.gained)


def test_a_log_that_is_not_there_is_not_claimed_to_be_none(compared: Compared) -> None:
    text = LONG.replace("attempts 1", "attempts 2")  # of a second attempt the lines alone say nothing
    comparison = compared(text.format(within=9), text.format(within=8), most=10)
    assert comparison.whole.gained.word is None


def test_a_log_of_one_edition_by_itself_may_show_it(compared: Compared) -> None:
    """With hardly any pairs of positions looked at."""
    comparison = compared(
        LONG.format(within=9), LONG.replace("until slip", "until throw").format(within=9), most=40
    )
    for claim in (comparison.whole.lost, comparison.whole.gained):
        assert claim.shown is not None
        assert not claim.shortest


def test_logs_of_one_edition_have_only_what_both_know() -> None:
    """Of a knot that one edition alone knows there is a way to GO, but no log of both."""
    text = "event drill\n    attempts 1\n    start on go\n    step tying\n        until knot{}\n"
    marks = 'marks\n    go "A signal"\n    knot is one of {} "A knot"\n'
    old = edition(text.format(" red or green"), marks=marks.format("red, green"))
    new = edition(text.format(""), marks=marks.format("green, blue"))
    two = tuple(Edition(compile_standard(each), {}, each) for each in (old, new))
    logs = list(passing((two[0], two[1]), 500))
    assert [[entry.value for entry in entries] for entries, _ in logs] == [[None, "green"]]


KEPT = """\
event drill
    attempts 1
    start on go
    in order both
        within {within} s
        step loading
            until load
        step throwing
            until throw
        smallest of load in loading plus total of load over 5 kg
"""


def test_a_figure_of_a_clause_inside_is_met_by_an_amount_that_the_standard_names(
    compared: Compared,
) -> None:
    comparison = compared(KEPT.format(within=9), KEPT.format(within=8))
    assert comparison.whole.lost.shown is not None
    assert "load 5 kg" in lines(comparison.whole.lost)[1]


@pytest.mark.parametrize(("most", "word"), [(MOST, None), (2_000, False)])
def test_that_there_is_none_is_said_once_all_has_been_looked_at(most: int, word: bool | None) -> None:
    old, new = (
        Edition(compile_standard(standard), {}, standard)
        for standard in (edition(LONG.format(within=within), f"{within}") for within in (9, 8))
    )
    for editions, side in (((old, new), 1), ((new, old), 0)):
        claim = lone_log(editions, side, most)
        assert (None if claim is None else claim.word) is word


def test_a_sum_is_met_by_equal_shares(compared: Compared) -> None:
    text = KEPT.replace("over 5 kg", "exactly 5 kg")
    comparison = compared(text.format(within=9), text.format(within=8))
    assert comparison.whole.lost.shown is not None
    assert "load 2.5 kg" in " ".join(lines(comparison.whole.lost))


def test_entries_are_tried_later_than_a_time_that_one_edition_alone_names(compared: Compared) -> None:
    comparison = compared(KEPT.format(within=90), KEPT.format(within=80))
    assert comparison.whole.lost.shown is not None
