"""A step of which the questions are not worked out: they are answered one way or the other, and written down."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from standfast.machine.panels import NOBODY, Names
from standfast.machine.parts import (
    Bar,
    BestRow,
    Breach,
    Gauge,
    Judged,
    Place,
    RateRow,
    Row,
    Rung,
    Scale,
)
from standfast.machine.registers import Struck
from standfast.machine.state import Awarded, Figures
from standfast.machine.step import Work
from standfast.machine.values import ANYTHING, Span
from standfast.model.rules import Figure, FigureKind, Test, UntilTotals
from standfast.quantity import Comparison
from standfast.values import define, field, frozen

BEFORE, NOW = -1, 0
"""All that is known of a running clock: that it was set before this step, or by it."""


@frozen
class Question:
    """A clock held against a constant, or (`clock` None) a total against its amount, with the answer followed.

    `limit` is the limit on a total, a rate or a sum that was asked about.
    """

    clock: int | None
    length: int
    answer: bool
    limit: Judged | Bar | Rung | None = None


@define
class Asking(Work):
    """A step whose questions are answered from a script, and beyond it with yes; all are written down."""

    script: Sequence[bool] = ()
    asked: list[Question] = field(factory=list)
    sums: list[tuple[Fraction, Fraction]] = field(factory=list)
    struck: list[tuple[Breach, ...]] = field(factory=list)
    hushed: list[int] = field(factory=list)
    added: list[tuple[int, bool]] = field(factory=list)
    noted: list[int] = field(factory=list)
    paced: list[int] = field(factory=list)
    awarded: list[tuple[str, int | None]] = field(factory=list)
    value_range: Span = ANYTHING
    names: Names = NOBODY

    def age(self, clock: int) -> int:
        return 0

    def figures(self, rows: Iterable[Row]) -> Figures:
        """Only what is exact here: counts, up to one past their bound; of rounds those that can still matter."""
        counted = (Gauge.COUNTER, Gauge.RESTARTS, Gauge.ROUNDS)
        return tuple((row, self.counters[row.register]) for row in rows if row.gauge in counted)

    def hush(self, silence: int) -> None:
        if self.clocks[self.machine.silences[silence].clock] == BEFORE:
            self.hushed.append(silence)
        super().hush(silence)

    def ask(self, clock: int | None, length: int, limit: Judged | Bar | Rung | None = None) -> bool:
        known = len(self.asked)
        answer = self.script[known] if known < len(self.script) else True
        self.asked.append(Question(clock, length, answer, limit))
        return answer

    def add(self, total: int, amount: Fraction) -> None:
        self.noted.append(total)
        low, high = self.sums[total]
        least, most = self.value_range
        past = self.machine.totals[total].bound + 1
        self.sums[total] = min(low + least, past), past if most is None else min(high + most, past)

    def pace(self, rate: int) -> None:
        self.paced.append(rate)
        super().pace(rate)

    def holds(self, row: Judged) -> bool:
        if row.gauge is Gauge.TOTAL:
            return self.in_range(row, row.test)
        if self.is_exact(row) or self.gauge(row.gauge, row.register) is None:
            return super().holds(row)
        return self.asked_before(row)

    def fits(self, rung: Rung) -> bool:
        if rung.gauge is Gauge.TOTAL:
            return self.in_range(rung, rung.test)
        if self.is_exact(rung) or self.gauge(rung.gauge, rung.register) is None:
            return super().fits(rung)
        return self.asked_before(rung)

    def is_exact(self, row: Judged | Rung) -> bool:
        """Whether the figure is known here; a clock is asked against each constant."""
        if row.gauge is Gauge.SUM:
            return _is_exact(row.figure)
        exact = (Gauge.CLOCK, Gauge.COUNTER, Gauge.POINTS, Gauge.READING, Gauge.ROUNDS, Gauge.VALUE)
        return row.gauge in exact

    def scored(self, scale: Scale) -> Awarded:
        given = super().scored(scale)
        self.awarded.append((given.score.path, given.row))
        return given

    def barred(self, bar: Bar, value: Fraction) -> bool:
        if bar.gauge is not Gauge.TOTAL:
            return super().barred(bar, value)
        test = bar.test
        if test.comparison is Comparison.UNDER:
            return not self.in_range(bar, test)
        return not self.in_range(bar, Test(Comparison.AT_MOST, test.second or test.first))

    def in_range(self, row: Judged | Bar | Rung, test: Test) -> bool:
        """Whether a total passes; where it can do both, it is asked, and then is only what the answer leaves."""
        low, high = self.sums[row.register]
        if test.holds(low) and test.holds(high):
            return True
        if not test.meets(low, high):
            return False
        answer = self.asked_before(row)
        if test.comparison in (Comparison.AT_MOST, Comparison.UNDER):
            bound = test.first.base
            self.sums[row.register] = (low, min(high, bound)) if answer else (max(low, bound), high)
        elif test.comparison in (Comparison.AT_LEAST, Comparison.OVER):
            bound = test.first.base
            self.sums[row.register] = (max(low, bound), high) if answer else (low, min(high, bound))
        return answer

    def asked_before(self, row: Judged | Bar | Rung) -> bool:
        for question in self.asked:
            if question.limit is row:
                return question.answer
        return self.ask(None, 0, row)

    def rate(self, row: RateRow) -> Fraction | None:
        """Something that is neither here nor there: it is asked whether it passes."""
        return Fraction(0) if self.counters[row.counter] > 1 else None

    def surpasses(self, row: BestRow, figure: Fraction | None, best: Fraction | None) -> bool:
        """Either, where it matters to `always` which attempt is the best."""
        return row.matters and self.ask(None, 0)

    def younger(self, clock: int, length: int) -> bool:
        if self.clocks[clock] == NOW:
            return length > 0
        for question in self.asked:
            if question.clock == clock and question.length == length:
                return question.answer
        return self.ask(clock, length)

    def act_on(self, struck: list[Struck]) -> bool:
        if not struck:
            return False
        breaches = tuple(breach for breach, _ in struck if not self.nothing_to_act_on(breach))
        self.struck += [breaches] if breaches else []
        return super().act_on(struck)

    def add_to_total(self, place: Place, amount: Fraction) -> bool:
        assert place.goal_register is not None and isinstance(place.goal, UntilTotals)
        low, high = self.sums[place.goal_register]
        least, most = self.value_range
        wanted = place.goal.amount.base
        new_low, new_high = low + least, wanted if most is None else min(wanted, high + most)
        reached = new_low >= wanted or (new_high >= wanted and self.ask(None, 0))
        self.added.append((place.goal_register, reached))
        if not reached:
            self.sums[place.goal_register] = (new_low, min(new_high, wanted))
        return reached

    def begin(self, place: Place) -> None:
        if isinstance(place.goal, UntilTotals) and place.goal_register is not None:
            self.sums[place.goal_register] = (Fraction(0), Fraction(0))
        super().begin(place)


_ADDED = (FigureKind.COUNT, FigureKind.POINTS, FigureKind.MADE, FigureKind.MISSED)
_KEPT = (*_ADDED, FigureKind.FURTHEST, FigureKind.LARGEST, FigureKind.SMALLEST, FigureKind.LAST)


def _is_exact(figure: Figure) -> bool:
    """Whether what is looked back at is known here: numbers added up, a round, or a value of a class."""
    kinds = [part.kind for part in figure.parts]
    if len(kinds) == 1:
        return kinds[0] in _KEPT
    return bool(kinds) and set(kinds) <= set(_ADDED)
