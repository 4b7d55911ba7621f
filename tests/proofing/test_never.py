"""What can never happen is said of all that cannot, and of nothing that can."""

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
    strap is one of chest, hips, head "A strap is closed"
"""
EVENT = """
event main "Main"
    attempts 1
    start on go
"""


def said(found: tuple[Diagnostic, ...], code: str) -> set[str]:
    return {one.facts.get("words") or one.facts["name"] for one in found if one.code.number == code}


def test_a_rest_that_no_attempt_comes_to_is_idle(all_findings: Findings) -> None:
    rested = EVENT.replace(
        "attempts 1", "attempts 2, rest at least 1 min between, else note, at most 5 min, else fail"
    )
    both = {"rest at least 1 min", "rest at most 5 min"}
    assert said(all_findings(f"{HEAD}{rested}    until touch\n"), "D102") == both
    assert said(all_findings(f"{HEAD}{rested}    until touch\n    within 1 min\n"), "D102") == set()


@pytest.mark.parametrize("fault", ["fail on slip", "halt on slip more than once", "fail on slip more than once"])
def test_a_fault_named_nowhere_else_leads_to_the_rest_between_attempts(fault: str, all_findings: Findings) -> None:
    rested = EVENT.replace("attempts 1", "attempts 2, rest at least 1 min between, else note")
    assert said(all_findings(f"{HEAD}{rested}    {fault}\n    until touch\n"), "D102") == set()


def test_a_halt_leads_to_it_even_where_there_is_one_attempt(all_findings: Findings) -> None:
    rested = EVENT.replace("attempts 1", "attempts 1, rest at least 1 min between, else note")
    assert said(all_findings(f"{HEAD}{rested}    halt on slip\n    until touch\n"), "D102") == set()


def test_a_rest_with_a_start_mark_that_a_limit_forestalls_is_idle(all_findings: Findings) -> None:
    lines = """\
    within 1 min
    step early
        until touch
    rest at most 5 min, else fail
    step later
        start on off
        until touch
"""
    assert said(all_findings(HEAD + EVENT + lines), "D102") == {"rest at most 5 min"}


def test_a_time_to_be_held_that_a_limit_cuts_short_never_comes_about(all_findings: Findings) -> None:
    lines = """\
    any one of ways
        step sit
            start on off
            for 2 min
            within 1 min
        step stand
            start on touch
            for 1 min
"""
    found = all_findings(HEAD + EVENT + lines)
    assert said(found, "D106") == {"for 2 min"}
    assert said(found, "P101") == set()


def test_a_group_that_can_never_be_done_is_told_where_all_in_it_can(all_findings: Findings) -> None:
    lines = """\
    any one of ways
        in order slowly
            start on off
            under 1 min
            not before 2 min
            step sit
                until touch
        step stand
            start on touch
            for 1 min
"""
    assert said(all_findings(HEAD + EVENT + lines), "D106") == {"in order slowly"}


@pytest.mark.parametrize("fault", ["fail on slip out of order", "halt on go", "disqualify on slip"])
def test_a_step_in_which_a_fault_ends_the_attempt_is_not_passed_by_any_log(
    fault: str, all_findings: Findings
) -> None:
    steps = "    step sit\n        for 1 min\n"
    assert said(all_findings(f"{HEAD}{EVENT}{steps}"), "D109") == {"main.sit"}
    assert said(all_findings(f"{HEAD}{EVENT}    {fault}\n{steps}"), "D109") == set()


def test_a_fault_of_a_step_beside_it_can_end_it(all_findings: Findings) -> None:
    lines = """\
    in any order both
        step sit
            for 1 min
        step reach
            until touch
            {}
"""
    assert said(all_findings(HEAD + EVENT + lines.format("note on slip")), "D109") == {"main.both.sit"}
    assert said(all_findings(HEAD + EVENT + lines.format("fail on slip")), "D109") == set()


def test_a_counted_limit_whose_last_mark_is_the_goal_leaves_nothing_to_wait_for(all_findings: Findings) -> None:
    steps = "    step reach\n        until touch\n        within {} touch\n"
    assert said(all_findings(HEAD + EVENT + steps.format(1)), "D112") == set()
    two = steps.format(2).replace("until touch", "until off")
    assert said(all_findings(HEAD + EVENT + two), "D112") == {"within 2 touch"}


ALWAYS = """
always
    within 3 min
"""


def test_a_limit_of_always_runs_on_between_attempts(all_findings: Findings) -> None:
    """The event itself is over before; but a fault on a mark of its own may end an attempt, and time passes."""
    twice = EVENT.replace("attempts 1", "attempts 2")
    steps = "    step sit\n        for 2 min\n"
    assert said(all_findings(HEAD + ALWAYS + EVENT + steps), "D102") == {"within 3 min"}
    assert said(all_findings(f"{HEAD}{ALWAYS}{twice}    fail on slip\n{steps}"), "D102") == set()


def test_a_limit_of_always_is_idle_where_only_an_event_nobody_comes_to_could_break_it(
    all_findings: Findings,
) -> None:
    first = EVENT + "    disqualify on touch\n    until touch\n"
    second = EVENT.replace("main", "second") + "    until off\n"
    always = "\nalways\n    before 2 off\n"
    assert said(all_findings(HEAD + always + first + second), "P101") == {"main"}
    assert "before 2 off" in said(all_findings(HEAD + always + first.replace("touch", "off") + second), "D102")


def test_what_always_asks_at_the_end_is_judged_of_the_whole_test(all_findings: Findings) -> None:
    first = EVENT + "    until touch\n"
    second = EVENT.replace("main", "second") + "    until off\n"
    always = "\nalways\n    at least 1 touch\n"
    assert said(all_findings(HEAD + always + first + second), "D102") == {"at least 1 touch"}


def test_with_carry_on_an_event_whose_attempts_never_end_is_in_the_way(all_findings: Findings) -> None:
    carrying = HEAD.replace("\nmarks", "    carry on\n\nmarks")
    first = EVENT + "    disqualify on touch\n    until touch\n"
    second = EVENT.replace("main", "second") + "    until off\n"
    assert said(all_findings(carrying + first + second), "D104") == {"main"}
    failing = first.replace("disqualify on touch", "fail on touch")
    assert said(all_findings(carrying + failing + second), "D104") == {"main", "second"}


def test_a_mark_out_of_order_does_not_use_other_values(all_findings: Findings) -> None:
    lines = "    fail on strap head out of order\n    step first_two\n        until strap chest or hips\n"
    both = lines + "    step latter\n        until strap head\n"
    assert said(all_findings(HEAD + EVENT + both), "D116") == set()
    wider = HEAD.replace("chest, hips, head", "chest, hips, head, knees")
    assert said(all_findings(wider + EVENT + both), "D116") == {"until strap chest or hips", "until strap head"}
    assert said(all_findings(wider + EVENT + both.replace("strap head out", "strap out")), "D116") == set()
