"""Zones against their points: on small constants every whole point is tried."""

from collections.abc import Iterator
from itertools import product
from random import Random

from standfast.machine.zone import UNBOUNDED, Zone

Point = tuple[int, ...]

WIDE = 9
"""Points up to here are compared: beyond every constant used."""

FAR = 40
"""Points are followed up to here, so that none that comes back below `WIDE` is lost."""


def points(zone: Zone, wide: int = WIDE) -> set[Point]:
    return {point for point in product(range(wide + 1), repeat=len(zone.clocks)) if holds(zone, point)}


def holds(zone: Zone, point: Point) -> bool:
    values: dict[int | None, int] = {None: 0, **dict(zip(zone.clocks, point, strict=True))}
    return all(values[i] - values[j] <= zone.most_apart(i, j) for i in values for j in values)


def near(of: set[Point]) -> set[Point]:
    return {point for point in of if all(value <= WIDE for value in point)}


def walks(count: int) -> Iterator[tuple[Zone, set[Point], Random]]:
    """Zones made by random steps over up to three clocks, each with its points as plain counting has them."""
    for seed in range(count):
        rng = Random(f"zone {seed}")
        zone = Zone.start().with_clocks(dict.fromkeys(range(rng.choice((1, 2, 2, 3))), True))
        counted: set[Point] = {(0,) * len(zone.clocks)}
        for _ in range(rng.randrange(1, 7)):
            step = rng.choice((later, later, bounded, reset))
            taken = step(rng, zone, counted)
            if taken is None:
                break
            zone, counted = taken
            yield zone, counted, rng


def later(rng: Random, zone: Zone, counted: set[Point]) -> tuple[Zone, set[Point]]:
    least = rng.choice((0, 0, 1))
    grown = {tuple(value + more for value in point) for point in counted for more in range(least, WIDE + 1)}
    return zone.later(least), {point for point in grown if all(value <= FAR for value in point)}


def bounded(rng: Random, zone: Zone, counted: set[Point]) -> tuple[Zone, set[Point]] | None:
    clock = rng.choice(zone.clocks)
    least, most = rng.choice(((None, 2), (1, None), (1, 3), (2, 2), (None, 0), (3, None)))
    at = zone.clocks.index(clock)
    kept = {p for p in counted if (least is None or p[at] >= least) and (most is None or p[at] <= most)}
    part = zone.within(clock, least=least, most=most)
    assert (part is None) == (not kept)
    return None if part is None else (part, kept)


def reset(rng: Random, zone: Zone, counted: set[Point]) -> tuple[Zone, set[Point]]:
    """Some clocks are set to nought, one may go and a new one come."""
    clocks = {clock: rng.random() < 0.4 for clock in zone.clocks}
    if len(clocks) > 1 and rng.random() < 0.2:
        del clocks[rng.choice(zone.clocks)]
    elif len(clocks) < 3 and rng.random() < 0.3:
        clocks[max(clocks) + 1] = True
    old = {clock: at for at, clock in enumerate(zone.clocks)}
    made = {tuple(0 if clocks[c] else p[old[c]] for c in sorted(clocks)) for p in counted}
    return zone.with_clocks(clocks), made


def test_every_step_has_the_points_that_counting_gives() -> None:
    number = 0
    for zone, counted, _ in walks(150):
        number += 1
        assert points(zone) == near(counted)
    assert number > 300


def test_a_range_is_from_the_least_to_the_greatest_point() -> None:
    for zone, counted, _ in walks(100):
        for at, clock in enumerate(zone.clocks):
            least, most = zone.range(clock)
            values = {point[at] for point in counted}
            assert least == min(values)
            assert most == max(values) if most is not None else max(values) > WIDE - 3


def test_one_includes_another_if_it_has_all_its_points() -> None:
    zones: dict[tuple[int, ...], list[Zone]] = {}
    for zone, _, _ in walks(80):
        boxed = _boxed(zone)
        if boxed is not None:
            zones.setdefault(zone.clocks, []).append(boxed)
    seen = set()
    for alike in zones.values():
        for one, other in product(alike[:15], repeat=2):
            seen.add(one.includes(other))
            assert one.includes(other) == (points(one) >= points(other))
    assert seen == {True, False}


def _boxed(zone: Zone) -> Zone | None:
    part: Zone | None = zone
    for clock in zone.clocks:
        part = None if part is None else part.within(clock, most=WIDE)
    return part


def test_blurring_tells_apart_what_comparisons_can_and_nothing_else() -> None:
    blurred_some = False
    for zone, _, rng in walks(150):
        bounds = {clock: rng.randrange(4) for clock in zone.clocks}
        blurred = zone.blurred(bounds)
        assert points(blurred) >= points(zone)
        assert _told_apart(blurred, bounds) == _told_apart(zone, bounds)
        blurred_some = blurred_some or blurred != zone
        assert blurred.blurred(bounds) == blurred
    assert blurred_some


def _told_apart(zone: Zone, bounds: dict[int, int]) -> set[Point]:
    """The points with every value past its bound made alike."""
    most = [bounds[clock] + 1 for clock in zone.clocks]
    return {tuple(map(min, point, most)) for point in points(zone)}


def test_a_clock_past_its_bound_holds_no_other_back() -> None:
    """A clock that is never read grows, though always by three more than one that nothing reads any more."""
    bounds = {0: UNBOUNDED, 1: 1}
    zone = Zone.start().with_clocks({0: True}).later(3).within(0, most=3)
    assert zone is not None
    early, late = (zone.with_clocks({0: False, 1: True}).later().within(1, least=age, most=age) for age in (2, 4))
    assert early is not None and late is not None
    assert not late.outgrows(early, 0)
    assert late.blurred(bounds).outgrows(early.blurred(bounds), 0)
    assert late.blurred(bounds).range(0) == (7, 7)


def _grows(one: Zone, other: Zone, clock: int) -> bool:
    """Whether at every point of the other the clock can be greater in the one, all else being equal."""
    at = one.clocks.index(clock)

    def greatest(zone: Zone) -> dict[Point, int]:
        found: dict[Point, int] = {}
        for point in points(zone):
            rest = (*point[:at], *point[at + 1 :])
            found[rest] = max(found.get(rest, 0), point[at])
        return found

    ours, theirs = greatest(one), greatest(other)
    return all(rest in ours and ours[rest] > value for rest, value in theirs.items())


def test_what_outgrows_another_has_a_greater_clock_at_each_of_its_points() -> None:
    zones: dict[tuple[int, ...], list[Zone]] = {}
    for zone, _, _ in walks(120):
        if all(zone.range(clock)[1] is not None for clock in zone.clocks):
            zones.setdefault(zone.clocks, []).append(zone)
    grown = 0
    for alike in zones.values():
        for one, other in product(alike[:25], repeat=2):
            for clock in one.clocks:
                if one.outgrows(other, clock):
                    grown += 1
                    assert _grows(one, other, clock)
    assert grown > 20


def test_without_an_upper_bound_a_clock_is_as_great_as_can_be() -> None:
    for zone, _, rng in walks(80):
        clock = rng.choice(zone.clocks)
        at = zone.clocks.index(clock)
        greater = {(*p[:at], v, *p[at + 1 :]) for p in points(zone) for v in range(p[at], WIDE + 1)}
        assert points(zone.without_upper_bound(clock)) == greater


def test_a_difference_and_one_more_clock() -> None:
    seen = 0
    for zone, counted, rng in walks(300):
        one, other = rng.choice(zone.clocks), rng.choice((None, *zone.clocks))
        if one == other:
            continue
        most = rng.choice((-2, -1, 0, 1, 3))
        kept = {p for p in counted if _value(zone, p, one) - _value(zone, p, other) <= most}
        part = zone.apart(one, other, most)
        assert (part is None) == (not kept)
        assert part is None or near(points(part)) == near(kept)
        seen += 1
        grown = zone.grown(max(zone.clocks) + 1)
        assert grown.with_clocks(dict.fromkeys(zone.clocks, False)) == zone
        assert grown.most_apart(one, grown.clocks[-1]) == UNBOUNDED
    assert seen > 100


def _value(zone: Zone, point: Point, clock: int | None) -> int:
    return 0 if clock is None else point[zone.clocks.index(clock)]
