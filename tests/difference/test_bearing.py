"""What has no bearing on who is GO is left out of both editions before they are held against each other."""

import pytest

from standfast.difference.bearing import alike_for_go, bearing
from standfast.difference.behaviour import compare
from standfast.difference.conditions import Word

from .conftest import edition

TEST = """
always
    within 1 h

event drill
    attempts 2, rest at least 2 min between, else note
    start on go
    within 5 min
    note on slip more than once
    step reach
        until hit
        within 60 s
        within 4 throws
        score from count of throw
            at most 2 gives 3
            otherwise gives 1
    rest at least 20 s, else note
    step keep
        start on hit
        until knot blue
        fail on no knot for over 50 s
"""


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("more than once", "more than twice"),
        ("    note on slip more than once\n", ""),
        ("2 min between", "3 min between"),
        ("at least 20 s", "at least 30 s"),
        ("    rest at least 20 s, else note\n", ""),
        ("gives 3", "gives 4"),
        ("within 60 s", "within 60 s\n        within 90 s as later"),
        ("within 60 s", "within 60 s\n        within 5 throws as many"),
        ("until knot blue", "until knot blue\n        under 6 min"),
        ("within 5 min", "within 5 min as all_of_it"),
    ],
)
def test_such_a_line_makes_no_difference(was: str, now: str) -> None:
    assert was in TEST
    old, new = edition(TEST), edition(TEST.replace(was, now))
    assert alike_for_go(bearing(old), bearing(new))
    assert compare(old, new, 1).word is Word.SAME


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("note on slip", "fail on slip"),
        ("else note\n    start on go", "else disqualify\n    start on go"),
        ("rest at least 20 s, else note", "rest at least 20 s, else fail"),
        ("otherwise gives 1", 'otherwise fails "too many"'),
        ("within 60 s", "within 60 s\n        within 50 s as sooner"),
        ("fail on no knot for over 50 s", "fail on no knot for over 70 s"),
        ("within 1 h", "within 1 h\n    points at least 1"),
        ("start on go", "start on go\n    points in reach at least 2"),
    ],
)
def test_such_a_line_may_make_one(was: str, now: str) -> None:
    assert was in TEST
    old, new = edition(TEST), edition(TEST.replace(was, now))
    assert not alike_for_go(bearing(old), bearing(new))


TIMED = """
always
    within 1 h

event drill
    attempts 2
    start on go
    step keep
        for 6 s
        at least 2 hits
    rest at least 2 s
    in any order both
        step first_part
            for 4 s
        step second_part
            only if begun
            start on slip
            for 9 s
        in order third_part
            step hold
                for 3 s
                restart on slip more than once, at most once
            rest at least 2 s
            step keep_on
                for 1 s
"""


@pytest.mark.parametrize(
    ("was", "line"),
    [
        ("at least 2 hits", "not before 6 s"),
        ("at least 2 hits", "time over 5.9 s"),
        ("at least 2 hits", "time from 3 s to 7 s"),
        ("at least 2 hits", "under 6.1 s"),
        ("in order third_part", "    not before 6 s"),
        ("in any order both", "    not before 6 s"),
        ("start on go", "not before 14 s"),
        ("within 1 h", "not before 14 s"),
    ],
)
def test_a_limit_on_a_time_that_is_always_right_makes_no_difference(was: str, line: str) -> None:
    old, new = edition(TIMED), edition(with_line(was, line))
    assert alike_for_go(bearing(old), bearing(new))
    assert compare(old, new, 1).word is Word.SAME


@pytest.mark.parametrize(
    ("was", "line"),
    [
        ("at least 2 hits", "not before 6.1 s"),
        ("at least 2 hits", "time over 6 s"),
        ("at least 2 hits", "within 6 s"),
        ("at least 2 hits", "under 6 s"),
        ("in order third_part", "    not before 6.1 s"),
        ("in order third_part", "    within 8 s"),
        ("in any order both", "    not before 9 s"),
        ("in any order both", "    within 20 s"),
        ("start on go", "not before 14.1 s"),
        ("within 1 h", "not before 14.1 s"),
    ],
)
def test_a_limit_on_a_time_that_may_be_wrong_stays(was: str, line: str) -> None:
    old, new = edition(TIMED), edition(with_line(was, line))
    assert not alike_for_go(bearing(old), bearing(new))


RATED = """
event drill
    attempts 2
    start on go
    until 10 hits
    rate of hit from 90 per min to 120 per min
    {line}
"""


@pytest.mark.parametrize(
    ("line", "word"),
    [("not before 4.5 s", Word.SAME), ("not before 2 s", Word.SAME), ("not before 4.6 s", Word.HARDER)],
)
def test_a_rate_that_is_not_too_high_takes_its_time(line: str, word: Word) -> None:
    """Ten hits are nine intervals, at most two of them a second."""
    old, new = edition(RATED.format(line="within 1 min")), edition(RATED.format(line=f"within 1 min\n    {line}"))
    assert alike_for_go(bearing(old), bearing(new)) is (word is Word.SAME)
    assert compare(old, new, 2_000).word is word


def test_where_a_rate_need_not_be_there_it_takes_none() -> None:
    """Ten hits at one instant have no rate, and none that is too high."""
    text = RATED.replace("from 90 per min to 120 per min", "at most 120 per min")
    old, new = (
        edition(text.format(line="within 1 min")),
        edition(text.format(line="within 1 min\n    not before 2 s")),
    )
    comparison = compare(old, new, 2_000)
    assert comparison.whole.lost.word is True


@pytest.mark.parametrize(
    ("was", "line"),
    [
        ("at least 2 hits", "no slip for over 6.1 s"),
        ("at least 2 hits", "no slip for 6.1 s or more"),
        ("at least 2 hits", "disqualify on no slip for over 7 s"),
        ("until knot red", "no slip for over 11 s"),
        ("until knot red", "fail on no slip for over 11 s"),
    ],
)
def test_a_silence_longer_than_the_clause_makes_no_difference(was: str, line: str) -> None:
    text = TIMED + "    step last_part\n        within 10 s\n        until knot red\n"
    old, new = edition(text), edition(with_line(was, line, text))
    assert alike_for_go(bearing(old), bearing(new))
    assert compare(old, new, 1).word is Word.SAME


@pytest.mark.parametrize(
    ("was", "line"),
    [
        ("at least 2 hits", "no slip for over 6 s"),
        ("at least 2 hits", "fail on no slip for 6 s or more"),
        ("in order third_part", "    no slip for over 20 s"),
        ("until knot red", "no slip for over 10 s"),
        ("until knot red", "disqualify on no slip for over 11 s"),
        ("until knot red", "halt on no slip for over 11 s, charged"),
        ("within 1 h", "no slip for over 20 s"),
    ],
)
def test_a_silence_that_may_be_so_long_stays(was: str, line: str) -> None:
    text = TIMED + "    step last_part\n        within 10 s\n        until knot red\n"
    old, new = edition(text), edition(with_line(was, line, text))
    assert not alike_for_go(bearing(old), bearing(new))


def test_a_silence_that_gives_a_mark_a_use_stays() -> None:
    text = TIMED.replace("start on go", "start on go\n    fail on throw out of order")
    old, new = edition(text), edition(with_line("at least 2 hits", "no throw for over 7 s", text))
    assert not alike_for_go(bearing(old), bearing(new))


def with_line(was: str, line: str, text: str = TIMED) -> str:
    before, after = text.split(was)
    indent = before.rpartition("\n")[2]
    return f"{before}{was}\n{indent}{line}{after}"


SUMMED = """
event drill
    attempts 2
    {carry_on}start on go
    step first_part
        start on hit
        for 3 s
        {each} 3 kg
    step second_part
        until slip
    smallest of load in first_part plus total of load {test}
"""


def summed(test: str, each: str = "each of load at least", carry_on: str = "") -> str:
    return SUMMED.format(test=test, each=each, carry_on=carry_on)


@pytest.mark.parametrize("each", ["each of load at least", "fail on load under", "restart on load under"])
@pytest.mark.parametrize(("was", "now"), [("at most 2 kg", "under 2 kg"), ("at most 2 kg", "at most 1 kg")])
def test_by_how_much_a_sum_is_too_great_makes_no_difference(was: str, now: str, each: str) -> None:
    old, new = edition(summed(was, each)), edition(summed(now, each))
    assert alike_for_go(bearing(old), bearing(new))
    assert compare(old, new, 1).word is Word.SAME


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (summed("at most 3 kg"), summed("under 3 kg")),
        (summed("at most 2 kg"), summed("at most 4 kg")),
        (summed("at most 2 kg", "largest of load at least"), summed("under 2 kg", "largest of load at least")),
        (summed("at most 2 kg", "fail on load over"), summed("under 2 kg", "fail on load over")),
        (summed("exactly 2 kg"), summed("exactly 1 kg")),
        (summed("at most 2 kg", carry_on="carry on\n    "), summed("under 2 kg", carry_on="carry on\n    ")),
    ],
)
def test_of_a_sum_that_need_not_be_too_great_it_may_make_one(old: str, new: str) -> None:
    assert not alike_for_go(bearing(edition(old)), bearing(edition(new)))


def test_a_note_gives_a_mark_a_use_where_it_is_heard_out_of_order() -> None:
    text = TEST.replace("within 5 min", "within 5 min\n    fail on slip out of order")
    old, new = edition(text), edition(text.replace("    note on slip more than once\n", ""))
    assert not alike_for_go(bearing(old), bearing(new))
    assert compare(old, new).word is not Word.SAME


@pytest.mark.parametrize(
    ("was", "now", "word"),
    [
        ("more than once", "more than twice", False),
        ("at least 20 s, else note", "at least 30 s, else note", False),
        ("gives 3", "gives 4", False),
        ("within 60 s", "within 60 s\n        within 60 s as again", True),
    ],
)
def test_notes_and_points_are_no_reasons(was: str, now: str, word: bool) -> None:
    """Nothing is walked for them; another line that acts is one."""
    text = TEST.replace("within 5 min", "within 5 min\n    carry on")
    comparison = compare(edition(text), edition(text.replace(was, now)), 1 if not word else 2_000)
    assert comparison.word is Word.SAME
    assert comparison.whole.told.word is word
