"""The amounts that a figure can come to, held against a test."""

from fractions import Fraction
from math import ceil, floor

from standfast.difference.amounts import HAS_LEAST, HAS_MOST
from standfast.model.rules import Figure, Test
from standfast.quantity import Comparison, Rounding
from standfast.values import frozen


@frozen
class Amounts:
    """From `least` to `most`, in base units; None: any. With a `step` only whole multiples of it."""

    least: Fraction
    most: Fraction | None
    step: Fraction | None = None

    def rounded(self, rounding: Rounding | None) -> "Amounts":
        """What these are rounded to: none is passed by one that was less."""
        if rounding is None:
            return self
        most = None if self.most is None else rounding.of(self.most)
        return Amounts(rounding.of(self.least), most, rounding.step.base)

    def some_passes(self, test: Test, reached: bool = False) -> bool:
        """Whether one of them may pass; `reached`: one at a strict greatest end may."""
        low, high, end = self.least, self.most, (test.second or test.first).base
        if test.comparison in HAS_MOST:
            high = end if high is None else min(high, end)
        if test.comparison in HAS_LEAST:
            low = max(low, test.first.base)
        if self.step is not None:
            low, high = ceil(low / self.step) * self.step, high and floor(high / self.step) * self.step
        if high is None or low < high:
            return True
        over = test.comparison is Comparison.OVER and low == test.first.base
        under = test.comparison is Comparison.UNDER and high == end and not reached
        return low == high and not over and not under


def grid(figure: Figure) -> Fraction | None:
    """The step of which it is a whole multiple, where it is of readings that are all rounded to it."""
    roundings = [None if part.readings is None else part.readings.rounding for part in figure.all_parts()]
    steps = {None if rounding is None else rounding.step.base for rounding in roundings}
    return steps.pop() if len(steps) == 1 else None
