"""The position of a machine laid open while a step is taken: registers to read and set, signals to tell."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Self

from attrs import define, field

from standfast.log.entry import Entry
from standfast.machine.parts import FAULTS, Breach, Gauge, Location, Machine, Place
from standfast.machine.state import Breached, Figures, Reading, Rested, Signal, State, Unused
from standfast.model.rules import Effect, RestBound


@define
class Registers:
    machine: Machine
    now: int
    locations: list[Location]
    counters: list[int]
    totals: list[Fraction]
    flags: list[bool]
    clocks: list[int | None]
    longest: list[int]
    standings: list[bool | None]
    open: int | None
    decided: bool | None
    rolls: list[tuple[str, ...]]
    entry: Entry | None = None
    signals: list[Signal] = field(factory=list)

    @classmethod
    def of(cls, machine: Machine, state: State) -> Self:
        return cls(
            machine,
            state.now,
            list(state.locations),
            list(state.counters),
            list(state.totals),
            list(state.flags),
            list(state.clocks),
            list(state.longest),
            list(state.standings),
            state.open,
            state.decided,
            list(state.rolls),
        )

    def frozen(self) -> tuple[State, tuple[Signal, ...]]:
        state = State(
            self.now,
            tuple(self.locations),
            tuple(self.counters),
            tuple(self.totals),
            tuple(self.flags),
            tuple(self.clocks),
            tuple(self.longest),
            tuple(self.standings),
            self.open,
            self.decided,
            tuple(self.rolls),
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
        """The broken `at least` of a place that would complete now, those already kept left out."""
        return (
            row.breach
            for row in place.at_least
            if self.counters[row.counter] < row.number and not self.flags[row.breach.kept]
        )

    def broken_at_completion(self, place: Place) -> list[tuple[Breach, int]]:
        """What a place that would complete now breaks by it (rules 2 and 11), with the figures."""
        few = [
            (row.breach, self.counters[row.counter])
            for row in place.at_least
            if self.counters[row.counter] < row.number
        ]
        early = [
            (row.breach, self.age(row.clock)) for row in place.not_before if self.younger(row.clock, row.length)
        ]
        return [(breach, figure) for breach, figure in (*few, *early) if not self.flags[breach.kept]]

    def figures(self, place: Place) -> Figures:
        return tuple((row, self.gauge(row.gauge, row.register)) for row in place.rows)

    def gauge(self, gauge: Gauge, register: int) -> int | Fraction:
        match gauge:
            case Gauge.CLOCK:
                return self.age(register)
            case Gauge.COUNTER | Gauge.RESTARTS:
                return self.counters[register]
            case Gauge.SILENCE:
                return max(self.longest[register], self.age(self.machine.silences[register].clock))
            case Gauge.TOTAL:
                return self.totals[register]

    # --- signals ---------------------------------------------------------------------------------------

    def tell_breached(self, breach: Breach, figure: Reading) -> None:
        asked = None
        if self.used_up(breach):
            assert breach.restarts is not None
            asked = self.counters[breach.restarts] + 1
        self.signals.append(Breached(at=self.now, entry=self.entry, breach=breach, figure=figure, asked=asked))

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

    def tell_unused(self, *, breach: Breach | None = None, after_verdict: bool = False) -> None:
        self.signals.append(Unused(at=self.now, entry=self.entry, breach=breach, after_verdict=after_verdict))
