"""Which faults of a clause surely act: of several that one entry triggers the gravest does, and no other."""

from standfast.model.rules import Effect, Fault, Limit, Silence, marks_named
from standfast.model.standard import Clause, bounds

ENDS = (Effect.FAIL, Effect.HALT, Effect.DISQUALIFY)
"""What a fault does that never acts in an attempt that passes: what outdoes it ends the attempt as well."""

BREAKS = (Effect.RESTART, *ENDS)
"""What a fault does that never acts in the run of a clause that completes it."""


def acts(clause: Clause, fault: Fault) -> bool:
    """Whether an entry that triggers it ends the clause's run, if not the attempt."""
    if fault.effect in ENDS:
        return True
    if fault.effect is Effect.NOTE:
        return False
    others: list[Fault | Limit] = [each for each in clause.faults if each.effect is not fault.effect]
    inside = [each for each in clause.walk() if each is not clause]
    for inner in inside:
        others += (*inner.faults, *inner.limits)
    return not any(_outdoes(each, fault) for each in others) and not any(
        _too_early(each, fault) for each in inside
    )


def _outdoes(rule: Fault | Limit, fault: Fault) -> bool:
    """Whether an entry of the mark may have another rule act instead, after which the attempt goes on."""
    effect = rule.effect if isinstance(rule, Fault) else Effect.MISS if rule.misses else Effect.FAIL
    if isinstance(rule, Fault) and isinstance(rule.trigger, Silence):
        return False
    graver = fault.effect.gravity <= effect.gravity and effect not in ENDS
    return graver and not set(marks_named(rule)).isdisjoint(marks_named(fault))


def _too_early(item: Clause, fault: Fault) -> bool:
    """Whether an entry of the mark may come too early to begin the item, and something else acts for that."""
    early = item.rest is not None and any(bound.effect not in (*ENDS, Effect.NOTE) for bound in bounds(item.rest))
    return early and item.start is not None and item.start.pattern.mark in marks_named(fault)


def opens(clause: Clause, mark: str) -> bool:
    """Whether it begins with the mark, which is then its first entry."""
    return clause.start is not None and clause.start.first and clause.start.pattern.mark == mark
