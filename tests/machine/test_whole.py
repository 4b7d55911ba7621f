"""Whole points by the simplex method, against trying all of them."""

from itertools import product
from random import Random

from standfast.machine.linear import AtMost
from standfast.machine.whole import Bounds, whole_point


def test_a_point_is_found_exactly_where_there_is_one() -> None:
    found = 0
    for seed in range(400):
        rng = Random(f"whole {seed}")
        bounds: Bounds = {n: (low := rng.randrange(-3, 2), low + rng.randrange(4)) for n in range(1, 5)}
        limits = [_limit(rng) for _ in range(rng.randrange(1, 7))]
        ranges = [range(low, high + 1) for low, high in bounds.values()]
        any_there = any(_keeps(dict(zip(bounds, point, strict=True)), limits) for point in product(*ranges))
        point = whole_point(bounds, limits)
        assert (point is not None) == any_there, (seed, bounds, limits)
        if point is not None:
            found += 1
            assert all(low <= point[n] <= high for n, (low, high) in bounds.items())
            assert _keeps(dict(point), limits)
    assert 100 < found < 350


def _limit(rng: Random) -> AtMost:
    unknowns = sorted(rng.sample(range(1, 5), rng.randrange(2, 5)))
    return AtMost(tuple((n, rng.choice((-3, -1, 1, 2))) for n in unknowns), rng.randrange(-6, 4))


def _keeps(point: dict[int, int], limits: list[AtMost]) -> bool:
    return all(sum(factor * point[n] for n, factor in limit.terms) <= limit.most for limit in limits)
