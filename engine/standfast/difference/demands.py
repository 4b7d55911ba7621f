"""That nobody can pass, by the lines alone: they ask for more entries, amounts or time than they allow.

In an attempt that passes each clause that is needed is completed once without a break. What that takes at least is
held against what its faults and limits allow, since none of them acted; and what there can be at most against what
limits ask for, and the rows of a score that fails where none of them fits.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property

from standfast.difference.acting import BREAKS, acts, opens
from standfast.difference.amounts import HAS_LEAST, NOUGHT
from standfast.difference.at_least import AtLeast
from standfast.difference.at_most import AtMost
from standfast.difference.figure_amounts import Amounts, grid
from standfast.difference.needed import Needed, made, must_be_there
from standfast.model.rules import (
    OWN,
    Effect,
    Fault,
    Figure,
    FigureKind,
    Limit,
    Occurrence,
    Part,
    Pattern,
)
from standfast.model.standard import Clause, Kind, Standard
from standfast.values import frozen

_CLOSES = (Effect.MISS, Effect.PASS, Effect.OUT)
"""What a fault does that never acts in the try that makes a round."""


def asks_more_than_it_allows(standard: Standard) -> bool:
    """Whether the lines show that no log is GO; the standard is meant for one kind of candidate."""
    return _Demands(Needed(standard)).impossible


@frozen(slots=False)
class _Demands:
    """What every GO takes of one standard, and what it is allowed."""

    needed: Needed

    @cached_property
    def least(self) -> AtLeast:
        return AtLeast(self.needed)

    @cached_property
    def most(self) -> AtMost:
        return AtMost(self.needed)

    @property
    def impossible(self) -> bool:
        always, events = self.needed.standard.always, self.needed.events
        limits = (*always.limits, *(limit for grade in self.needed.standard.grades[-1:] for limit in grade.limits))
        read = [self.needed.completed[path] for path, _ in self.needed.read]
        return (
            self.needed.torn
            or any(map(self._impossible, (*events, *read)))
            or any(self._forbids(event, fault, all_over=True) for fault in always.faults for event in events)
            or any(self._cannot_hold(limit, events) for limit in limits)
        )

    def _impossible(self, clause: Clause) -> bool:
        """Whether it cannot be completed."""
        if any(self._forbids(clause, fault) for fault in clause.faults):
            return True
        if any(self._cannot_hold(limit, (clause,)) for limit in clause.limits) or self._cannot_score(clause):
            return True
        if clause.kind is Kind.ROUNDS and not made(clause):
            return False
        inside = map(self._impossible, self.needed.items(clause))
        return all(inside) if clause.kind is Kind.ONE_OF else any(inside)

    def _forbids(self, clause: Clause, fault: Fault, *, all_over: bool = False) -> bool:
        """Whether it would act.

        One that holds `all_over` may not yet where the entry opens an attempt; a restart at once may itself begin
        the run that completes the clause, and the entry is then none of it.
        """
        match fault.trigger:
            case Occurrence(pattern=pattern, more_than=number, counting=counting) if counting == OWN:
                if clause.kind is Kind.ROUNDS and fault.effect in _CLOSES:  # it counts over all rounds
                    needed = not number and made(clause) > 0 and acts(clause, fault)
                    return needed and self.least.of_round(clause, pattern) > 0
                before = (all_over or fault.at_once) and opens(clause, pattern.mark)
                ends = fault.effect in (*BREAKS, Effect.MISS, Effect.PASS) and acts(clause, fault)
                return ends and self.least.entries(clause, pattern) - before > number
            case _:
                return False

    def _cannot_hold(self, limit: Limit, clauses: Sequence[Clause]) -> bool:
        """Whether nothing that the figure of these clauses together can come to passes a limit on it."""
        figure, timed = limit.figure, any(part.kind is FigureKind.TIME for part in limit.figure.all_parts())
        there = must_be_there(limit) or None not in (self._least(part, clauses) for part in figure.all_parts())
        # what completes by time does so before a strict limit at that instant
        return (
            figure.counting == OWN and there and not self._amounts(figure, clauses).some_passes(limit.test, timed)
        )

    def _cannot_score(self, clause: Clause) -> bool:
        """Whether what its figures come to fits no row of a score that fails then."""
        score = clause.score
        if score is None or len(clause.scores) > 1 or score.otherwise is not None:
            return False
        return not any(
            row.figure.counting != OWN
            or self._amounts(row.figure, (clause,)).rounded(score.rounding).some_passes(row.test)
            for row in score.rows
        )

    def _amounts(self, figure: Figure, clauses: Sequence[Clause]) -> Amounts:
        """What it can come to where it is there."""
        chain = () if clauses is self.needed.events else self.needed.chains[clauses[0].path]
        parts = figure.all_parts()
        least = sum((self._least(part, clauses) or NOUGHT for part in parts), NOUGHT)
        each = [self.most.figure(part, chain) for part in parts]
        known = [amount for amount in each if amount is not None]
        return Amounts(least, sum(known, NOUGHT) if len(known) == len(each) else None, grid(figure))

    def _least(self, part: Part, clauses: Sequence[Clause]) -> Fraction | None:
        """What a figure comes to at least; None where that is not known, or it may not be there."""
        if part.path is not None:
            if part.path not in self.needed.completed:
                return None
            clauses = (self.needed.completed[part.path],)
        elif (
            clauses is self.needed.events
            and part.mark is not None
            and any(opens(each, part.mark) for each in clauses)
        ):
            return None  # what opens the first attempt may not count
        match part:
            case Part(kind=FigureKind.TIME):
                return sum(map(self.least.time, clauses), NOUGHT)
            case Part(kind=FigureKind.COUNT, mark=str(mark)):
                return Fraction(sum(self.least.entries(clause, Pattern(mark)) for clause in clauses))
            case Part(kind=FigureKind.TOTAL, mark=str(mark)):
                return sum((self.least.total(clause, mark) for clause in clauses), NOUGHT)
            case Part(kind=FigureKind.READING, mark=str(mark)) if len(clauses) == 1:
                return self._read_at_least(clauses[0], mark)
            case Part(kind=FigureKind.READING):
                return NOUGHT
            case Part(kind=FigureKind.LARGEST | FigureKind.SMALLEST | FigureKind.LAST, mark=str(mark)):
                there = len(clauses) == 1 and self.least.entries(clauses[0], Pattern(mark)) > 0
                return self.least.amounts(clauses[0], mark)[0] if there else None
            case _:
                return None

    def _read_at_least(self, clause: Clause, mark: str) -> Fraction:
        """What the reading of a mark in a clause comes to at least, by limits on it there."""
        least = (
            limit.test.first.base
            for limit in clause.limits
            if (limit.figure.kind, limit.figure.mark) == (FigureKind.READING, mark)
            and limit.test.comparison in HAS_LEAST
        )
        return max(least, default=NOUGHT)
