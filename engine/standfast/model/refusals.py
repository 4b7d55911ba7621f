"""Refusals that need more than one clause in view: what opens by itself, and what one mark would begin twice."""

from collections.abc import Iterable, Iterator
from itertools import pairwise

from standfast.codes import counting
from standfast.codes import meaning as codes
from standfast.diagnostic import Label
from standfast.language.syntax import Effect
from standfast.model.patterns import overlap
from standfast.model.rules import Fault, RestBound, Rule
from standfast.model.scope import Scope
from standfast.model.standard import Always, Clause, Event, Kind


def refuse_openings(
    scope: Scope, events: tuple[Event, ...], always: Always, *, in_any_order: bool, carry_on: bool
) -> None:
    """Look at how the events of one standard open, and at every choice inside them."""
    if in_any_order:
        for event in events:
            if event.clause.start is None:
                scope.refuse(codes.EVENT_WITHOUT_START, event.clause.span, name=event.label)
        _refuse_overlaps(scope, [event.clause for event in events])
    elif events and events[0].clause.start is None:
        scope.refuse(codes.FIRST_WITHOUT_START, events[0].clause.span, name=events[0].label)
    for number, event in enumerate(events):
        _refuse_waiting(scope, event, in_any_order=in_any_order and len(events) > 1)
        if number > 0 and not in_any_order and event.clause.start is None:
            _refuse_reopening(scope, event, always)
        for clause in event.clause.walk():
            _refuse_rest(scope, clause)
            if clause.kind is Kind.ONE_OF:
                _refuse_choice(scope, clause)
            _refuse_duties(scope, clause)
    if carry_on and not in_any_order:
        for before, event in pairwise(events):
            _refuse_opening_after(scope, before, event, always)


def _refuse_waiting(scope: Scope, event: Event, *, in_any_order: bool) -> None:
    """A greatest rest between attempts needs a mark that ends it, and may not fail attempts for ever."""
    greatest = None if event.rest_between is None else event.rest_between.greatest
    if greatest is None:
        return
    if event.clause.start is None:
        scope.refuse(codes.REST_WITHOUT_START, greatest.span, bound=greatest.words, name=event.label)
    if in_any_order:
        scope.refuse(codes.WAITING_IN_ANY_ORDER, greatest.span, bound=greatest.words)
    if event.attempts is None and greatest.effect is Effect.FAIL:
        scope.refuse(codes.ENDLESS_FAILURES, greatest.span, bound=greatest.words)


def _refuse_reopening(scope: Scope, event: Event, always: Always) -> None:
    """An event without a start mark may not open for ever by time alone, nor after a halt."""
    if event.attempts is None:
        scope.refuse(codes.ENDLESS_ATTEMPTS, event.clause.span, name=event.label)
    halt = next((each for each in _halts(event, always) if not each.charged or event.attempts != 1), None)
    if halt is not None:
        scope.refuse(codes.REOPENS_AFTER_HALT, event.clause.span, Label(halt.span, "this halt"), name=event.label)


def _refuse_opening_after(scope: Scope, before: Event, event: Event, always: Always) -> None:
    """An event without a start mark may not follow one whose attempts a halt can use up."""
    if event.clause.start is not None or before.attempts is None:
        return
    halt = next((each for each in _halts(before, always) if each.charged), None)
    if halt is not None:
        facts = {"name": event.label, "before": before.label}
        scope.refuse(codes.OPENS_AFTER_HALT, event.clause.span, Label(halt.span, "this halt"), **facts)


def _halts(event: Event, always: Always) -> Iterator[Fault | RestBound]:
    """Everything that can halt an attempt of the event."""
    rules: Iterable[Rule] = (*event.rules(), *always.faults)
    for rule in rules:
        if isinstance(rule, Fault | RestBound) and rule.effect is Effect.HALT:
            yield rule


def _refuse_rest(scope: Scope, clause: Clause) -> None:
    greatest = None if clause.rest is None else clause.rest.greatest
    if greatest is not None and clause.start is None:
        scope.refuse(codes.REST_WITHOUT_START, greatest.span, bound=greatest.words, name=clause.label)


def _refuse_duties(scope: Scope, clause: Clause) -> None:
    """What is `only if begun` stands beside what is owed, and begins by a mark."""
    for item in clause.items:
        if item.only_if_begun and clause.kind is not Kind.ANY_ORDER:
            scope.refuse(counting.NOT_IN_ANY_ORDER, item.span, name=item.label)
        elif item.only_if_begun and item.start is None:
            scope.refuse(counting.BEGUN_WITHOUT_START, item.span, name=item.label)
    if clause.kind is Kind.ANY_ORDER and clause.items and all(item.only_if_begun for item in clause.items):
        scope.refuse(counting.NOTHING_OWED, clause.span, name=clause.label)


def _refuse_choice(scope: Scope, clause: Clause) -> None:
    for item in clause.items:
        if item.start is None:
            scope.refuse(codes.CHOICE_WITHOUT_START, item.span, name=item.label)
    _refuse_overlaps(scope, clause.items)


def _refuse_overlaps(scope: Scope, clauses: Iterable[Clause]) -> None:
    """Each start that the same entry could take for an earlier one is refused once."""
    earlier: list[Clause] = []
    for clause in clauses:
        if clause.start is None:
            continue
        for other in earlier:
            assert other.start is not None
            if overlap(scope, other.start.pattern, clause.start.pattern):
                also = Label(other.start.span, "the other start")
                scope.refuse(codes.STARTS_OVERLAP, clause.start.span, also, name=clause.label, other=other.label)
                break
        earlier.append(clause)
