"""The amounts on both sides of each end of a test: the last that passes and the first that does not."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from standfast.model.rules import FULL_CIRCLE, Limit, Test
from standfast.quantity import Comparison, Dimension, Quantity, Unit

FINEST = Fraction(1, 1_000_000)
"""The least difference between two amounts of one unit that a log can state."""


def edges_of(limit: Limit) -> Iterator[tuple[Quantity, Quantity]]:
    """The edges of a limit's test; where its figure is rounded, those among the amounts that it can be."""
    size = limit.figure.step
    if size is None:
        yield from edges(limit.test)
        return
    for bound in dict.fromkeys(limit.test.ends()):
        below, above = bound.base // size.base * size.base, -(-bound.base // size.base) * size.base
        near = sorted({below - size.base, below, above, above + size.base})
        for one, other in pairwise(near):
            if one >= 0 and limit.test.holds(one) is not limit.test.holds(other):
                inside, outside = (one, other) if limit.test.holds(one) else (other, one)
                yield _in_unit(inside, bound.unit), _in_unit(outside, bound.unit)


def _in_unit(base: Fraction, unit: Unit) -> Quantity:
    return Quantity(((base / unit.factor, unit),))


def edges(test: Test) -> Iterator[tuple[Quantity, Quantity]]:
    """For each end of the test an amount that passes and, as near as can be, one that does not.

    An end at nought from which nothing can fall short has none.
    """
    found: list[tuple[Quantity | None, Quantity | None]]
    match test.comparison:
        case Comparison.AT_LEAST:
            found = [(test.first, step(test.first, -1))]
        case Comparison.AT_MOST:
            found = [(test.first, step(test.first, 1))]
        case Comparison.OVER:
            found = [(step(test.first, 1), test.first)]
        case Comparison.UNDER:
            found = [(step(test.first, -1), test.first)]
        case Comparison.EXACTLY:
            found = [(test.first, step(test.first, -1)), (test.first, step(test.first, 1))]
        case Comparison.FROM_TO:
            assert test.second is not None
            found = [(test.first, step(test.first, -1)), (test.second, step(test.second, 1))]
        case Comparison.WITHIN:
            assert test.around is not None
            found = [(end, _away(test, end)) for end in reversed(test.ends())]
    for inside, outside in found:
        if inside is not None and outside is not None:
            yield inside, outside


def _away(test: Test, end: Quantity) -> Quantity | None:
    """The next amount beside an end that is not within."""
    ((number, unit),) = end.parts
    for moved in (number + FINEST, number - FINEST):
        amount = moved % FULL_CIRCLE if test.heading else moved
        if amount >= 0 and not test.holds(amount * unit.factor):
            return Quantity(((amount, unit),))
    return None


def step(amount: Quantity, direction: int) -> Quantity | None:
    """The next amount up (1) or down (-1) in its smallest unit, a count by one; None below nought."""
    *before, (number, unit) = amount.parts
    size = Fraction(1) if amount.dimension is Dimension.COUNT else FINEST
    moved = number + direction * size
    if moved < 0 and before:
        moved, before = amount.base / unit.factor + direction * size, []
    return None if moved < 0 else Quantity((*before, (moved, unit)))
