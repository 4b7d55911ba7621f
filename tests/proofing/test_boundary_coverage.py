"""What a worked case touches."""

import pytest

from standfast.pipeline import load_standard
from standfast.proofing.coverage import touched, tried
from standfast.source import Source

RULES = """\
standard small "Small"
    edition "1"
    in force from 2026-01-01

conditions
    guards at least 2

marks
    go "The signal"
    hit "A hit"
    slip "A slip"
    bell "A bell"
    shout "A shout"

always
    within 10 min
    disqualify on shout

event swim
    attempts 2, rest at least 1 min between, else note
    start on go
    in order course
        restart on slip, at most once
        step reach
            until 2 hits
            within 90 s
            within 3 bells
            fail on bell more than 5 times
            no bell for over 1 min
        rest at least 20 s, else fail
        step back
            until hit

"""

WAY = {"swim", "swim.start", "swim.course", "swim.course.reach"}
REACHED = {"swim.course.reach.goal", "swim.course.reach.within", "swim.course.reach.no_bell"}
BELLS = {"swim.course.reach.within_bell", "swim.course.reach.bell"}
BACK = {"swim.course.back", "swim.course.back.rest", "swim.course.back.goal"}


def touches(*log: str, first: str = "log swim", given: str = "") -> set[str]:
    case = "".join(f"        {line}\n" for line in log)
    text = f'{RULES}case "the case"\n{given}    {first}\n{case}    gives UNFINISHED\n'
    standard, found = load_standard(Source("a.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return {one.path for one in touched(standard) if one.cases == ("the case",)}


@pytest.mark.parametrize(
    ("log", "expected"),
    [
        (("0:00 go",), WAY),
        (("0:00 go", "0:10 hit", "0:20 hit"), WAY | REACHED),
        (("0:00 go", "0:10 bell", "0:20 hit", "0:30 hit"), WAY | REACHED | BELLS),
        (
            ("0:00 go", "0:10 hit", "0:20 hit", "0:40 end"),
            WAY | REACHED | {"swim.course.back", "swim.course.back.rest"},
        ),
        (("0:00 go", "0:05 slip"), WAY | {"swim.course.slip"}),
        (("0:00 go", "0:05 slip", "0:06 slip"), WAY | {"swim.course.slip", "swim.course.slip.at_most"}),
        (("0:00 go", "0:40 bell", "1:30.000001 end"), WAY | {"swim.course.reach.within"}),
        (("0:00 go", "1:00.000001 end"), WAY | {"swim.course.reach.no_bell"}),
        (("0:00 shout",), {"always.shout"}),
    ],
)
def test_a_clause_is_touched_by_what_happens_to_it(log: tuple[str, ...], expected: set[str]) -> None:
    assert touches(*log) == expected


def test_a_restart_kept_is_touched_only_if_there_was_one() -> None:
    way = ("0:00 go", "0:01 hit", "0:02 hit", "0:30 hit")
    assert "swim.course.slip.at_most" not in touches(*way)
    assert "swim.course.slip.at_most" in touches("0:00 go", "0:00 slip", *way[1:])


def test_a_go_touches_what_always_limits_and_a_new_attempt_its_rest() -> None:
    failed = ("0:00 go", "1:00.000001 hit", "3:00 go", "3:01 hit", "3:02 hit", "3:22 hit")
    found = touches(*failed, first="log")
    assert {"always.within", "swim.rest_between", "swim.course.reach.no_bell"} | BACK <= found


def test_a_condition_is_touched_by_the_fact_that_states_it() -> None:
    assert "conditions.guards" not in touches("0:00 go")
    assert "conditions.guards" in touches("0:00 go", given="    with guards 2\n")


def test_a_case_that_fails_is_told_with_its_finding() -> None:
    text = RULES + 'case "wrong"\n    log swim\n        0:00 go\n    gives GO\n'
    standard, _ = load_standard(Source("a.standard", text))
    assert standard is not None
    (case,) = tried(standard)
    assert (case.title, case.holds) == ("wrong", False) and case.findings[0].code.number == "C301"
