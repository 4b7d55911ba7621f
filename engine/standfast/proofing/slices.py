"""Parts of a standard that can be explored by themselves, so that what is found holds for the whole.

An event is explored alone: from a fresh opening, with the rules of `always`. A rule whose mark no other rule
names is left out while the others are explored, unless it restarts: its marks can be logged at any instant, so it
can neither bring about nor prevent anything else, except by ending what it ends. It is then explored with all the
others once. Where something can come after the end of an attempt, no rule that ends one is left out.
"""

from collections import Counter
from collections.abc import Iterable
from typing import TypeVar

from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.alone import with_one_event
from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    Limit,
    Occurrence,
    Rule,
)
from standfast.model.rules import marks_named as marks_named
from standfast.model.standard import Always, Clause, Event, Standard
from standfast.values import evolve

_GO_ON = (Effect.PASS, Effect.RESTART, Effect.MISS, Effect.OUT)
"""Effects after which the attempt goes on otherwise than before."""

R = TypeVar("R", bound=Rule)


def is_time_limit(limit: Limit) -> bool:
    """Whether it ends its clause by time, as `within D` and `under D` do."""
    return limit.figure.kind is FigureKind.TIME and limit.test.has_most


def alone(standard: Standard, event: Event) -> Standard:
    """The event by itself, every condition met; two attempts where it has a rest between attempts, else one."""
    attempts = 1 if event.rest_between is None or event.attempts == 1 else 2
    one = evolve(event, attempts=attempts, conditions=())
    return evolve(
        with_one_event(standard, one),
        conditions=(),
        carry_on=False,
        events_in_any_order=False,
        owed_fails=False,
    )


def with_heard_marks(standard: Standard) -> Standard:
    """The same without the marks that nothing hears, but for the first of them: each does what that one does.

    Exploring an event asks of every mark at every position whether it matters there, and most marks of a long
    standard are those of other events.
    """
    machine = compile_standard(standard)
    unheard = [mark.name for mark in standard.marks if not _is_heard(machine, mark.name)]
    others = frozenset(unheard[1:])
    return evolve(standard, marks=tuple(mark for mark in standard.marks if mark.name not in others))


def _is_heard(machine: Machine, mark: str) -> bool:
    watch = machine.watches[mark]
    heard = watch.counts or watch.hushes or watch.strikes or watch.bars or watch.uses or watch.places
    return bool(heard) or mark in machine.round_marks


def secluded(standard: Standard) -> tuple[Limit | Fault, ...]:
    """The rules that count or act on a mark no other rule of the standard names."""
    rules = [rule for rule in standard.rules() if marks_named(rule)]
    named = Counter(mark for rule in rules for mark in marks_named(rule))
    closing = {mark.name for mark in standard.marks if mark.names_round}
    goes_on = any(event.rest_between is not None for event in standard.events)
    return tuple(
        rule
        for rule in rules
        if isinstance(rule, Limit | Fault)
        and named[marks_named(rule)[0]] == 1
        and marks_named(rule)[0] not in closing  # an entry of it may close rounds
        and _acts_by_its_mark(rule)
        and not (goes_on and ends_an_attempt(standard, rule))
    )


def ends_an_attempt(standard: Standard, rule: Limit | Fault) -> bool:
    """Whether it can end one after which another may come."""
    if isinstance(rule, Fault):
        return rule.effect in (Effect.FAIL, Effect.HALT, Effect.OUT)
    return rule not in standard.always.limits


_AT_ITS_MARK = (FigureKind.COUNT, FigureKind.LARGEST, FigureKind.SMALLEST, FigureKind.EACH)


def _acts_by_its_mark(rule: Limit | Fault) -> bool:
    if isinstance(rule, Fault):
        return isinstance(rule.trigger, Occurrence) and rule.effect not in _GO_ON
    return rule.figure.kind in _AT_ITS_MARK and not rule.judged_late and not rule.misses


def without(standard: Standard, rules: Iterable[Limit | Fault]) -> Standard:
    """The standard with these rules left out."""
    paths = {rule.path for rule in rules}
    always = Always(_kept(standard.always.limits, paths), _kept(standard.always.faults, paths))
    events = tuple(evolve(event, clause=_clause_without(event.clause, paths)) for event in standard.events)
    return evolve(standard, always=always, events=events)


def _clause_without(clause: Clause, paths: set[str]) -> Clause:
    return evolve(
        clause,
        limits=_kept(clause.limits, paths),
        faults=_kept(clause.faults, paths),
        items=tuple(_clause_without(item, paths) for item in clause.items),
    )


def _kept(rules: tuple[R, ...], paths: set[str]) -> tuple[R, ...]:
    return tuple(rule for rule in rules if rule.path not in paths)
