"""Between what the amounts of a mark must lie in an attempt that passes, by the limits and faults in force."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from standfast.difference.acting import BREAKS, ENDS, acts, opens
from standfast.model.rules import (
    OWN,
    Effect,
    Fault,
    FigureKind,
    Limit,
    Occurrence,
    Pattern,
    Test,
)
from standfast.model.standard import Always, Clause
from standfast.quantity import Comparison

HAS_LEAST = (Comparison.AT_LEAST, Comparison.OVER, Comparison.EXACTLY, Comparison.FROM_TO)
HAS_MOST = (Comparison.AT_MOST, Comparison.UNDER, Comparison.EXACTLY, Comparison.FROM_TO)

NOUGHT = Fraction(0)

Range = tuple[Fraction, Fraction | None]
"""The least and the greatest amount, in base units; None: any."""


def amounts(always: Always, chain: Sequence[Clause], mark: str) -> Range:
    """What may be logged of the mark while a clause is open, the last of a chain of clauses around one another."""
    limits = (*always.limits, *(limit for each in chain for limit in each.limits))
    # of an entry that opens the attempt a fault of `always` fails nothing
    opening = bool(chain) and opens(chain[0], mark)
    faults = [f for f in always.faults if f.effect in ENDS and not (opening and f.effect is not Effect.DISQUALIFY)]
    faults += (f for each in chain for f in each.faults if f.effect in BREAKS and acts(each, f))
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
