"""The amounts that pass a test: whole numbers of microseconds or entries, and amounts that are rounded first."""

from math import ceil, floor

from standfast.model.rules import Test
from standfast.quantity import Comparison, Quantity, Rounding, Way


def least_of(test: Test) -> int | None:
    """The least whole number that passes, None if any small one does; times in microseconds."""
    match test.comparison:
        case Comparison.AT_LEAST | Comparison.EXACTLY | Comparison.FROM_TO:
            return ceil(test.first.base)
        case Comparison.OVER:
            return floor(test.first.base) + 1
        case Comparison.AT_MOST | Comparison.UNDER | Comparison.WITHIN:
            return None


def most_of(test: Test) -> int | None:
    """The greatest whole number that passes, None if any great one does."""
    match test.comparison:
        case Comparison.AT_MOST | Comparison.EXACTLY:
            return floor(test.first.base)
        case Comparison.UNDER:
            return ceil(test.first.base) - 1
        case Comparison.FROM_TO:
            assert test.second is not None
            return floor(test.second.base)
        case Comparison.AT_LEAST | Comparison.OVER | Comparison.WITHIN:
            return None


def before_rounding(test: Test, rounding: Rounding | None) -> Test:
    """The test that amounts pass which, rounded, pass a test that is open to one side.

    The greatest whole multiple that passes (or, of a test open upwards, does not) is `multiple` steps; what is
    rounded to it or less lies up to an end that follows from the way, and counts or not.
    """
    if rounding is None:
        return test
    comparison, step = test.comparison, rounding.step
    steps = test.first.base / step.base
    downwards = comparison in (Comparison.AT_MOST, Comparison.UNDER)
    multiple = floor(steps) if comparison in (Comparison.AT_MOST, Comparison.OVER) else ceil(steps) - 1
    match rounding.way:
        case Way.UP:
            end, counts = step.base * multiple, True
        case Way.DOWN:
            end, counts = step.base * (multiple + 1), False
        case Way.NEAREST_TIES_UP:
            end, counts = step.base * (2 * multiple + 1) / 2, False
        case Way.NEAREST_TIES_TO_EVEN:
            end, counts = step.base * (2 * multiple + 1) / 2, multiple % 2 == 0
    if downwards:
        comparison = Comparison.AT_MOST if counts else Comparison.UNDER
    else:
        comparison = Comparison.OVER if counts else Comparison.AT_LEAST
    unit = test.first.unit
    return Test(comparison, Quantity(((end / unit.factor, unit),)))
