"""Mistakes planted in limits."""

from random import Random

from standfast.model.rules import (
    FigureKind,
    Limit,
    Until,
    UntilTotals,
)
from standfast.model.standard import Kind
from standfast.proofing.slices import is_time_limit
from trials.manuscript import Manuscript
from trials.planting_places import Mistake, counts, deadlines, goal_mark, label, lift, one_of, seconds


def limits_that_contradict(sheet: Manuscript, rng: Random) -> Mistake | None:
    """A clause that may not be done before it must be."""
    places = [
        (event, limit)
        for event, clause in sheet.clauses()
        for limit in clause.limits
        if is_time_limit(limit) and sheet.must_be_done(clause)
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    event, limit = place
    line = sheet.of(limit)
    most = limit.test.second or limit.test.first
    sheet.after(line, f"{line.indent}not before {seconds(most, rng.choice((2, 3)))} {label(rng)}")
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
    place = one_of(rng, pairs)
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
        if limit.figure.kind is FigureKind.COUNT and not counts(limit) and limit.test.first.base > 0
        if sheet.must_be_done(clause)
    ]
    place = one_of(rng, places)
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
    limit = one_of(rng, [x for x in limits if _can_be_widened(x)])
    if limit is None:
        return None
    line, times = sheet.of(limit), rng.choice((2, 3))
    match limit.figure.kind:
        case FigureKind.COUNT:
            words = f"within {int(limit.test.first.base) * times} {limit.figure.mark}"
        case FigureKind.SILENCE:
            words = f"no {limit.figure.mark} for over {seconds(limit.test.first, times)}"
        case _:
            words = f"within {seconds(limit.test.first, times)}"
    return "D102", sheet.after(line, f"{line.indent}{words} {label(rng)}")


def time_limits_lifted(sheet: Manuscript, rng: Random) -> Mistake | None:
    """No deadline left on a step that waits for a mark, nor around it."""
    places = [
        (clause, lines)
        for _, clause in sheet.clauses()
        if goal_mark(clause) is not None and (lines := deadlines(sheet, [clause, *sheet.around(clause)]))
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    clause, lines = place
    lift(sheet, lines)
    return "D104", sheet.of(clause)


def count_without_time(sheet: Manuscript, rng: Random) -> Mistake | None:
    """No deadline left where a mark is counted."""
    places = [
        (limit, lines)
        for _, clause in sheet.clauses()
        for limit in clause.limits
        if counts(limit) and isinstance(clause.goal, Until | UntilTotals)
        if (lines := deadlines(sheet, [clause, *sheet.around(clause)]))
    ]
    place = one_of(rng, places)
    if place is None:
        return None
    limit, lines = place
    lift(sheet, lines)
    return "D112", sheet.of(limit)


def time_limit_on_the_test(sheet: Manuscript, rng: Random) -> Mistake | None:
    head = sheet.find("always")
    return "D119", sheet.add(head, f"within {rng.randrange(4, 9)} h {label(rng)}")


def time_limit_in_any_order(sheet: Manuscript, rng: Random) -> Mistake | None:
    """On an item without a start mark."""
    groups = [clause for _, clause in sheet.clauses() if clause.kind is Kind.ANY_ORDER]
    items = [item for group in groups for item in group.items if item.start is None and not item.limits]
    item = one_of(rng, items)
    if item is None:
        return None
    words = f"{rng.choice(('within', 'under', 'not before'))} {rng.randrange(20, 40)} s"
    return "D111", sheet.add(sheet.of(item), words)
