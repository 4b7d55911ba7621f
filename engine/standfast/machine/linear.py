"""Sums of instants, and limits on them: what a question about time is when the instants are not known.

An instant is written as one number: that of the entry whose time it hangs on, and how long after it. Times of
entries are unknowns, numbered from 1; nought is the session's zero, which is known.
"""

from fractions import Fraction
from math import floor

from standfast.values import frozen

_ENTRY = 1 << 64

Terms = tuple[tuple[int, int], ...]
"""Unknowns in ascending order, each with its factor, which is not nought."""


def instant_of(unknown: int) -> int:
    """The instant of an entry; microseconds may be added to it."""
    return unknown * _ENTRY


def unknown_of(instant: int) -> int:
    return instant // _ENTRY


@frozen
class Linear:
    """The sum of unknowns with their factors, and a constant; microseconds."""

    terms: Terms
    constant: Fraction

    def plus(self, other: "Linear", factor: int = 1) -> "Linear":
        factors = dict(self.terms)
        for unknown, each in other.terms:
            factors[unknown] = factors.get(unknown, 0) + factor * each
        terms = tuple((unknown, each) for unknown, each in sorted(factors.items()) if each)
        return Linear(terms, self.constant + factor * other.constant)

    def at_most(self, bound: Fraction | int) -> "AtMost":
        return AtMost(self.terms, floor(bound - self.constant))

    def at_least(self, bound: Fraction | int) -> "AtMost":
        return Linear((), Fraction(0)).plus(self, -1).at_most(-Fraction(bound))


def constant(amount: Fraction | int) -> Linear:
    return Linear((), Fraction(amount))


def linear(instant: int) -> Linear:
    unknown, after = divmod(instant, _ENTRY)
    return Linear(((unknown, 1),) if unknown else (), Fraction(after))


def stretch(since: int, until: int) -> Linear:
    """From an instant to another."""
    return linear(until).plus(linear(since), -1)


@frozen
class AtMost:
    """A sum of unknowns with their factors is at most so much. All are whole, so its contrary is one too."""

    terms: Terms
    most: int

    def contrary(self) -> "AtMost":
        return AtMost(tuple((unknown, -factor) for unknown, factor in self.terms), -self.most - 1)

    def difference(self) -> tuple[int | None, int | None] | None:
        """The unknown that may not be greater, and than which (None: nought); None where it is another sum."""
        one = [unknown for unknown, factor in self.terms if factor == 1]
        other = [unknown for unknown, factor in self.terms if factor == -1]
        if len(one) > 1 or len(other) > 1 or len(one) + len(other) != len(self.terms):
            return None
        return one[0] if one else None, other[0] if other else None
