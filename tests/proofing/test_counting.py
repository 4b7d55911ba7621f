"""Proof and boundary book where it matters whose entries are counted, and where duties may arise."""

from collections.abc import Callable

import pytest

from standfast.diagnostic import Diagnostic
from standfast.machine.compile import compile_standard
from standfast.machine.explore import Explorer
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.book import Book
from standfast.proofing.boundary import boundary_book
from standfast.proofing.survey import surveyed
from standfast.source import Source

Findings = Callable[[str], tuple[Diagnostic, ...]]

HEAD = """\
standard small "Small"
    edition "1"
    in force from 2026-01-01

marks
    go "The signal"
    hit "A hit"
    slip "A slip"
    light is one of white, red "A light of the panel"

event drill
    attempts 1
    start on go
"""


def standard_of(*lines: str) -> Standard:
    standard, found = load_standard(Source("a.standard", HEAD + "\n".join(f"    {line}" for line in lines) + "\n"))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def logs_of(book: Book) -> dict[str, tuple[str, ...]]:
    """The lines of each page, and that both programs graded it alike."""
    assert all(page.alike for page in book.pages)
    assert book.findings == ()
    return {page.name: page.lines for page in book.pages}


def test_each_light_of_a_log_is_by_a_grader_of_its_own() -> None:
    panel = standard_of(
        "within 1 min", "until 2 light white, once a grader", "fail on light red more than once, once a grader"
    )
    logs = logs_of(boundary_book(panel))
    assert logs["drill.light.broken"] == ("0:00 go", "0:01 light red by G-1", "0:02 light red by G-2")
    assert logs["drill.goal.reached"] == ("0:00 go", "0:01 light white by G-1", "0:02 light white by G-2")
    assert logs["drill.goal.short"] == ("0:00 go", "0:01 light white by G-1")
    assert logs["drill.goal.short_2"] == ("0:00 go", "0:01 light white by G-1", "0:02 light white by G-1")
    assert logs["drill.light.spared"] == ("0:00 go", "0:01 light red by G-1", "0:02 light red by G-1")


def test_a_grader_who_was_counted_may_come_again_where_that_is_the_only_way() -> None:
    """No log has a second light of a third grader: the lines before the fault take all but those counted."""
    lines = ("within 1 min", "until 2 light white, once a grader", "fail on light white out of order as again")
    logs = logs_of(boundary_book(standard_of(*lines)))
    assert logs["drill.again.triggered"] == ("0:00 go", "0:01 light white by G-1", "0:02 light white by G-1")


def test_a_second_candidate_comes_in_where_one_alone_cannot_break_it() -> None:
    lines = ("within 1 min", "disqualify on slip more than once, by anyone", "until slip")
    logs = logs_of(boundary_book(standard_of(*lines)))
    assert logs["drill.slip.broken"] == ("0:00 go for C-1", "0:01 slip for C-2", "0:02 slip for C-1")
    assert logs["drill.slip.kept"] == ("0:00 go", "0:01 slip")


def test_a_start_that_is_counted_has_both_its_sides() -> None:
    lines = (
        "within 1 min",
        "step wait",
        "    start on slip more than twice, once a grader",
        "    until hit",
    )
    logs = logs_of(boundary_book(standard_of(*lines)))
    assert [line.partition(" ")[2] for line in logs["drill.wait.start.reached"]] == [
        "go",
        "slip by G-1",
        "slip by G-2",
        "slip by G-3",
    ]
    assert logs["drill.wait.start.short"] == logs["drill.wait.start.reached"][:-1]


_DUTY = (
    "in any order work",
    "    step main",
    "        until hit",
    "        within 1 min",
    "    step mend",
    "        only if begun",
    "        start on slip",
    "        until light white",
)


def test_a_duty_that_has_not_arisen_is_not_waited_for(all_findings: Findings) -> None:
    def waits_for_ever(*lines: str) -> list[str]:
        text = HEAD + "\n".join(f"    {line}" for line in lines) + "\n"
        return [d.facts["name"] for d in all_findings(text) if d.code.number == "D104"]

    assert waits_for_ever(*_DUTY) == ["drill.work.mend"]  # for its goal, once it has begun
    assert waits_for_ever(*_DUTY, "        within 1 min") == []
    always_owed = [line for line in (*_DUTY, "        within 1 min") if "only if begun" not in line]
    assert waits_for_ever(*always_owed) == ["drill.work.mend"]  # for its start


@pytest.mark.parametrize("number", [2, 5, 9])
def test_positions_do_not_grow_with_graders_who_are_alike(number: int) -> None:
    """A note on each grader after the first few: any number of graders, finitely many positions."""
    lines = (f"note on slip more than {number} times, once a grader", "until hit")
    explorer = Explorer(compile_standard(standard_of(*lines)))
    assert len(list(explorer.nodes())) > 2
    assert explorer.visited <= number + 6
    assert surveyed(standard_of(*lines)).undecided == set()
