"""The nearest times at which a log goes another way: how far off they must be, and which entries must move.

The times on one way are the solutions of differences between them, found by shortest paths (Bellman and Ford), and
of sums of them, found by `whole`. What is least is found by halving: with more doubt no way is lost.
"""

from collections.abc import Callable, Sequence
from itertools import cycle

from standfast.machine.linear import AtMost
from standfast.machine.shifting import Timeline, Walk, Way
from standfast.machine.whole import Bounds, whole_point
from standfast.values import define, evolve, field, frozen

_Edge = tuple[int, int, int]
"""An unknown (0: nought), one that may be greater, and by how much at most."""

_FAR = 1 << 62


@frozen
class Nearest:
    """A way, the least doubt with which it is taken, and the times at which it then is."""

    way: Way
    least: int
    times: tuple[int, ...]

    def moved(self, timeline: Timeline) -> list[int]:
        """The unknowns that are not as logged."""
        both = zip(timeline.times, self.times, strict=True)
        return [number for number, (at, time) in enumerate(both, 1) if at != time]


def nearest(timeline: Timeline, doubt: int, stands: Callable[[Way], bool]) -> Nearest | None:
    """The nearest end within the doubt that does not stand; None if all do, Undecided if it is not found out.

    With its least doubt, no other such end hangs on some only of the times that are moved.
    """
    found = step = _first(timeline, doubt, stands)
    while step is not None:
        found, step = step, _first(timeline, step.least - 1, stands)
    for number in () if found is None else found.moved(timeline):
        assert found is not None
        others = {*found.moved(timeline)} - {number}
        held = evolve(timeline, still=frozenset(range(1, len(timeline.times) + 1)) - others)
        found = _first(held, found.least, stands) or found
    return found


def _first(timeline: Timeline, doubt: int, stands: Callable[[Way], bool]) -> Nearest | None:
    way = next((way for way in Walk(timeline, doubt).ends() if not stands(way)), None)
    return None if way is None else _nearest_of(timeline, way, doubt)


def _nearest_of(timeline: Timeline, way: Way, doubt: int) -> Nearest:
    """The nearest times at which a way is taken; it can be within the doubt."""
    limits = Limits.of(way.limits(), len(timeline.times))
    least = _least(doubt, lambda tried: limits.solved(timeline.bounds(tried)) is not None)
    bounds = timeline.bounds(least)
    bounds = _as_logged(limits, bounds, timeline.times, 0, len(bounds))
    for number, at in enumerate(timeline.times):
        if bounds[number] != (at, at):
            bounds = _moved(limits, bounds, number, at, least)
    times = limits.solved(bounds)
    assert times is not None
    return Nearest(way, least, tuple(times))


def _as_logged(
    limits: "Limits", bounds: list[tuple[int, int]], times: Sequence[int], first: int, end: int
) -> list[tuple[int, int]]:
    """The bounds with each of these times in turn as logged, if it can be; many at once where all can be."""
    fixed = [*bounds[:first], *((at, at) for at in times[first:end]), *bounds[end:]]
    if limits.solved(fixed) is not None:
        return fixed
    if end - first < 2:
        return bounds
    middle = (first + end) // 2
    return _as_logged(limits, _as_logged(limits, bounds, times, first, middle), times, middle, end)


def _moved(
    limits: "Limits", bounds: list[tuple[int, int]], number: int, at: int, most: int
) -> list[tuple[int, int]]:
    """The bounds with this time moved as little as can be."""
    low, high = bounds[number]

    def between(first: int, last: int) -> list[tuple[int, int]]:
        return [*bounds[:number], (max(low, first), min(high, last)), *bounds[number + 1 :]]

    by = _least(most, lambda tried: limits.solved(between(at - tried, at + tried)) is not None)
    later = between(at + by, at + by)
    return later if limits.solved(later) is not None else between(at - by, at - by)


def _least(most: int, holds: Callable[[int], bool]) -> int:
    """The least number from 1 for which it holds: for `most` it does, and for all from the least on."""
    low, high = 0, most
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


@define
class Limits:
    """What is asked of times, the order in which they are included; unknowns are numbered from 1."""

    edges: list[_Edge]
    sums: list[AtMost] = field(factory=list)

    @classmethod
    def of(cls, asked: Sequence[AtMost], times: int) -> "Limits":
        limits = cls([(number + 1, number, 0) for number in range(times - 1, 0, -1)])
        for limit in dict.fromkeys(asked):
            pair = limit.difference()
            if pair is None:
                limits.sums.append(limit)
            else:
                limits.edges.append((pair[1] or 0, pair[0] or 0, limit.most))
        return limits

    def solved(self, bounds: Sequence[tuple[int, int]]) -> list[int] | None:
        """Whole times between the bounds that keep the limits; None if there are none."""
        if self.sums:
            point = self._point_of_sums(bounds)
            if point is None:
                return None
            bounds = [(point[n], point[n]) if n in point else pair for n, pair in enumerate(bounds, 1)]
        most = _shortest(0, self._edges(bounds), len(bounds))
        return None if most is None else most[1:]

    def _edges(self, bounds: Sequence[tuple[int, int]]) -> list[_Edge]:
        between = [edge for n, (low, high) in enumerate(bounds, 1) for edge in ((0, n, high), (n, 0, -low))]
        return [*between, *self.edges]

    def _point_of_sums(self, bounds: Sequence[tuple[int, int]]) -> dict[int, int] | None:
        """Values of the unknowns of sums for which there are values of all others."""
        unknowns = sorted({unknown for limit in self.sums for unknown, _ in limit.terms})
        edges = self._edges(bounds)
        most = _shortest(0, edges, len(bounds))
        if most is None:
            return None
        known: Bounds = {}
        limits = list(self.sums)
        for one in unknowns:
            row = _shortest(one, edges, len(bounds))
            assert row is not None
            known[one] = (-row[0], most[one])
            limits += [
                AtMost(tuple(sorted(((other, 1), (one, -1)))), row[other]) for other in unknowns if other != one
            ]
        point = whole_point(known, limits)
        return None if point is None else dict(point)


def _shortest(start: int, edges: Sequence[_Edge], unknowns: int) -> list[int] | None:
    """By how much each unknown can be greater than `start` at most; None where that cannot be.

    Edges are gone through to and fro: most lead from an entry to one beside it.
    """
    found = [_FAR] * (unknowns + 1)
    found[start] = 0
    for _, gone_through in zip(range(unknowns + 2), cycle((edges, edges[::-1])), strict=False):
        changed = False
        for one, other, most in gone_through:
            if found[one] < _FAR and found[one] + most < found[other]:
                found[other], changed = found[one] + most, True
        if found[start] < 0:
            return None
        if not changed:
            return found
    return None
