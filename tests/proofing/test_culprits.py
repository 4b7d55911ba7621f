"""A rule is named as being in the way only where without it the thing can happen."""

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
    stop "A stop"

always
    halt on stop

event main "Main"
    attempts 1
    start on go
    within {whole}
"""
TOO_SOON = """
    any one of ways
        step sit
            start on off
            until touch
            within 3 min
            not before 4 min
        step stand
            start on slip
            until touch
"""


def named(found: tuple[Diagnostic, ...], code: str) -> list[str | None]:
    return [one.facts.get("culprit") for one in found if one.code.number == code]


def test_a_stop_for_safety_is_not_blamed_for_a_contradiction(all_findings: Findings) -> None:
    assert named(all_findings(HEAD.format(whole="10 min") + TOO_SOON), "D106") == ["main.ways.sit.within"]


def test_one_that_alone_would_help_is_named_and_not_one_that_would_not(all_findings: Findings) -> None:
    assert named(all_findings(HEAD.format(whole="3 min") + TOO_SOON), "D106") == ["main.ways.sit.not_before"]


def test_none_is_named_where_each_of_two_is_in_the_way(all_findings: Findings) -> None:
    lines = """\
    in order both
        within 3 min
        step sit
            until touch
            within 4 min
"""
    found = all_findings(HEAD.format(whole="3 min") + lines)
    assert [one.facts.get("culprit") for one in found if one.facts.get("words") == "within 4 min"] == [None]


def test_a_limit_that_its_own_goal_makes_idle_is_not_blamed_on_the_event(all_findings: Findings) -> None:
    lines = "    until 3 touches\n    within 3 touches\n".replace("touches", "touch")
    assert named(all_findings(HEAD.format(whole="3 min") + lines), "D102") == [None]


def test_the_limit_around_it_is_named_where_it_is_what_comes_first(all_findings: Findings) -> None:
    lines = "    step sit\n        until touch\n        within 4 min\n"
    assert named(all_findings(HEAD.format(whole="3 min") + lines), "D102") == ["main.within"]


def test_of_two_faults_on_one_mark_the_graver_is_named(all_findings: Findings) -> None:
    lines = "    until touch\n    fail on slip\n    fail on stop as stopping\n"
    assert named(all_findings(HEAD.format(whole="3 min") + lines), "D101") == ["always.stop"]


@pytest.mark.parametrize(
    ("least", "name"), [("not before 4 min", "within"), ("at least 2 slips", "at_least_slip")]
)
def test_of_an_event_nobody_passes_what_contradicts_the_rest_is_named(
    least: str, name: str, all_findings: Findings
) -> None:
    found = all_findings(HEAD.format(whole="3 min") + f"    until touch\n    {least}\n    fail on slip\n")
    assert named(found, "P101") == [f"main.{name}"]
