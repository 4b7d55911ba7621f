"""What is contradicted in an event too large to be looked through, told from its text."""

from collections.abc import Callable

import pytest

from standfast.diagnostic import Diagnostic
from standfast.proofing import survey

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

event main "Main"
    attempts 1
    start on go
    within 10 min
    fail on off
    fail on slip
"""


@pytest.fixture(autouse=True)
def too_large(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(survey, "MOST_POSITIONS", 0)


def told(found: tuple[Diagnostic, ...]) -> list[tuple[str, str]]:
    return [(one.code.number, one.facts["culprit"]) for one in found if "culprit" in one.facts]


@pytest.mark.parametrize(
    ("goal", "least", "most"),
    [
        ("until touch", "not before 3 min", "within 2 min"),
        ("until touch", "not before 2 min", "under 2 min"),
        ("for 3 min", "", "under 2 min"),
    ],
)
def test_one_clause_that_contradicts_itself(goal: str, least: str, most: str, all_findings: Findings) -> None:
    lines = "".join(f"        {line}\n" for line in (goal, least, most) if line)
    word = most.split()[0]
    assert told(all_findings(f"{HEAD}    step sit\n{lines}")) == [("P101", f"main.sit.{word}")]


@pytest.mark.parametrize(
    ("goal", "least", "most"),
    [
        ("until touch", "not before 2 min", "within 2 min"),
        ("for 2 min", "not before 2 min", "under 2 min"),
        ("until touch", "not before 1 min", "under 2 min"),
    ],
)
def test_one_that_can_just_be_met(goal: str, least: str, most: str, all_findings: Findings) -> None:
    lines = "".join(f"        {line}\n" for line in (goal, least, most))
    assert told(all_findings(f"{HEAD}    step sit\n{lines}")) == []


def test_the_limit_of_a_clause_around_it(all_findings: Findings) -> None:
    sit, reach = "        step sit\n            for 11 min\n", "        step reach\n            until touch\n"
    assert told(all_findings(f"{HEAD}    in any order both\n{sit}{reach}")) == [("P101", "main.within")]


def test_the_limit_of_the_whole_test(all_findings: Findings) -> None:
    always = HEAD.replace("event main", "always\n    within 2 min\n\nevent main")
    found = all_findings(f"{always}    step sit\n        until touch\n        not before 3 min\n")
    assert told(found) == [("P101", "always.within")]


def test_where_there_is_a_choice_only_the_one_way_is_doubted(all_findings: Findings) -> None:
    lines = """\
    any one of ways
        step sit
            start on touch
            for 11 min
        step reach
            start on slip
            until touch
"""
    assert told(all_findings(HEAD + lines)) == [("D106", "main.within")]
