"""Mistakes planted in faults."""

from random import Random

from standfast.model.rules import (
    Effect,
    Fault,
    Occurrence,
)
from standfast.model.standard import Kind, bounds
from standfast.proofing.slices import marks_named
from trials.manuscript import Manuscript
from trials.planting_places import Mistake, deadlines, goal_mark, label, lift, one_of, said


def goal_shadowed(sheet: Manuscript, rng: Random) -> Mistake | None:
    """The mark of a goal is a fault in a clause around it; one that names a round is none outside its rounds."""
    bound = {mark.name for mark in sheet.standard.marks if mark.names_round}
    wanted = [(clause, goal_mark(clause)) for _, clause in sheet.clauses()]
    loose = [clause for clause, said in wanted if said is not None and said.split()[0] not in bound]
    places = [(clause, outer) for clause in loose for outer in sheet.around(clause)]
    place = one_of(rng, places)
    if place is None:
        return None
    clause, outer = place
    assert clause.goal is not None
    sheet.add(sheet.of(outer), f"disqualify on {goal_mark(clause)} {label(rng)}")
    return "D106", sheet.of(clause.goal)


def step_after_a_shadowed_goal(sheet: Manuscript, rng: Random) -> Mistake | None:
    """Nobody comes to the item after a step that nobody can complete."""
    places = [
        (clause, after)
        for _, outer in sheet.clauses()
        if outer.kind is Kind.IN_ORDER
        for clause, after in zip(outer.items, outer.items[1:], strict=False)
        if goal_mark(clause) is not None
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    clause, after = place
    sheet.add(sheet.of(clause), f"{rng.choice(('disqualify', 'halt'))} on {goal_mark(clause)} {label(rng)}")
    return "D103", sheet.of(after)


def _acting(sheet: Manuscript, *, counting: bool) -> list[Fault]:
    """Faults on a mark that do more than note and less than disqualify."""
    faults = [fault for _, clause in sheet.clauses() for fault in clause.faults] + [*sheet.standard.always.faults]
    mild = [fault for fault in faults if fault.effect not in (Effect.NOTE, Effect.DISQUALIFY)]
    return [f for f in mild if isinstance(f.trigger, Occurrence) and (counting or not f.trigger.more_than)]


def fault_shadowed(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A graver fault on the same mark in the same clause; an `out` acts between attempts too."""
    fault = one_of(rng, [each for each in _acting(sheet, counting=True) if each.effect is not Effect.OUT])
    if fault is None:
        return None
    assert isinstance(fault.trigger, Occurrence)
    line = sheet.of(fault)
    sheet.after(line, f"{line.indent}disqualify on {said(fault.trigger.pattern)} {label(rng)}")
    return "D101", line


def two_gravities(sheet: Manuscript, rng: Random) -> Mistake | None:
    fault = one_of(rng, _acting(sheet, counting=False))
    if fault is None:
        return None
    assert isinstance(fault.trigger, Occurrence)
    line = sheet.of(fault)
    sheet.after(line, f"{line.indent}disqualify on {said(fault.trigger.pattern)} {label(rng)}")
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
    place = one_of(rng, places)
    if place is None:
        return None
    rule, clause = place
    line = sheet.of(rule)
    line.text = line.text.partition(", at most")[0]
    lift(sheet, deadlines(sheet, sheet.around(clause)))
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
    place = one_of(rng, places)
    if place is None:
        return None
    clause, mark = place
    words = f"{rng.choice(('fail', 'disqualify'))} on {mark}{rng.choice(('', ' more than once'))}"
    return "D118", sheet.add(sheet.of(clause), words)
