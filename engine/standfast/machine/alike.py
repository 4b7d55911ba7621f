"""Positions that go on alike, made one: whatever can no longer matter is put back to nought."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from standfast.machine.outlook import Outlook, outlooks_of
from standfast.machine.panels import Names, Panel, renamed
from standfast.machine.parts import FAULTS, LIMITS, LIVE, Gauge, Keep, Location, Machine, Place, RoundsRow
from standfast.machine.readings import folded
from standfast.machine.registers import Registers
from standfast.machine.state import State
from standfast.model.rules import UntilTotals
from standfast.values import define, evolve, field, frozen

Sums = list[tuple[Fraction, Fraction]]

_BEFORE = -1
_NOTHING = (Fraction(0), Fraction(0))


@frozen(eq=False)
class _Idle:
    """How clauses and events stand, kept once, and the registers that then cannot matter; `rounds` still may."""

    locations: tuple[Location, ...]
    standings: tuple[bool | None, ...]
    counters: tuple[int, ...]
    flags: tuple[int, ...]
    rolls: tuple[int, ...]
    sums: tuple[int, ...]
    values: tuple[int, ...]
    readings: tuple[int, ...]
    rounds: tuple[tuple[RoundsRow, Outlook], ...]


@define(eq=False)
class Settling:
    """Of one machine. What cannot matter is worked out once for each way in which clauses and events stand."""

    machine: Machine
    _outlooks: tuple[tuple[Place, RoundsRow, Outlook], ...] = field(init=False)
    _most: tuple[int, ...] = field(init=False)
    _nearest: tuple[int, ...] = field(init=False)
    _rests: tuple[tuple[int, int], ...] = field(init=False)
    _kept: tuple[tuple[int, int, RoundsRow, Outlook], ...] = field(init=False)
    _points: tuple[tuple[Place, int], ...] = field(init=False)
    _totals: tuple[Fraction, ...] = field(init=False)
    _longest: tuple[int, ...] = field(init=False)
    _idle: dict[tuple[object, ...], _Idle] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        machine = self.machine
        self._outlooks = outlooks_of(machine)
        self._most = tuple(row.bound + 1 for row in machine.counters)
        self._nearest = tuple(n for n, row in enumerate(machine.values) if row.keep is Keep.NEAREST)
        rests = (place.rest for place in machine.places)
        self._rests = tuple((rest.clock, rest.spent) for rest in rests if rest is not None)
        self._kept = tuple(
            (keeping.register, keeping.dial[1], rounds, outlook)
            for place, rounds, outlook in self._outlooks
            for keeping in place.keepings
            if keeping.dial[0] is Gauge.ROUNDS
        )
        bounds = zip(machine.places, machine.point_bounds, strict=True)
        self._points = tuple((place, bound) for place, bound in bounds if bound >= 0)
        self._totals = (Fraction(0),) * len(machine.totals)
        self._longest = (0,) * len(machine.silences)

    def alike(
        self, panels: Iterable[Panel], work: Registers, sums: Sequence[tuple[Fraction, Fraction]]
    ) -> tuple[State, Sums, Names]:
        """The state without times, totals as `sums`, and the names its graders had."""
        state, kept_sums = self.settled(work, sums)
        named, names = renamed(panels, state.rolls)
        return state if named == state.rolls else evolve(state, rolls=named), kept_sums, names

    def settled(self, work: Registers, sums: Sequence[tuple[Fraction, Fraction]]) -> tuple[State, Sums]:
        """The same with graders as they were called."""
        machine, idle = self.machine, self._idle_in(work)
        counters = list(map(min, work.counters, self._most))
        for rounds, outlook in idle.rounds:
            outlook.blur(rounds, work.counters, counters)
        flags, kept_sums, rolls = list(work.flags), list(sums), list(work.rolls)
        values, readings = list(work.values), list(work.readings)
        for counter in idle.counters:
            counters[counter] = 0
        for flag in idle.flags:
            flags[flag] = False
        for roll in idle.rolls:
            rolls[roll] = ()
        for total in idle.sums:
            kept_sums[total] = _NOTHING
        for value in idle.values:
            values[value] = None
        for reading in idle.readings:
            readings[reading] = ()
        for clock, spent in self._rests:
            if work.clocks[clock] is None:
                flags[spent] = False
        for number, run in enumerate(readings):
            if len(run) > 1:
                readings[number] = folded(machine.readings[number].readings, run)
        points: list[int | None] = [0] * len(machine.places)
        for place, bound in self._points:
            points[place.index] = _points(work, place, bound)
        state = State(
            now=0,
            locations=idle.locations,
            counters=tuple(counters),
            totals=self._totals,
            values=tuple(values),
            kept=tuple(self._blurred(work.kept) if self._kept else work.kept),
            readings=tuple(readings),
            bests=tuple(work.bests),
            flags=tuple(flags),
            clocks=tuple([None if clock is None else _BEFORE for clock in work.clocks]),
            longest=self._longest,
            standings=idle.standings,
            open=work.open,
            decided=work.decided,
            rolls=tuple(rolls),
            points=tuple(points),
        )
        return state, kept_sums

    def _blurred(self, figures: Iterable[Fraction | None]) -> list[Fraction | None]:
        """What was kept, of rounds what can still matter of it."""
        kept = list(figures)
        for register, counter, rounds, outlook in self._kept:
            figure = kept[register]
            if figure is not None:
                kept[register] = Fraction(outlook.of_kept(rounds, counter, int(figure)))
        return kept

    def _idle_in(self, work: Registers) -> _Idle:
        key = *work.locations, work.open, *work.standings
        idle = self._idle.get(key)
        if idle is None:
            idle = self._idle[key] = _idle(self.machine, work, self._nearest, self._outlooks)
        return idle


def _idle(
    machine: Machine,
    work: Registers,
    nearest: Iterable[int],
    outlooks: Iterable[tuple[Place, RoundsRow, Outlook]],
) -> _Idle:
    counters, flags, rolls = set[int](), set[int](), set[int]()
    sums, values, readings = set[int](), set(nearest), set[int]()
    for place, location in zip(machine.places, work.locations, strict=True):
        waiting = place.waiting
        if location not in LIVE and place.index != FAULTS:
            counters.update(place.counters)
            rolls.update(place.rolls)
            flags.update(machine.silences[silence].armed for silence in place.silences)
            if isinstance(place.goal, UntilTotals) and place.goal_register is not None:
                sums.add(place.goal_register)
            sums.update(place.totals)
            values.update(place.values)
            readings.update(place.readings)
        if location is not Location.WAITING and waiting.counter is not None:
            counters.add(waiting.counter)
        if location is not Location.WAITING and waiting.roll is not None:
            rolls.add(waiting.roll)
        if waiting.begun is not None and not _can_be_owed(work, place):
            flags.add(waiting.begun)
    for number, event in enumerate(machine.events):
        root = machine.places[event.place]
        if number != work.open:
            counters.update(each for each in event.fresh_counters if each != root.waiting.counter)
            flags.update(each for each in event.fresh_flags if root.rest is None or each != root.rest.spent)
        if work.standings[number] is not None:
            counters.add(event.charged)
    rounds = ((rounds, outlook) for _, rounds, outlook in outlooks if not counters.issuperset(_of_rounds(rounds)))
    return _Idle(
        locations=tuple(work.locations),
        standings=tuple(work.standings),
        counters=tuple(counters),
        flags=tuple(flags),
        rolls=tuple(rolls),
        sums=tuple(sums),
        values=tuple(values),
        readings=tuple(readings),
        rounds=tuple(rounds),
    )


def _of_rounds(rounds: RoundsRow) -> tuple[int, ...]:
    """The counters that an outlook blurs."""
    return rounds.longest, rounds.row, rounds.misses, rounds.made, rounds.missed, rounds.furthest


def _points(work: Registers, place: Place, bound: int) -> int | None:
    """Those of a clause in progress, up to one past what they are compared with."""
    if place.index != LIMITS and work.locations[place.index] not in LIVE:
        return 0
    points = work.points[place.index]
    return None if points is None else min(points, bound + 1)


def _can_be_owed(work: Registers, place: Place) -> bool:
    return place.parent is not None and work.locations[place.parent] in LIVE
