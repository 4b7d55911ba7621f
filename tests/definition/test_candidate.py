"""The candidate's facts, rules 36, 37 and 43: the definition, and the grader beside it."""

from collections.abc import Callable
from textwrap import dedent, indent

import pytest

from standfast.definition import judge
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_standard
from standfast.proofing.cases import case_log
from standfast.source import Source
from standfast.verdict import Verdict

HEAD = """\
standard check "A check"
    edition "1"
    in force from 2026-01-01
candidate
    mass in kg "Weighed"
    reach in m
    duty is one of deck, bridge, engine
    wind is a heading "Read off the vane"
    age is a number "Whole years"
marks
    go "The signal"
    load in kg "A load"
    line in m "Line recovered"
    steered is a heading "A course called"
    hit "A hit"
    turn "A turn"
"""

Judge = Callable[..., Verdict]


@pytest.fixture
def judged() -> Judge:
    """One candidate's verdict, on which both programs agree."""

    def verdict(rules: str, log: str, given: str = "") -> Verdict:
        case = indent(dedent(given), "    ") + "    log\n" + indent(dedent(log), " " * 8) + "    gives VOID\n"
        standard, found = load_standard(Source("check.standard", f'{HEAD}{dedent(rules)}\ncase "one"\n{case}'))
        assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
        return agreed(standard, case_log(standard, standard.cases[0]))

    return verdict


def agreed(standard: Standard, log: SessionLog) -> Verdict:
    by_definition = judge(standard, log)
    assert grade(standard, log) == by_definition
    return by_definition[0]


def acted(verdict: Verdict) -> list[tuple[str, str, str, str]]:
    """Of each reason the kind, the path, figure and margin."""
    attempts = [attempt for event in verdict.events for attempt in event.attempts]
    reasons = [*(reason for attempt in attempts for reason in attempt.reasons), *verdict.reasons]
    return [(r.kind.value, r.path, str(r.figure or ""), str(r.margin or "")) for r in reasons]


LIFT = """\
event lift
    attempts 1
    start on go
    until hit
    {}
"""


@pytest.mark.parametrize(
    ("fault", "stated", "value", "figure"),
    [
        ("fail on load under 5 % of mass", "mass 80 kg", "3.999999 kg", ("3.999999 kg", "-0.000001 kg")),
        ("fail on load under 5 % of mass", "mass 80 kg", "4 kg", None),
        ("fail on load at least 5 % of mass", "mass 80 kg", "4 kg", ("4 kg", "0 kg")),
        ("fail on load over 7.5 % of mass", "mass 80 kg", "6.000001 kg", ("6.000001 kg", "-0.000001 kg")),
        ("fail on load exactly 5 % of mass", "mass 176.369809 lb", "4 kg", None),
        ("fail on load from 4 % to 5 % of mass", "mass 80 kg", "3.2 kg", ("3.2 kg", "0 kg")),
        ("fail on load from 4 % to 5 % of mass", "mass 80 kg", "3.199999 kg", None),
        ("fail on line over 50 % of reach", "reach 10 ft", "1.524 m", None),
        ("fail on line over 50 % of reach", "reach 10 ft", "1.524001 m", ("1.524001 m", "-0.000001 m")),
        ("fail on line within 1 ft of reach", "reach 10 ft", "9 ft", ("9 ft", "0 ft")),
        ("fail on line within 1 ft of reach", "reach 10 ft", "10.5 ft", ("10.5 ft", "-0.5 ft")),
        ("fail on line within 1 ft of reach", "reach 10 ft", "8.999999 ft", None),
        ("fail on line within 1 ft of reach", "reach 10 ft", "11.000001 ft", None),
        ("fail on line within 11 ft of reach", "reach 10 ft", "0 ft", ("0 ft", "-1 ft")),
        ("fail on steered within 10 deg of wind", "wind 2 deg", "355 deg", ("355 deg", "-3 deg")),
        ("fail on steered within 10 deg of wind", "wind 2 deg", "352 deg", ("352 deg", "0 deg")),
        ("fail on steered within 10 deg of wind", "wind 2 deg", "351 deg", None),
        ("fail on steered within 10 deg of wind", "wind 2 deg", "12 deg", ("12 deg", "0 deg")),
        ("fail on steered within 10 deg of wind", "wind 359.5 deg", "9.5 deg", ("9.5 deg", "0 deg")),
        ("fail on steered within 10 deg of wind", "wind 359.5 deg", "9.500001 deg", None),
        ("fail on steered within 170 deg of wind", "wind 0 deg", "180 deg", None),
        ("fail on steered within 170 deg of wind", "wind 0 deg", "190 deg", ("190 deg", "0 deg")),
        ("fail on steered over 350 deg", "wind 0 deg", "5 deg", None),
    ],
)
def test_a_value_at_and_beside_its_bound(
    judged: Judge, fault: str, stated: str, value: str, figure: tuple[str, str] | None
) -> None:
    mark = fault.split()[2]
    verdict = judged(LIFT.format(fault), f"0:00 go\n0:01 {mark} {value}\n", f"with {stated}\n")
    assert acted(verdict) == ([] if figure is None else [("fail", f"lift.{mark}", *figure)])


DUTIES = """\
conditions
    spare at least 10 % of mass
    depth at least 50 % of reach
event first_one
    attempts 1
    start on go
    step lift
        only for duty bridge or engine
        until load at least 5 % of mass
    rest at least 10 s, else fail
    step call
        start on turn
        until hit
    rest at least 20 s, else note
    step haul
        only for duty deck
        start on turn
        until line at least 50 % of reach
event second_one
    only for duty bridge
    attempts 1
    start on turn
    until steered within 5 deg of wind
"""
FACTS = "with mass 80 kg\nwith reach 4 m\nwith duty {}\nwith wind 90 deg\n"
ALL = FACTS + "with spare 8 kg\nwith depth 2 m\n"


def test_what_is_for_others_is_not_in_the_test(judged: Judge) -> None:
    log = "0:00 go\n0:05 turn\n0:10 hit\n0:20 load 5 kg\n"
    deck = judged(DUTIES, log + "0:30 turn\n0:40 line 2 m\n", ALL.format("deck"))
    assert (deck.outcome.value, acted(deck)) == ("GO", [])
    assert [event.label for event in deck.events] == ["first_one"]
    # The rest before `call` has no item before it, so it falls away; the load is of no use.
    assert [remark.entry for remark in deck.remarks] == [4]
    log = "0:00 go\n0:01 load 4 kg\n0:05 turn\n"
    assert acted(judged(DUTIES, log, ALL.format("engine"))) == [("fail", "first_one.call.rest", "4 s", "-6 s")]
    log = "0:00 go\n0:01 load 4 kg\n0:11 turn\n0:12 hit\n"
    engine = judged(DUTIES, log, ALL.format("engine"))
    assert (engine.outcome.value, acted(engine)) == ("GO", [])
    bridge = judged(DUTIES, log + "0:13 turn\n0:14 steered 94 deg\n", ALL.format("bridge"))
    assert [(event.label, event.outcome.value) for event in bridge.events] == [
        ("first_one", "GO"),
        ("second_one", "GO"),
    ]


@pytest.mark.parametrize(
    ("stated", "wanting"),
    [
        ("", ["mass", "reach", "duty"]),
        ("with duty deck\n", ["mass", "reach"]),
        ("with duty bridge\nwith mass 80 kg\nwith reach 4 m\n", ["wind"]),
        ("with duty engine\nwith mass 80 kg\nwith reach 4 m\n", []),
        ("with mass 80 kg\nwith reach 4 m\nwith wind 0 deg\n", ["duty"]),
    ],
)
def test_what_is_needed_and_not_stated_makes_the_test_void(judged: Judge, stated: str, wanting: list[str]) -> None:
    verdict = judged(DUTIES, "0:00 go\n0:01 hit\n9:00 end\n", stated)
    assert acted(verdict)[: len(wanting)] == [("not stated", f"candidate.{name}", "", "") for name in wanting]
    if wanting:
        assert (verdict.outcome.value, verdict.decided_at) == ("VOID", None)
        assert [(event.label, event.outcome.value) for event in verdict.events] == [
            ("first_one", "NOT BEGUN"),
            ("second_one", "NOT BEGUN"),
        ]
        assert (verdict.remarks, verdict.owed) == ((), ())


def test_conditions_that_wait_for_no_fact_are_told_all_the_same(judged: Judge) -> None:
    verdict = judged(DUTIES, "0:00 go\n", "with reach 4 m\nwith duty deck\nwith depth 1.5 m\nwith spare 1 kg\n")
    assert acted(verdict) == [
        ("not stated", "candidate.mass", "", ""),
        ("unmet", "conditions.depth", "1.5 m", "-0.5 m"),
    ]
    verdict = judged(DUTIES, "0:00 go\n", FACTS.format("deck") + "with depth 2 m\nwith spare 7.9 kg\n")
    assert acted(verdict)[-1] == ("unmet", "conditions.spare", "7.9 kg", "-0.1 kg")


def test_each_candidate_is_judged_by_facts_of_their_own() -> None:
    text = f"""{HEAD}
event lift
    attempts 1
    start on go
    until load at least 5 % of mass
case "two"
    with mass 80 kg for C-1
    with mass 90 kg for C-2
    log
        0:00 go
        0:01 load 4 kg
    gives GO for C-1
    gives UNFINISHED for C-2
"""
    standard, _ = load_standard(Source("check.standard", text))
    assert standard is not None
    log = case_log(standard, standard.cases[0])
    assert grade(standard, log) == judge(standard, log)
    assert [verdict.outcome.value for verdict in grade(standard, log)] == ["GO", "UNFINISHED"]


BANDS = """
event run
    attempts 1
    start on go
    step legs
        until hit
        score from time for age under 30
            at most 10 s gives 3
            otherwise fails "too slow at that age"
        score from time for age from 30 to 39
            at most 11 s gives 2
            otherwise gives 1
        score for age at least 40
            otherwise gives 4
    step again
        until hit
        score for mass under 80 kg
            otherwise gives 10
        score for mass from 80 kg to 90 kg
            otherwise gives 20
        score for mass over 90 kg
            otherwise gives 30
        points at least 20 "a floor"
"""


@pytest.mark.parametrize(
    ("age", "mass", "points", "reason"),
    [
        (29, "80 kg", None, "run.legs.score_age_under_30"),
        (30, "80 kg", 22, None),
        (39, "90 kg", 22, None),
        (40, "90.000001 kg", 34, None),
        (40, "79.999999 kg", None, "run.again.points"),
    ],
)
def test_each_candidate_has_the_points_of_one_table(
    judged: Judge, age: int, mass: str, points: int | None, reason: str | None
) -> None:
    given = f"with age {age}\nwith mass {mass}\n"
    verdict = judged(BANDS, "0:00 go\n0:10.5 hit\n0:20 hit\n", given)
    assert (verdict.points, [path for _, path, _, _ in acted(verdict)]) == (
        points,
        [] if reason is None else [reason],
    )


def test_a_band_whose_fact_is_not_stated_makes_the_test_void(judged: Judge) -> None:
    verdict = judged(BANDS, "0:00 go\n", "with mass 80 kg\n")
    assert (verdict.outcome.value, acted(verdict)) == ("VOID", [("not stated", "candidate.age", "", "")])
