"""Editions of which one only goes on: nothing fails in it, so all pass it who pass one that asks for as much.

Such an edition is a row of stages, marks that begin something, goals and rests, each of which is all that is
waited for until it is over. An attempt, once open, ends in no other way than GO. Of a log that is GO under another
edition take the attempts that passed, and in them the run of each clause that completed it. Where these come to an
end in the same order, stage by stage, and each takes no less, the first edition is never behind: it has waited for
each no shorter, and whatever counted for the run in the other edition has counted for it too.
"""

from collections.abc import Iterator

from standfast.difference.facets import facets
from standfast.model.rules import OWN, Effect, For, Goal, RestBound, Start, Until, UntilTotals
from standfast.model.standard import Clause, Kind, Standard

Stage = Start | Goal | RestBound


def only_goes_on(old: Standard, new: Standard) -> bool:
    """Whether nothing can fail in the old edition, and every log that is GO under the new is GO under it too."""
    if not (_nothing_fails(old) and _is_in_turn(old) and _is_in_turn(new)):
        return False
    left = list(_stages(old))
    for stage in _stages(new):
        if left and _takes_no_less(left[0], stage):
            left.pop(0)
    return not left


def _nothing_fails(standard: Standard) -> bool:
    rules = standard.always.limits or any(grade.limits for grade in standard.grades[-1:])
    faults = [*standard.always.faults, *(fault for each in _clauses(standard) for fault in each.faults)]
    return not (
        rules
        or any(fault.effect is not Effect.NOTE for fault in faults)
        or any(each.limits or any(score.otherwise is None for score in each.scores) for each in _clauses(standard))
        or any(each.rest is not None and each.start is not None for each in _clauses(standard))
    )


def _is_in_turn(standard: Standard) -> bool:
    """Whether all is done one after another, by everybody, and for good."""
    return (
        not standard.events_in_any_order
        and all(event.best is None for event in standard.events)
        and all(each.kind in (Kind.IN_ORDER, Kind.STEP) and each.only_for is None for each in _clauses(standard))
    )


def _clauses(standard: Standard) -> Iterator[Clause]:
    for event in standard.events:
        yield from event.clause.walk()


def _stages(standard: Standard) -> Iterator[Stage]:
    """In the order in which they must be over."""
    for each in _clauses(standard):
        if each.rest is not None and each.rest.least is not None and each.start is None:
            yield each.rest.least
        if each.start is not None:
            yield each.start
        if each.goal is not None:
            yield each.goal


def _takes_no_less(old: Stage, new: Stage) -> bool:
    """Whether the new stage is over only if the old would be, had it begun no later."""
    match old, new:
        case Start(), Start():
            same = old.first == new.first and facets(old.pattern) == facets(new.pattern)
            return same and old.counting == new.counting == OWN and old.more_than <= new.more_than
        case Until(), Until():
            same = facets(old.pattern) == facets(new.pattern)
            return same and old.counting == new.counting == OWN and old.number <= new.number
        case UntilTotals(), UntilTotals():
            return old.mark == new.mark and old.amount.base <= new.amount.base
        case For(length=shorter), For(length=longer):
            return shorter.base <= longer.base
        case RestBound(length=shorter), RestBound(length=longer):
            return shorter.base <= longer.base
        case _:
            return False
