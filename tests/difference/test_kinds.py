"""Editions compared for several kinds of candidate, and for more than are looked at."""

from collections.abc import Callable, Sequence

import pytest

from standfast.difference import candidates
from standfast.difference.claims import NONE, UNKNOWN, Claim, Course
from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.difference.kinds import Kinds

from .conftest import lines

Compared = Callable[..., Comparison]

MANY = """\
candidate
    body_mass in kg "Weighed on the day"
    reach in m "How far the candidate reaches"
    duty is one of {duties} "A duty"

event drill
    attempts 1
    start on go
    in order all_of_it
        step loading
            until load at least 5 % of body_mass
            smallest of load over 2 kg
            largest of load under 4 kg
        step reaching
            until length
            {rules}
            each of length at least 110 % of reach
            smallest of length over 2 m
            largest of length under 4 m
        step tying
            only for duty bridge
            until knot
"""
WITH_LENGTH = """
marks
    go "A signal"
    load in kg "A load"
    length in m "A length"
    knot "A knot"
"""
BOTH = WITH_LENGTH, WITH_LENGTH


def many(rules: str = "note on go", duties: str = "deck, bridge") -> str:
    return MANY.format(rules=rules, duties=duties)


@pytest.fixture
def few_listed(monkeypatch: pytest.MonkeyPatch) -> None:
    """So few that not every candidate is of one of them."""
    monkeypatch.setattr(candidates, "MOST", 48)


def of_many(old: str, new: str, compared: Compared) -> Comparison:
    comparison = compared(old, new, BOTH)
    assert not comparison.candidates.all_kinds
    return comparison


@pytest.mark.usefixtures("few_listed")
def test_a_duty_that_came_changes_nothing_for_those_that_both_know(compared: Compared) -> None:
    comparison = of_many(many(), many(duties="deck, bridge, engine"), compared)
    assert comparison.word is Word.SAME
    assert comparison.different is False


@pytest.mark.usefixtures("few_listed")
def test_an_event_for_a_kind_that_is_not_looked_at_is_compared_by_its_lines(compared: Compared) -> None:
    last = "\nevent second\n    only for duty engine\n    attempts 1\n    start on go\n    until knot\n"
    text = many(duties="deck, bridge, engine") + last
    comparison = of_many(text, text, compared)
    assert "engine" not in {facts["duty"] for facts, _ in comparison.candidates.kinds}
    assert [event.course and event.course.word for event in comparison.events] == [Word.SAME, Word.SAME]
    assert comparison.different is False


@pytest.mark.usefixtures("few_listed")
def test_lines_that_ask_for_more_do_so_of_kinds_that_are_not_looked_at(compared: Compared) -> None:
    comparison = of_many(many("within 9 s"), many("within 8 s"), compared)
    assert comparison.word is Word.HARDER
    assert [event.course and event.course.word for event in comparison.events] == [Word.HARDER]
    assert comparison.whole.lost.shown is not None
    assert not comparison.whole.lost.shortest


@pytest.mark.usefixtures("few_listed")
def test_what_is_not_so_of_their_lines_is_not_said_of_them(compared: Compared) -> None:
    comparison = of_many(many("note on go"), many("restart on go, at most once"), compared)
    assert comparison.whole.lost.word is True
    assert comparison.whole.gained.word is None


@pytest.mark.usefixtures("few_listed")
def test_that_a_line_bears_on_nobody_is_so_of_all_kinds(compared: Compared) -> None:
    comparison = of_many(many("within 8 s\n            within 10 s as slower"), many("within 8 s"), compared)
    assert comparison.word is Word.SAME


@pytest.mark.usefixtures("few_listed")
def test_a_condition_that_differs_leaves_kinds_that_are_not_looked_at_open(compared: Compared) -> None:
    old, new = (f"conditions\n    depth at least {least} m\n\n{many()}" for least in (2, 3))
    comparison = of_many(old, new, compared)
    assert comparison.course.word is Word.SAME
    assert [comparison.whole.lost.word, comparison.whole.gained.word] == [True, None]


@pytest.mark.usefixtures("few_listed")
def test_that_nobody_passes_is_not_said_of_kinds_that_are_not_looked_at(compared: Compared) -> None:
    never = many("not before 5 s\n            under 4 s")
    comparison = compared(never, never, (WITH_LENGTH, f'{WITH_LENGTH}    bell "A bell"\n'))
    assert not comparison.candidates.all_kinds
    assert comparison.passed == (None, None)


def test_of_kinds_that_are_not_walked_for_the_lines_are_looked_at_for_each(compared: Compared) -> None:
    """Nobody passes: no length is over 2 m and under 2 m."""
    old, new = (
        many(f"{rule}\n            each of length under 2 m as short") for rule in ("within 8 s", "note on go")
    )
    comparison = compared(old, new, BOTH)
    assert comparison.candidates.all_kinds and len(comparison.candidates.kinds) > 48
    assert comparison.word is Word.SAME
    assert [event.course and event.course.word for event in comparison.events] == [Word.SAME]


def test_for_kinds_that_their_lines_do_not_settle_both_are_walked(compared: Compared) -> None:
    """A knot begins the step anew for those on deck; for the other half of all kinds nothing differs."""
    step = "\n        step ringing\n            only for duty deck\n            until bell\n            {rule}\n"
    bell = f'{WITH_LENGTH}    bell "A bell"\n'
    old, new = (many() + step.format(rule=rule) for rule in ("note on knot", "restart on knot, at most once"))
    comparison = compared(old, new, (bell, bell))
    assert comparison.candidates.all_kinds and len(comparison.candidates.kinds) > 48
    assert comparison.word is Word.HARDER


@pytest.mark.usefixtures("few_listed")
def test_and_a_condition_that_differs_for_them_is_left_open(compared: Compared) -> None:
    old, new = (f"conditions\n    pull at least {share} % of body_mass\n\n{many()}" for share in (2, 3))
    comparison = of_many(old, new, compared)
    assert comparison.course.word is Word.SAME
    assert comparison.whole.gained.word is None


DUTIES = "deck", "bridge", "engine"
SEVERAL = """\
candidate
    duty is one of deck, bridge, engine "A duty"

event drill
    attempts 1
    start on go
    in order both
"""


def several(hits: Sequence[int], within: int) -> str:
    """One step for each duty, of so many hits, then one for all."""
    steps = (
        f"        step for_{duty}\n            only for duty {duty}\n            until {number} hits\n"
        for duty, number in zip(DUTIES, hits, strict=True)
    )
    end = f"        step resting\n            start on go\n            until slip\n            within {within} s\n"
    return SEVERAL + "".join(steps) + end


@pytest.mark.parametrize("hits", [(5, 3, 4), (4, 5, 3), (3, 5, 4)])
def test_the_shortest_log_is_that_of_the_kind_that_needs_fewest_entries(
    hits: tuple[int, int, int], compared: Compared
) -> None:
    """Whichever is looked at first."""
    comparison = compared(several(hits, 9), several(hits, 8))
    assert comparison.word is Word.HARDER
    assert comparison.whole.lost.shortest
    assert lines(comparison.whole.lost) == ["0 go", "1 hit", "2 hit", "3 hit", "4 go", "13 slip"]


def test_a_kind_may_take_more_than_an_equal_share_until_some_are_left_open() -> None:
    kinds = Kinds(1_200, 12)
    assert kinds.share() == 300
    kinds.add(Course(NONE, NONE, NONE))
    kinds.add(Course(UNKNOWN, NONE, NONE))
    assert kinds.share() == 300
    kinds.add(Course(NONE, UNKNOWN, NONE))
    assert kinds.share() == 100
    assert Kinds(1_200, 2).share() == 600
    assert Kinds(1_200, 12, Course(NONE, UNKNOWN, NONE)).share() == 100


def test_what_one_kind_shows_is_known_in_the_next_and_not_called_its_shortest(compared: Compared) -> None:
    shown = compared(several((3, 2, 4), 9), several((3, 2, 4), 8)).whole.lost.shown
    kinds = Kinds(1_200, 2)
    assert kinds.shown("lost") is None
    kinds.add(Course(Claim(shown, True), NONE, UNKNOWN))
    assert kinds.shown("lost") == Claim(shown, True, shortest=False)
    assert kinds.shown("gained") is None


def test_a_kind_of_which_it_is_not_known_whether_any_log_passes_is_left_open() -> None:
    kinds = Kinds(1_200, 12)
    kinds.add_passing(UNKNOWN)
    kinds.add_passing(NONE)
    assert kinds.share() == 300
    kinds.add_passing(UNKNOWN)
    assert kinds.share() == 100


def test_an_amount_may_matter_to_what_is_asked_of_all_of_them_together(compared: Compared) -> None:
    """Nobody of whom 30 kg are half of the mass passes either; of whom 18 kg are, only the old."""
    body = (
        'candidate\n    body_mass in kg "Weighed on the day"\n\nevent drill\n    attempts 1\n    start on go\n'
        "    until load\n    total of load at least 50 % of body_mass\n    each of load at most {most} kg\n"
    )
    assert compared(body.format(most=20), body.format(most=15)).word is Word.HARDER
