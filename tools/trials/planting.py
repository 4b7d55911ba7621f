"""Mistakes that an author may make, each planted at a random place where it is one.

A planter takes a manuscript, picks a place, spoils it and says which finding must come of it: its code and the
line it points at (None: any line). It returns None where the standard has no such place.
"""

import re
from collections.abc import Callable, Iterable
from random import Random
from typing import TypeVar

from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Pattern,
    Rule,
    Silence,
    Start,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Kind, bounds
from standfast.proofing.slices import is_time_limit, marks_named
from standfast.quantity import Dimension, Quantity
from trials.manuscript import Line, Manuscript

Mistake = tuple[str, Line | None]
Planter = Callable[[Manuscript, Random], Mistake | None]
T = TypeVar("T")


def _one_of(rng: Random, places: Iterable[T]) -> T | None:
    known = list(places)
    return rng.choice(known) if known else None


def _seconds(length: Quantity, times: int) -> str:
    return f"{int(length.base) * times // 1_000_000} s"


def _label(rng: Random) -> str:
    return f"as planted_{rng.randrange(1000)}"


def _said(pattern: Pattern) -> str:
    if pattern.choices:
        return f"{pattern.mark} {'other than ' if pattern.other else ''}{' or '.join(pattern.choices)}"
    if pattern.test is None:
        return pattern.mark
    to = "" if pattern.test.second is None else f" to {pattern.test.second}"
    of = "" if pattern.test.of is None else f" of {pattern.test.of}"
    return f"{pattern.mark} {pattern.test.comparison.value} {pattern.test.first}{to}{of}"


def _goal_mark(clause: Clause) -> str | None:
    """What takes the goal's mark, if it has one."""
    match clause.goal:
        case Until(pattern=pattern):
            return _said(pattern)
        case UntilTotals(mark=mark):
            return mark
        case _:
            return None


def _counts(limit: Limit) -> bool:
    """Whether it is broken by a mark too many."""
    return limit.figure.kind is FigureKind.COUNT and limit.test.has_most


def _deadlines(sheet: Manuscript, clauses: Iterable[Clause]) -> list[Line]:
    """The lines by which time alone does something to one of the clauses, or to the whole test."""
    always = sheet.standard.always
    limits = [*always.limits, *(limit for clause in clauses for limit in clause.limits)]
    faults = [*always.faults, *(fault for clause in clauses for fault in clause.faults)]
    found: list[Rule] = [
        limit for limit in limits if is_time_limit(limit) or limit.figure.kind is FigureKind.SILENCE
    ]
    found += [fault for fault in faults if isinstance(fault.trigger, Silence)]
    return [sheet.of(rule) for rule in found]


def _lift(sheet: Manuscript, lines: Iterable[Line]) -> None:
    """Drop lines, and `always` with its last one."""
    for line in lines:
        sheet.lines.remove(line)
    heads = [line for line in sheet.lines if line.words == "always"]
    for head in heads:
        if not sheet.block(head):
            sheet.lines.remove(head)


# --- limits --------------------------------------------------------------------------------------------------


def limits_that_contradict(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A clause that may not be done before it must be."""
    places = [
        (event, limit)
        for event, clause in sheet.clauses()
        for limit in clause.limits
        if is_time_limit(limit) and sheet.must_be_done(clause)
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    event, limit = place
    line = sheet.of(limit)
    sheet.after(line, f"{line.indent}not before {_seconds(limit.test.first, rng.choice((2, 3)))} {_label(rng)}")
    return "P101", sheet.of(event.clause)


def limits_swapped(sheet: Manuscript, rng: Random) -> Mistake | None:
    """The least time of a clause for the greatest of one around it."""
    pairs = [
        (event, low, high)
        for event, clause in sheet.clauses()
        for outer in (clause, *sheet.around(clause))
        for low in clause.limits
        for high in outer.limits
        if low.figure.kind is FigureKind.TIME and not is_time_limit(low) and is_time_limit(high)
        if sheet.must_be_done(clause) and low.test.first.base < high.test.first.base
    ]
    place = _one_of(rng, pairs)
    if place is None:
        return None
    event, low, high = place
    for limit, length in ((low, high.test.first), (high, low.test.first)):
        line = sheet.of(limit)
        line.text = line.text.replace(str(limit.test.first), str(length), 1)
    return "P101", sheet.of(event.clause)


def more_wanted_than_allowed(sheet: Manuscript, rng: Random) -> Mistake | None:
    """`at least` of a mark that is allowed fewer times."""
    places = [
        (event, limit)
        for event, clause in sheet.clauses()
        for limit in clause.limits
        if limit.figure.kind is FigureKind.COUNT and not _counts(limit) and limit.test.first.base > 0
        if sheet.must_be_done(clause)
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    event, limit = place
    line = sheet.of(limit)
    sheet.after(line, f"{line.indent}before {int(limit.test.first.base)} {limit.figure.mark}")
    return "P101", sheet.of(event.clause)


def _can_be_widened(limit: Limit) -> bool:
    """Whether a short limit says the same with a larger number."""
    short = limit.figure.kind in (FigureKind.COUNT, FigureKind.SILENCE, FigureKind.TIME)
    return short and limit.test.has_most and not limit.test.has_least and limit.test.first.base > 0


def limit_made_idle(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A second, larger limit beside one; where failures are kept both act."""
    limits = [limit for event, c in sheet.clauses() if not event.carry_on for limit in c.limits]
    limits += sheet.standard.always.limits
    limit = _one_of(rng, [x for x in limits if _can_be_widened(x)])
    if limit is None:
        return None
    line, times = sheet.of(limit), rng.choice((2, 3))
    match limit.figure.kind:
        case FigureKind.COUNT:
            words = f"within {int(limit.test.first.base) * times} {limit.figure.mark}"
        case FigureKind.SILENCE:
            words = f"no {limit.figure.mark} for over {_seconds(limit.test.first, times)}"
        case _:
            words = f"within {_seconds(limit.test.first, times)}"
    return "D102", sheet.after(line, f"{line.indent}{words} {_label(rng)}")


def time_limits_lifted(sheet: Manuscript, rng: Random) -> Mistake | None:
    """No deadline left on a step that waits for a mark, nor around it."""
    places = [
        (clause, lines)
        for _, clause in sheet.clauses()
        if _goal_mark(clause) is not None and (lines := _deadlines(sheet, [clause, *sheet.around(clause)]))
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    clause, lines = place
    _lift(sheet, lines)
    return "D104", sheet.of(clause)


def count_without_time(sheet: Manuscript, rng: Random) -> Mistake | None:
    """No deadline left where a mark is counted."""
    places = [
        (limit, lines)
        for _, clause in sheet.clauses()
        for limit in clause.limits
        if _counts(limit) and isinstance(clause.goal, Until | UntilTotals)
        if (lines := _deadlines(sheet, [clause, *sheet.around(clause)]))
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    limit, lines = place
    _lift(sheet, lines)
    return "D112", sheet.of(limit)


def time_limit_on_the_test(sheet: Manuscript, rng: Random) -> Mistake | None:
    head = sheet.find("always")
    return "D119", sheet.add(head, f"within {rng.randrange(4, 9)} h {_label(rng)}")


def time_limit_in_any_order(sheet: Manuscript, rng: Random) -> Mistake | None:
    """On an item without a start mark."""
    groups = [clause for _, clause in sheet.clauses() if clause.kind is Kind.ANY_ORDER]
    items = [item for group in groups for item in group.items if item.start is None and not item.limits]
    item = _one_of(rng, items)
    if item is None:
        return None
    words = f"{rng.choice(('within', 'under', 'not before'))} {rng.randrange(20, 40)} s"
    return "D111", sheet.add(sheet.of(item), words)


# --- faults --------------------------------------------------------------------------------------------------


def goal_shadowed(sheet: Manuscript, rng: Random) -> Mistake | None:
    """The mark of a goal is a fault in a clause around it; one that names a round is none outside its rounds."""
    bound = {mark.name for mark in sheet.standard.marks if mark.names_round}
    wanted = [(clause, _goal_mark(clause)) for _, clause in sheet.clauses()]
    loose = [clause for clause, said in wanted if said is not None and said.split()[0] not in bound]
    places = [(clause, outer) for clause in loose for outer in sheet.around(clause)]
    place = _one_of(rng, places)
    if place is None:
        return None
    clause, outer = place
    assert clause.goal is not None
    sheet.add(sheet.of(outer), f"disqualify on {_goal_mark(clause)} {_label(rng)}")
    return "D106", sheet.of(clause.goal)


def step_after_a_shadowed_goal(sheet: Manuscript, rng: Random) -> Mistake | None:
    """Nobody comes to the item after a step that nobody can complete."""
    places = [
        (clause, after)
        for _, outer in sheet.clauses()
        if outer.kind is Kind.IN_ORDER
        for clause, after in zip(outer.items, outer.items[1:], strict=False)
        if _goal_mark(clause) is not None
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    clause, after = place
    sheet.add(sheet.of(clause), f"{rng.choice(('disqualify', 'halt'))} on {_goal_mark(clause)} {_label(rng)}")
    return "D103", sheet.of(after)


def _acting(sheet: Manuscript, *, counting: bool) -> list[Fault]:
    """Faults on a mark that do more than note and less than disqualify."""
    faults = [fault for _, clause in sheet.clauses() for fault in clause.faults] + [*sheet.standard.always.faults]
    mild = [fault for fault in faults if fault.effect not in (Effect.NOTE, Effect.DISQUALIFY)]
    return [f for f in mild if isinstance(f.trigger, Occurrence) and (counting or not f.trigger.more_than)]


def fault_shadowed(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A graver fault on the same mark in the same clause."""
    fault = _one_of(rng, _acting(sheet, counting=True))
    if fault is None:
        return None
    assert isinstance(fault.trigger, Occurrence)
    line = sheet.of(fault)
    sheet.after(line, f"{line.indent}disqualify on {_said(fault.trigger.pattern)} {_label(rng)}")
    return "D101", line


def two_gravities(sheet: Manuscript, rng: Random) -> Mistake | None:
    fault = _one_of(rng, _acting(sheet, counting=False))
    if fault is None:
        return None
    assert isinstance(fault.trigger, Occurrence)
    line = sheet.of(fault)
    sheet.after(line, f"{line.indent}disqualify on {_said(fault.trigger.pattern)} {_label(rng)}")
    return "D107", line


def restart_without_a_number(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A restart's greatest number lifted, and the deadlines around its clause."""
    places = [
        (rule, clause)
        for _, inner in sheet.clauses()
        for rule in (*inner.faults, *(() if inner.rest is None else bounds(inner.rest)))
        for clause in ([inner] if isinstance(rule, Fault) else sheet.around(inner)[:1])
        if rule.effect is Effect.RESTART and rule.at_most is not None
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    rule, clause = place
    line = sheet.of(rule)
    line.text = line.text.partition(", at most")[0]
    _lift(sheet, _deadlines(sheet, sheet.around(clause)))
    return "D105", line


def fault_around_a_rest(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A fault on the clause around a rest, on a mark that the event does not know yet."""
    places = [
        (clause, mark.name)
        for event, clause in sheet.clauses()
        if any(item.rest is not None for item in clause.items)
        for mark in sheet.standard.marks
        if not any(mark.name in marks_named(rule) for rule in (*event.rules(), *sheet.standard.always.faults))
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    clause, mark = place
    words = f"{rng.choice(('fail', 'disqualify'))} on {mark}{rng.choice(('', ' more than once'))}"
    return "D118", sheet.add(sheet.of(clause), words)


# --- starts --------------------------------------------------------------------------------------------------


def start_mark_twice(sheet: Manuscript, rng: Random) -> Mistake | None:
    places = [
        (clause.start, clause.items[0])
        for _, clause in sheet.clauses()
        if clause.kind is Kind.IN_ORDER and clause.start is not None and not clause.start.first
        if clause.items[0].start is None
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    start, item = place
    return "D110", sheet.add(sheet.of(item), f"start {rng.choice(('on', 'with first'))} {_said(start.pattern)}")


def start_mark_counted(sheet: Manuscript, rng: Random) -> Mistake | None:
    starts = [c.start for _, c in sheet.clauses() if c.start is not None and not c.start.first]
    start = _one_of(rng, [start for start in starts if not sheet.known("D114", sheet.of(start))])
    if start is None:
        return None
    line = sheet.of(start)
    sheet.after(line, f"{line.indent}within {rng.randrange(2, 5)} {start.pattern.mark} {_label(rng)}")
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
    place = _one_of(rng, places)
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
    clause = _one_of(rng, [clause for clause in clauses if _clocked(clause)])
    if clause is None:
        return None
    mark = rng.choice(sheet.standard.marks).name
    return "D115", sheet.add(sheet.of(clause), f'restart on {mark} "again", at most once {_label(rng)}')


def time_held_from_a_goal(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A step with a time to be held right after a goal, its start mark forgotten."""
    places = [
        item
        for _, clause in sheet.clauses()
        if clause.kind is Kind.IN_ORDER
        for item in clause.items
        if item.goal is not None
    ]
    item = _one_of(rng, places)
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
    place = _one_of(rng, places)
    if place is None:
        return None
    clause, rest = place
    head = sheet.of(clause)
    for line in (head, *sheet.block(head)):
        line.text = f"    {line.text}"
    sheet.after(sheet.of(rest), f"{head.indent[4:]}in order planted_{rng.randrange(1000)}")
    return "D113", sheet.of(rest)


# --- marks, values, units ------------------------------------------------------------------------------------


def mark_declared_for_nothing(sheet: Manuscript, rng: Random) -> Mistake | None:
    line = sheet.of(rng.choice(sheet.standard.marks))
    return "D108", sheet.after(line, f'{line.indent}planted_{rng.randrange(1000)} "Seen by nobody"')


def last_rule_of_a_mark_dropped(sheet: Manuscript, rng: Random) -> Mistake | None:
    rules = list(sheet.standard.rules())
    places = [
        (mark, named[0])
        for mark in sheet.standard.marks
        if len(named := [rule for rule in rules if mark.name in marks_named(rule)]) == 1
        if isinstance(named[0], Limit | Fault)
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    mark, rule = place
    _lift(sheet, [sheet.of(rule)])
    return "D108", sheet.of(mark)


def value_that_no_rule_uses(sheet: Manuscript, rng: Random) -> Mistake | None:
    """One more value of a mark whose values are all asked for one by one."""
    rules = list(sheet.standard.rules())
    places = [
        (mark, goal)
        for mark in sheet.standard.marks
        if mark.choices and all(_asks_for_some(rule) for rule in rules if mark.name in marks_named(rule))
        for goal in rules
        if isinstance(goal, Start | Until) and goal.pattern.mark == mark.name
        if not sheet.known("D116", sheet.of(goal))
    ]
    place = _one_of(rng, places)
    if place is None:
        return None
    mark, goal = place
    line = sheet.of(mark)
    line.text = line.text.replace("is one of ", f"is one of planted_{rng.randrange(1000)}, ", 1)
    return "D116", sheet.of(goal)


def _asks_for_some(rule: Rule) -> bool:
    match rule:
        case Start(pattern=pattern) | Until(pattern=pattern):
            return bool(pattern.choices) and not pattern.other
        case Fault(trigger=Occurrence(pattern=pattern) | OutOfOrder(pattern=pattern)):
            return bool(pattern.choices) and not pattern.other
        case _:
            return False


_OTHER_UNIT = {"m": "yd", "kg": "lb"}


def units_mixed(sheet: Manuscript, rng: Random) -> Mistake | None:
    """An amount in another unit than its mark is measured in."""
    place = _one_of(rng, _measured(sheet))
    if place is None:
        return None
    rule, quantity = place
    line, number = sheet.of(rule), str(quantity).partition(" ")[0]
    line.text = line.text.replace(str(quantity), f"{number} {_OTHER_UNIT[quantity.unit.name]}", 1)
    return "A101", None


def _measured(sheet: Manuscript) -> list[tuple[Rule, Quantity]]:
    """Amounts of marks that are measured, in lines that have just one."""
    found: list[tuple[Rule, Quantity]] = []
    for rule in sheet.standard.rules():
        match rule:
            case UntilTotals(amount=amount):
                found.append((rule, amount))
            case Until(pattern=Pattern(test=test)) | Fault(trigger=Occurrence(pattern=Pattern(test=test))):
                found += [] if test is None or test.second is not None else [(rule, test.first)]
            case _:
                pass
    measured = (Dimension.LENGTH, Dimension.MASS, Dimension.SPEED)
    return [(rule, quantity) for rule, quantity in found if quantity.dimension in measured]


# --- steps, cases, acceptances -------------------------------------------------------------------------------


def step_that_any_log_passes(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A step in which time passes and nothing else, with no rule of the event around it."""
    outer = _one_of(rng, [clause for _, clause in sheet.clauses() if clause.kind is Kind.IN_ORDER])
    if outer is None:
        return None
    blocks = (outer, *sheet.around(outer))
    _lift(sheet, [sheet.of(rule) for each in blocks for rule in (*each.limits, *each.faults)])
    head = sheet.of(outer)
    last = sheet.block(head)[-1]
    step = sheet.after(last, f"{head.indent}    step planted_{rng.randrange(1000)}")
    sheet.add(step, f"for {rng.randrange(10, 30)} s")
    return "D109", step


def case_that_fails(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A second more or less, one more, or another verdict, in what a case gives."""
    gives = re.compile(r"gives (?:.* )?(?:GO|UNFINISHED|VOID|points \d+|at [\d:.]+)")
    line = rng.choice([line for line in sheet.lines if gives.fullmatch(line.words)])
    words = line.words.split()
    if words[-2] == "points":
        words[-1] = str(int(words[-1]) + 1)
    elif words[-2] == "at":
        minutes, _, seconds = words[-1].partition(":")
        words[-1] = f"{minutes}:{(int(float(seconds)) + rng.choice((1, 2))) % 60:02}"
    else:
        verdicts = ("GO", "NO-GO", "UNFINISHED", "VOID") if len(words) == 2 else ("GO", "NO-GO")
        words[-1] = rng.choice([verdict for verdict in verdicts if verdict != words[-1]])
    line.text = line.indent + " ".join(words)
    return "C3", line


def acceptance_of_nothing(sheet: Manuscript, rng: Random) -> Mistake | None:
    """An acceptance in a block about which there is no such doubt."""
    clause = _one_of(rng, [clause for _, clause in sheet.clauses()])
    if clause is None:
        return None
    head = sheet.of(clause)
    codes = ("D101", "D102", "D103", "D104", "D105", "D106", "D107")
    return "A102", sheet.add(head, f'accept {rng.choice(codes)} "planted"')


PLANTERS: dict[str, Planter] = {
    "limits that contradict each other": limits_that_contradict,
    "limits swapped": limits_swapped,
    "more wanted than allowed": more_wanted_than_allowed,
    "a limit made idle": limit_made_idle,
    "time limits lifted": time_limits_lifted,
    "a counted limit without time": count_without_time,
    "a time limit on the whole test": time_limit_on_the_test,
    "a time limit in any order": time_limit_in_any_order,
    "a goal shadowed by a fault": goal_shadowed,
    "a step after a shadowed goal": step_after_a_shadowed_goal,
    "a fault shadowed by a graver one": fault_shadowed,
    "two gravities on one mark": two_gravities,
    "a restart's number lifted": restart_without_a_number,
    "a fault around a rest": fault_around_a_rest,
    "a start mark used twice": start_mark_twice,
    "a start mark counted": start_mark_counted,
    "a restart's start mark dropped": start_mark_of_a_restart_dropped,
    "a restart of a running clock": restart_of_a_running_clock,
    "a time held from a goal": time_held_from_a_goal,
    "a rest before a group": rest_before_a_group,
    "a mark declared for nothing": mark_declared_for_nothing,
    "a mark's last rule dropped": last_rule_of_a_mark_dropped,
    "a value that no rule uses": value_that_no_rule_uses,
    "units mixed": units_mixed,
    "a step that any log passes": step_that_any_log_passes,
    "a case that fails": case_that_fails,
    "an acceptance of nothing": acceptance_of_nothing,
}
WHOLE = {case_that_fails, acceptance_of_nothing}
"""Those that need the cases and acceptances of a standard."""
