"""The clocks of two machines in one zone: clocks that were set by the same step are one and the same.

A clock is known by its number among those of both machines. Each that runs reads a variable of the zone, named by
the least clock that reads it; one that is past everything it is compared with reads none any more.
"""

from collections.abc import Iterable, Mapping, Sequence

from standfast.machine.zone import Guard, Zone

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
        if variable == PAST or zone.range(variable)[0] > bounds[clock]:
            past.append(clock)
        else:
            groups.setdefault(variable, []).append(clock)
    named = sorted((clocks[0], None if source == PAST else source, clocks) for source, clocks in groups.items())
    most = {name: max(bounds[clock] for clock in clocks) for name, _, clocks in named}
    found = [(clock, name) for name, _, clocks in named for clock in clocks] + [(clock, PAST) for clock in past]
    part = zone.over(tuple(name for name, _, _ in named), [source for _, source, _ in named])
    return part.blurred(most), tuple(sorted(found))
