"""A comparison of an amount with what a standard says."""

from fractions import Fraction

from standfast.quantity import Comparison, Quantity, spoken_in
from standfast.values import frozen

FULL_CIRCLE = 360
"""Degrees; a heading is less."""


@frozen
class Test:
    """A comparison with constants; `FROM_TO` has both ends, and both count.

    With `of`, the name of a fact, it waits for a candidate: its ends are percentages of the fact or, with
    `WITHIN`, `first` is how far from it an amount may lie. When the fact is known, `around` holds it for `WITHIN`;
    `heading`: the difference is taken the short way round. `rounds` are the names of the rounds whose places in
    their row its ends are.
    """

    comparison: Comparison
    first: Quantity
    second: Quantity | None = None
    of: str | None = None
    around: Quantity | None = None
    heading: bool = False
    rounds: tuple[str, ...] = ()

    def holds(self, amount: Fraction | int) -> bool:
        """Whether an amount in the base unit of the dimension passes; of a test that waits for no fact."""
        assert self.of is None
        bound = self.first.base
        match self.comparison:
            case Comparison.AT_LEAST:
                return amount >= bound
            case Comparison.AT_MOST:
                return amount <= bound
            case Comparison.OVER:
                return amount > bound
            case Comparison.UNDER:
                return amount < bound
            case Comparison.EXACTLY:
                return amount == bound
            case Comparison.FROM_TO:
                assert self.second is not None
                return bound <= amount <= self.second.base
            case Comparison.WITHIN:
                return self.apart(amount) <= bound

    def ends(self) -> tuple[Quantity, ...]:
        """The amounts from which on others pass; of `WITHIN` none below nought, and headings as such."""
        if self.comparison is not Comparison.WITHIN:
            return (self.first,) if self.second is None else (self.first, self.second)
        assert self.around is not None
        both = (self.around.base - self.first.base, self.around.base + self.first.base)
        turned = [end % FULL_CIRCLE if self.heading else end for end in both]
        return tuple(spoken_in(end, self.around.unit, self.first.unit) for end in turned if end >= 0)

    def apart(self, amount: Fraction | int) -> Fraction:
        """Of `WITHIN`: how far an amount lies from the fact, in the base unit."""
        assert self.around is not None
        difference = abs(amount - self.around.base)
        return min(difference, abs(FULL_CIRCLE - difference)) if self.heading else difference

    @property
    def has_least(self) -> bool:
        """Whether an amount can be too small to pass."""
        return self.comparison not in (Comparison.AT_MOST, Comparison.UNDER)

    @property
    def has_most(self) -> bool:
        """Whether an amount can be too great to pass."""
        return self.comparison not in (Comparison.AT_LEAST, Comparison.OVER)

    def meets(self, low: Fraction, high: Fraction) -> bool:
        """Whether some amount from `low` to `high` passes."""
        bound = self.first.base
        match self.comparison:
            case Comparison.AT_LEAST | Comparison.OVER:
                return self.holds(high)
            case Comparison.AT_MOST | Comparison.UNDER:
                return self.holds(low)
            case Comparison.EXACTLY:
                return low <= bound <= high
            case Comparison.FROM_TO:
                assert self.second is not None
                return low <= self.second.base and bound <= high
            case Comparison.WITHIN:
                assert self.around is not None and not self.heading
                return low <= self.around.base + bound and self.around.base - bound <= high

    def margin(self, amount: Fraction | int) -> Fraction:
        """How far an amount lies on the candidate's side, in the base unit; negative where it does not pass."""
        bound = self.first.base
        match self.comparison:
            case Comparison.AT_LEAST | Comparison.OVER:
                return amount - bound
            case Comparison.AT_MOST | Comparison.UNDER:
                return bound - amount
            case Comparison.EXACTLY:
                return -abs(amount - bound)
            case Comparison.FROM_TO:
                assert self.second is not None
                return min(amount - bound, self.second.base - amount)
            case Comparison.WITHIN:
                return bound - self.apart(amount)
