"""Mistakes planted in starts, restarts and rests."""

from random import Random

from standfast.model.rules import (
    Effect,
    FigureKind,
    For,
)
from standfast.model.standard import Clause, Kind
from trials.manuscript import Manuscript
from trials.planting_places import Mistake, label, one_of, said


def start_mark_twice(sheet: Manuscript, rng: Random) -> Mistake | None:
    places = [
        (clause.start, clause.items[0])
        for _, clause in sheet.clauses()
        if clause.kind is Kind.IN_ORDER and clause.start is not None and not clause.start.first
        if clause.items[0].start is None
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    start, item = place
    return "D110", sheet.add(sheet.of(item), f"start {rng.choice(('on', 'with first'))} {said(start.pattern)}")


def start_mark_counted(sheet: Manuscript, rng: Random) -> Mistake | None:
    starts = [c.start for _, c in sheet.clauses() if c.start is not None and not c.start.first]
    start = one_of(rng, [start for start in starts if not sheet.known("D114", sheet.of(start))])
    if start is None:
        return None
    line = sheet.of(start)
    sheet.after(line, f"{line.indent}within {rng.randrange(2, 5)} {start.pattern.mark} {label(rng)}")
    return "D114", line


def start_mark_of_a_restart_dropped(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A clause with a clock is put back and begins at once, without its start mark."""
    places = [
        (clause, fault)
        for _, clause in sheet.clauses()
        if clause.depth > 1 and clause.start is not None and clause.rest is None
        if sheet.around(clause)[0].kind is Kind.IN_ORDER
        for fault in clause.faults
        if fault.effect is Effect.RESTART and not fault.at_once and _clocked(clause)
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    clause, fault = place
    assert clause.start is not None
    sheet.lines.remove(sheet.of(clause.start))
    return "D115", sheet.of(fault)


def _clocked(clause: Clause) -> bool:
    """Whether a time runs from the clause's beginning, in it or in the first item inside."""
    times = any(limit.figure.kind is FigureKind.TIME for limit in clause.limits) or isinstance(clause.goal, For)
    first = clause.items[:1] if clause.kind is Kind.IN_ORDER else ()
    return times or any(item.start is None and _clocked(item) for item in first)


def restart_of_a_running_clock(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A restart on a clause with a clock and no start mark."""
    clauses = [clause for _, clause in sheet.clauses() if clause.depth > 1 and clause.start is None]
    clause = one_of(rng, [clause for clause in clauses if _clocked(clause)])
    if clause is None:
        return None
    mark = rng.choice(sheet.standard.marks).name
    return "D115", sheet.add(sheet.of(clause), f'restart on {mark} "again", at most once {label(rng)}')


def time_held_from_a_goal(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A step with a time to be held right after a goal, its start mark forgotten."""
    places = [
        item
        for _, clause in sheet.clauses()
        if clause.kind is Kind.IN_ORDER
        for item in clause.items
        if item.goal is not None
    ]
    item = one_of(rng, places)
    if item is None:
        return None
    head = sheet.of(item)
    last = sheet.block(head)[-1]
    step = sheet.after(last, f"{head.indent}step planted_{rng.randrange(1000)}")
    if (after := sheet.lines[sheet.lines.index(step) + 1 :]) and after[0].words.startswith("rest "):
        sheet.lines.remove(step)  # a rest stays with the item before it
        return None
    return "D117", sheet.add(step, f"for {rng.randrange(10, 30)} s")


def rest_before_a_group(sheet: Manuscript, rng: Random) -> Mistake | None:
    """The start mark that ended a rest now stands inside a group."""
    places = [
        (clause, clause.rest.least)
        for _, clause in sheet.clauses()
        if clause.rest is not None and clause.rest.least is not None and clause.rest.greatest is None
        if clause.start is not None and clause.only_for is None  # else nothing is left of the group for some
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    clause, rest = place
    head = sheet.of(clause)
    for line in (head, *sheet.block(head)):
        line.text = f"    {line.text}"
    sheet.after(sheet.of(rest), f"{head.indent[4:]}in order planted_{rng.randrange(1000)}")
    return "D113", sheet.of(rest)
