"""Zones: sets of clock values given by bounds on clocks and on their differences.

Time is whole microseconds, so every bound is a whole number and none needs to be strict. A zone is kept closed
(every bound as tight as the others make it), which makes emptiness and inclusion plain comparisons. The method is
the difference bound matrix of Dill (1989), from memory; its answers are held against enumeration in the tests.
"""

from collections.abc import Mapping

from standfast.values import frozen

UNBOUNDED = 1 << 62


@frozen
class Zone:
    """`rows[i][j]` bounds clock i minus clock j from above; index 0 is nought, index k + 1 clock `clocks[k]`."""

    clocks: tuple[int, ...]
    rows: tuple[tuple[int, ...], ...]

    @classmethod
    def start(cls) -> "Zone":
        """No clocks at all."""
        return cls((), ((0,),))

    def index(self, clock: int) -> int:
        return self.clocks.index(clock) + 1

    def later(self, least: int = 0) -> "Zone":
        """Any time later, but so much at least, the same for all clocks."""
        first = (0, *(bound - least for bound in self.rows[0][1:]))
        return Zone(self.clocks, (first, *((UNBOUNDED, *row[1:]) for row in self.rows[1:])))

    def within(self, clock: int, *, least: int | None = None, most: int | None = None) -> "Zone | None":
        """The part where the clock lies between the bounds; None if there is none."""
        at = self.index(clock)
        zone: Zone | None = self
        if most is not None:
            zone = self._bounded(at, 0, most)
        if zone is not None and least is not None:
            zone = zone._bounded(0, at, -least)
        return zone

    def apart(self, one: int | None, other: int | None, most: int) -> "Zone | None":
        """The part where `one` is greater than `other` (None: nought) by `most` at most; None if there is none."""
        return self._bounded(
            0 if one is None else self.index(one), 0 if other is None else self.index(other), most
        )

    def most_apart(self, one: int | None, other: int | None) -> int:
        """By how much `one` can be greater than `other` (None: nought); UNBOUNDED if by any amount."""
        return self.rows[0 if one is None else self.index(one)][0 if other is None else self.index(other)]

    def grown(self, clock: int) -> "Zone":
        """The zone with one more clock, after all others in number, of which nothing is known."""
        rows = (*((*row, UNBOUNDED) for row in self.rows), (*(UNBOUNDED for _ in self.rows), 0))
        return Zone((*self.clocks, clock), rows)

    def _bounded(self, i: int, j: int, bound: int) -> "Zone | None":
        if self.rows[i][j] <= bound:
            return self
        if self.rows[j][i] + bound < 0:
            return None
        target = self.rows[j]
        rows = []
        for row in self.rows:
            first = row[i] + bound
            if row[i] >= UNBOUNDED:
                rows.append(row)
                continue
            rows.append(
                tuple(
                    first + through if through < UNBOUNDED and first + through < old else old
                    for old, through in zip(row, target, strict=True)
                )
            )
        return Zone(self.clocks, tuple(rows))

    def with_clocks(self, clocks: Mapping[int, bool]) -> "Zone":
        """The zone over just these clocks; those marked True are new or set to nought now."""
        names = tuple(sorted(clocks))
        source = [0, *(0 if clocks[name] else self.index(name) for name in names)]
        return Zone(names, tuple(tuple(self.rows[i][j] for j in source) for i in source))

    def includes(self, other: "Zone") -> bool:
        """Whether every point of the other, over the same clocks, is a point of this."""
        return all(
            mine >= theirs
            for row, row_2 in zip(self.rows, other.rows, strict=True)
            for mine, theirs in zip(row, row_2, strict=True)
        )

    def blurred(self, bounds: Mapping[int, int]) -> "Zone":
        """The same for every comparison with constants up to `bounds`: what lies beyond them is not told apart.

        This makes the number of zones finite and keeps what can be reached exact as long as clocks are compared
        with constants only. Of a clock that is past its bound only that is kept, no difference to another clock:
        none can matter before it is set again (Behrmann and others, "Lower and upper bounds in zone-based
        abstractions of timed automata", 2006, from memory).
        """
        most = [0, *(bounds[clock] for clock in self.clocks)]
        past = [-low > bound for low, bound in zip(self.rows[0], most, strict=True)]
        rows = [list(row) for row in self.rows]
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
        at = self.index(clock)
        for i, (row, row_2) in enumerate(zip(self.rows, other.rows, strict=True)):
            for j, (mine, theirs) in enumerate(zip(row, row_2, strict=True)):
                if i == at and j != at and mine <= theirs < UNBOUNDED:
                    return False
                if at not in (i, j) and mine < theirs:
                    return False
        return True

    def without_upper_bound(self, clock: int) -> "Zone":
        """The zone with the clock as great as can be, also against every other clock."""
        at = self.index(clock)
        rows = tuple(
            tuple(0 if j == i else UNBOUNDED for j in range(len(row))) if i == at else row
            for i, row in enumerate(self.rows)
        )
        return Zone(self.clocks, rows)

    def range(self, clock: int) -> tuple[int, int | None]:
        """The least and (None: unbounded) the greatest value of the clock."""
        at = self.index(clock)
        most = self.rows[at][0]
        return -self.rows[0][at], None if most >= UNBOUNDED else most


def _closed(rows: list[list[int]]) -> tuple[tuple[int, ...], ...]:
    size = range(len(rows))
    for k in size:
        through = rows[k]
        for row in rows:
            first = row[k]
            if first < UNBOUNDED:
                for j in size:
                    if through[j] < UNBOUNDED and first + through[j] < row[j]:
                        row[j] = first + through[j]
    return tuple(tuple(row) for row in rows)
