"""Positions that go on alike, made one: whatever can no longer matter is put back to nought."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from standfast.machine.outlook import Outlook
from standfast.machine.panels import Names, Panel, renamed
from standfast.machine.parts import FAULTS, LIMITS, LIVE, Gauge, Keep, Location, Machine, Place, RoundsRow
from standfast.machine.readings import folded
from standfast.machine.registers import Registers
from standfast.machine.state import State
from standfast.model.rules import UntilTotals
from standfast.values import evolve

Sums = list[tuple[Fraction, Fraction]]

_BEFORE = -1


def alike(
    machine: Machine,
    panels: Iterable[Panel],
    outlooks: Iterable[tuple[Place, RoundsRow, Outlook]],
    work: Registers,
    sums: Sequence[tuple[Fraction, Fraction]],
) -> tuple[State, Sums, Names]:
    """The state without times, totals as `sums`, and the names its graders had."""
    state, kept_sums = settled(machine, outlooks, work, sums)
    named, names = renamed(panels, state.rolls)
    return evolve(state, rolls=named), kept_sums, names


def settled(
    machine: Machine,
    outlooks: Iterable[tuple[Place, RoundsRow, Outlook]],
    work: Registers,
    sums: Sequence[tuple[Fraction, Fraction]],
) -> tuple[State, Sums]:
    """The same with graders as they were called."""
    counters = [min(number, row.bound + 1) for number, row in zip(work.counters, machine.counters, strict=True)]
    kept = list(work.kept)
    for place, rounds, outlook in outlooks:
        outlook.blur(rounds, work.counters, counters)
        for keeping in place.keepings:
            figure, (gauge, counter) = kept[keeping.register], keeping.dial
            if gauge is Gauge.ROUNDS and figure is not None:
                kept[keeping.register] = Fraction(outlook.of_kept(rounds, counter, int(figure)))
    flags, kept_sums, rolls = list(work.flags), list(sums), list(work.rolls)
    values = [
        None if row.keep is Keep.NEAREST else value for row, value in zip(machine.values, work.values, strict=True)
    ]
    readings = [folded(row.readings, run) for row, run in zip(machine.readings, work.readings, strict=True)]
    for place, location in zip(machine.places, work.locations, strict=True):
        waiting, rest = place.waiting, place.rest
        if location not in LIVE and place.index != FAULTS:
            for counter in place.counters:
                counters[counter] = 0
            for roll in place.rolls:
                rolls[roll] = ()
            for silence in place.silences:
                flags[machine.silences[silence].armed] = False
            if isinstance(place.goal, UntilTotals) and place.goal_register is not None:
                kept_sums[place.goal_register] = (Fraction(0), Fraction(0))
            for total in place.totals:
                kept_sums[total] = (Fraction(0), Fraction(0))
            for value in place.values:
                values[value] = None
            for reading in place.readings:
                readings[reading] = ()
        if location is not Location.WAITING and waiting.counter is not None:
            counters[waiting.counter] = 0
        if location is not Location.WAITING and waiting.roll is not None:
            rolls[waiting.roll] = ()
        if waiting.begun is not None and not _can_be_owed(work, place):
            flags[waiting.begun] = False
        if rest is not None and work.clocks[rest.clock] is None:
            flags[rest.spent] = False
    for number, event in enumerate(machine.events):
        root = machine.places[event.place]
        if number != work.open:
            for counter in event.fresh_counters:
                if counter != root.waiting.counter:
                    counters[counter] = 0
            for flag in event.fresh_flags:
                if root.rest is None or flag != root.rest.spent:
                    flags[flag] = False
        if work.standings[number] is not None:
            counters[event.charged] = 0
    if max(machine.point_bounds) < 0:  # nothing is compared with points
        points: tuple[int | None, ...] = (0,) * len(machine.places)
    else:
        points = tuple(_points(machine, work, place) for place in machine.places)
    state = State(
        now=0,
        locations=tuple(work.locations),
        counters=tuple(counters),
        totals=(Fraction(0),) * len(machine.totals),
        values=tuple(values),
        kept=tuple(kept),
        readings=tuple(readings),
        bests=tuple(work.bests),
        flags=tuple(flags),
        clocks=tuple(None if clock is None else _BEFORE for clock in work.clocks),
        longest=(0,) * len(machine.silences),
        standings=tuple(work.standings),
        open=work.open,
        decided=work.decided,
        rolls=tuple(rolls),
        points=points,
    )
    return state, kept_sums


def _points(machine: Machine, work: Registers, place: Place) -> int | None:
    """Those of a clause in progress, up to one past what they are compared with."""
    bound, points = machine.point_bounds[place.index], work.points[place.index]
    if bound < 0 or (place.index != LIMITS and work.locations[place.index] not in LIVE):
        return 0
    return None if points is None else min(points, bound + 1)


def _can_be_owed(work: Registers, place: Place) -> bool:
    return place.parent is not None and work.locations[place.parent] in LIVE
