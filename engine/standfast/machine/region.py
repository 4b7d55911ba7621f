"""Where the times of entries can lie: a zone of them, and what is asked of sums that are no differences."""

from collections.abc import Iterable

from standfast.machine.linear import AtMost
from standfast.machine.whole import Bounds, whole_point
from standfast.machine.zone import Zone
from standfast.values import frozen


@frozen
class Region:
    """Points of the zone, whose clocks are unknowns, that keep the limits on `sums` too. Never empty."""

    zone: Zone
    sums: frozenset[AtMost] = frozenset()

    @classmethod
    def anywhere(cls) -> "Region":
        """With no unknowns at all."""
        return cls(Zone.start())

    def within(self, limit: AtMost) -> "Region | None":
        """The part that keeps one more limit; None if there is none, Undecided where that is not found out."""
        if not limit.terms:
            return self if limit.most >= 0 else None
        pair = limit.difference()
        if pair is None:
            return self._if_any(self.zone, self.sums | {limit})
        if self.zone.most_apart(*pair) <= limit.most:
            return self
        zone = self.zone.apart(*pair, limit.most)
        return None if zone is None else self._if_any(zone, self.sums)

    def _if_any(self, zone: Zone, sums: frozenset[AtMost]) -> "Region | None":
        if sums and whole_point(*_projected(zone, sums)) is None:
            return None
        return Region(zone, sums)

    def later(self, unknown: int, least: int, most: int, after: int | None) -> "Region | None":
        """The same with one more unknown, between the bounds and, of those there are, not before `after`."""
        zone = self.zone.grown(unknown).apart(unknown, None, most)
        zone = None if zone is None else zone.apart(None, unknown, -least)
        if zone is not None and after is not None:
            zone = zone.apart(after, unknown, 0)
        return None if zone is None else self._if_any(zone, self.sums)

    def of(self, unknowns: Iterable[int]) -> "Region":
        """All that can still be said of these unknowns."""
        summed = {unknown for limit in self.sums for unknown, _ in limit.terms}
        return Region(self.zone.with_clocks(dict.fromkeys({*unknowns, *summed}, False)), self.sums)

    def includes(self, other: "Region") -> bool:
        return self.sums <= other.sums and self.zone.clocks == other.zone.clocks and self.zone.includes(other.zone)


def _projected(zone: Zone, sums: frozenset[AtMost]) -> tuple[Bounds, list[AtMost]]:
    """What the zone says of the unknowns of the sums, and the sums."""
    unknowns = sorted({unknown for limit in sums for unknown, _ in limit.terms})
    bounds = {one: (-zone.most_apart(None, one), zone.most_apart(one, None)) for one in unknowns}
    apart = [
        AtMost(tuple(sorted(((one, 1), (other, -1)))), zone.most_apart(one, other))
        for one in unknowns
        for other in unknowns
        if one != other
    ]
    return bounds, [*apart, *sorted(sums, key=lambda limit: (limit.terms, limit.most))]
