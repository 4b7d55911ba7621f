"""The position of a machine laid open while a step is taken: registers to read and set, signals to tell."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from standfast.log.entry import Entry
from standfast.machine.bounds import least_of, most_of
from standfast.machine.parts import (
    FAULTS,
    AtLeast,
    Bar,
    Breach,
    Gauge,
    Judged,
    Location,
    Machine,
    Place,
    RateRow,
    Row,
    Rung,
    Scale,
)
from standfast.machine.readings import joined
from standfast.machine.state import Awarded, Breached, Figures, Reading, Rested, Signal, State, Unused
from standfast.model.rules import Effect, FigureKind, Limit, RestBound, Test
from standfast.quantity import Comparison
from standfast.values import define, field

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import Self

Struck = tuple[Breach, Reading]
"""A breach that would act, with its figure."""


@define
class Registers:
    machine: Machine
    now: int
    locations: list[Location]
    counters: list[int]
    totals: list[Fraction]
    values: list[Fraction | None]
    kept: list[Fraction | None]
    readings: list[tuple[Fraction, ...]]
    bests: list[tuple[Fraction | None, ...]]
    flags: list[bool]
    clocks: list[int | None]
    longest: list[int]
    standings: list[bool | None]
    open: int | None
    decided: bool | None
    rolls: list[tuple[str, ...]]
    points: list[int | None]
    entry: Entry | None = None
    signals: list[Signal] = field(factory=list)

    @classmethod
    def of(cls, machine: Machine, state: State) -> "Self":
        return cls(
            machine,
            state.now,
            list(state.locations),
            list(state.counters),
            list(state.totals),
            list(state.values),
            list(state.kept),
            list(state.readings),
            list(state.bests),
            list(state.flags),
            list(state.clocks),
            list(state.longest),
            list(state.standings),
            state.open,
            state.decided,
            list(state.rolls),
            list(state.points),
        )

    def frozen(self) -> tuple[State, tuple[Signal, ...]]:
        state = State(
            self.now,
            tuple(self.locations),
            tuple(self.counters),
            tuple(self.totals),
            tuple(self.values),
            tuple(self.kept),
            tuple(self.readings),
            tuple(self.bests),
            tuple(self.flags),
            tuple(self.clocks),
            tuple(self.longest),
            tuple(self.standings),
            self.open,
            self.decided,
            tuple(self.rolls),
            tuple(self.points),
        )
        return state, tuple(self.signals)

    # --- questions -------------------------------------------------------------------------------------

    def age(self, clock: int) -> int:
        """Microseconds since the clock's last reset; it must be running."""
        since = self.clocks[clock]
        assert since is not None
        return self.now - since

    def younger(self, clock: int, length: int) -> bool:
        return self.age(clock) < length

    def breach_rank(self, breach: Breach) -> tuple[int, int, int]:
        return -self.gravity(breach), -breach.rule.depth, breach.rule.order

    def gravity(self, breach: Breach) -> int:
        return Effect.FAIL.gravity if self.used_up(breach) else breach.effect.gravity

    def used_up(self, breach: Breach) -> bool:
        """Whether this is a restart whose greatest number has taken place."""
        return (
            breach.restarts is not None
            and breach.at_most is not None
            and self.counters[breach.restarts] >= breach.at_most
        )

    def nothing_to_act_on(self, breach: Breach) -> bool:
        return breach.place == FAULTS and breach.effect in (Effect.FAIL, Effect.HALT) and self.open is None

    def unmet(self, place: Place) -> Iterator[Breach]:
        """What a place that would complete now has too little of, as written, those already kept left out."""
        return (breach for breach, _ in self.too_little(place))

    def too_little(self, place: Place) -> Iterator[Struck]:
        """The limits judged at completion that do not hold, but for those on time alone, with their figures."""
        rows: list[AtLeast | Judged] = [*place.at_least, *place.judged]
        for row in sorted(rows, key=lambda row: row.breach.rule.order):
            if self.flags[row.breach.kept]:
                continue
            if isinstance(row, Judged):
                if not self.holds(row):
                    yield row.breach, self.gauge(row.gauge, row.register)
            elif self.counters[row.counter] < row.number:
                yield row.breach, self.counters[row.counter]

    def holds(self, row: Judged) -> bool:
        """Whether the limit is met; by a figure that is not there only if it asks for no more than so much."""
        limit, figure = _limit(row.breach), self.gauge(row.gauge, row.register)
        if row.gauge is Gauge.CLOCK:
            return self.clock_passes(row.register, row.test)
        if figure is None:
            no_more = limit.test.comparison in (Comparison.AT_MOST, Comparison.UNDER)
            return no_more and not limit.figure.must_be_there
        return limit.test.holds(figure)

    def barred(self, bar: Bar, value: Fraction) -> bool:
        """Whether the limit can no longer be met once `value` has been logged."""
        limit = _limit(bar.breach)
        test, bound = limit.test, limit.test.first.base
        if bar.gauge is None:
            return not test.holds(value)
        amount = self.gauge(bar.gauge, bar.register)
        assert amount is not None
        if limit.figure.kind is FigureKind.SMALLEST:
            return amount <= bound if test.comparison is Comparison.OVER else amount < bound
        if test.comparison is Comparison.FROM_TO and test.second is not None:
            bound = test.second.base
        return amount >= bound if test.comparison is Comparison.UNDER else amount > bound

    def broken_at_completion(self, place: Place) -> list[Struck]:
        """What a place that would complete now breaks by it (rules 2, 11 and 29), with the figures."""
        early: list[Struck] = [
            (row.breach, self.age(row.clock))
            for row in place.not_before
            if not self.flags[row.breach.kept] and self.younger(row.clock, row.length)
        ]
        return [*self.too_little(place), *early, *self.failed_score(place)]

    def open_round(self, place: int | None) -> str | None:
        """The name of the round that is open in a place with rounds."""
        rounds = None if place is None else self.machine.places[place].rounds
        if place is None or rounds is None or self.locations[place] is not Location.OPEN:
            return None
        number = self.counters[rounds.open]
        return rounds.names[number] if number < len(rounds.names) else None

    def figures(self, rows: Iterable[Row]) -> Figures:
        read = ((row, self.gauge(row.gauge, row.register)) for row in rows)
        return tuple((row, figure) for row, figure in read if figure is not None)

    # --- points ----------------------------------------------------------------------------------------

    def clock_passes(self, clock: int, test: Test) -> bool:
        least, most = least_of(test), most_of(test)
        if least is not None and self.younger(clock, least):
            return False
        return most is None or self.younger(clock, most + 1)

    def exact(self, number: int | Fraction) -> Fraction:
        """The number as one that is kept among others that are no whole ones."""
        return Fraction(number)

    def fits(self, rung: Rung) -> bool:
        """Whether a figure that is there fits a row of a score."""
        if rung.gauge is Gauge.CLOCK:
            return self.clock_passes(rung.register, rung.test)
        figure = self.gauge(rung.gauge, rung.register)
        return figure is not None and rung.test.holds(figure)

    def scored(self, scale: Scale) -> Awarded:
        """What the score would give if its place completed now."""
        for number, rung in enumerate(scale.rungs):
            if self.fits(rung):
                return Awarded(scale.score, number, rung.row.points, self.gauge(rung.gauge, rung.register))
        table = scale.score.figure is not None and scale.rungs
        figure = self.gauge(scale.rungs[0].gauge, scale.rungs[0].register) if table else None
        return Awarded(scale.score, None, scale.score.otherwise, figure)

    def failed_score(self, place: Place) -> Iterator[Struck]:
        if place.scale is not None and not self.flags[place.scale.breach.kept]:
            scored = self.scored(place.scale)
            if scored.points is None:
                yield place.scale.breach, scored.figure

    def points_of(self, place: Place) -> int | None:
        """Those the place would have if it completed now; None where a score gives none."""
        inside, own = self.points[place.index], 0 if place.scale is None else self.scored(place.scale).points
        return None if inside is None or own is None else inside + own

    def gauge(self, gauge: Gauge, register: int) -> int | Fraction | None:
        """The figure a register has now; None where it is not there."""
        match gauge:
            case Gauge.CLOCK:
                return self.age(register)
            case Gauge.COUNTER | Gauge.RESTARTS | Gauge.ROUNDS | Gauge.MISSES:
                return self.counters[register]
            case Gauge.SILENCE:
                return max(self.longest[register], self.age(self.machine.silences[register].clock))
            case Gauge.TOTAL:
                return self.totals[register]
            case Gauge.VALUE:
                return self.values[register]
            case Gauge.KEPT:
                return self.kept[register]
            case Gauge.POINTS:
                return self.points_of(self.machine.places[register])
            case Gauge.RATE:
                return self.rate(self.machine.rates[register])
            case Gauge.READING:
                return joined(self.machine.readings[register].readings, self.readings[register])
            case Gauge.SUM:
                parts = [self.gauge(*dial) for dial in self.machine.sums[register]]
                return None if None in parts else sum((p for p in parts if p is not None), Fraction(0))

    def rate(self, row: RateRow) -> Fraction | None:
        """Entries a microsecond; two at different instants have one."""
        if self.counters[row.counter] < 2 or self.clocks[row.first] == self.clocks[row.last]:
            return None
        return Fraction(1) * (self.counters[row.counter] - 1) / (self.age(row.first) - self.age(row.last))

    # --- signals ---------------------------------------------------------------------------------------

    def tell_breached(self, breach: Breach, figure: Reading) -> None:
        asked = None
        if self.used_up(breach):
            assert breach.restarts is not None
            asked = self.counters[breach.restarts] + 1
        self.signals.append(
            Breached(
                at=self.now,
                entry=self.entry,
                breach=breach,
                figure=figure,
                asked=asked,
                readings=self.readings_of(breach) if figure is None else None,
                round=self.open_round(breach.rounds),
            )
        )

    def readings_of(self, breach: Breach) -> int | None:
        """How many readings a limit on them has; None for any other rule."""
        graded = (row for grade in self.machine.grades for row in grade.limits)
        for row in (*self.machine.places[breach.place].judged, *graded):
            if row.breach is breach and row.gauge is Gauge.READING:
                return len(self.readings[row.register])
        return None

    def tell_rested(self, place: Place) -> None:
        assert place.rest is not None
        for breach in (place.rest.least, place.rest.greatest):
            if breach is not None:
                assert isinstance(breach.rule, RestBound)
                self.signals.append(
                    Rested(
                        at=self.now,
                        entry=self.entry,
                        place=place.index,
                        bound=breach.rule,
                        length=self.age(place.rest.clock),
                    )
                )

    def tell_unused(
        self, *, breach: Breach | None = None, after_verdict: bool = False, unfit: bool = False
    ) -> None:
        self.signals.append(
            Unused(at=self.now, entry=self.entry, breach=breach, after_verdict=after_verdict, unfit=unfit)
        )


def _limit(breach: Breach) -> Limit:
    assert isinstance(breach.rule, Limit)
    return breach.rule
