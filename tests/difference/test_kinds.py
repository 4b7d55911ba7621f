"""Editions compared for many kinds of candidate."""

from collections.abc import Callable

from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word

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
            each of length at least 110 % of reach
            smallest of length over 2 m
            largest of length under 4 m
        step tying
            only for duty bridge
            until knot
"""
MARKS = """
marks
    go "A signal"
    load in kg "A load"
    length in m "A length"
    knot "A knot"
"""


def test_a_duty_that_came_changes_nothing_for_those_that_both_know(compared: Compared) -> None:
    """However many kinds of candidate there are."""
    old, new = (MANY.format(duties=duties) for duties in ("deck, bridge", "deck, bridge, engine"))
    comparison = compared(old, new, (MARKS, MARKS))
    assert not comparison.candidates.all_kinds
    assert comparison.word is Word.SAME
    assert comparison.different is False
