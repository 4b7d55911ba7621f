"""Pairs of small editions: a body for each, the same head."""

from collections.abc import Callable

import pytest

from standfast.difference.behaviour import compare
from standfast.difference.claims import MOST_PAIRS, Claim
from standfast.difference.comparison import Comparison
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source

HEAD = """\
standard drill "Drill"
    edition "{edition}"
    in force from 2026-01-01
"""
MARKS = """
marks
    go "A signal"
    throw "A throw"
    hit "A hit"
    slip "A slip"
    load in kg "A load"
    knot is one of red, blue "A knot"
"""
LONG = """\
event drill
    attempts 1
    start on go
    within 5 min
    in any order gathering
        step hitting
            until 2 hits
            no slip for over 1 min
        step throwing
            until 2 throws
            no go for over 2 min
        step tying
            until 2 knots
            within 3 min
    step resting
        start on go
        until slip
        within {within} s
"""
"""Much that differs in nothing, before a step that may."""


def edition(body: str, name: str = "1", marks: str = MARKS) -> Standard:
    head = HEAD.format(edition=name)
    standard, found = load_standard(Source(f"edition_{name}.standard", f"{head}{marks}\n{body}"))
    assert standard is not None, [diagnostic.message for diagnostic in found]
    return standard


def lines(claim: Claim) -> list[str]:
    """The log that is shown, as a case would have it, times in seconds."""
    assert claim.shown is not None
    log = claim.shown.old_log
    told = [
        f"{entry.at / 1_000_000:g} {entry.mark}{'' if entry.value is None else f' {entry.value}'}"
        for entry in log.entries
    ]
    return [*told, *([] if log.end is None else [f"{log.end / 1_000_000:g} end"])]


@pytest.fixture
def compared() -> Callable[..., Comparison]:
    """Two bodies compared, under marks of their own where these are given."""

    def of(old: str, new: str, marks: tuple[str, str] = (MARKS, MARKS), most: int = MOST_PAIRS) -> Comparison:
        return compare(edition(old, "1", marks[0]), edition(new, "2", marks[1]), most)

    return of
