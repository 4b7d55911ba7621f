"""That nobody can pass: proved of one edition, by its lines or by a part of it that no log completes.

Who passes a test passes an attempt at each event, and in that attempt each clause that is needed is completed once
without a break. So it is enough that one of them cannot be, by itself and under fewer rules. What may be left out,
and why the attempt that passes goes on as before without it:

- Other attempts, events and what was logged before: the attempt begins anew (rules 14 and 17). What `always`
  counted before it only breaks sooner, so the rules that can only break by more are kept.
- Limits, and faults that end an attempt: none acted in the attempt that passes. A limit that makes a `for` wait
  (rule 2) stays, and so does what only misses a try, or puts a clause back.
- The clauses around one, and those beside it that use no mark of it: with none of them gone, each of its entries
  is used by it as before.
- A fault on a mark `out of order` depends on all that name the mark. One that ends the attempt is left out; any
  other acts at a mark of its own instead, which can be logged right after the other, whose entry had no use.
"""

from collections.abc import Iterator

from standfast.difference.demands import asks_more_than_it_allows
from standfast.difference.reachable import asks_for_other_points
from standfast.machine.ahead import left, test_go
from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer
from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Pattern,
    Silence,
    marks_named,
)
from standfast.model.standard import Always, Clause, Event, Kind, Mark, Standard
from standfast.quantity import Comparison
from standfast.values import evolve

_EFFORT = 3_000
"""What is looked at of one part before it is given up."""

EFFORT = 15_000
"""What is looked at of a whole standard."""

_ENDS = (Effect.FAIL, Effect.HALT, Effect.DISQUALIFY)
_DROPPED = (Effect.NOTE, *_ENDS)
"""What a fault does that never acts in an attempt that passes, or changes nothing."""


def its_lines_cannot_be_met(standard: Standard) -> bool:
    """Whether the lines alone show that no log is GO; the standard is meant for one kind of candidate."""
    return asks_for_other_points(standard) or asks_more_than_it_allows(standard)


def nobody_passes(standard: Standard, effort: int = EFFORT) -> bool:
    """Whether it is proved that no log is GO; the standard is meant for one kind of candidate."""
    if its_lines_cannot_be_met(standard):
        return True
    parts = [(event, part) for event in standard.events for part in _parts(event.clause)]
    for event, part in sorted(parts, key=lambda each: sum(1 for _ in each[1].walk())):
        looked = Effort(min(effort, _EFFORT))
        if _cannot_complete(standard, event, part, looked):
            return True
        effort -= min(effort, _EFFORT) - max(looked.left or 0, 0)
        if not effort:
            break
    return False


def _parts(clause: Clause) -> Iterator[Clause]:
    """Clauses that an attempt must complete, each with rules that it must then keep."""
    for each in _needed(clause, ()):
        deepest = max(inner.depth for inner in each.walk()) - each.depth
        scored = any(map(_is_on_points, (limit for inner in each.walk() for limit in inner.limits)))
        yield from (_down_to(each, depth, scored=scored) for depth in range(deepest))
        yield each


def _needed(clause: Clause, beside: tuple[Clause, ...]) -> Iterator[Clause]:
    """The clause and those inside that must be completed and are not disturbed by what goes on `beside`."""
    if not (_used(clause) & frozenset(mark for other in beside for mark in _used(other) | _taken(other))):
        yield clause
    if clause.kind is Kind.IN_ORDER:
        for item in clause.items:
            yield from _needed(item, beside)
    elif clause.kind is Kind.ANY_ORDER:
        for item in clause.items:
            if not item.only_if_begun:
                yield from _needed(item, (*beside, *(each for each in clause.items if each is not item)))


def _used(clause: Clause) -> frozenset[str]:
    """The marks that begin something in it, or advance a goal."""
    rules = (rule for inner in clause.walk() for rule in (inner.start, inner.goal) if rule is not None)
    return frozenset(mark for rule in rules for mark in marks_named(rule))


def _taken(clause: Clause) -> frozenset[str]:
    """The marks by which something acts in it after which the attempt goes on: such an entry advances nothing."""
    rules = list[Limit | Fault]()
    for inner in clause.walk():
        rules += filter(_goes_on, inner.faults)
        rules += filter(_goes_on, inner.limits)
    return frozenset(mark for rule in rules for mark in marks_named(rule))


def _goes_on(rule: Limit | Fault) -> bool:
    return rule.misses if isinstance(rule, Limit) else rule.effect not in _DROPPED


def _down_to(clause: Clause, depth: int, *, scored: bool) -> Clause:
    """The clause with the rules of all that lies so deep in it, and below that only what may not be left out.

    Where a limit is on points, all scores stay.
    """
    if depth:
        return evolve(clause, items=tuple(_down_to(item, depth - 1, scored=scored) for item in clause.items))
    return evolve(clause, items=tuple(_bare(item, scored=scored) for item in clause.items))


def _bare(clause: Clause, *, scored: bool) -> Clause:
    return evolve(
        clause,
        limits=tuple(limit for limit in clause.limits if limit.misses or _holds_back(clause, limit)),
        faults=tuple(fault for fault in clause.faults if fault.effect not in _DROPPED),
        scores=clause.scores if scored else (),
        items=tuple(_bare(item, scored=scored) for item in clause.items),
    )


def _holds_back(clause: Clause, limit: Limit) -> bool:
    """Whether a `for` waits for it to be met (rules 2 and 29)."""
    return isinstance(clause.goal, For) and limit.judged_late and limit.figure.kind is not FigureKind.TIME


def _is_on_points(limit: Limit) -> bool:
    return any(part.kind is FigureKind.POINTS for part in limit.figure.all_parts())


def _cannot_complete(standard: Standard, event: Event, part: Clause, effort: Effort) -> bool:
    """Whether it is found in so much effort that no log completes the part, by itself and in one attempt."""
    rounds = {mark.name for mark in standard.marks if mark.names_round}
    faults = [fault for inner in part.walk() for fault in inner.faults if isinstance(fault.trigger, OutOfOrder)]
    if any(not rounds.isdisjoint(marks_named(fault)) for fault in faults):
        return False  # the entry of such a mark may close rounds besides
    whenever = list[Mark]()
    alone = evolve(
        event,
        clause=evolve(_orderly(part, whenever), rest=None, only_if_begun=False),
        attempts=1,
        rest_between=None,
        carry_on=False,
        conditions=(),
        best=None,
    )
    one = evolve(
        standard,
        conditions=(),
        marks=(*standard.marks, *whenever),
        always=_before_all(standard.always),
        events=(alone,),
        grades=(),
        carry_on=False,
        events_in_any_order=False,
        owed_fails=False,
    )
    machine = compile_standard(one)
    explorer = Explorer(machine, effort=effort)
    return not any(map(test_go, explorer.onward(None, left(machine)))) and not effort.spent


def _orderly(clause: Clause, whenever: list[Mark]) -> Clause:
    """Without faults that depend on which marks have a use, or say that no other attempt follows.

    The marks at which some of them act instead are put to those that may be logged `whenever`.
    """
    faults = list[Fault]()
    for fault in clause.faults:
        if fault.effect is Effect.OUT and clause.kind is not Kind.ROUNDS:
            continue
        if not isinstance(fault.trigger, OutOfOrder):
            faults.append(fault)
        elif _goes_on(fault):
            number = len(whenever) + 1
            mark = Mark(name=f"{fault.trigger.pattern.mark} {number}", title="", words="", span=fault.span)
            whenever.append(mark)
            faults.append(evolve(fault, trigger=Occurrence(Pattern(mark.name))))
    items = tuple(_orderly(item, whenever) for item in clause.items)
    return evolve(clause, faults=tuple(faults), items=items)


def _before_all(always: Always) -> Always:
    """What `always` asks, as far as what was before an attempt can only have brought it nearer to be broken."""
    return Always(
        tuple(limit for limit in always.limits if _only_breaks_sooner(limit)),
        tuple(fault for fault in always.faults if _only_acts_sooner(fault)),
    )


def _only_breaks_sooner(limit: Limit) -> bool:
    kind, test = limit.figure.kind, limit.test
    if kind is FigureKind.SILENCE:
        return True
    if kind in (FigureKind.TIME, FigureKind.COUNT, FigureKind.TOTAL, FigureKind.LARGEST):
        return test.comparison in (Comparison.AT_MOST, Comparison.UNDER)
    return False


def _only_acts_sooner(fault: Fault) -> bool:
    if fault.effect not in _ENDS:
        return False
    match fault.trigger:
        case Occurrence():
            return True
        case Silence():
            return fault.effect is Effect.DISQUALIFY
        case _:
            return False
