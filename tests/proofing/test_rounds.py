"""Figures of rounds in proof and in the boundary book: just met and just missed, wherever a line asks for them."""

from collections.abc import Callable

import pytest

from standfast.diagnostic import Diagnostic
from standfast.pipeline import load_standard
from standfast.proofing.book import Book, Page
from standfast.proofing.boundary import boundary_book
from standfast.source import Source
from standfast.verdict import Reason, Verdict

HEAD = """\
standard small "Small"
    edition "1"
    in force from 2026-01-01
marks
    go "The signal"
    again "The second signal"
    made_it names a round "In time"
    short names a round "Not in time"
    hit "A hit"
    slip "A slip"
"""
EVENTS = """
event swim
    attempts 1
    start on go
    within 5 min
    {}
    rounds ladder
        level 1: lap 1 to 3
        level 2: lap 1 to 3
        unmarked rounds are made
        until made_it
        miss on short
        out on 2 misses in a row
event dive
    attempts 1
    start on again
    within 5 min
    rounds pool
        4 rounds
        tries 2
        until hit
        miss on slip
        {}
"""


def book_of(in_swim: str, in_pool: str, before: str = "") -> Book:
    standard, found = load_standard(Source("a.standard", HEAD + before + EVENTS.format(in_swim, in_pool)))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return boundary_book(standard)


def page(book: Book, name: str) -> Page:
    return next(page for page in book.pages if page.name == name)


def broken_by(verdict: Verdict, path: str) -> Reason:
    reasons = [*verdict.reasons, *(r for e in verdict.events for a in e.attempts for r in a.reasons)]
    return next(reason for reason in reasons if reason.path == path)


@pytest.mark.parametrize(
    ("in_swim", "in_pool", "before", "path"),
    [
        ("missed in ladder at most 2", "", "", "swim.missed_in_ladder"),
        ("made in ladder at least 3", "", "", "swim.made_in_ladder"),
        ("furthest in ladder at least level 2 lap 1", "", "", "swim.furthest_in_ladder"),
        ("furthest in ladder under level 2 lap 2", "", "", "swim.furthest_in_ladder"),
        ("made in ladder plus missed in ladder over 3", "", "", "swim.made_in_ladder_plus_missed_in_ladder"),
        ("", "made at least 3", "", "dive.pool.made"),
        ("", "missed at most 0", "", "dive.pool.missed"),
        (
            "",
            "",
            "always\n    made in swim.ladder plus made in dive.pool at least 8\n",
            "always.made_in_ladder_plus_made_in_pool",
        ),
        (
            "",
            "missed at most 4",
            "grade skipper\n    furthest in dive.pool at least round 3\n",
            "grades.skipper.furthest_in_pool",
        ),
    ],
)
def test_a_figure_of_rounds_is_met_to_the_round(in_swim: str, in_pool: str, before: str, path: str) -> None:
    book = book_of(in_swim, in_pool, before)
    kept, broken = page(book, f"{path}.kept"), page(book, f"{path}.broken")
    assert kept.alike and broken.alike
    rows = [*kept.machine.figures, *(f for e in kept.machine.events for a in e.attempts for f in a.figures)]
    assert [row.margin.amount for row in rows if row.path == path] == [0]
    margin = broken_by(broken.machine, path).margin
    assert margin is not None and margin.amount == -1


def test_each_row_of_points_is_just_reached_and_just_short() -> None:
    table = (
        "score from furthest in ladder",
        "        at least level 2 lap 1 gives 3",
        "        at least level 1 lap 2 gives 2",
        "        otherwise gives 1",
    )
    book = book_of("\n".join(table), "missed at most 4")
    points: list[tuple[int, object]] = [
        (score.points, None if score.figure is None else score.figure.amount)
        for page in book.pages
        if page.path == "swim.score"
        for event in page.machine.events
        for attempt in event.attempts
        for score in attempt.scores
    ]
    assert points == [(3, 4), (2, 3), (2, 2), (1, 1)]


def test_a_sum_that_cannot_fail_is_doubted(all_findings: Callable[[str], tuple[Diagnostic, ...]]) -> None:
    least = "always\n    made in swim.ladder plus made in dive.pool at least {}\n"
    for number, doubted in ((2, True), (3, False)):
        swim, pool = "made in ladder at least 1", "made at least 1"
        text = HEAD + least.format(number) + EVENTS.format(swim, pool)
        found = [each for each in all_findings(text) if each.code.number == "D102" and each.span]
        assert [each.span.line for each in found if each.span] == [12] * doubted
