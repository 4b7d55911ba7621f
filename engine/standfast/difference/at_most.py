"""What figures come to at most in an attempt that passes, by limits that hold and faults that never act.

A limit on a clause bounds what is inside it as well: there is no more of it there. None: any. Amounts are in base
units.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from standfast.difference.acting import ENDS, opens
from standfast.difference.amounts import HAS_MOST, amounts
from standfast.difference.lasting import lasts_at_most
from standfast.difference.needed import Needed
from standfast.model.rules import (
    OWN,
    Fault,
    FigureKind,
    Limit,
    Occurrence,
    Part,
    Pattern,
)
from standfast.model.standard import Clause
from standfast.quantity import Comparison
from standfast.values import frozen

Chain = Sequence[Clause]
"""A clause, with those around it before it; none: all of the test, from when the first attempt opens."""


@frozen
class AtMost:
    """What there can be of a figure where it is there."""

    needed: Needed

    def figure(self, part: Part, own: Chain) -> Fraction | None:
        """Of one that stands in a line of the last of these clauses."""
        chain = own if part.path is None else self.needed.chains.get(part.path)
        if chain is None:
            return None
        match part:
            case Part(kind=FigureKind.TIME):
                return self.time(chain)
            case Part(kind=FigureKind.COUNT, mark=str(mark)):
                return self.entries(chain, mark)
            case Part(kind=FigureKind.TOTAL, mark=str(mark)):
                return self.total(chain, mark)
            case Part(kind=FigureKind.LARGEST | FigureKind.LAST, mark=str(mark)):
                return amounts(self.needed.standard.always, chain, mark)[1]
            case Part(kind=FigureKind.READING, mark=str(mark)):
                most = amounts(self.needed.standard.always, chain, mark)[1]
                rounding = None if part.readings is None else part.readings.rounding
                return most if most is None or rounding is None else rounding.of(most)
            case _:
                return None

    def time(self, chain: Chain) -> Fraction | None:
        """From its beginning to its completion; what completes by time does so before a strict limit then."""
        known = [*self._limited(chain, FigureKind.TIME, None), *(lasts_at_most(each) for each in chain[-1:])]
        return min((each for each in known if each is not None), default=None)

    def entries(self, chain: Chain, mark: str) -> Fraction | None:
        """Those of the mark, with any value."""
        always = self.needed.standard.always
        opening = bool(chain) and opens(chain[0], mark)  # of such an entry a fault of `always` fails nothing
        known = list(self._limited(chain, FigureKind.COUNT, mark))
        known += (most + opening for most in _not_failed(always.faults, mark))
        known += (most for each in chain for most in _not_failed(each.faults, mark))
        return min(known, default=None)

    def total(self, chain: Chain, mark: str) -> Fraction | None:
        known = list(self._limited(chain, FigureKind.TOTAL, mark))
        number, most = self.entries(chain, mark), amounts(self.needed.standard.always, chain, mark)[1]
        if number is not None and most is not None:
            known.append(number * most)
        return min(known, default=None)

    def _limited(self, chain: Chain, kind: FigureKind, mark: str | None) -> Iterator[Fraction]:
        """What limits allow of a figure that grows, on the clause and on all around it."""
        limits: list[Limit] = [*self.needed.standard.always.limits]
        for each in chain:
            limits += each.limits
        for limit in limits:
            figure, test = limit.figure, limit.test
            if (figure.kind, figure.mark, figure.counting) == (kind, mark, OWN) and test.comparison in HAS_MOST:
                fewer = kind is FigureKind.COUNT and test.comparison is Comparison.UNDER
                yield (test.second or test.first).base - fewer


def _not_failed(faults: Sequence[Fault], mark: str) -> Iterator[Fraction]:
    """As many entries of the mark as a fault leaves before it ends the attempt."""
    for fault in faults:
        match fault.trigger:
            case Occurrence(pattern=pattern, more_than=number, counting=counting):
                if fault.effect in ENDS and counting == OWN and pattern == Pattern(mark):
                    yield Fraction(number)
