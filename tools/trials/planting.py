"""Mistakes that an author may make, each planted at a random place where it is one.

A planter takes a manuscript, picks a place, spoils it and says which finding must come of it: its code and the
line it points at (None: any line). It returns None where the standard has no such place.
"""

import re
from collections.abc import Callable
from random import Random

from standfast.model.rules import (
    Fault,
    Limit,
    Occurrence,
    OutOfOrder,
    Pattern,
    Rule,
    Start,
    Until,
    UntilTotals,
)
from standfast.model.standard import Kind
from standfast.proofing.slices import marks_named
from standfast.quantity import Dimension, Quantity
from trials.manuscript import Manuscript
from trials.planting_faults import (
    fault_around_a_rest,
    fault_shadowed,
    goal_shadowed,
    restart_without_a_number,
    step_after_a_shadowed_goal,
    two_gravities,
)
from trials.planting_limits import (
    count_without_time,
    limit_made_idle,
    limits_swapped,
    limits_that_contradict,
    more_wanted_than_allowed,
    time_limit_in_any_order,
    time_limit_on_the_test,
    time_limits_lifted,
)
from trials.planting_places import Mistake, lift, one_of
from trials.planting_starts import (
    rest_before_a_group,
    restart_of_a_running_clock,
    start_mark_counted,
    start_mark_of_a_restart_dropped,
    start_mark_twice,
    time_held_from_a_goal,
)

Planter = Callable[[Manuscript, Random], Mistake | None]


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
    place = one_of(rng, places)
    if place is None:
        return None
    mark, rule = place
    lift(sheet, [sheet.of(rule)])
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
    place = one_of(rng, places)
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
    place = one_of(rng, _measured(sheet))
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
    """A step in which time passes and nothing else, with no rule of the event around it or beside it."""
    ordered = [clause for _, clause in sheet.clauses() if clause.kind is Kind.IN_ORDER]
    alone = [clause for clause in ordered if all(each.kind is not Kind.ANY_ORDER for each in sheet.around(clause))]
    outer = one_of(rng, alone)
    if outer is None:
        return None
    blocks = (outer, *sheet.around(outer))
    lift(sheet, [sheet.of(rule) for each in blocks for rule in (*each.limits, *each.faults)])
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
    clause = one_of(rng, [clause for _, clause in sheet.clauses()])
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
