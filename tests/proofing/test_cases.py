"""Worked cases: each kind of `gives` line, held and failed."""

from typing import Any

import pytest
from attrs import evolve

from standfast.diagnostic import Diagnostic
from standfast.log.entry import SessionLog
from standfast.machine.parts import Machine
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing import cases as proofing
from standfast.proofing.cases import case_findings
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import Outcome, Verdict

RULES = """\
standard water_check "Water check"
    edition "1"
    in force from 2024-03-01

conditions
    lookouts at least 2

marks
    go "The starter's signal"
    bell "A second signal"
    tap "A tap"
    slip "A slip"
    shout "A shout"
    stop_call "Anyone calls stop"

always
    halt on stop_call
    disqualify on shout

event tread "Tread"
    attempts 1
    start on go
    conditions
        buoyancy_aid yes
    step hold
        until 2 taps
        within 1 min
        restart on slip, at most once

event swim "Swim"
    attempts 2
    start on bell
    step reach
        until tap
        note on slip
"""


def standard(*lines: str) -> Standard:
    text = RULES + '\ncase "the case"\n' + "".join(f"    {line}\n" for line in lines)
    loaded, found = load_standard(Source("a.standard", text))
    assert loaded is not None, [(d.code.number, d.message) for d in found]
    return loaded


def findings(*lines: str) -> list[tuple[str, str]]:
    loaded = standard(*lines)
    return [(d.code.number, d.message) for case in loaded.cases for d in case_findings(loaded, case)]


TREAD = ("log tread", "    0:00 go", "    0:10 tap", "    0:20 tap")
SLIPS = ("log tread", "    0:00 go", "    0:10 slip", "    0:15 slip")
SHOUT = ("log", "    0:00 go", "    0:05 shout")
STOP = ("log tread", "    0:00 go", "    0:05 stop_call")
LATE = ("log tread", "    0:00 go", "    1:30 end")
SWIM = ("log swim", "    0:00 bell", "    0:05 slip", "    0:10.5 tap")


@pytest.mark.parametrize(
    "lines",
    [
        (*TREAD, "gives GO"),
        (*TREAD, "gives tread GO"),
        (*SLIPS, "gives NO-GO", "gives tread.hold.slip restarts at 0:10"),
        (*SHOUT, "gives NO-GO", "gives always.shout disqualifies at 0:05"),
        (*STOP, "gives UNFINISHED", "gives always.stop_call halts at 0:05"),
        (*LATE, "gives tread.hold.within fails at 1:00"),
        (*SWIM, "gives swim.reach.slip notes at 0:05", "gives swim.reach begins at 0:00", "gives swim GO"),
        ("log", *TREAD[1:], "    0:30 bell", "    0:40 tap", "gives GO", "gives swim begins at 0:30"),
        ("with lookouts 1", *TREAD, "gives VOID"),
        ("with lookouts 2", "with buoyancy_aid yes", *TREAD, "gives GO"),
        ("with buoyancy_aid no", *TREAD, "gives VOID"),
    ],
)
def test_what_holds_gives_no_finding(lines: tuple[str, ...]) -> None:
    assert findings(*lines) == []


@pytest.mark.parametrize(
    ("lines", "code", "message"),
    [
        ((*TREAD, "gives NO-GO"), "C301", "the verdict is GO, and NO-GO was expected"),
        ((*SLIPS, "gives tread GO"), "C302", "`tread` is NO-GO, and GO was expected"),
        (
            (*SLIPS, "gives tread.hold.slip restarts at 0:15"),
            "C303",
            "`tread.hold.slip` restarts at 0:10, and `restarts at 0:15` was expected",
        ),
        (
            (*SLIPS, "gives tread.hold.slip fails at 0:10"),
            "C303",
            "`tread.hold.slip` restarts at 0:10, and `fails at 0:10` was expected",
        ),
        (
            (*SLIPS, "gives tread.hold.within fails at 1:00"),
            "C304",
            "`tread.hold.within` does nothing here, and `fails at 1:00` was expected",
        ),
        (
            (*SWIM, "gives swim.reach begins at 0:05"),
            "C305",
            "`swim.reach` begins at 0:00, and `begins at 0:05` was expected",
        ),
        (
            ("log", *TREAD[1:], "gives swim begins at 0:20"),
            "C305",
            "`swim` never begins, and `begins at 0:20` was expected",
        ),
        (
            (*TREAD, "gives swim GO"),
            "C306",
            "the log of the case is of `tread` alone, and `swim` belongs to another event",
        ),
    ],
)
def test_what_fails_says_what_happened_instead(lines: tuple[str, ...], code: str, message: str) -> None:
    assert findings(*lines) == [(code, message)]


def only(*lines: str) -> Diagnostic:
    loaded = standard(*lines)
    (found,) = case_findings(loaded, loaded.cases[0])
    return found


def test_the_finding_points_at_its_line() -> None:
    found = only(*TREAD, "gives GO", "gives tread NO-GO")
    assert found.span is not None and found.span.text == "gives tread NO-GO"


@pytest.mark.parametrize(
    ("lines", "help_text"),
    [
        ((*SLIPS, "gives GO"), "what decided: `tread.hold.slip.at_most` fails at 0:15; "),
        (("log tread", "    0:00 go", "gives GO"), "what decided: `tread.hold.goal` is still owed; "),
        (("with lookouts 1", *TREAD, "gives GO"), "what decided: `conditions.lookouts` is not met; "),
        ((*LATE, "gives tread.hold.slip restarts at 0:10"), "what does act: `tread.hold.within` fails at 1:00; "),
        ((*TREAD, "gives tread.hold.within fails at 1:00"), "no clause acts in this case"),
    ],
)
def test_the_help_says_what_decided(lines: tuple[str, ...], help_text: str) -> None:
    assert only(*lines).help.startswith(help_text)


def test_several_candidates_are_judged_each_by_its_own_entries() -> None:
    log = ("log tread", "    0:00 go", "    0:10 tap for A", "    0:20 tap for A", "    1:30 end")
    assert findings(*log, "gives GO for A", "gives NO-GO for B") == []
    assert findings(*log, "gives tread GO for A", "gives tread GO for B") == [
        ("C302", "`tread` of `B` is NO-GO, and GO was expected")
    ]
    assert findings(*log, "gives NO-GO", "gives tread NO-GO for B") == [
        ("C301", "the verdict of `A` is GO, and NO-GO was expected")
    ]


def test_many_happenings_are_cut_short() -> None:
    slips = [f"    0:0{second} slip" for second in range(1, 7)]
    found = findings("log swim", "    0:00 bell", *slips, "gives swim.reach.slip notes at 0:09")
    assert found == [
        (
            "C303",
            "`swim.reach.slip` notes at 0:01, notes at 0:02, notes at 0:03 and 3 more,"
            " and `notes at 0:09` was expected",
        )
    ]


@pytest.mark.parametrize(
    ("change", "gives", "message"),
    [
        ({"outcome": Outcome.VOID}, "gives tread GO", "the grader says VOID, and the definition GO"),
        ({"decided_at": 1}, "gives GO", "both say GO, and their details differ"),
    ],
)
def test_a_grader_that_disagrees_with_the_definition_is_reported(
    change: dict[str, Any], gives: str, message: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def wrong(machine: Machine, log: SessionLog) -> tuple[Verdict, ...]:
        return tuple(evolve(verdict, **change) for verdict in replay(machine, log))

    monkeypatch.setattr(proofing, "replay", wrong)
    found = only(*TREAD, gives)
    assert found.code.number == "C390" and found.message.endswith(message)
    assert "fault of standfast" in found.help
