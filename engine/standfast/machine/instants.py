"""The earliest instants of steps that must lie so far apart, eased where they are free to come later."""

from collections.abc import Iterator, Sequence

from standfast.machine.effort import Effort
from standfast.values import frozen

SECOND = 1_000_000
_MOST_WISHES = 40
"""How many stretches are made longer or shorter for one wish before it is given up."""

Apart = tuple[int, int, int]
"""One step, another, and the least distance in microseconds from the first to the second."""


@frozen
class Wish:
    """The stretches between these pairs of steps take from `least` to `most` together, in microseconds."""

    stretches: tuple[tuple[int, int], ...]
    least: int | None
    most: int | None

    def off(self, instants: Sequence[int]) -> int:
        """How much is missing (positive) or too much (negative)."""
        lasted = sum(instants[end] - instants[begin] for begin, end in self.stretches)
        if self.least is not None and lasted < self.least:
            return self.least - lasted
        return self.most - lasted if self.most is not None and lasted > self.most else 0

    def ways(self, instants: Sequence[int]) -> Iterator[Apart]:
        """What would grant it by one stretch alone, then what would grant a part of it: a half, a quarter ..."""
        missing = self.off(instants)
        while missing:
            for begin, end in self.stretches:
                lasts = instants[end] - instants[begin]
                if missing > 0:
                    yield begin, end, lasts + missing
                elif lasts:
                    yield end, begin, -max(0, lasts + missing)
            missing = (abs(missing) // 2) * (1 if missing > 0 else -1) if len(self.stretches) > 1 else 0


def earliest(
    number: int,
    apart: list[Apart],
    wanted: Sequence[Wish],
    entries: Sequence[int],
    gap: int,
    effort: Effort,
) -> tuple[int, ...] | None:
    """The least instants of so many steps; None if none were found, or the effort is spent.

    With a `gap` each of the `entries` comes that much after the step before it, and then at a whole second,
    wherever that is free.
    """
    instants = raised([0] * number, apart)
    if instants is not None and wanted:
        apart, instants = _with_wishes(apart, instants, wanted, effort)
    if instants is None or not gap:
        return None if instants is None else tuple(instants)
    spread = [(each - 1, each, gap) for each in entries if each > 1]
    eased = raised(instants, [*apart, *spread])
    if eased is None:
        eased = instants
        for wish in spread:
            apart, eased = _granted(wish, apart, eased)
    else:
        apart = [*apart, *spread]
    for each in entries:
        if eased[each] % SECOND:
            wished, later = _granted((0, each, -(-eased[each] // SECOND) * SECOND), apart, eased)
            if later[:each] == eased[:each]:
                apart, eased = wished, later
    return tuple(instants if any(wish.off(eased) for wish in wanted) else eased)


def _with_wishes(
    apart: list[Apart], instants: list[int], wanted: Sequence[Wish], effort: Effort
) -> tuple[list[Apart], list[int] | None]:
    """Both with what grants the wishes, one stretch after another; no instants if that is not found."""
    for _ in range(_MOST_WISHES * len(wanted)):
        unmet = next((wish for wish in wanted if wish.off(instants)), None)
        if unmet is None:
            return apart, instants
        for way in unmet.ways(instants):
            if not effort.takes(1 + len(apart) // 100):
                return apart, None
            later = raised(instants, [*apart, way])
            if later is not None:
                apart, instants = [*apart, way], later
                break
        else:
            return apart, None
    return apart, None


def raised(instants: Sequence[int], apart: Sequence[Apart]) -> list[int] | None:
    """The least instants, none before the given one, that are so far apart; None if there are none."""
    found = list(instants)
    for _ in range(len(found) + 1):
        changed = False
        for one, other, distance in apart:
            if found[one] + distance > found[other]:
                found[other], changed = found[one] + distance, True
        if not changed:
            return found if found[0] == 0 else None
    return None


def _granted(wish: Apart, apart: list[Apart], instants: list[int]) -> tuple[list[Apart], list[int]]:
    """Both with the wish added, or as they are if it cannot be."""
    later = raised(instants, [*apart, wish])
    return (apart, instants) if later is None else ([*apart, wish], later)
