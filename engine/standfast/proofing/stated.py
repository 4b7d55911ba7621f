"""Findings that stand in the text itself: what the lines say together, whatever is logged."""

from collections.abc import Iterator

from standfast.codes import doubts
from standfast.diagnostic import Label
from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    Pattern,
    Rule,
    Start,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Event, Kind, Mark, Standard, bounds
from standfast.proofing.finding import Finding, about
from standfast.proofing.slices import mark_named
from standfast.quantity import Comparison, Dimension, Quantity


def stated_findings(standard: Standard) -> Iterator[Finding]:
    yield from _unused_marks(standard)
    yield from _mixed_units(standard)
    yield from _always_clocks(standard)
    for event in standard.events:
        for clause in event.clause.walk():
            yield from _start_twice(clause)
            yield from _start_not_counted(clause)
            yield from _clock_runs_again(clause)
            yield from _in_sequence(clause)
            yield from _live_in_rest(clause)
        yield from _clock_of_group(event.clause)
        yield from _counts_without_time(standard, event.clause, ())
        yield from _other_values(standard, event)


def _unused_marks(standard: Standard) -> Iterator[Finding]:
    named = {mark_named(rule) for rule in standard.rules()}
    for mark in standard.marks:
        if mark.name not in named:
            yield about(doubts.UNUSED_MARK, "marks", mark.span, {"name": mark.name})


# --- units -----------------------------------------------------------------------------------------------


def _mixed_units(standard: Standard) -> Iterator[Finding]:
    """Times are left out: hours, minutes and seconds are read together everywhere."""
    first: dict[Dimension, str] = {}
    told: set[tuple[str, str]] = set()
    for span_owner, quantity in _quantities(standard):
        dimension, unit = quantity.dimension, quantity.unit.name
        if dimension in (Dimension.TIME, Dimension.COUNT):
            continue
        known = first.setdefault(dimension, unit)
        if unit != known and (known, unit) not in told:
            told.add((known, unit))
            facts = {"unit": known, "other": unit, "dimension": dimension.value}
            block = span_owner.path.rpartition(".")[0] if isinstance(span_owner, Rule) else "marks"
            yield about(doubts.MIXED_UNITS, block, span_owner.span, facts)


def _quantities(standard: Standard) -> Iterator[tuple[Rule | Mark, Quantity]]:
    for condition in standard.conditions:
        if not isinstance(condition.demand, bool):
            yield condition, condition.demand.first
    for mark in standard.marks:
        if mark.unit is not None:
            yield mark, Quantity(((mark.unit.factor * 0, mark.unit),))
    for event in standard.events:
        for condition in event.conditions:
            if not isinstance(condition.demand, bool):
                yield condition, condition.demand.first
    for rule in standard.rules():
        pattern = _pattern(rule)
        if pattern is not None and pattern.test is not None:
            yield rule, pattern.test.first
        if isinstance(rule, UntilTotals):
            yield rule, rule.amount


def _pattern(rule: Rule) -> Pattern | None:
    match rule:
        case Start() | Until():
            return rule.pattern
        case Fault(trigger=Occurrence(pattern=pattern)):
            return pattern
        case _:
            return None


# --- clocks ----------------------------------------------------------------------------------------------


def _is_time_limit(limit: Limit) -> bool:
    return limit.figure.kind is FigureKind.TIME and limit.test.comparison is not Comparison.AT_LEAST


def _always_clocks(standard: Standard) -> Iterator[Finding]:
    for limit in standard.always.limits:
        if _is_time_limit(limit):
            yield about(doubts.ALWAYS_CLOCK, "always", limit.span, {"words": limit.words})


def _clock_of_group(event: Clause) -> Iterator[Finding]:
    for group in event.walk():
        if group.kind is not Kind.ANY_ORDER:
            continue
        for item in group.items:
            for limit in item.limits:
                if item.start is None and limit.figure.kind is FigureKind.TIME:
                    facts = {"words": limit.words, "around": group.path, "name": item.path}
                    yield about(doubts.CLOCK_OF_GROUP, item.path, limit.span, facts)


def _clock_runs_again(clause: Clause) -> Iterator[Finding]:
    if clause.start is not None:
        return
    clock = next((limit for limit in clause.limits if limit.figure.kind is FigureKind.TIME), None)
    what = clock or (clause.goal if isinstance(clause.goal, For) else None)
    for fault in clause.faults:
        if what is not None and fault.effect is Effect.RESTART and not fault.at_once:
            facts = {"words": fault.words, "clock": what.words, "name": clause.path}
            yield about(doubts.CLOCK_RUNS_AGAIN, clause.path, fault.span, facts, Label(what.span, "this clock"))


def _counts_without_time(standard: Standard, clause: Clause, around: tuple[Clause, ...]) -> Iterator[Finding]:
    inside = (*around, clause)
    timed = any(_is_time_limit(limit) for each in inside for limit in each.limits)
    timed = timed or any(_is_time_limit(limit) for limit in standard.always.limits)
    if not timed and not isinstance(clause.goal, For):
        for limit in clause.limits:
            if limit.figure.kind is FigureKind.COUNT and limit.test.comparison is not Comparison.AT_LEAST:
                facts = {"words": limit.words, "mark": limit.figure.mark or ""}
                yield about(doubts.COUNT_WITHOUT_TIME, clause.path, limit.span, facts)
    for item in clause.items:
        yield from _counts_without_time(standard, item, inside)


# --- starts, rests, values -------------------------------------------------------------------------------


def _start_twice(clause: Clause) -> Iterator[Finding]:
    if clause.start is None or clause.kind is not Kind.IN_ORDER:
        return
    inner = clause.items[0]
    while inner.start is None and inner.kind is Kind.IN_ORDER:
        inner = inner.items[0]
    within = (inner, *(inner.items if inner.start is None else ()))
    for item in within:
        if item.start is not None and item.start.pattern == clause.start.pattern and not clause.start.first:
            facts = {"mark": item.start.pattern.mark, "name": item.path, "around": clause.path}
            also = Label(clause.start.span, "consumed here")
            yield about(doubts.START_TWICE, item.path, item.start.span, facts, also)


def _start_not_counted(clause: Clause) -> Iterator[Finding]:
    if clause.start is None or clause.start.first:
        return
    mark = clause.start.pattern.mark
    counting: list[Rule] = [limit for limit in clause.limits if limit.figure.kind is FigureKind.COUNT]
    counting += [f for f in clause.faults if isinstance(f.trigger, Occurrence) and f.trigger.more_than]
    counting += [clause.goal] if isinstance(clause.goal, Until | UntilTotals) else []
    for rule in counting:
        if mark_named(rule) == mark:
            facts = {"mark": mark, "name": clause.path, "words": rule.words}
            yield about(
                doubts.START_NOT_COUNTED, clause.path, clause.start.span, facts, Label(rule.span, "counts it")
            )


def _in_sequence(clause: Clause) -> Iterator[Finding]:
    """What an item's place after another means: rests before groups, times that begin at a goal."""
    if clause.kind is not Kind.IN_ORDER:
        return
    before: Clause | None = None
    for item in clause.items:
        rest = None if item.rest is None else item.rest.least or item.rest.greatest
        inner = item.items[0] if item.items and item.kind is Kind.IN_ORDER else None
        if rest is not None and item.start is None and inner is not None and inner.start is not None:
            facts = {"words": rest.words, "name": item.path, "inner": inner.path}
            yield about(doubts.REST_BEFORE_GROUP, item.path, rest.span, facts, Label(inner.start.span, "here"))
        if before is not None and item.rest is None and item.start is None and isinstance(item.goal, For):
            facts = {"words": item.goal.words, "before": before.path, "name": item.path}
            yield about(doubts.CLOCK_AT_GOAL, item.path, item.goal.span, facts)
        before = item


def _live_in_rest(clause: Clause) -> Iterator[Finding]:
    """Halts are left out: stopping for safety is meant at any time. So are notes, which hinder nobody."""
    rests = [next(bounds(inner.rest)) for inner in clause.walk() if inner is not clause and inner.rest is not None]
    for fault in clause.faults:
        if rests and fault.effect not in (Effect.HALT, Effect.NOTE):
            facts = {"words": fault.words, "rest": rests[0].words}
            also = (Label(rest.span, "this rest") for rest in rests)
            yield about(doubts.LIVE_IN_REST, clause.path, fault.span, facts, *also)


def _other_values(standard: Standard, event: Event) -> Iterator[Finding]:
    """A value asked for by a goal or a start while no rule anywhere uses the others."""
    for clause in event.clause.walk():
        for rule in (clause.start, clause.goal):
            pattern = None if rule is None else _pattern(rule)
            if rule is None or pattern is None or not (pattern.choices or pattern.test):
                continue
            if not _all_values_used(standard, pattern.mark):
                facts = {"mark": pattern.mark, "words": rule.words}
                yield about(doubts.OTHER_VALUES, clause.path, rule.span, facts)


def _all_values_used(standard: Standard, name: str) -> bool:
    """Whether some rule uses each value of the mark; of a measure, whether the rules ask more than one test."""
    mark = standard.mark(name)
    named = [rule for rule in standard.rules() if mark_named(rule) == name]
    patterns = [pattern for rule in named if (pattern := _pattern(rule)) is not None]
    if mark is None or len(patterns) < len(named):
        return True  # a limit, a total or a silence counts the mark with any value
    if mark.choices:
        return all(any(p.fits(name, choice) for p in patterns) for choice in mark.choices)
    return len({p.test for p in patterns}) > 1
