"""Findings that stand in the text itself: what the lines say together, whatever is logged."""

from collections.abc import Iterator
from itertools import pairwise

from standfast.codes import doubts
from standfast.diagnostic import Label
from standfast.model.amounts import meet, meeting_point
from standfast.model.candidate import facts_used
from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Occurrence,
    OutOfOrder,
    Pattern,
    Rest,
    RestBound,
    Rule,
    Start,
    Test,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Condition, Event, Kind, Mark, Standard, bounds
from standfast.proofing.finding import Finding, about
from standfast.proofing.slices import is_time_limit, marks_named
from standfast.quantity import Comparison, Dimension, Quantity


def unused_facts(standard: Standard) -> Iterator[Finding]:
    """Of a standard that is not yet specialised."""
    clauses = [clause for event in standard.events for clause in event.clause.walk()]
    named = {clause.only_for.fact for clause in clauses if clause.only_for is not None}
    named |= facts_used(standard)
    for fact in standard.facts:
        if fact.name not in named:
            yield about(doubts.UNUSED_FACT, "candidate", fact.span, {"name": fact.name})


def stated_findings(standard: Standard) -> Iterator[Finding]:
    yield from _unused_marks(standard)
    yield from _mixed_units(standard)
    yield from _always_clocks(standard)
    for event in standard.events:
        for clause in event.clause.walk():
            yield from _start_twice(clause)
            yield from _start_not_counted(standard, clause)
            yield from _clock_runs_again(clause)
            yield from _in_sequence(clause)
            yield from _meeting(standard, event, clause)
        yield from _breached_by_nobody(event.rest_between, event.clause)
        yield from _clock_of_group(event.clause)
        yield from _other_values(standard, event)
    for before, event in pairwise(standard.events):
        yield from _held_after(before.clause, event.clause)


def _unused_marks(standard: Standard) -> Iterator[Finding]:
    named = {mark for rule in standard.rules() for mark in marks_named(rule)}
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
    """Every measured amount, as the canonical layout has them."""
    for condition in standard.conditions:
        yield from _amounts(condition)
    for mark in standard.marks:
        if mark.unit is not None:
            yield mark, Quantity(((mark.unit.factor * 0, mark.unit),))
    for rule in standard.rules():
        if rule not in standard.conditions:
            yield from _amounts(rule)


def _amounts(rule: Rule) -> Iterator[tuple[Rule, Quantity]]:
    if isinstance(rule, UntilTotals):
        yield rule, rule.amount
    test = _test(rule)
    if test is not None:
        yield rule, test.first
        if test.second is not None:
            yield rule, test.second


def _test(rule: Rule) -> Test | None:
    if isinstance(rule, Condition):
        return None if isinstance(rule.demand, bool) else rule.demand
    pattern = _pattern(rule)
    return None if pattern is None else pattern.test


def _pattern(rule: Rule) -> Pattern | None:
    match rule:
        case Start() | Until():
            return rule.pattern
        case Fault(trigger=Occurrence(pattern=pattern) | OutOfOrder(pattern=pattern)):
            return pattern
        case _:
            return None


# --- clocks ----------------------------------------------------------------------------------------------


def _always_clocks(standard: Standard) -> Iterator[Finding]:
    for limit in standard.always.limits:
        if is_time_limit(limit):
            yield about(doubts.ALWAYS_CLOCK, "always", limit.span, {"words": limit.words})


def _clock_of_group(event: Clause) -> Iterator[Finding]:
    for group in event.walk():
        if group.kind is not Kind.ANY_ORDER:
            continue
        for item in (inner for each in group.items for inner in _begun_with(each)):
            for limit in item.limits:
                if limit.figure.kind is FigureKind.TIME:
                    facts = {"words": limit.words, "around": group.path, "name": item.path}
                    yield about(doubts.CLOCK_OF_GROUP, item.path, limit.span, facts)


def _begun_with(clause: Clause) -> Iterator[Clause]:
    """The clause and all inside it that begin when its turn comes: those before which no start mark stands."""
    if clause.start is None:
        yield clause
        for item in _first_items(clause):
            yield from _begun_with(item)


def _waiting_with(clause: Clause) -> Iterator[Clause]:
    """The clauses inside it that wait for a start mark as soon as the clause is open."""
    for item in _first_items(clause):
        if item.start is not None:
            yield item
        else:
            yield from _waiting_with(item)


def _first_items(clause: Clause) -> tuple[Clause, ...]:
    return clause.items[:1] if clause.kind is Kind.IN_ORDER else clause.items


def _clock_runs_again(clause: Clause) -> Iterator[Finding]:
    clock = next((rule for each in _begun_with(clause) for rule in _clocks(each)), None)
    waiting = (item for item in clause.items if item.start is not None)
    rests = [bound for item in waiting if item.rest is not None for bound in bounds(item.rest)]
    rules: tuple[Fault | RestBound, ...] = (*clause.faults, *rests)
    for rule in rules:
        if clock is not None and rule.effect is Effect.RESTART and not rule.at_once:
            facts = {"words": rule.words, "clock": clock.words, "name": clause.path}
            yield about(doubts.CLOCK_RUNS_AGAIN, clause.path, rule.span, facts, Label(clock.span, "this clock"))


def _clocks(clause: Clause) -> Iterator[Rule]:
    yield from (limit for limit in clause.limits if limit.figure.kind is FigureKind.TIME)
    if isinstance(clause.goal, For):
        yield clause.goal


# --- starts, rests, values -------------------------------------------------------------------------------


def _start_twice(clause: Clause) -> Iterator[Finding]:
    if clause.start is None or clause.start.first:
        return
    for item in _waiting_with(clause):
        if item.start is not None and item.start.pattern == clause.start.pattern:
            facts = {"mark": item.start.pattern.mark, "name": item.path, "around": clause.path}
            also = Label(clause.start.span, "consumed here")
            yield about(doubts.START_TWICE, item.path, item.start.span, facts, also)


def _start_not_counted(standard: Standard, clause: Clause) -> Iterator[Finding]:
    if clause.start is None or clause.start.first:
        return
    mark = clause.start.pattern.mark
    counting: list[Rule] = [limit for limit in clause.limits if limit.figure.kind is FigureKind.COUNT]
    counting += [f for f in clause.faults if isinstance(f.trigger, Occurrence) and f.trigger.more_than]
    counting += [clause.goal] if isinstance(clause.goal, Until | UntilTotals) else []
    for rule in counting:
        if mark in marks_named(rule) and _can_fit_both(standard, clause.start.pattern, _pattern(rule)):
            facts = {"mark": mark, "name": clause.path, "words": rule.words}
            yield about(
                doubts.START_NOT_COUNTED, clause.path, clause.start.span, facts, Label(rule.span, "counts it")
            )


def _can_fit_both(standard: Standard, one: Pattern, other: Pattern | None) -> bool:
    """Whether one entry of a mark fits both; None takes any."""
    mark = standard.mark(one.mark)
    if other is None or mark is None:
        return True
    if one.test is not None and other.test is not None:
        return meet(one.test, other.test)
    fitting = [one.fits(mark.name, choice) and other.fits(mark.name, choice) for choice in mark.choices]
    return any(fitting) if fitting else True


def _in_sequence(clause: Clause) -> Iterator[Finding]:
    """What an item's place after another means: rests before groups, times that begin at a goal."""
    if clause.kind is not Kind.IN_ORDER:
        return
    for before, item in pairwise(clause.items):
        if item.rest is None:
            yield from _held_after(before, item)
        elif any(inner.goal is not None for inner in _begun_with(item)):
            yield from _breached_by_nobody(item.rest, item)
        elif item.start is None and (rest := next(bounds(item.rest))).says_breach:
            inner = next(_waiting_with(item))
            assert inner.start is not None
            facts = {"words": rest.words, "name": item.path, "inner": inner.path}
            yield about(doubts.REST_BEFORE_GROUP, item.path, rest.span, facts, Label(inner.start.span, "here"))


def _breached_by_nobody(rest: Rest | None, after: Clause) -> Iterator[Finding]:
    for bound in () if rest is None or after.start is not None else bounds(rest):
        if bound.says_breach:
            facts = {"words": bound.words, "name": after.path}
            yield about(doubts.BREACH_BY_NOBODY, after.path, bound.span, facts)


def _held_after(before: Clause, item: Clause) -> Iterator[Finding]:
    for inner in _begun_with(item):
        if isinstance(inner.goal, For):
            facts = {"words": inner.goal.words, "before": before.path, "name": inner.path}
            yield about(doubts.CLOCK_AT_GOAL, inner.path, inner.goal.span, facts)


def _other_values(standard: Standard, event: Event) -> Iterator[Finding]:
    """A value asked for by a goal or a start while no rule anywhere uses the others."""
    for clause in event.clause.walk():
        for rule in (clause.start, clause.goal):
            pattern = None if rule is None else _pattern(rule)
            if rule is None or pattern is None or not (pattern.choices or pattern.test):
                continue
            if not _all_values_used(standard, pattern.mark):
                facts = {"mark": pattern.mark, "words": rule.words, "example": _fault_on_the_others(rule, pattern)}
                yield about(doubts.OTHER_VALUES, clause.path, rule.span, facts)


def _fault_on_the_others(rule: Rule, pattern: Pattern) -> str:
    """A line on values that do not fit."""
    test = pattern.test
    if test is None:
        fits = " or ".join(pattern.choices)
        return f"fail on {pattern.mark} {fits if pattern.other else f'other than {fits}'}"
    beyond = {
        Comparison.AT_LEAST: "under",
        Comparison.OVER: "at most",
        Comparison.AT_MOST: "over",
        Comparison.UNDER: "at least",
    }
    if test.comparison is Comparison.WITHIN:
        return f"fail on {pattern.mark} out of order"
    asked = rule.words.partition(f" {test.comparison.value} ")[2].partition(",")[0].partition(" more than ")[0]
    amount = asked if test.comparison in beyond else test.first
    return f"fail on {pattern.mark} {beyond.get(test.comparison, 'under')} {amount}"


def _meeting(standard: Standard, event: Event, clause: Clause) -> Iterator[Finding]:
    """A goal or start and a fault graver than a note, live with it, that meet at a single amount."""
    around = [each for each in event.clause.walk() if f"{clause.path}.".startswith(f"{each.path}.")]
    for rule in (clause.start, clause.goal):
        live = [each for each in around if each is not clause or rule is clause.goal]
        wanted = None if rule is None else _pattern(rule)
        if rule is None or wanted is None or wanted.test is None:
            continue
        for fault in (*standard.always.faults, *(fault for each in live for fault in each.faults)):
            pattern = _pattern(fault)
            if (
                fault.effect is Effect.NOTE
                or pattern is None
                or pattern.test is None
                or pattern.mark != wanted.mark
            ):
                continue
            point = meeting_point(wanted.test, pattern.test)
            if point is not None and isinstance(fault.trigger, Occurrence):
                facts = {"amount": str(point), "words": rule.words, "fault": fault.words, **_left_out(fault)}
                also = Label(fault.span, "the fault")
                yield about(doubts.MEET_AT_ONE_AMOUNT, clause.path, rule.span, facts, also)


def _left_out(fault: Fault) -> dict[str, str]:
    """The fault with its end left out, where it has one."""
    for counted, left_out in (("at least", "over"), ("at most", "under")):
        before, found, after = fault.words.partition(f" {counted} ")
        if found:
            return {"instead": f"{before} {left_out} {after}"}
    return {}


def _all_values_used(standard: Standard, name: str) -> bool:
    """Whether some rule uses each value of the mark; of a measure, whether the rules ask more than one test."""
    mark = standard.mark(name)
    named = [rule for rule in standard.rules() if name in marks_named(rule)]
    patterns = [pattern for rule in named if (pattern := _pattern(rule)) is not None]
    if mark is None or len(patterns) < len(named):
        return True  # a limit, a total or a silence counts the mark with any value
    if mark.choices:
        return all(any(p.fits(name, choice) for p in patterns) for choice in mark.choices)
    return len({p.test for p in patterns}) > 1
