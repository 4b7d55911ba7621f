"""Zones: sets of clock values given by bounds on clocks and on their differences.

Time is whole microseconds, so every bound is a whole number and none needs to be strict. A zone is kept closed
(every bound as tight as the others make it), which makes emptiness and inclusion plain comparisons. The method is
the difference bound matrix of Dill (1989), from memory; its answers are held against enumeration in the tests.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from operator import ge, itemgetter, le

from standfast.values import frozen

UNBOUNDED = 1 << 62

Guard = tuple[int, int | None, int | None]
"""A clock with the least and the greatest value it may have (None: any)."""

Flat = tuple[int, ...]
"""Bounds row by row: row i, column j bounds clock i minus clock j; 0 is nought, k + 1 clock `clocks[k]`."""


@frozen
class Zone:
    """The bounds in one row: what is asked of millions of zones is then asked of tuples as they are."""

    clocks: tuple[int, ...]
    flat: Flat

    @classmethod
    def start(cls) -> "Zone":
        """No clocks at all."""
        return cls((), (0,))

    def later(self, least: int = 0) -> "Zone":
        """Any time later, but so much at least, the same for all clocks."""
        size = len(self.clocks) + 1
        flat = _freed(size)((*self.flat, UNBOUNDED))
        if least:
            flat = (0, *(bound - least for bound in flat[1:size]), *flat[size:])
        return Zone(self.clocks, flat)

    def within(self, clock: int, *, least: int | None = None, most: int | None = None) -> "Zone | None":
        """The part where the clock lies between the bounds; None if there is none."""
        return self.narrowed(((clock, least, most),))

    def narrowed(self, guards: Iterable[Guard]) -> "Zone | None":
        """The part in which all guards hold; None if there is none."""
        clocks, flat = self.clocks, self.flat
        size = len(clocks) + 1
        for clock, least, most in guards:
            at = clocks.index(clock) + 1
            if most is not None and most < flat[at * size]:
                if flat[at] + most < 0:
                    return None
                flat = _tightened(flat, size, at, 0, most)
            if least is not None and -least < flat[at]:
                if flat[at * size] < least:
                    return None
                flat = _tightened(flat, size, 0, at, -least)
        return self if flat is self.flat else Zone(clocks, flat)

    def apart(self, one: int | None, other: int | None, most: int) -> "Zone | None":
        """The part where `one` is greater than `other` (None: nought) by `most` at most; None if there is none."""
        i, j, size = self._index(one), self._index(other), len(self.clocks) + 1
        if self.flat[i * size + j] <= most:
            return self
        if self.flat[j * size + i] + most < 0:
            return None
        return Zone(self.clocks, _tightened(self.flat, size, i, j, most))

    def most_apart(self, one: int | None, other: int | None) -> int:
        """By how much `one` can be greater than `other` (None: nought); UNBOUNDED if by any amount."""
        return self.flat[self._index(one) * (len(self.clocks) + 1) + self._index(other)]

    def _index(self, clock: int | None) -> int:
        return 0 if clock is None else self.clocks.index(clock) + 1

    def grown(self, clock: int) -> "Zone":
        """The zone with one more clock, after all others in number, of which nothing is known."""
        size = len(self.clocks) + 1
        rows = (bound for i in range(size) for bound in (*self.flat[i * size : (i + 1) * size], UNBOUNDED))
        return Zone((*self.clocks, clock), (*rows, *(UNBOUNDED,) * size, 0))

    def with_clocks(self, clocks: Mapping[int, bool]) -> "Zone":
        """The zone over just these clocks; those marked True are new or set to nought now."""
        names = tuple(sorted(clocks))
        return self.over(names, [None if clocks[name] else name for name in names])

    def over(self, names: tuple[int, ...], sources: Sequence[int | None]) -> "Zone":
        """The zone of clocks by these names, each as the clock it comes from, or (None) set to nought now."""
        own = self.clocks
        places = (0, *(0 if source is None else own.index(source) + 1 for source in sources))
        return Zone(names, _picked(len(own) + 1, places)(self.flat))

    def includes(self, other: "Zone") -> bool:
        """Whether every point of the other, over the same clocks, is a point of this."""
        return all(map(ge, self.flat, other.flat))

    def blurred(self, bounds: Mapping[int, int]) -> "Zone":
        """The same for every comparison with constants up to `bounds`: what lies beyond them is not told apart.

        This makes the number of zones finite and keeps what can be reached exact as long as clocks are compared
        with constants only. Of a clock that is past its bound only that is kept, no difference to another clock:
        none can matter before it is set again (Behrmann and others, "Lower and upper bounds in zone-based
        abstractions of timed automata", 2006, from memory).
        """
        flat, size = self.flat, len(self.clocks) + 1
        most = [0, *(bounds[clock] for clock in self.clocks)]
        past = [-low > bound for low, bound in zip(flat, most, strict=False)]
        if not any(past) and all(map(le, flat[::size], most)):
            return self  # no clock is greater than another by more than it can be by itself
        rows = [list(flat[i * size : (i + 1) * size]) for i in range(size)]
        changed = False
        for i, row in enumerate(rows):
            for j, bound in enumerate(row):
                if i == j or bound >= UNBOUNDED:
                    continue
                if i > 0 and (past[i] or past[j] or bound > most[i]):
                    row[j], changed = UNBOUNDED, True
                elif i == 0 and past[j] and bound < -(most[j] + 1):
                    row[j], changed = -(most[j] + 1), True
        return Zone(self.clocks, _closed(rows)) if changed else self

    def outgrows(self, other: "Zone", clock: int) -> bool:
        """Whether at every point of the other, but for this clock, this zone lets the clock be greater.

        Then whatever led from the other to this can be done again, and the clock grow for ever.
        """
        at, size = self._index(clock), len(self.clocks) + 1
        for place, (mine, theirs) in enumerate(zip(self.flat, other.flat, strict=True)):
            i, j = divmod(place, size)
            if i == at and j != at and mine <= theirs < UNBOUNDED:
                return False
            if at not in (i, j) and mine < theirs:
                return False
        return True

    def without_upper_bound(self, clock: int) -> "Zone":
        """The zone with the clock as great as can be, also against every other clock."""
        at, size = self._index(clock), len(self.clocks) + 1
        row = (0 if j == at else UNBOUNDED for j in range(size))
        return Zone(self.clocks, (*self.flat[: at * size], *row, *self.flat[(at + 1) * size :]))

    def range(self, clock: int) -> tuple[int, int | None]:
        """The least and (None: unbounded) the greatest value of the clock."""
        most = self.most_apart(clock, None)
        return -self.most_apart(None, clock), None if most >= UNBOUNDED else most


def _tightened(flat: Flat, size: int, i: int, j: int, bound: int) -> Flat:
    """The zone with one bound made tighter, still closed."""
    through = [
        (k, bound + far)
        for k, (far, near) in enumerate(
            zip(flat[j * size : (j + 1) * size], flat[i * size : (i + 1) * size], strict=True)
        )
        if far < UNBOUNDED and bound + far < near
    ]
    found = list(flat)
    for row in range(0, size * size, size):
        first = flat[row + i]
        if first < UNBOUNDED and first + bound < flat[row + j]:
            for k, rest in through:
                if first + rest < found[row + k]:
                    found[row + k] = first + rest
    return tuple(found)


@lru_cache(maxsize=4096)
def _picked(size: int, places: tuple[int, ...]) -> Callable[[Flat], Flat]:
    """What takes from bounds of this size those of the places."""
    wanted = [i * size + j for i in places for j in places]
    return itemgetter(*wanted) if len(wanted) > 1 else lambda flat: (flat[0],)


@lru_cache(maxsize=256)
def _freed(size: int) -> Callable[[Flat], Flat]:
    """What takes from bounds, and one more that stands for none, those without the greatest of each clock."""
    wanted = [size * size if i and not j else i * size + j for i in range(size) for j in range(size)]
    return itemgetter(*wanted) if len(wanted) > 1 else lambda flat: (flat[0],)


def _closed(rows: list[list[int]]) -> Flat:
    size = range(len(rows))
    for k in size:
        through = rows[k]
        for row in rows:
            first = row[k]
            if first < UNBOUNDED:
                for j in size:
                    if through[j] < UNBOUNDED and first + through[j] < row[j]:
                        row[j] = first + through[j]
    return tuple(bound for row in rows for bound in row)
