"""Limits that are broken whenever their figure is there: by how much it is too great has no bearing on who is GO.

What there is at least follows from what must hold until such a limit is judged, when its clause completes: where
that did not hold, the attempt or the try is over, or the run begins anew. Not so in an event that carries on after
a failure: there only limits of `always` are looked at.
"""

from fractions import Fraction

from standfast.difference.amounts import NOUGHT, amounts
from standfast.difference.lasting import lasts_at_least
from standfast.difference.needed import Needed, must_be_there
from standfast.model.rules import FigureKind, Limit, Part, Test
from standfast.model.standard import Always, Clause, Standard
from standfast.quantity import Comparison, Quantity
from standfast.values import evolve, frozen

_VALUES = (FigureKind.LARGEST, FigureKind.SMALLEST, FigureKind.LAST)


def levelled(standard: Standard) -> Standard:
    """The same for who is GO, with such limits all at nought; it must be meant for one kind of candidate."""
    return _Levelled(Needed(standard)).standard


@frozen
class _Levelled:
    needed: Needed

    @property
    def standard(self) -> Standard:
        standard = self.needed.standard
        always = Always(tuple(self._limit(each, ()) for each in standard.always.limits), standard.always.faults)
        events = tuple(
            event if event.carry_on else evolve(event, clause=self._clause(event.clause))
            for event in standard.events
        )
        return evolve(standard, always=always, events=events)

    def _clause(self, clause: Clause) -> Clause:
        chain = self.needed.chains[clause.path]
        limits = tuple(self._limit(limit, chain) for limit in clause.limits)
        return evolve(clause, limits=limits, items=tuple(map(self._clause, clause.items)))

    def _limit(self, limit: Limit, chain: tuple[Clause, ...]) -> Limit:
        if limit.figure.kind is not FigureKind.SUM or must_be_there(limit):
            return limit
        least = sum((self._least(part, chain) for part in limit.figure.all_parts()), NOUGHT)
        if least <= limit.test.first.base:
            return limit
        return evolve(limit, test=Test(Comparison.AT_MOST, Quantity(((NOUGHT, limit.test.first.unit),))))

    def _least(self, part: Part, own: tuple[Clause, ...]) -> Fraction:
        """What a part that is there comes to at least."""
        chain = own if part.path is None else self.needed.chains.get(part.path, ())
        if part.kind is FigureKind.TIME and chain:
            return lasts_at_least(chain[-1])
        if part.kind in _VALUES and part.mark is not None:
            return amounts(self.needed.standard.always, chain, part.mark)[0]
        return NOUGHT
