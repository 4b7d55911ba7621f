"""What an attempt that passes takes at least: entries, time and amounts, added up from the lines.

Each clause that is needed is completed once without a break. Of rounds as many are completed as must be made, each
in a try of its own. Nothing is asked of an item that need not begin. Amounts are in base units.
"""

from collections.abc import Sequence
from fractions import Fraction

from standfast.difference.acting import BREAKS
from standfast.difference.amounts import HAS_LEAST, HAS_MOST, NOUGHT, Range, amounts
from standfast.difference.needed import Needed, made
from standfast.model.rules import (
    Effect,
    FigureKind,
    For,
    Pattern,
    Silence,
    Start,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Kind
from standfast.quantity import Comparison
from standfast.values import field, frozen


@frozen
class AtLeast:
    """What each clause takes, if it is completed in an attempt that passes."""

    needed: Needed
    _known: dict[tuple[str, Pattern], int] = field(init=False, factory=dict, eq=False)

    def entries(self, clause: Clause, pattern: Pattern) -> int:
        """Those that fit while the clause is open; a start signal of its own comes before."""
        key = clause.path, pattern
        if key not in self._known:
            first = clause.start is not None and clause.start.first and _begins(clause.start, pattern)
            self._known[key] = max(int(first), self._inside(clause, pattern), self._asked(clause, pattern))
        return self._known[key]

    def _inside(self, clause: Clause, pattern: Pattern) -> int:
        items = self.needed.items(clause)
        match clause.kind:
            case Kind.ROUNDS:
                return made(clause) * self.of_round(clause, pattern)
            case Kind.IN_ORDER:
                return sum(_signals(item.start, pattern) + self.entries(item, pattern) for item in items)
            case Kind.ANY_ORDER:  # an entry is counted by all at once, but used by one alone
                used = sum(self._used(item, pattern) for item in items)
                return max([used, *(self.entries(item, pattern) for item in items)])
            case Kind.ONE_OF:
                return min(_signals(item.start, pattern) + self.entries(item, pattern) for item in items)
            case Kind.STEP:
                return self._of_goal(clause, pattern)

    def of_round(self, clause: Clause, pattern: Pattern) -> int:
        """The same for one round that is made."""
        inside = (_signals(item.start, pattern) + self.entries(item, pattern) for item in clause.items)
        return sum(inside) if clause.items else self._of_goal(clause, pattern)

    def _used(self, clause: Clause, pattern: Pattern) -> int:
        """The entries that begin it or something in it, or advance a goal in it."""
        starts = int(clause.start is not None and _begins(clause.start, pattern))
        each = [self._used(item, pattern) for item in self.needed.items(clause)]
        match clause.kind:
            case Kind.IN_ORDER | Kind.ANY_ORDER:
                inside = sum(each)
            case Kind.ONE_OF:
                inside = min(each)
            case Kind.STEP:
                inside = self._of_goal(clause, pattern)
            case Kind.ROUNDS:
                inside = 0
        return max(starts, inside) if clause.start is not None and clause.start.first else starts + inside

    def _of_goal(self, step: Clause, pattern: Pattern) -> int:
        match step.goal:
            case Until(pattern=goal, number=number, counting=counting) if not counting.by_anyone:
                return number if _fits_inside(goal, pattern) else 0
            case UntilTotals(mark=mark, amount=amount) if pattern == Pattern(mark):
                most = self.amounts(step, mark)[1]
                return 1 if not most else int(-(-amount.base // most))
            case _:
                return 0

    def _asked(self, clause: Clause, pattern: Pattern) -> int:
        """What its limits and silences ask of a mark, whatever its value."""
        if pattern != Pattern(pattern.mark):
            return 0
        least = [int((clause.path, pattern.mark) in self.needed.read)]
        for limit in clause.limits:
            figure, test = limit.figure, limit.test
            if figure.mark != pattern.mark:
                continue
            if figure.kind is FigureKind.COUNT and test.comparison in HAS_LEAST and not figure.counting.by_anyone:
                least.append(int(test.first.base) + (test.comparison is Comparison.OVER))
            elif figure.kind is FigureKind.SILENCE and test.comparison in HAS_MOST:
                least.append(self._to_break(clause, (test.second or test.first).base))
        for fault in clause.faults:
            match fault.trigger:
                case Silence(mark=pattern.mark, length=length) if fault.effect in BREAKS:
                    least.append(self._to_break(clause, length.base))
        return max(least)

    def _to_break(self, clause: Clause, silence: Fraction) -> int:
        """The entries that break the clause's time into stretches no longer than a silence may be."""
        return int(-(-self.time(clause) // silence)) - 1 if silence else 0

    def time(self, clause: Clause) -> Fraction:
        """From its beginning to its completion."""
        asked = [
            limit.test.first.base
            for limit in clause.limits
            if limit.figure.kind is FigureKind.TIME and limit.test.comparison in HAS_LEAST
        ]
        each = [_rest(item) + self.time(item) for item in self.needed.items(clause)]
        if isinstance(clause.goal, For):
            each.append(clause.goal.length.base)
        return max([self._together(clause, each), *asked])

    def total(self, clause: Clause, mark: str) -> Fraction:
        """What the amounts of a mark logged while it is open add up to."""
        each = [self.total(item, mark) for item in self.needed.items(clause)]
        match clause.goal:
            case UntilTotals(mark=goal, amount=amount) if goal == mark:
                each.append(amount.base)
        return max(
            self._together(clause, each), self.amounts(clause, mark)[0] * self.entries(clause, Pattern(mark))
        )

    def _together(self, clause: Clause, each: Sequence[Fraction]) -> Fraction:
        """What items that take so much each, or a goal, take together at least."""
        match clause.kind:
            case Kind.ROUNDS:
                return made(clause) * sum(each, NOUGHT)
            case Kind.IN_ORDER:
                return sum(each, NOUGHT)
            case Kind.ONE_OF:
                return min(each)
            case Kind.ANY_ORDER | Kind.STEP:
                return max(each, default=NOUGHT)

    def amounts(self, clause: Clause, mark: str) -> Range:
        """The least and the greatest that may be logged of the mark while it is open; None: any."""
        return amounts(self.needed.standard.always, self.needed.chains[clause.path], mark)


def _rest(item: Clause) -> Fraction:
    """How long the pause before an item takes at least."""
    least = None if item.rest is None else item.rest.least
    if least is None or (item.start is not None and least.effect in (Effect.NOTE, Effect.RESTART)):
        return NOUGHT
    return least.length.base


def _begins(start: Start, pattern: Pattern) -> bool:
    """Whether an entry that begins it fits."""
    return not start.counting.by_anyone and _fits_inside(start.pattern, pattern)


def _signals(start: Start | None, pattern: Pattern) -> int:
    """The entries that fit from when a clause waits until its signal is given."""
    if start is None or start.first or not _begins(start, pattern):
        return 0
    return start.more_than + 1


def _fits_inside(inner: Pattern, outer: Pattern) -> bool:
    """Whether all that fits the one fits the other."""
    if inner.mark != outer.mark:
        return False
    if outer == Pattern(outer.mark) or inner == outer:
        return True
    choices = set(inner.choices), set(outer.choices)
    if not inner.choices or inner.other or not outer.choices:
        return False
    return choices[0].isdisjoint(choices[1]) if outer.other else choices[0] <= choices[1]
