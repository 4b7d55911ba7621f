"""Where a mistake can be planted, and the words for it."""

from collections.abc import Iterable
from random import Random
from typing import TypeVar

from standfast.model.rules import (
    FigureKind,
    Limit,
    Pattern,
    Rule,
    Silence,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause
from standfast.proofing.slices import is_time_limit
from standfast.quantity import Quantity
from trials.manuscript import Line, Manuscript

Mistake = tuple[str, Line | None]
"""The code that must come of it, and the line it points at (None: any line)."""
T = TypeVar("T")


def one_of(rng: Random, places: Iterable[T]) -> T | None:
    known = list(places)
    return rng.choice(known) if known else None


def seconds(length: Quantity, times: int) -> str:
    return f"{int(length.base) * times // 1_000_000} s"


def label(rng: Random) -> str:
    return f"as planted_{rng.randrange(1000)}"


def said(pattern: Pattern) -> str:
    if pattern.choices:
        return f"{pattern.mark} {'other than ' if pattern.other else ''}{' or '.join(pattern.choices)}"
    if pattern.test is None:
        return pattern.mark
    to = "" if pattern.test.second is None else f" to {pattern.test.second}"
    of = "" if pattern.test.of is None else f" of {pattern.test.of}"
    return f"{pattern.mark} {pattern.test.comparison.value} {pattern.test.first}{to}{of}"


def goal_mark(clause: Clause) -> str | None:
    """What takes the goal's mark, if it has one."""
    match clause.goal:
        case Until(pattern=pattern):
            return said(pattern)
        case UntilTotals(mark=mark):
            return mark
        case _:
            return None


def counts(limit: Limit) -> bool:
    """Whether it is broken by a mark too many."""
    return limit.figure.kind is FigureKind.COUNT and limit.test.has_most


def deadlines(sheet: Manuscript, clauses: Iterable[Clause]) -> list[Line]:
    """The lines by which time alone does something to one of the clauses, or to the whole test."""
    always = sheet.standard.always
    limits = [*always.limits, *(limit for clause in clauses for limit in clause.limits)]
    faults = [*always.faults, *(fault for clause in clauses for fault in clause.faults)]
    found: list[Rule] = [
        limit for limit in limits if is_time_limit(limit) or limit.figure.kind is FigureKind.SILENCE
    ]
    found += [fault for fault in faults if isinstance(fault.trigger, Silence)]
    return [sheet.of(rule) for rule in found]


def lift(sheet: Manuscript, lines: Iterable[Line]) -> None:
    """Drop lines, and `always` with its last one."""
    for line in lines:
        sheet.lines.remove(line)
    heads = [line for line in sheet.lines if line.words == "always"]
    for head in heads:
        if not sheet.block(head):
            sheet.lines.remove(head)
