"""Refusals that need more than one clause in view: what opens by itself, and what one mark would begin twice."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from standfast.codes import best as best_codes
from standfast.codes import counting
from standfast.codes import facts as fact_codes
from standfast.codes import meaning as codes
from standfast.codes.code import Code
from standfast.diagnostic import Diagnostic, Label
from standfast.language.syntax_choices import Effect
from standfast.model.candidate import choices, in_play, representatives, specialised
from standfast.model.patterns import overlap
from standfast.model.rules import Fault, Figure, Limit, Occurrence, RestBound, Rule
from standfast.model.scope import Scope
from standfast.model.standard import Always, Clause, Event, Facts, Kind, Standard
from standfast.source import Span
from standfast.values import evolve


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
    for before, event in pairwise(events) if not in_any_order else ():
        start, later = before.clause.start, event.clause.start
        if before.best is None or start is None or later is None:
            continue
        if start.pattern.mark == later.pattern.mark:
            facts = {"mark": later.pattern.mark, "event": before.label}
            scope.refuse(best_codes.ONE_START_FOR_TWO, later.span, **facts)
    for event in events:
        _refuse_out_by_start(scope, event)
    for before, event in pairwise(events) if not in_any_order else ():
        if event.clause.start is None and before.stops:
            _refuse_opening_after(scope, before, event, always)
    if carry_on and not in_any_order:
        for before, event in pairwise(events):
            _refuse_opening_after(scope, before, event, always)


def _refuse_out_by_start(scope: Scope, event: Event) -> None:
    """The mark of `out` begins no other attempt."""
    start = event.clause.start
    for stop in event.stops:
        assert isinstance(stop.trigger, Occurrence)
        if start is not None and overlap(scope, start.pattern, stop.trigger.pattern):
            facts = {"mark": start.pattern.mark, "event": event.label}
            scope.refuse(best_codes.OUT_BY_START, stop.span, Label(start.span, "the start"), **facts)


def refuse_for_candidates(scope: Scope, standard: Standard) -> None:
    """Look at the standard as it is for each kind of candidate; nothing of it may be left without a part."""
    found: dict[tuple[Code, Span | None], Diagnostic] = {}
    for chosen in choices(standard):
        for name, span in _left_empty(standard, chosen):
            whom = ", ".join(f"{fact} {choice}" for fact, choice in chosen.items())
            finding = Diagnostic(fact_codes.NOTHING_LEFT, span, {"name": name, "whom": whom})
            found.setdefault((finding.code, span), finding)
        for finding in _figures_of_absent(standard, chosen):
            found.setdefault((finding.code, finding.span), finding)
    for facts in () if found else representatives(standard):
        apart, one = evolve(scope, found=[]), specialised(standard, facts)
        refuse_openings(apart, one.events, one.always, in_any_order=one.events_in_any_order, carry_on=one.carry_on)
        for finding in apart.found:
            found.setdefault((finding.code, finding.span), finding)
    scope.found += found.values()


def _figures_of_absent(standard: Standard, chosen: Mapping[str, str]) -> Iterator[Diagnostic]:
    """Limits on figures of clauses that a candidate does not have in the test."""
    there = {c.path for e in standard.events if in_play(e.clause, chosen) for c in _played(e.clause, chosen)}
    limits: list[Limit] = list(standard.always.limits)
    for event in standard.events:
        limits += (limit for clause in event.clause.walk() if clause.path in there for limit in clause.limits)
    limits += (limit for grade in standard.grades for limit in grade.limits)
    figures: list[tuple[Rule, Figure]] = [(limit, limit.figure) for limit in limits]
    figures += ((s, figure) for clause, s in standard.scores() if clause.path in there for figure in s.figures)
    whom = ", ".join(f"{fact} {choice}" for fact, choice in chosen.items())
    for rule, figure in figures:
        for part in figure.parts:
            if part.path is not None and part.path not in there:
                facts = {"words": rule.words, "path": part.path, "whom": whom}
                yield Diagnostic(fact_codes.FIGURE_OF_ABSENT, rule.span, facts)


def _played(clause: Clause, chosen: Mapping[str, str]) -> Iterator[Clause]:
    yield clause
    for item in clause.items:
        if in_play(item, chosen):
            yield from _played(item, chosen)


def _left_empty(standard: Standard, facts: Facts) -> Iterator[tuple[str, Span]]:
    """What a candidate would have nothing to do in: the test, an event or a group."""
    played = [event.clause for event in standard.events if in_play(event.clause, facts)]
    if not played:
        yield standard.name, standard.span
    for clause in played:
        yield from _empty(clause, facts)


def _empty(clause: Clause, facts: Facts) -> Iterator[tuple[str, Span]]:
    items = [item for item in clause.items if in_play(item, facts)]
    if clause.items and not items:
        yield clause.path, clause.span
    for item in items:
        yield from _empty(item, facts)


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
    """An event without a start mark may not follow one whose attempts a halt can use up, or that `out` can end."""
    if event.clause.start is not None or (before.attempts is None and not before.stops):
        return
    halt = next((each for each in _halts(before, always) if each.charged or before.stops), None)
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
