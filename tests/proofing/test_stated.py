"""Doubts about how clauses stand together: found however deep they stand, and not where they are none."""

from collections.abc import Callable
from textwrap import dedent, indent

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
    bell "A bell"
    knot is one of red, green "A knot"
    load in kg "A load"

event main "Main"
    attempts 1
    start on go
    within 1 h
"""


def codes(all_findings: Findings, lines: str) -> set[str]:
    """Those found in an event with these lines; that marks are left over is nothing to the point."""
    text = HEAD + indent(dedent(lines), "    ")
    return {one.code.number for one in all_findings(text)} - {"D108"}


DEEP = {
    "D111": """
        in any order group
            in order deep
                step early
                    until touch
                    within 10 s
            step beside
                until bell
        """,
    "D113": """
        step early
            until bell
        rest at least 20 s, else fail "too soon"
        any one of ways
            step one_way
                start on off
                until touch
            step second_way
                start on slip
                until touch
        """,
    "D115": """
        in order group
            restart on slip, at most once
            in any order deep
                step early
                    until touch
                    within 10 s
                    accept D111 "meant"
                step beside
                    until bell
        """,
    "D121": """
        in order group
            step early
                until touch
            rest at least 10 s, else note
            in any order deep
                step late
                    until touch
                step beside
                    start on off
                    until bell
        """,
    "D117": """
        step early
            until touch
        in order group
            step held
                for 10 s
                fail on slip
        """,
    "D110": """
        in order group
            start on off
            in any order deep
                step early
                    start on off
                    until touch
                step beside
                    until bell
        """,
}


@pytest.mark.parametrize("code", DEEP)
def test_it_is_found_where_it_stands_deep(code: str, all_findings: Findings) -> None:
    assert code in codes(all_findings, DEEP[code])


@pytest.mark.parametrize("code", ["D111", "D113", "D115", "D117", "D121"])
def test_a_start_mark_answers_it(code: str, all_findings: Findings) -> None:
    waiting = {
        "D111": ("in order deep", "start on off"),
        "D113": ("any one of ways", "start on bell"),
        "D115": ("in order group", "start on off"),
        "D117": ("step held", "start on off"),
        "D121": ("in any order deep", "start on slip"),
    }
    head, start = waiting[code]
    lines = dedent(DEEP[code]).splitlines()
    at = next(number for number, line in enumerate(lines) if line.strip() == head)
    depth = len(lines[at]) - len(lines[at].lstrip()) + 4
    lines.insert(at + 1, " " * depth + start)
    assert code not in codes(all_findings, "\n".join(lines))


def test_a_rest_that_restarts_starts_a_clock_again(all_findings: Findings) -> None:
    lines = """
        in order group
            within 10 min
            step early
                until bell
            rest at least 20 s, else restart "too soon"{at_most}
            step later
                start on off
                until touch
        """
    assert "D115" in codes(all_findings, lines.format(at_most=", at most once"))
    assert "D115" not in codes(all_findings, lines.replace("restart", "restart at once").format(at_most=""))


def test_a_rest_before_a_group_of_which_one_item_begins_at_once_is_a_whole_rest(all_findings: Findings) -> None:
    lines = """
        step early
            until bell
        rest at least 20 s, else fail "too soon"
        in any order group
            step waiting
                start on off
                until touch
            step beginning
                until slip
        """
    assert codes(all_findings, lines) == {"D121"}
    assert codes(all_findings, lines.replace(', else fail "too soon"', "")) == set()


def test_a_rest_between_attempts_that_open_by_themselves_cannot_be_breached(all_findings: Findings) -> None:
    text = (
        f"{HEAD}    until touch\n\nevent later\n    attempts 2, rest at least 1 min between{{}}\n    until bell\n"
    )
    assert "D121" in {one.code.number for one in all_findings(text.format(", else fail"))}
    assert "D121" not in {one.code.number for one in all_findings(text.format(""))}


@pytest.mark.parametrize(
    ("start", "counting", "doubted"),
    [
        ("start on knot red", "note on knot green more than once", False),
        ("start on knot red", "note on knot other than green more than once", True),
        ("start on knot red", "within 4 knots", True),
        ("start on load over 20 kg", "note on load under 10 kg more than once", False),
        ("start on load over 20 kg", "note on load more than once", True),
        ("start with first knot red", "within 4 knots", False),
    ],
)
def test_a_start_mark_that_is_not_counted(
    start: str, counting: str, doubted: bool, all_findings: Findings
) -> None:
    lines = f"step sample\n    {start}\n    until touch\n    {counting}\n"
    assert ("D114" in codes(all_findings, lines)) is doubted


def test_an_event_that_opens_at_the_goal_of_the_one_before(all_findings: Findings) -> None:
    text = HEAD + "    until touch\n\nevent latter\n    attempts 1\n    for 10 s\n    fail on slip\n"
    assert "D117" in {one.code.number for one in all_findings(text)}
    waiting = text.replace("    for 10 s\n", "    start on off\n    for 10 s\n")
    assert "D117" not in {one.code.number for one in all_findings(waiting)}


@pytest.mark.parametrize(
    "lines",
    [
        "note on load from 1 kg to 2000 g",
        "conditions\n    buoy at most 10 lb",
        "note on load over 3 lb",
    ],
)
def test_two_units_of_one_dimension(lines: str, all_findings: Findings) -> None:
    assert "A101" in codes(all_findings, f"{lines}\nuntil touch\n")
    alike = lines.replace("2000 g", "2 kg").replace("lb", "kg")
    assert "A101" not in codes(all_findings, f"{alike}\nuntil touch\n")


@pytest.mark.parametrize(
    ("goal", "fault", "instead"),
    [
        ("at least 5 kg", "fail on load at most 5 kg", "fail on load under 5 kg"),
        ("at least 5 kg", "restart on load from 2 kg to 5000 g", None),
        ("at most 5 kg", "halt on load at least 5 kg", "halt on load over 5 kg"),
        ("over 5 kg", "fail on load at most 5 kg", ""),
        ("at least 5 kg", "fail on load at most 6 kg", ""),
        ("exactly 5 kg", "fail on load from 1 kg to 5 kg", ""),
        ("at least 5 kg", "note on load at most 5 kg", ""),
    ],
)
def test_a_goal_and_a_fault_that_meet_at_one_amount(
    goal: str, fault: str, instead: str | None, all_findings: Findings
) -> None:
    found = all_findings(f"{HEAD}    until load {goal}\n    {fault}\n")
    assert [one.facts.get("instead") for one in found if one.code.number == "D122"] == [instead][: instead != ""]
