"""The clocks of two machines in one zone: clocks that were set by the same step are one and the same.

A clock is known by its number among those of both machines. Each that runs reads a variable of the zone, named by
the least clock that reads it; one that is past everything it is compared with reads none any more.
"""

from collections.abc import Iterable, Mapping, Sequence

from standfast.machine.guards import Guard
from standfast.machine.zone import Zone

PAST = -1
"""Stands for the variable of a clock that is past its bound."""

Reads = tuple[tuple[int, int], ...]
"""Each running clock with the variable it reads."""


def narrowed(zone: Zone | None, reads: Mapping[int, int], guards: Iterable[Guard]) -> Zone | None:
    """The part of the zone in which all guards hold; None if there is none."""
    for clock, least, most in guards:
        if zone is None:
            return None
        variable = reads[clock]
        if variable == PAST:  # past every number that it is compared with
            zone = zone if most is None else None
        else:
            zone = zone.within(variable, least=least, most=most)
    return zone


def after(
    zone: Zone,
    reads: Mapping[int, int],
    running: Sequence[int],
    resets: frozenset[int],
    bounds: Mapping[int, int],
) -> tuple[Zone, Reads]:
    """The zone over the clocks that run after a step at one of its points, those in `resets` set by it."""
    groups: dict[int, list[int]] = {}
    past: list[int] = []
    for clock in running:
        if clock in resets:
            groups.setdefault(PAST, []).append(clock)
            continue
        variable = reads[clock]
        if variable == PAST or -zone.rows[0][zone.index(variable)] > bounds[clock]:
            past.append(clock)
        else:
            groups.setdefault(variable, []).append(clock)
    named = sorted((clocks[0], source, clocks) for source, clocks in groups.items())
    source = [0, *(0 if each == PAST else zone.index(each) for _, each, _ in named)]
    rows = tuple(tuple(zone.rows[i][j] for j in source) for i in source)
    most = {name: max(bounds[clock] for clock in clocks) for name, _, clocks in named}
    found = [(clock, name) for name, _, clocks in named for clock in clocks] + [(clock, PAST) for clock in past]
    return Zone(tuple(name for name, _, _ in named), rows).blurred(most), tuple(sorted(found))
