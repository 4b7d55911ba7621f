"""How long a run of a clause lasts that completes it, by its goal, its items and the rests between them alone.

A step `for` a time takes just that: one that still waits for entries waits within that instant. A rest before an
item without a start mark lasts exactly its least length. Times are in microseconds.
"""

from fractions import Fraction

from standfast.model.rules import OWN, Effect, Fault, FigureKind, For, Limit, Silence, Until
from standfast.model.standard import Clause, Kind, bounds
from standfast.quantity import Comparison
from standfast.values import frozen

_NOUGHT = Fraction(0)


@frozen
class Lasts:
    """The time that a clause takes, in microseconds; `most` None: any. After `failed` the attempt has failed."""

    least: Fraction
    most: Fraction | None
    failed: Fraction | None = None

    def never_breaks(self, limit: Limit) -> bool:
        """Whether it is on a time that is long enough, and over before it is too long, or on so long a silence."""
        test = limit.test
        if test.comparison is Comparison.WITHIN or test.of is not None:
            return False
        end = (test.second or test.first).base
        match limit.figure.kind:
            case FigureKind.TIME:
                long_enough = test.first.base + (test.comparison is Comparison.OVER) <= self.least
                return (long_enough or not test.has_least) and (not test.has_most or self._is_over(end))
            case FigureKind.SILENCE:
                return self._is_over(end) or (not limit.misses and self._has_failed(end))
            case _:
                return False

    def never_acts(self, fault: Fault) -> bool:
        """Whether it is on a silence so long that the clause is over before, or has failed as gravely."""
        match fault.trigger:
            case Silence(length=length):
                fails = fault.effect is Effect.FAIL and self._has_failed(length.base)
                return fails or self._is_over(length.base)
            case _:
                return False

    def _is_over(self, time: Fraction) -> bool:
        return self.most is not None and self.most < time

    def _has_failed(self, time: Fraction) -> bool:
        return self.failed is not None and self.failed < time


def lasts_at_least(clause: Clause) -> Fraction:
    """Whatever is logged, and whoever the candidate is."""
    for_some = any(item.only_for is not None for item in clause.items)
    due = [item for item in clause.items if item.only_for is None and not item.only_if_begun]
    each = [lasts_at_least(item) + (_NOUGHT if for_some else _rest(item)) for item in due]
    match clause.kind:
        case Kind.STEP:
            return clause.goal.length.base if isinstance(clause.goal, For) else _NOUGHT
        case Kind.IN_ORDER:
            return sum(each, _NOUGHT)
        case Kind.ANY_ORDER:
            return max(each, default=_NOUGHT)
        case Kind.ONE_OF:
            return _NOUGHT if for_some else min(each)
        case Kind.ROUNDS:
            return _NOUGHT


def lasts_at_most(clause: Clause) -> Fraction | None:
    """None where it may last for any time.

    What follows by itself adds up, as long as nothing inside is put back to its beginning.
    """
    if clause.kind is Kind.STEP:
        return clause.goal.length.base if isinstance(clause.goal, For) else None
    if clause.kind not in (Kind.IN_ORDER, Kind.ANY_ORDER) or any(map(_may_begin_late, clause.items)):
        return None
    each = [_after_rest(item) for item in clause.items]
    known = [time for time in each if time is not None]
    if len(known) < len(each):
        return None
    return sum(known, _NOUGHT) if clause.kind is Kind.IN_ORDER else max(known)


def lasts_by_rate(clause: Clause) -> Fraction:
    """How long it lasts at least where no rate in it is too high: as many entries as it takes lie apart.

    One that ends sooner breaks the limit on the rate then, which asks that there is one.
    """
    match clause.goal:
        case Until(pattern=pattern, number=number, counting=counting) if counting == OWN and number > 1:
            highest = (
                (limit.test.second or limit.test.first).base
                for limit in clause.limits
                if (limit.figure.kind, limit.figure.mark) == (FigureKind.RATE, pattern.mark)
                and limit.figure.counting == OWN
                and limit.test.comparison in (Comparison.FROM_TO, Comparison.EXACTLY)
                and not limit.misses
            )
            return max((Fraction(number - 1) / rate for rate in highest if rate), default=Fraction(0))
        case _:
            return Fraction(0)


def _rest(item: Clause) -> Fraction:
    least = None if item.rest is None or item.start is not None else item.rest.least
    return _NOUGHT if least is None else least.length.base


def _may_begin_late(item: Clause) -> bool:
    """Whether it waits for a mark, or its last run may begin later than its first."""
    inside = [each for each in item.walk() if each is not item]
    rests = (bound for each in inside if each.rest is not None for bound in bounds(each.rest))
    return (
        item.start is not None
        or any(fault.effect is Effect.RESTART for each in item.walk() for fault in each.faults)
        or any(bound.effect is Effect.RESTART for bound in rests)
    )


def _after_rest(item: Clause) -> Fraction | None:
    """The pause before it and its own time; without a start mark the pause lasts exactly its least length."""
    lasts = lasts_at_most(item)
    if item.rest is None or lasts is None:
        return lasts
    return None if item.rest.least is None else item.rest.least.length.base + lasts
