"""Small pairs of editions with what comparing must say of them, worked out by hand."""

from collections.abc import Callable

import pytest

from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.verdict import Outcome

from .conftest import MARKS, lines

Compared = Callable[..., Comparison]

EVENT = """\
event drill
    attempts {attempts}
    start on go
    until {goal}
{rules}"""


def body(rules: str = "", attempts: str = "1", goal: str = "2 hits") -> str:
    return EVENT.format(
        attempts=attempts, goal=goal, rules="".join(f"    {rule}\n" for rule in rules.split("; ") if rule)
    )


BOTH = """\
event drill
    attempts 1
    start on go
    {order} both
        step hitting
            until hit
        step throwing
            until throw
"""

SECOND = """
event second
    attempts 1
    start on throw
    until slip
"""

# What was, what is, the word, the shortest log that is GO under the old alone and under the new alone.
PAIRS = {
    "a tighter limit": (
        body("within 90 s"),
        body("within 80 s"),
        Word.HARDER,
        ["0 go", "81 hit", "82 hit"],
        None,
    ),
    "a minute is sixty seconds": (body("within 1 min"), body("within 60 s"), Word.SAME, None, None),
    "a sentence is wording": (body('within 60 s "late"'), body('within 60 s "too late"'), Word.SAME, None, None),
    "the limit itself": (
        body("within 90 s"),
        body("under 90 s"),
        Word.HARDER,
        ["0 go", "90 hit", "90 hit"],
        None,
    ),
    "fewer asked for": (body(), body(goal="1 hit"), Word.EASIER, None, ["0 go", "1 hit"]),
    "one limit for another": (
        body("within 4 throws"),
        body("within 20 s"),
        Word.MIXED,
        ["0 go", "21 hit", "22 hit"],
        ["0 go", "1 throw", "2 throw", "3 throw", "4 throw", "5 throw", "6 hit", "7 hit"],
    ),
    "a limit that can never act": (
        body("within 90 s"),
        body("within 90 s; no hit for over 100 s"),
        Word.SAME,
        None,
        None,
    ),
    "one attempt more": (
        body("within 10 s"),
        body("within 10 s", attempts="2"),
        Word.EASIER,
        None,
        ["0 go", "11 go", "12 hit", "13 hit"],
    ),
    "time alone passes": (
        "event drill\n    attempts 1\n    start on go\n    for 5 s\n",
        "event drill\n    attempts 1\n    start on go\n    for 6 s\n",
        Word.HARDER,
        ["0 go", "5 end"],
        None,
    ),
    "and at the very instant": (
        "event drill\n    attempts 1\n    start on go\n    for 5 s\n    fail on slip\n",
        "event drill\n    attempts 1\n    start on go\n    for 5 s\n    fail on slip more than once\n",
        Word.EASIER,
        None,
        ["0 go", "1 slip", "5 end"],
    ),
    "a total": (
        body(goal="load totals 40 kg"),
        body(goal="load totals 30 kg"),
        Word.EASIER,
        None,
        ["0 go", "1 load 30 kg"],
    ),
    "a total before a count": (
        BOTH.format(order="in order").replace("until hit", "until load totals 40 kg"),
        BOTH.format(order="in order").replace("until hit", "until load totals 30 kg"),
        Word.EASIER,
        None,
        ["0 go", "1 load 30 kg", "2 throw"],
    ),
    "a greatest total": (
        body("total of load at most 10 kg"),
        body("total of load at most 8 kg"),
        Word.HARDER,
        ["0 go", "1 hit", "2 load 8.000001 kg", "3 hit"],
        None,
    ),
    "a rate": (
        body("rate of throw at least 30 per min"),
        body("rate of throw at least 20 per min"),
        Word.EASIER,
        None,
        ["0 go", "1 throw", "4 throw", "5 hit", "6 hit"],
    ),
    "a value": (
        body(goal="load at least 20 kg"),
        body(goal="load over 20 kg"),
        Word.HARDER,
        ["0 go", "1 load 20 kg"],
        None,
    ),
    "order": (
        BOTH.format(order="in order"),
        BOTH.format(order="in any order"),
        Word.EASIER,
        None,
        ["0 go", "1 throw", "2 hit"],
    ),
    "by one grader each": (
        body(goal="2 hits, once a grader"),
        body(goal="2 hits"),
        Word.EASIER,
        None,
        ["0 go", "1 hit", "2 hit"],
    ),
}


@pytest.mark.parametrize("name", PAIRS)
def test_the_word_and_the_shortest_logs(name: str, compared: Compared) -> None:
    old, new, word, lost, gained = PAIRS[name]
    comparison = compared(old, new)
    assert comparison.word is word
    assert [event.course and event.course.word for event in comparison.events] == [word]
    claims = (comparison.whole.lost, comparison.whole.gained)
    assert [None if claim.shown is None else lines(claim) for claim in claims] == [lost, gained]
    assert all(claim.shortest for claim in claims)


@pytest.mark.parametrize("name", PAIRS)
def test_the_other_way_round_it_is_mirrored(name: str, compared: Compared) -> None:
    old, new, word, _, _ = PAIRS[name]
    assert compared(new, old).word is word.mirrored


@pytest.mark.parametrize("name", PAIRS)
def test_both_editions_bear_out_what_is_shown(name: str, compared: Compared) -> None:
    comparison = compared(*PAIRS[name][:2])
    for claim, go in ((comparison.whole.lost, (True, False)), (comparison.whole.gained, (False, True))):
        if claim.shown is not None:
            assert (claim.shown.old.outcome is Outcome.GO, claim.shown.new.outcome is Outcome.GO) == go


def test_the_same_outcome_for_another_reason(compared: Compared) -> None:
    comparison = compared(
        body("within 9 s; fail on slip"), body("within 9 s; disqualify on slip as gravely; fail on slip")
    )
    assert comparison.word is Word.SAME
    told = comparison.whole.told
    assert lines(told) == ["0 go", "1 slip"]
    assert told.shown is not None
    assert [told.shown.old.outcome, told.shown.new.outcome] == [Outcome.NO_GO, Outcome.NO_GO]


def test_the_order_of_two_faults_is_another_fault_first(compared: Compared) -> None:
    one = compared(body("fail on slip; fail on slip more than once as slips"), body("fail on slip as slips"))
    assert one.word is Word.SAME
    assert one.whole.told.shown is not None


def test_an_event_by_itself_and_in_the_test(compared: Compared) -> None:
    comparison = compared(body("within 9 s") + SECOND, body("within 8 s") + SECOND)
    assert [event.course and event.course.word for event in comparison.events] == [Word.HARDER, Word.SAME]
    assert comparison.word is Word.HARDER
    assert comparison.whole.lost.shortest
    assert lines(comparison.whole.lost) == ["0 go", "9 hit", "9 hit", "10 throw", "11 slip"]


def test_who_passes_an_event_sooner_may_fail_the_next(compared: Compared) -> None:
    """Under the old edition the second event begins at the first `throw`, and `slip` comes too late for it."""
    after = SECOND.replace("until slip", "until slip\n    within 5 s")
    comparison = compared(body(goal="hit") + after, body(goal="2 hits") + after)
    assert [event.course and event.course.word for event in comparison.events] == [Word.HARDER, Word.SAME]
    assert comparison.word is Word.MIXED
    assert lines(comparison.whole.gained) == ["0 go", "1 hit", "2 throw", "8 hit", "9 throw", "10 slip"]


def test_an_entry_says_by_whom_where_another_event_asks_it(compared: Compared) -> None:
    """The mark that begins the second event counts, one a grader, for the edition that is still in the first."""
    rule = "within 3 throws, once a grader"
    comparison = compared(body(rule) + SECOND, body(rule, goal="hit") + SECOND)
    gained = comparison.whole.gained.shown
    assert gained is not None
    assert lines(comparison.whole.gained) == ["0 go", "1 hit", "2 throw", "3 slip"]
    assert [entry.by for entry in gained.old_log.entries] == [None, None, "G-1", None]


def test_time_alone_is_no_entry(compared: Compared) -> None:
    """A second attempt that time alone passes needs no entry beyond its own, though one would do as well."""
    group = """\
event drill
    attempts {attempts}
    start on go
    within 2 s
    any one of ways
        step waiting
            start on throw
            for 1 s
        step calling
            start on go
            until go
"""
    comparison = compared(group.format(attempts=1), group.format(attempts=2))
    assert comparison.word is Word.EASIER
    assert comparison.whole.gained.entries == 3


def test_an_event_that_came_is_not_compared_by_itself(compared: Compared) -> None:
    comparison = compared(body(), body() + SECOND)
    assert [(event.label, event.in_old, event.in_new, event.course is None) for event in comparison.events] == [
        ("drill", True, True, False),
        ("second", False, True, True),
    ]
    assert comparison.word is Word.HARDER
    assert lines(comparison.whole.lost) == ["0 go", "1 hit", "2 hit"]


def test_a_mark_that_came_is_told_apart(compared: Compared) -> None:
    more = f'{MARKS}    answer "An answer"\n'
    comparison = compared(body(), body("at least 1 answer"), (MARKS, more))
    assert comparison.marks.came == ("answer",)
    assert comparison.word is Word.HARDER
    assert comparison.passed == (True, False)


def test_a_mark_that_came_and_is_not_needed_changes_nothing_else(compared: Compared) -> None:
    more = f'{MARKS}    answer "An answer"\n'
    comparison = compared(body(), body("fail on answer"), (MARKS, more))
    assert comparison.word is Word.SAME
    assert comparison.different


def test_a_choice_that_went_is_told_apart(compared: Compared) -> None:
    fewer = MARKS.replace("red, blue", "red")
    comparison = compared(body(goal="knot"), body(goal="knot"), (MARKS, fewer))
    (change,) = comparison.marks.changed
    assert (change.mark, change.old, change.new, change.kind) == ("knot", ("blue",), (), False)
    assert comparison.word is Word.SAME


def test_where_the_bound_is_hit_nothing_is_claimed(compared: Compared) -> None:
    two = [body(rules).replace("attempts 1", "attempts 2") for rules in ("within 9 s", "within 8 s")]
    comparison = compared(*two, most=1)
    assert comparison.word is Word.NOT_DECIDED
    assert comparison.left_open
    assert comparison.whole.gained.word is None


def test_an_edition_is_the_same_as_itself(compared: Compared) -> None:
    comparison = compared(body("within 4 throws"), body("within 4 throws"))
    assert comparison.word is Word.SAME
    assert not comparison.different
    assert not comparison.left_open


def test_amounts_that_begin_to_count_later_are_the_same_until_there_are_any(compared: Compared) -> None:
    """Nothing is hauled before the wait is over, on either side: what is hauled then reaches as much on both."""
    text = """
event drill
    attempts 1
    start on go
    fail on load out of order
    step wait
        for {wait}
        fail on slip
    step haul
        until load totals 50 kg
"""
    comparison = compared(text.format(wait="1 min"), text.format(wait="6 min"))
    assert comparison.word is Word.HARDER
