"""Which way a change of one line points, looked at by itself: whether more or fewer logs fit what it asks.

What becomes of the whole test is another question: a limit that fails an attempt sooner can leave time for the
next. A line that points neither way decides nothing about GO, or can work both ways.
"""

from collections.abc import Iterable
from enum import Enum
from fractions import Fraction
from typing import Any

from standfast.difference.facets import facets
from standfast.difference.stated import Part, Row, Setting
from standfast.model.rules import (
    Effect,
    Fault,
    For,
    Limit,
    Misses,
    Occurrence,
    OnlyFor,
    OutOfOrder,
    Pattern,
    RestBound,
    Score,
    Silence,
    Test,
    Until,
    UntilTotals,
)
from standfast.model.standard import Condition, Kind
from standfast.quantity import Comparison, Dimension

Sign = int | None
"""1 harder, -1 easier, 0 the same, None: it cannot be said."""

_GRAVE = {Effect.NOTE: 0, Effect.MISS: 1, Effect.FAIL: 2, Effect.DISQUALIFY: 3}
"""The effects of which each is worse for the candidate than those before it, whatever else the standard says."""


class Points(Enum):
    HARDER = "harder"
    EASIER = "easier"
    NEITHER = "neither"

    @property
    def mirrored(self) -> "Points":
        return {Points.HARDER: Points.EASIER, Points.EASIER: Points.HARDER}.get(self, self)


def points_of_rows(old: Row | None, new: Row | None) -> Points:
    """Of a row that came, went or was altered."""
    if old is not None and new is not None:
        return _points(_altered(old.thing, new.thing))
    there = new if old is None else old
    sign = 0 if there is None else _there(there.thing)
    return _points(sign if old is None or sign is None else -sign)


def points_of_part(part: Part, around: Part | None, *, came: bool) -> Points:
    """Of a whole event, step, group or grade that came or went."""
    if around is not None and around.kind is Kind.ONE_OF:
        return _points(-1 if came else 1)
    only_if_begun = any(isinstance(row.thing, Setting) and row.label == "only if begun" for row in part.rows)
    return _points(None if only_if_begun else 1 if came else -1)


def _points(sign: Sign) -> Points:
    return {1: Points.HARDER, -1: Points.EASIER}.get(sign or 0, Points.NEITHER)


def _all(signs: Iterable[Sign]) -> Sign:
    found = set(signs) - {0}
    return None if None in found or len(found) > 1 else next(iter(found), 0)


def _more(old: Any, new: Any) -> int:
    """1 where the new one is more; both are of one kind that has an order."""
    return int(new > old) - int(new < old)


def _equal(old: object, new: object, *without: str) -> Sign:
    return 0 if facets(old, *without) == facets(new, *without) else None


def _there(thing: object) -> Sign:
    """Which way it points that such a line is there."""
    match thing:
        case Limit() | Condition():
            return 1
        case Fault(effect=effect) | RestBound(effect=effect):
            return 1 if _GRAVE.get(effect, 0) else None
        case Setting(name="events in any order" | "only for" | "only if begun"):
            return -1
        case _:
            return None


def _altered(old: object, new: object) -> Sign:
    match old, new:
        case Condition(), Condition():
            return _demand(old.demand, new.demand)
        case Limit(), Limit():
            return _all((_equal(old, new, "test"), _test(old.test, new.test)))
        case Fault(), Fault():
            return _fault(old, new)
        case RestBound(), RestBound():
            return _rest(old, new)
        case Until(), Until():
            narrower = _opposite(_wider(old.pattern, new.pattern))
            return _all((_equal(old.counting, new.counting), _more(old.number, new.number), narrower))
        case UntilTotals(), UntilTotals():
            return _all((_equal(old, new, "amount"), _more(old.amount.base, new.amount.base)))
        case For(), For():
            return _more(old.length.base, new.length.base)
        case Score(), Score():
            return _score(old, new)
        case Setting(), Setting():
            return _setting(old, new)
        case _:
            return None


def _demand(old: Test | bool, new: Test | bool) -> Sign:
    return None if isinstance(old, bool) or isinstance(new, bool) else _test(old, new)


def _fault(old: Fault, new: Fault) -> Sign:
    was, will = _GRAVE.get(old.effect), _GRAVE.get(new.effect)
    effect = 0 if old.effect is new.effect else None if was is None or will is None else _more(was, will)
    trigger = _trigger(old.trigger, new.trigger)
    if not (was and will) and not _ends_rounds(old, new):
        trigger = None if trigger else trigger
    cap = 0 if old.at_most == new.at_most else _fewer(old.at_most, new.at_most)
    return _all((_equal(old, new, "trigger", "effect", "at_most"), effect, trigger, cap))


def _ends_rounds(old: Fault, new: Fault) -> bool:
    return all(each.effect is Effect.OUT and isinstance(each.trigger, Misses) for each in (old, new))


def _fewer(old: int | None, new: int | None) -> int:
    """1 where there are fewer; None is without limit."""
    if old is None or new is None:
        return _more(new is None, old is None)
    return -_more(old, new)


def _trigger(old: object, new: object) -> Sign:
    """1 where the new one acts whenever the old does, and more often."""
    match old, new:
        case Occurrence(), Occurrence():
            sooner = -_more(old.more_than, new.more_than)
            return _all((_equal(old.counting, new.counting), sooner, _wider(old.pattern, new.pattern)))
        case OutOfOrder(), OutOfOrder():
            return _wider(old.pattern, new.pattern)
        case Silence(), Silence() if old.mark == new.mark:
            return _more((-old.length.base, old.or_more), (-new.length.base, new.or_more))
        case Misses(), Misses() if old.in_a_row == new.in_a_row:
            return -_more(old.number, new.number)
        case _:
            return None


def _rest(old: RestBound, new: RestBound) -> Sign:
    """Both are of one bound: the least or the greatest."""
    was, will = _GRAVE.get(old.effect), _GRAVE.get(new.effect)
    if was is None or will is None:
        return 0 if facets(old) == facets(new) else None
    longer: Sign = _more(old.length.base, new.length.base)
    if old.path.endswith("_at_most"):
        longer = _opposite(longer)
    if longer and not min(was, will):
        longer = None
    return _all((_equal(old, new, "length", "effect"), _more(was, will), longer))


def _setting(old: Setting, new: Setting) -> Sign:
    match old.value, new.value:
        case (int() | None as was, int() | None as will):
            return _fewer(was, will)  # attempts, tries
        case (Kind.IN_ORDER, Kind.ANY_ORDER):
            return -1
        case (Kind.ANY_ORDER, Kind.IN_ORDER):
            return 1
        case (OnlyFor() as was, OnlyFor() as will) if was.fact == will.fact:
            return _inside(was.choices, will.choices)
        case _:
            return None


def _score(old: Score, new: Score) -> Sign:
    """Rows of one table with other points: fewer are harder."""
    if _equal(old, new, "points", "otherwise") is None:
        return None
    both = zip(old.rows, new.rows, strict=True)
    signs: list[Sign] = [_more(will.points, was.points) for was, will in both]
    if old.otherwise != new.otherwise:
        fails = old.otherwise is None or new.otherwise is None
        signs.append(None if fails else _fewer(old.otherwise, new.otherwise))
    return _all(signs)


# --- what fits -----------------------------------------------------------------------------------------------


def _opposite(sign: Sign) -> Sign:
    return None if sign is None else -sign


def _wider(old: Pattern, new: Pattern) -> Sign:
    """1 where the new pattern fits all that the old fits, and more."""
    if old.mark != new.mark:
        return None
    if facets(old) == facets(new):
        return 0
    if not (old.choices or old.test):
        return -1
    if not (new.choices or new.test):
        return 1
    if old.test is not None and new.test is not None:
        return _opposite(_test(old.test, new.test))
    if old.choices and new.choices and old.other == new.other:
        sign = _inside(old.choices, new.choices)
        return _opposite(sign) if old.other else sign
    return None


def _inside(old: Iterable[str], new: Iterable[str]) -> Sign:
    """1 where there are more."""
    was, will = set(old), set(new)
    return 0 if was == will else 1 if was < will else -1 if will < was else None


def _test(old: Test, new: Test) -> Sign:
    """1 where less passes: all that passes the new test passes the old."""
    if (old.of, old.heading) != (new.of, new.heading) or old.first.dimension is not new.first.dimension:
        return None
    within = [each.comparison is Comparison.WITHIN for each in (old, new)]
    if all(within):
        return -_more(old.first.base, new.first.base)
    if any(within):
        return None
    return _all((_more(_least(old), _least(new)), -_more(_most(old), _most(new))))


def _least(test: Test) -> tuple[bool, Fraction, bool]:
    """From where on an amount passes: whether anywhere, where, and whether only beyond it."""
    if not test.has_least:
        return False, Fraction(0), False
    bound, over = test.first.base, test.comparison is Comparison.OVER
    if over and test.first.dimension is Dimension.COUNT:
        return True, bound + 1, False
    return True, bound, over


def _most(test: Test) -> tuple[bool, Fraction, bool]:
    """Up to where an amount passes: whether everywhere, to where, and whether that passes too."""
    if not test.has_most:
        return True, Fraction(0), True
    bound, under = (test.second or test.first).base, test.comparison is Comparison.UNDER
    if under and test.first.dimension is Dimension.COUNT:
        return False, bound - 1, True
    return False, bound, not under
