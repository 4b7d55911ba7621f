"""The clocks of two machines in one zone: clocks that were set by the same step are one and the same.

A clock is known by its number among those of both machines. Each that runs reads a variable of the zone, named by
the least clock that reads it; one that is past everything it is compared with reads none any more.
"""

from collections.abc import Iterable, Mapping, Sequence

from standfast.machine.zone import Guard, Zone
from standfast.values import define, field, frozen

PAST = -1
"""Stands for the variable of a clock that is past its bound."""

Reads = tuple[tuple[int, int], ...]
"""Each running clock with the variable it reads."""


def narrowed(zone: Zone | None, reads: Mapping[int, int], guards: Iterable[Guard]) -> Zone | None:
    """The part of the zone in which all guards hold; None if there is none."""
    if zone is None:
        return None
    asked: list[Guard] = []
    for clock, least, most in guards:
        variable = reads[clock]
        if variable != PAST:
            asked.append((variable, least, most))
        elif most is not None:  # past every number that it is compared with
            return None
    return zone.narrowed(asked)


@define(eq=False)
class Clockwork:
    """The clocks of both machines; `bounds` has for each the greatest constant it is compared with."""

    bounds: dict[int, int]
    _merged: dict[object, "_Merged"] = field(factory=dict)

    def after(
        self, zone: Zone, reads: Reads, running: tuple[int, ...], resets: frozenset[int]
    ) -> tuple[Zone, Reads]:
        """The zone over the clocks that run after a step at one of its points, those in `resets` set by it."""
        least = {variable: zone.range(variable)[0] for variable in zone.clocks}
        past = tuple(
            clock for clock, variable in reads if variable == PAST or least[variable] > self.bounds[clock]
        )
        key = zone.clocks, reads, running, resets, past
        merged = self._merged.get(key)
        if merged is None:
            merged = self._merged[key] = self._merge(dict(reads), running, resets, past)
        return zone.over(merged.names, merged.sources).blurred(merged.bounds), merged.reads

    def _merge(
        self, reads: Mapping[int, int], running: Sequence[int], resets: frozenset[int], past: Sequence[int]
    ) -> "_Merged":
        groups: dict[int | None, list[int]] = {}
        gone: list[tuple[int, int]] = []
        for clock in running:
            if clock in resets:
                groups.setdefault(None, []).append(clock)
            elif clock in past:
                gone.append((clock, PAST))
            else:
                groups.setdefault(reads[clock], []).append(clock)
        named = sorted((clocks[0], source, clocks) for source, clocks in groups.items())
        return _Merged(
            tuple(name for name, _, _ in named),
            tuple(source for _, source, _ in named),
            {name: max(self.bounds[clock] for clock in clocks) for name, _, clocks in named},
            tuple(sorted([*gone, *((clock, name) for name, _, clocks in named for clock in clocks)])),
        )


@frozen(eq=False)
class _Merged:
    """The variables after a step: their names, those they come from (None: set now), and who reads them."""

    names: tuple[int, ...]
    sources: tuple[int | None, ...]
    bounds: dict[int, int]
    reads: Reads
