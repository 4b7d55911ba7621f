"""When the lines alone show that no log is GO under the new edition alone, and when they do not."""

import pytest

from standfast.difference.behaviour import compare
from standfast.difference.conditions import Word
from standfast.difference.stricter import asks_no_less

from .conftest import edition

TEST = """
always
    within 1 h
    fail on no knot for over 9 s

event drill
    attempts 1
    start on go
    fail on slip more than twice
    restart on throw, at most 3 times
    note on hit more than 4 times
    step reach
        until hit
        within 60 s
        at least 2 throws
    step keep
        for 5 s
        at least 1 hit
"""


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("within 60 s", "within 59 s"),
        ("within 60 s", "under 1 min"),
        ("within 1 h", "within 59 min"),
        ("at least 2 throws", "at least 3 throws"),
        ("more than twice", "more than once"),
        ("fail on slip", "disqualify on slip"),
        ("note on hit", "fail on hit"),
        ("restart on throw, at most 3 times", "fail on throw"),
        ("at most 3 times", "at most twice"),
        ("within 60 s", "within 60 s\n        not before 2 s"),
        ("within 60 s", 'within 60 s\n        fail on slip "slipped"'),
    ],
)
def test_lines_that_ask_more(was: str, now: str) -> None:
    old, new = edition(TEST), edition(TEST.replace(was, now))
    assert asks_no_less(old, new) and not asks_no_less(new, old)
    assert compare(old, new, 50).whole.gained.word is False
    assert compare(new, old, 50).whole.lost.word is False


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("attempts 1", "attempts 2"),
        ("attempts 1", "attempts 1\n    carry on\n    halt on load"),
    ],
)
def test_who_fails_sooner_may_begin_sooner_or_be_stopped(was: str, now: str) -> None:
    """A second attempt, or a halt that costs none, can pass after a line that acted in one edition alone."""
    text = TEST.replace(was, now)
    old, new = edition(text), edition(text.replace("within 60 s", "within 50 s"))
    assert not asks_no_less(old, new)
    assert asks_no_less(old, edition(text.replace("within 1 h", "within 50 min")))


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("at least 1 hit", "at least 2 hits"),  # the step waits for the second
        ("over 9 s", "over 8 s"),  # the silence runs out before an attempt is open, and acts on none
        ("more than 4 times", "more than 3 times"),
        ("restart on throw, at most 3 times", "halt on throw"),
        ("fail on slip", "halt on slip"),
        ("restart on throw", "restart at once on throw"),
        ("until hit", "until 2 hits"),
        ("within 60 s", "within 60 s\n        restart on slip"),
    ],
)
def test_lines_that_act_otherwise(was: str, now: str) -> None:
    old, new = edition(TEST), edition(TEST.replace(was, now))
    assert not asks_no_less(old, new)


def test_an_attempt_that_carries_on_is_the_only_one_where_no_halt_gives_it_back() -> None:
    text = TEST.replace("attempts 1", "attempts 1\n    carry on\n    halt on load, charged")
    old, new = edition(text), edition(text.replace("within 60 s", "within 50 s"))
    assert asks_no_less(old, new) and not asks_no_less(new, old)


@pytest.mark.parametrize("more", ["2", "without limit"])
def test_fewer_attempts_ask_for_more(more: str) -> None:
    old, new = edition(TEST.replace("attempts 1", f"attempts {more}")), edition(TEST)
    assert asks_no_less(old, new) and not asks_no_less(new, old)
    shorter = edition(TEST.replace("within 60 s", "within 50 s"))
    assert asks_no_less(old, shorter)
    assert not asks_no_less(edition(TEST), old)


def test_a_use_more_matters_where_a_mark_is_heard_out_of_order() -> None:
    text = TEST.replace("within 60 s", "within 60 s\n        fail on slip out of order")
    came = text.replace("within 60 s", "within 60 s\n        within 9 slips")
    assert not asks_no_less(edition(text), edition(came))
    assert asks_no_less(edition(text), edition(text.replace("within 60 s", "within 59 s")))


def test_a_silence_that_runs_out_before_an_attempt_acts_on_none() -> None:
    text = """
always
    fail on no hit for over 3 s

event drill
    attempts 1
    start on go
    until throw
"""
    comparison = compare(edition(text), edition(text.replace("3 s", "2 s")))
    assert comparison.word is Word.MIXED


BROKEN_OFF = """
always
    halt on throw

event drill
    attempts {attempts}, rest at least 5 s between, else fail
    start on go
    {carry_on}
    halt on slip{charged}
    until 2 hits

event second
    attempts 2
    {start}
    until knot red
"""


def broken_off(effect: str = "halt", attempts: str = "2", **changed: str) -> str:
    lines = {"carry_on": "within 1 h", "charged": "", "start": "start on knot blue"} | changed
    return BROKEN_OFF.format(attempts=attempts, **lines).replace("halt on", f"{effect} on")


@pytest.mark.parametrize("attempts", ["2", "without limit"])
def test_a_halt_that_becomes_a_failure_only_leaves_fewer_attempts(attempts: str) -> None:
    old, new = edition(broken_off("halt", attempts)), edition(broken_off("fail", attempts))
    assert asks_no_less(old, new)
    assert compare(old, new, 50).whole.gained.word is False
    charged = edition(broken_off("halt", attempts, charged=", charged"))
    assert asks_no_less(old, charged)
    assert not asks_no_less(new, old)  # in the second event there are two
    assert asks_no_less(charged, old) is (attempts != "2")


def test_with_any_number_of_attempts_in_all_events_they_are_all_one() -> None:
    texts = [
        broken_off(effect, "without limit").replace("attempts 2", "attempts without limit")
        for effect in ("halt", "fail")
    ]
    old, new = map(edition, texts)
    assert asks_no_less(old, new) and asks_no_less(new, old)
    assert compare(old, new, 50).word is Word.SAME


@pytest.mark.parametrize(
    "changed",
    [
        {"carry_on": "carry on"},
        {"carry_on": "best by count of hit"},
    ],
)
def test_where_more_hangs_on_it_nothing_is_said(changed: dict[str, str]) -> None:
    old, new = (edition(broken_off(effect, **changed)) for effect in ("halt", "fail"))
    assert not asks_no_less(old, new)


def test_where_the_only_attempt_carries_on_a_failure_is_worse() -> None:
    texts = [
        broken_off(effect, "1", carry_on="carry on").replace("attempts 2", "attempts 1")
        for effect in ("halt", "fail")
    ]
    old, new = map(edition, texts)
    assert asks_no_less(old, new) and not asks_no_less(new, old)
    assert compare(old, new, 50).whole.gained.word is False


def test_after_a_failure_an_event_without_a_start_mark_may_begin() -> None:
    texts = [broken_off(effect, start="within 1 min") for effect in ("halt", "fail")]
    old, new = (edition(text.replace(f"always\n    {text.split()[1]} on throw\n", "")) for text in texts)
    assert not asks_no_less(old, new)


def test_of_two_halts_the_deeper_one_may_be_charged_by_then() -> None:
    """One that is charged is no less than one that is not: the other may be asked at the same entry."""
    old = edition(broken_off(charged=", charged"))
    assert not asks_no_less(old, edition(broken_off()))


SCORED = """
always
    points at least 6

event swim
    attempts 2
    start on go
    until hit
    score from time
        under 6 min gives 5
        at most 8 min gives 3
        otherwise gives 1

event float_on
    attempts 2
    start on go
    until throw
    score
        count of slip at least 2 gives 1
        count of knot at least 1 gives 3
        otherwise gives 5
"""


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("gives 3\n        otherwise gives 1", "gives 2\n        otherwise gives 1"),
        ("under 6 min", "under 5 min"),
        ("under 6 min gives 5\n", "under 4 min gives 5\n        under 6 min gives 4\n"),
        ("        under 6 min gives 5\n", ""),
        ("otherwise gives 5", "otherwise gives 4"),
        ("points at least 6", "points at least 7"),
    ],
)
def test_a_score_that_gives_no_more_is_no_easier(was: str, now: str) -> None:
    assert was in SCORED
    old, new = edition(SCORED), edition(SCORED.replace(was, now, 1))
    assert asks_no_less(old, new) and not asks_no_less(new, old)
    assert compare(old, new, 2_000).whole.gained.word is False


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("under 6 min gives 5\n", "under 7 min gives 4\n"),  # more for 6:30
        ("otherwise gives 1", "otherwise fails"),
        ("count of slip at least 2", "count of slip at least 3"),
        ("score from time", "score from time, rounded down to 1 min"),
    ],
)
def test_a_score_that_gives_more_for_something_or_fails_may_be(was: str, now: str) -> None:
    old, new = edition(SCORED), edition(SCORED.replace(was, now, 1))
    assert not asks_no_less(old, new)


@pytest.mark.parametrize(
    "more",
    [
        "points at most 9 as not_too_many",
        "points in swim exactly 5",
        "points in swim plus points in float_on under 9",
    ],
)
def test_where_points_can_be_too_many_fewer_may_be_easier(more: str) -> None:
    text = SCORED.replace("points at least 6", f"points at least 6\n    {more}")
    old, new = edition(text), edition(text.replace("otherwise gives 5", "otherwise gives 4"))
    assert not asks_no_less(old, new)


def test_where_a_clause_asks_for_points_fewer_may_be_easier() -> None:
    text = SCORED.replace("    until throw\n", "    until throw\n    points over 2\n")
    old, new = edition(text), edition(text.replace("otherwise gives 5", "otherwise gives 4"))
    assert not asks_no_less(old, new)
