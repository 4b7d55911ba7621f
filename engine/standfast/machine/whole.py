"""Whole numbers that keep limits on sums of them, found exactly.

The simplex method that looks for a point only, with bounds on every variable (Dutertre and de Moura, "A fast
linear-arithmetic solver for DPLL(T)", 2006, from memory), and branching on what is not whole. Rows are few here:
the unknowns of the sums that are no differences. Its answers are held against enumeration in the tests.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from standfast.machine.linear import AtMost
from standfast.values import define, field

Bounds = dict[int, tuple[int, int]]
"""Of each unknown the least and the greatest it may be."""

_MOST_BRANCHES = 2000


class Undecided(Exception):
    """What was asked would take too long to find out."""


def whole_point(bounds: Bounds, limits: Sequence[AtMost]) -> Mapping[int, int] | None:
    """Whole numbers within the bounds that keep the limits; None if there are none, Undecided if not found out."""
    left = _MOST_BRANCHES
    waiting = [bounds]
    while waiting:
        tried = waiting.pop()
        if any(least > most for least, most in tried.values()):
            continue
        point = _Tableau.of(tried, limits).point()
        if point is None:
            continue
        broken = next((unknown for unknown, value in point.items() if value.denominator > 1), None)
        if broken is None:
            return {unknown: int(value) for unknown, value in point.items()}
        left -= 1
        if not left:
            raise Undecided
        (least, most), below = tried[broken], point[broken].__floor__()
        waiting += [{**tried, broken: (below + 1, most)}, {**tried, broken: (least, below)}]
    return None


@define
class _Tableau:
    """Each row is a variable as a sum of those that are in no row; negative numbers stand for the limits."""

    bounds: dict[int, tuple[int | None, int]]
    rows: dict[int, dict[int, Fraction]]
    values: dict[int, Fraction] = field(factory=dict)

    @classmethod
    def of(cls, bounds: Bounds, limits: Sequence[AtMost]) -> "_Tableau":
        of_limits = {-number: limit for number, limit in enumerate(limits, 1)}
        rows = {
            number: {unknown: Fraction(each) for unknown, each in limit.terms}
            for number, limit in of_limits.items()
        }
        tableau = cls({**bounds, **{number: (None, limit.most) for number, limit in of_limits.items()}}, rows)
        tableau.values = {unknown: Fraction(least) for unknown, (least, _) in bounds.items()}
        for number, row in rows.items():
            tableau.values[number] = sum((each * tableau.values[k] for k, each in row.items()), Fraction(0))
        return tableau

    def point(self) -> dict[int, Fraction] | None:
        """Values of the unknowns; None if none keep all bounds. The first that can be is taken, so it ends."""
        while (out := next((each for each in sorted(self.rows) if self.aim(each) is not None), None)) is not None:
            aim = self.aim(out)
            assert aim is not None
            more = aim > self.values[out]
            into = next(
                (
                    each
                    for each, factor in sorted(self.rows[out].items())
                    if self.can_move(each, (factor > 0) is more)
                ),
                None,
            )
            if into is None:
                return None
            self.exchange(out, into, aim)
        return {unknown: value for unknown, value in self.values.items() if unknown > 0}

    def aim(self, number: int) -> int | None:
        """The bound that the value of a row lies beyond; None if none."""
        (least, most), value = self.bounds[number], self.values[number]
        if least is not None and value < least:
            return least
        return most if value > most else None

    def can_move(self, number: int, up: bool) -> bool:
        (least, most), value = self.bounds[number], self.values[number]
        return value < most if up else least is None or value > least

    def exchange(self, out: int, into: int, aim: int) -> None:
        """Set the value of the row `out` to the bound by moving `into`, which takes its place."""
        row = self.rows.pop(out)
        factor = row.pop(into)
        moved = (aim - self.values[out]) / factor
        self.values[out] = Fraction(aim)
        self.values[into] += moved
        turned = {each: -share / factor for each, share in row.items()}
        turned[out] = 1 / factor
        for number, other in self.rows.items():
            share = other.pop(into, None)
            if share is not None:
                self.values[number] += share * moved
                for each, part in turned.items():
                    other[each] = other.get(each, Fraction(0)) + share * part
                    if not other[each]:
                        del other[each]
        self.rows[into] = turned
