"""A step of a machine when the times of the entries are known to lie in a region only.

The same `Work` that replays a log takes the step. Instants are written as in `linear`; a question about them is
answered from the region, and where both answers are possible the one that a script gives is followed, or else yes.
"""

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction

from standfast.machine.linear import AtMost, Linear, constant, stretch
from standfast.machine.parts import BestRow, Due, Gauge, Judged, Keeping, Machine, Phase, RateRow, Row, Rung
from standfast.machine.region import Region
from standfast.machine.state import Figures
from standfast.machine.step import Work
from standfast.model.rules import Test
from standfast.quantity import Comparison
from standfast.values import define, field, frozen


@frozen
class Pace:
    """A rate: so many entries in a stretch of time."""

    entries: int
    time: Linear


Timed = Linear | Pace
"""A figure that times enter."""


@define
class Kept:
    """The figures that times enter, each with a number by which registers keep it; `registers` are those."""

    registers: frozenset[int]
    figures: list[Timed] = field(factory=list)
    _numbers: dict[Timed, int] = field(factory=dict)

    @classmethod
    def of(cls, machine: Machine) -> "Kept":
        keepings = [keeping for place in machine.places for keeping in place.keepings]
        found = frozenset[int]()
        while True:
            more = frozenset(k.register for k in keepings if is_timed(machine, found, *k.dial))
            if more == found:
                return cls(found)
            found = more

    def number(self, figure: Timed) -> Fraction:
        if figure not in self._numbers:
            self._numbers[figure] = len(self.figures)
            self.figures.append(figure)
        return Fraction(self._numbers[figure])

    def unknowns(self, number: int) -> Iterator[int]:
        figure = self.figures[number]
        return (unknown for unknown, _ in (figure if isinstance(figure, Linear) else figure.time).terms)


def is_timed(machine: Machine, kept: frozenset[int], gauge: Gauge, register: int) -> bool:
    """Whether times enter the figure of a register; `kept` are the registers that keep such ones."""
    if gauge is Gauge.SUM:
        return any(is_timed(machine, kept, *dial) for dial in machine.sums[register])
    return gauge in (Gauge.CLOCK, Gauge.RATE) or (gauge is Gauge.KEPT and register in kept)


@define
class Doubting(Work):
    """`answers` are those that could have been others, `asked` the limits on times that they stand for.

    Figures that are only told are not worked out.
    """

    region: Region = field(factory=Region.anywhere)
    kept_times: Kept = field(factory=lambda: Kept(frozenset()))
    script: Sequence[bool] = ()
    answers: list[bool] = field(factory=list)
    asked: list[AtMost] = field(factory=list)

    def ask(self, limit: AtMost) -> bool:
        yes, contrary = self.region.within(limit), limit.contrary()
        if yes is None:
            return False
        no = self.region.within(contrary)
        if no is None:
            return True
        known = len(self.answers)
        answer = self.script[known] if known < len(self.script) else True
        self.answers.append(answer)
        self.asked.append(limit if answer else contrary)
        self.region = yes if answer else no
        return answer

    def next_due(self, until: int) -> tuple[int, Due] | None:
        best: tuple[int, tuple[int, ...], Due] | None = None
        for due in self.live_dues():
            since = self.clocks[due.clock]
            assert since is not None
            at, key = since + due.after, (due.phase, *self.rank(due))
            if not self.ask(stretch(until, at).at_most(-1 if due.phase is Phase.LAST else 0)):
                continue
            if best is None or self.ask(stretch(best[0], at).at_most(0 if key < best[1] else -1)):
                best = (at, key, due)
        return None if best is None else (best[0], best[2])

    def younger(self, clock: int, length: int) -> bool:
        since = self.clocks[clock]
        assert since is not None
        return self.ask(stretch(since, self.now).at_most(length - 1))

    # --- figures ---------------------------------------------------------------------------------------

    def age(self, clock: int) -> int:
        return 0

    def rate(self, row: RateRow) -> Fraction | None:
        return None

    def figures(self, rows: Iterable[Row]) -> Figures:
        return ()

    def holds(self, row: Judged) -> bool:
        if not self.is_timed(row.gauge, row.register):
            return super().holds(row)
        figure = self.timed(row.gauge, row.register)
        if figure is None:
            no_more = row.test.comparison in (Comparison.AT_MOST, Comparison.UNDER)
            return no_more and not row.figure.must_be_there
        return self.passes(figure, row.test)

    def fits(self, rung: Rung) -> bool:
        if not self.is_timed(rung.gauge, rung.register):
            return super().fits(rung)
        figure = self.timed(rung.gauge, rung.register)
        return figure is not None and self.passes(figure, rung.test)

    def is_timed(self, gauge: Gauge, register: int) -> bool:
        return is_timed(self.machine, self.kept_times.registers, gauge, register)

    def timed(self, gauge: Gauge, register: int) -> Timed | None:
        """The figure of a register now; None where it is not there."""
        match gauge:
            case Gauge.CLOCK:
                since = self.clocks[register]
                assert since is not None
                return stretch(since, self.now)
            case Gauge.RATE:
                return self.paced(register)
            case Gauge.KEPT if register in self.kept_times.registers:
                number = self.kept[register]
                return None if number is None else self.kept_times.figures[int(number)]
            case Gauge.SUM:
                parts = [self.timed(*dial) for dial in self.machine.sums[register]]
                return self.added([part for part in parts if part is not None]) if None not in parts else None
            case _:
                amount = self.gauge(gauge, register)
                return None if amount is None else constant(amount)

    def paced(self, rate: int) -> Pace | None:
        row = self.machine.rates[rate]
        number, first, last = self.counters[row.counter], self.clocks[row.first], self.clocks[row.last]
        if number < 2:
            return None
        assert first is not None and last is not None
        time = stretch(first, last)
        return None if self.ask(time.at_most(0)) else Pace(number - 1, time)

    def added(self, parts: Sequence[Timed]) -> Timed:
        if len(parts) == 1:
            return parts[0]
        total = constant(0)
        for part in parts:
            assert isinstance(part, Linear)  # resolving refuses a rate in a sum
            total = total.plus(part)
        return total

    def passes(self, figure: Timed, test: Test) -> bool:
        """As `Test.holds`, by one question for each end."""
        first = test.first.base
        match test.comparison:
            case Comparison.AT_LEAST:
                return self.reaches(figure, first)
            case Comparison.OVER:
                return not self.keeps_to(figure, first)
            case Comparison.AT_MOST:
                return self.keeps_to(figure, first)
            case Comparison.UNDER:
                return not self.reaches(figure, first)
            case Comparison.EXACTLY:
                return self.reaches(figure, first) and self.keeps_to(figure, first)
            case Comparison.FROM_TO:
                assert test.second is not None
                return self.reaches(figure, first) and self.keeps_to(figure, test.second.base)
            case Comparison.WITHIN:
                assert test.around is not None
                least, most = test.around.base - first, test.around.base + first
                return self.reaches(figure, least) and self.keeps_to(figure, most)

    def reaches(self, figure: Timed, bound: Fraction) -> bool:
        """Whether the figure is at least so much; a rate by its time, which is then short enough."""
        if isinstance(figure, Linear):
            return self.ask(figure.at_least(bound))
        return bound <= 0 or self.ask(figure.time.at_most(figure.entries / bound))

    def keeps_to(self, figure: Timed, bound: Fraction) -> bool:
        if isinstance(figure, Linear):
            return self.ask(figure.at_most(bound))
        return bound > 0 and self.ask(figure.time.at_least(figure.entries / bound))

    def kept_figure(self, keeping: Keeping) -> Fraction | None:
        if not self.is_timed(*keeping.dial):
            return super().kept_figure(keeping)
        figure = self.timed(*keeping.dial)
        return None if figure is None else self.kept_times.number(figure)

    def surpasses(self, row: BestRow, figure: Fraction | None, best: Fraction | None) -> bool:
        if row.register not in self.kept_times.registers or figure is None or best is None:
            return super().surpasses(row, figure, best)
        one, other = (self.kept_times.figures[int(each)] for each in (figure, best))
        if isinstance(one, Linear) and isinstance(other, Linear):
            apart = one.plus(other, -1)
            return self.ask((apart.at_least(0) if row.least else apart.at_most(0)).contrary())
        assert isinstance(one, Pace) and isinstance(other, Pace) and not row.least
        crossed = constant(0).plus(other.time, one.entries).plus(one.time, -other.entries)
        return self.ask(crossed.at_most(0).contrary())
