"""What lets an attempt go on for ever: restarts without a number, and marks that put every deadline off."""

from collections.abc import Callable

import pytest

from standfast.diagnostic import Diagnostic

Findings = Callable[[str], tuple[Diagnostic, ...]]

HEAD = """\
standard sample "Sample"
    edition "1"
    in force from 2026-03-01

marks
    go "A signal"
    off "Another signal"
    touch "A touch"
    slip "A slip"
    call "A call"

event main "Main"
    attempts 1
    start on go
"""
HELD = """\
    step hold
        for 10 s
        restart at once on slip
"""
WAIT = """\
    step wait
        until touch
"""


def going_round(found: tuple[Diagnostic, ...]) -> set[str]:
    return {one.facts["words"] for one in found if one.code.number == "D105"}


def test_a_restart_goes_round_also_after_a_step_that_may_wait_for_ever(all_findings: Findings) -> None:
    assert going_round(all_findings(HEAD + WAIT + HELD)) == {"restart at once on slip"}
    assert going_round(all_findings(HEAD + HELD + WAIT)) == {"restart at once on slip"}


def test_a_restart_of_a_step_that_may_wait_for_ever_goes_round_as_well(all_findings: Findings) -> None:
    found = all_findings(f"{HEAD}{WAIT}        restart on slip\n")
    assert going_round(found) == {"restart on slip"}
    assert "D104" in {one.code.number for one in found}


@pytest.mark.parametrize("bound", ["    within 1 min\n", "    before 3 slips\n"])
def test_what_bounds_the_clause_around_bounds_its_restarts(bound: str, all_findings: Findings) -> None:
    assert going_round(all_findings(HEAD + bound + HELD)) == set()


def test_a_circle_in_which_no_time_passes_is_none(all_findings: Findings) -> None:
    """However often it is begun again at one instant, the time limit around it comes."""
    assert going_round(all_findings(f"{HEAD}    under 1 s\n{WAIT}        restart at once on slip\n")) == set()


def test_a_rest_that_restarts_its_group_goes_round(all_findings: Findings) -> None:
    lines = """\
    in order both
        step early
            until touch
            within 1 min
        rest at least 20 s, else restart, at most 1 min, else fail
        step later
            start on off
            until touch
            within 1 min
"""
    (one,) = (one for one in all_findings(HEAD + lines) if one.code.number == "D105")
    assert one.facts["words"] == "rest at least 20 s"


def test_a_mark_puts_a_silence_off_for_ever(all_findings: Findings) -> None:
    silence = "    no call for over 30 s\n"
    assert going_round(all_findings(HEAD + silence + WAIT)) == {"until touch"}
    waiting = "    in order both\n        start on off\n        step sit\n            for 1 min\n"
    assert going_round(all_findings(HEAD + silence + waiting)) == {"start on off"}


def test_two_silences_of_one_mark_each_put_off_are_no_circle_where_the_mark_ends_the_attempt(
    all_findings: Findings,
) -> None:
    lines = "    no call for over 30 s\n    fail on call more than 3 times\n"
    assert going_round(all_findings(HEAD + lines + WAIT)) == set()


def test_a_restart_that_a_silence_needs_is_no_other_circle(all_findings: Findings) -> None:
    """The goal is put off only together with the restart, which is reported."""
    lines = """\
    no call for over 30 s
    step wait
        until 2 calls
        restart on call more than once
"""
    assert going_round(all_findings(HEAD + lines)) == {"restart on call more than once"}


def test_the_log_restarts_and_time_passes(all_findings: Findings) -> None:
    (one,) = (one for one in all_findings(HEAD + HELD) if one.code.number == "D105")
    times = [line.split()[0] for line in one.log[1:]]
    assert len(times) > 2
    assert times[-1] != times[0]
