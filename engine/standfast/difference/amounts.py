"""Between what the amounts of a mark must lie in an attempt that passes, by the limits and faults in force."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from standfast.model.rules import (
    OWN,
    Fault,
    FigureKind,
    Limit,
    Occurrence,
    Pattern,
    Test,
)
from standfast.quantity import Comparison

HAS_LEAST = (Comparison.AT_LEAST, Comparison.OVER, Comparison.EXACTLY, Comparison.FROM_TO)
HAS_MOST = (Comparison.AT_MOST, Comparison.UNDER, Comparison.EXACTLY, Comparison.FROM_TO)

NOUGHT = Fraction(0)

Range = tuple[Fraction, Fraction | None]
"""The least and the greatest amount, in base units; None: any."""


def amounts(limits: Sequence[Limit], faults: Sequence[Fault], mark: str) -> Range:
    """What may be logged of the mark where all these limits hold and none of these faults acts."""
    least, most = NOUGHT, None
    for low, high in (*_allowed(limits, mark), *_not_broken(faults, mark)):
        least = max(least, low)
        most = high if most is None else most if high is None else min(most, high)
    return least, most


def _allowed(limits: Sequence[Limit], mark: str) -> Iterator[Range]:
    """Between what each amount of the mark must lie by limits on one clause."""
    for limit in limits:
        kind, test = limit.figure.kind, limit.test
        if limit.figure.mark != mark:
            continue
        if kind in (FigureKind.EACH, FigureKind.SMALLEST) and test.comparison in HAS_LEAST:
            yield test.first.base, None
        if kind in (FigureKind.EACH, FigureKind.LARGEST) and test.comparison in HAS_MOST:
            yield NOUGHT, (test.second or test.first).base


def _not_broken(faults: Sequence[Fault], mark: str) -> Iterator[Range]:
    """The same by faults on an amount."""
    for fault in faults:
        match fault.trigger:
            case Occurrence(
                pattern=Pattern(mark=of, test=Test(comparison=comparison, first=end)),
                more_than=0,
                counting=counting,
            ) if of == mark and counting == OWN:
                if comparison in (Comparison.AT_MOST, Comparison.UNDER):
                    yield end.base, None
                elif comparison in (Comparison.AT_LEAST, Comparison.OVER):
                    yield NOUGHT, end.base
