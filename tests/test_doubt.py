"""Doubtful times by hand: what a verdict hangs on, a tick before, at and after the doubt with which it does."""

import pytest

from standfast.doubt import weighed
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import Doubt, Firmness, Outcome

HEAD = """\
standard reach "Reach"
    edition "1"
    in force from 2026-01-01

marks
    go "The starter's signal"
    turn "The candidate turns"
    stroke "A stroke"
    touch "The candidate touches the wall"

"""
ONE = HEAD + "event swim\n    attempts 1\n    start on go\n"


def standard(text: str) -> Standard:
    loaded, found = load_standard(Source("reach", text))
    assert loaded is not None, [d.message for d in found]
    return loaded


def micros(seconds: str) -> int:
    whole, _, part = seconds.partition(".")
    return int(whole) * 1_000_000 + int(part.ljust(6, "0") or 0)


def log(told: str, end: str | None = None) -> SessionLog:
    """`0 go, 29.8 touch`: seconds and marks, and whose the entry is where there are several candidates."""
    lines = [each.split() for each in told.split(", ")]
    entries = tuple(
        Entry(number=n, line=n + 1, at=micros(at), mark=mark, candidate=whose[0] if whose else None)
        for n, (at, mark, *whose) in enumerate(lines, 1)
    )
    candidates = tuple(dict.fromkeys(each.candidate for each in entries if each.candidate)) or ("C-1",)
    return SessionLog(
        session="S-1",
        standard="reach",
        edition=None,
        candidates=candidates,
        conditions={},
        entries=entries,
        end=None if end is None else micros(end),
        grader=None,
        started=None,
        digest="",
    )


def doubts(text: str, logged: SessionLog, within: str) -> list[Doubt]:
    machine = compile_standard(standard(text))
    found = [each.doubt for each in weighed(machine, logged, replay(machine, logged), micros(within))]
    return [each for each in found if each is not None]


def told(text: str, logged: SessionLog, within: str) -> list[str]:
    """Of the only candidate each close call as `NO-GO 100001: 1 -100000, 2 100001`, else that it stands."""
    (doubt,) = doubts(text, logged, within)
    if doubt.firmness is not Firmness.CLOSE_CALL:
        return [doubt.firmness.value]
    return [
        " ".join(filter(None, (each.outcome.value, each.grade, str(each.least))))
        + ": "
        + ", ".join(f"{shift.entry or 'end'} {shift.by}" for shift in each.shifts)
        for each in doubt.others
    ]


LIMIT = ONE + "    until touch\n    within 30 s\n"


@pytest.mark.parametrize(
    ("touch", "within", "expected"),
    [
        ("29.8", "0.1", ["stands"]),  # 30 s exactly is in time
        ("29.8", "0.100001", ["NO-GO 100001: 1 -100000, 2 100001"]),
        ("30.2", "0.099999", ["stands"]),
        ("30.2", "0.1", ["GO 100000: 1 100000, 2 -100000"]),
        ("30", "0.000001", ["NO-GO 1: 2 1"]),
    ],
)
def test_a_limit_is_as_far_off_as_both_its_ends_can_move(touch: str, within: str, expected: list[str]) -> None:
    assert told(LIMIT, log(f"0 go, {touch} touch"), within) == expected


def test_where_an_entry_lies_in_the_session_means_nothing() -> None:
    assert told(LIMIT, log("7 go, 36.8 touch"), "0.3") == told(LIMIT, log("0 go, 29.8 touch"), "0.3")


def test_the_end_is_a_time_too() -> None:
    text = ONE + "    for 10 s\n"
    assert told(text, log("0 go", end="10.2"), "0.1") == ["stands"]
    assert told(text, log("0 go", end="10.2"), "0.3") == ["UNFINISHED 100001: 1 100000, end -100001"]


def test_entries_of_one_instant_part_in_their_order_only() -> None:
    text = ONE + "    until touch\n    fail on stroke\n    {}"
    assert told(text.format(""), log("0 go, 5 touch, 5 stroke"), "1") == ["stands"]
    assert told(text.format("before 2 turn\n    under 5 s\n"), log("0 go, 4.9 turn, 4.9 touch"), "0.05") == [
        "NO-GO 50000: 1 -50000, 3 50000"
    ]


def test_other_grades_are_other_verdicts_and_other_points_are_not() -> None:
    score = "    until touch\n    score from time\n        at most 20 s gives 3\n        at most 30 s gives 2\n"
    text = ONE + score + "        otherwise gives 1\n\ngrade silver\n    points at least 3\n\ngrade bronze\n"
    text += "    points at least 1\n"
    assert told(text, log("0 go, 19.9 touch"), "0.2") == ["GO bronze 50001: 1 -50000, 2 50001"]
    assert told(text, log("0 go, 29.9 touch"), "0.2") == ["stands"]


def test_a_sum_of_times_is_exact() -> None:
    text = ONE + "    in order both\n        time of away plus time of back at most 30 s\n"
    text += "        step away\n            until turn\n        step pause\n            until stroke\n"
    text += "        step back\n            until touch\n"
    logged = log("0 go, 10 turn, 20 stroke, 39.6 touch")  # 10 s and 19.6 s
    assert told(text, logged, "0.1") == ["stands"]
    (call,) = told(text, logged, "0.2")
    assert call == "NO-GO 100001: 1 -99998, 2 100001, 3 -100001, 4 100001"


def test_a_rate_is_exact() -> None:
    text = ONE + "    until touch\n    rate of stroke at least 60 per min\n"
    logged = log("0 go, 1 stroke, 2 stroke, 2.8 stroke, 3.5 touch")  # two in 1.8 s
    assert told(text, logged, "0.1") == ["stands"]
    assert told(text, logged, "0.11") == ["NO-GO 100001: 2 -100000, 4 100001"]


def test_which_attempt_was_the_best_is_exact() -> None:
    text = HEAD + "always\n    time of swim at most 30 s\n    count of stroke in swim at most 0\n\n"
    text += "event swim\n    attempts 2\n    best by time\n    start on go\n    until touch\n"
    logged = log("0 go, 20 touch, 30 go, 31 stroke, 50.4 touch")  # 20 s, and 20.4 s with a stroke
    assert told(text, logged, "0.1") == ["stands"]
    assert told(text, logged, "0.100001") == ["NO-GO 100001: 1 -99998, 2 100001, 3 100001, 5 -100001"]


def test_the_best_by_a_rate_is_exact() -> None:
    text = HEAD + "always\n    count of turn in swim at most 0\n\n"
    text += "event swim\n    attempts 2\n    best by rate of stroke\n    start on go\n    until touch\n"
    first = "0 go, 1 stroke, 2 stroke, 3 stroke, 4 touch, 10 go, "  # two in 2 s
    second = "11 stroke, 12 stroke, 13.1 stroke, 13.5 turn, 14 touch"  # two in 2.1 s, and a turn
    logged = log(first + second)  # of equals the earlier is the best
    assert told(text, logged, "0.025") == ["stands"]
    assert told(text, logged, "0.025001") == ["NO-GO 25001: 2 -24998, 4 25001, 7 25001, 9 -25001"]


def test_what_falls_due_at_one_instant_keeps_its_order() -> None:
    text = HEAD + "event swim\n    attempts 2\n    start on go\n    disqualify on no stroke for over 10 s\n"
    text += "    step away\n        until touch\n        within 10 s\n"
    assert told(text, log("0 go", end="10.5"), "0.1") == ["stands"]


NOTED = ONE + "    {}\n    step away\n        until stroke\n        note on no stroke for over 2 s\n"
NOTED += "    step back\n        until touch\n        {}\n"


@pytest.mark.parametrize(
    ("event", "step", "logged", "expected"),
    [
        ("not before 4.2 s", "within 2.1 s", "0 go, 2 stroke, 4.05 touch", "GO 75000: 1 -75000, 2 25000, 3 75000"),
        (
            "within 4.1 s",
            "not before 2.1 s",
            "0 go, 2.15 stroke, 4.3 touch",
            "GO 100000: 1 100000, 2 -50000, 3 -100000",
        ),
    ],
)
def test_ways_to_one_position_are_all_followed(event: str, step: str, logged: str, expected: str) -> None:
    """With and without the note: each of them alone reaches one of the two."""
    assert told(NOTED.format(event, step), log(logged), "0.1") == [expected]


SUMMED = """
    in order both
        score from time of away plus time of back
            at most 30 s gives 1
            otherwise gives 1
        step away
            until turn
        step pause
            until stroke
        step back
            until touch
    step ashore
        until turn
"""


def test_ways_that_differ_in_a_sum_are_all_followed() -> None:
    """The row that was given is in the end all that tells a sum of 30 s from a longer one."""
    limit = "always\n    time of swim.both.away plus time of swim.both.back at most 30.05 s\n\n"
    text = HEAD + limit + ONE[len(HEAD) :] + SUMMED[1:]
    (call,) = told(text, log("0 go, 10 turn, 20 stroke, 39.98 touch, 50 turn"), "0.05")
    assert call.startswith("NO-GO 17501: ")


def test_each_candidate_of_a_shared_log_has_a_doubt_of_its_own() -> None:
    logged = log("0 go, 29.9 touch C-1, 35 touch C-2")
    first, second = doubts(LIMIT, logged, "0.1")
    assert [shift.entry for shift in first.others[0].shifts] == [1, 2]
    assert (first.firmness, second.firmness) == (Firmness.CLOSE_CALL, Firmness.STANDS)


def test_a_session_that_does_not_count_stands() -> None:
    text = LIMIT.replace("marks\n", 'conditions\n    lookouts at least 2 "Lookouts"\n\nmarks\n')
    assert told(text, log("0 go, 29.9 touch"), "1") == ["stands"]


def test_the_nearest_of_each_other_verdict_is_given() -> None:
    text = ONE + "    step away\n        until touch\n        within 30 s\n    step hold\n        for 10 s\n"
    calls = doubts(text, log("0 go, 29.8 touch", end="39.8"), "0.3")[0].others
    assert [(each.outcome, each.least) for each in calls] == [(Outcome.UNFINISHED, 1), (Outcome.NO_GO, 100_001)]


def test_what_would_take_too_long_is_not_decided(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("standfast.machine.shifting.MOST_STEPS", 1)
    assert told(LIMIT, log("0 go, 29.8 touch"), "1") == ["not decided"]
