"""The clocks of two machines in one zone: clocks that were set by the same step are one and the same.

A clock is known by its number among those of both machines. Each that runs reads a variable of the zone, named by
the least clock that reads it; one that is past everything it is compared with reads none any more.

A test has few limits: the same times come back at thousands of positions. So all times are kept once, with what
has been worked out of them; what is asked of them and what is set is kept once too, and so known by itself.
"""

from collections.abc import Sequence

from standfast.machine.zone import Guard, Zone
from standfast.values import define, field, frozen

PAST = -1
"""Stands for the variable of a clock that is past its bound."""

Reads = tuple[tuple[int, int], ...]
"""Each running clock with the variable it reads."""


@frozen(eq=False)
class Asked:
    """Guards that hold together."""

    guards: tuple[Guard, ...]


@frozen(eq=False)
class Turn:
    """The clocks that run after a step, and those set by it."""

    running: tuple[int, ...]
    resets: frozenset[int]


@define(eq=False)
class Times:
    """What the clocks can stand at, with what follows from it as far as it was asked for."""

    zone: Zone
    reads: Reads
    variables: dict[int, int]
    _later: dict[int, "Times"] = field(factory=dict)
    _narrowed: dict[Asked, "Times | None"] = field(factory=dict)
    _after: dict[Turn, "Times"] = field(factory=dict)

    def includes(self, other: "Times") -> bool:
        """Of times with the same `reads`."""
        return self is other or self.zone.includes(other.zone)


@define(eq=False)
class Clockwork:
    """The clocks of both machines; `bounds` has for each the greatest constant it is compared with."""

    bounds: dict[int, int]
    _times: dict[tuple[Zone, Reads], Times] = field(factory=dict)
    _asked: dict[tuple[Guard, ...], Asked] = field(factory=dict)
    _turns: dict[tuple[tuple[int, ...], frozenset[int]], Turn] = field(factory=dict)

    def start(self) -> Times:
        """The session's zero: no clock runs."""
        return self._kept(Zone.start(), ())

    def asked(self, guards: tuple[Guard, ...]) -> Asked:
        return self._asked.setdefault(guards, Asked(guards))

    def turn(self, running: tuple[int, ...], resets: frozenset[int]) -> Turn:
        return self._turns.setdefault((running, resets), Turn(running, resets))

    def _kept(self, zone: Zone, reads: Reads) -> Times:
        known = self._times.get((zone, reads))
        if known is None:
            known = self._times[zone, reads] = Times(zone, reads, dict(reads))
        return known

    def later(self, times: Times, least: int = 0) -> Times:
        """Any time later, but so much at least."""
        if least not in times._later:
            times._later[least] = self._kept(times.zone.later(least), times.reads)
        return times._later[least]

    def narrowed(self, times: Times, asked: Asked) -> Times | None:
        """The part in which all that is asked is so; None if there is none."""
        if not asked.guards:
            return times
        if asked not in times._narrowed:
            times._narrowed[asked] = self._narrow(times, asked.guards)
        return times._narrowed[asked]

    def _narrow(self, times: Times, guards: Sequence[Guard]) -> Times | None:
        wanted: list[Guard] = []
        for clock, least, most in guards:
            variable = times.variables[clock]
            if variable != PAST:
                wanted.append((variable, least, most))
            elif most is not None:  # past every number that it is compared with
                return None
        zone = times.zone.narrowed(wanted)
        return None if zone is None else self._kept(zone, times.reads)

    def after(self, times: Times, turn: Turn) -> Times:
        """Over the clocks that run after a step at one of these times."""
        if turn not in times._after:
            times._after[turn] = self._turned(times, turn)
        return times._after[turn]

    def _turned(self, times: Times, turn: Turn) -> Times:
        zone = times.zone
        groups: dict[int | None, list[int]] = {}
        past: list[int] = []
        for clock in turn.running:
            if clock in turn.resets:
                groups.setdefault(None, []).append(clock)
                continue
            variable = times.variables[clock]
            if variable == PAST or zone.range(variable)[0] > self.bounds[clock]:
                past.append(clock)
            else:
                groups.setdefault(variable, []).append(clock)
        named = sorted((clocks[0], source, clocks) for source, clocks in groups.items())
        most = {name: max(self.bounds[clock] for clock in clocks) for name, _, clocks in named}
        found = [(clock, name) for name, _, clocks in named for clock in clocks]
        found += [(clock, PAST) for clock in past]
        part = zone.over(tuple(name for name, _, _ in named), [source for _, source, _ in named])
        return self._kept(part.blurred(most), tuple(sorted(found)))
