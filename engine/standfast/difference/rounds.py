"""Entries that name another round than the open one, as far as two machines together must look at them.

The method is that of `machine.passing_over`: what an entry does that names a later round is settled by the
positions in which that round is open and all before it are closed, and by the clocks that still run there.
"""

from collections.abc import Iterator, Sequence

from standfast.difference.clockwork import Clockwork, Times
from standfast.difference.marks import SharedMark
from standfast.difference.node import Node
from standfast.difference.side import Side
from standfast.machine.parts import Place, RoundsRow
from standfast.machine.passing_over import strays
from standfast.machine.rounds import rounds_of
from standfast.values import define, field


@define(eq=False)
class RoundNames:
    """The names that must be looked at from one pair of positions, and what was gone through before."""

    old: Side
    new: Side
    clockwork: Clockwork
    _node: Node | None = None
    _times: Times | None = None
    _here: dict[tuple[int | None, ...], tuple[str, ...]] = field(factory=dict)
    _gone_over: dict[object, list[Times]] = field(factory=dict)

    def look_at(self, node: Node, times: Times) -> None:
        """The pair of positions from which the next entry comes, with the times of its instant."""
        self._node, self._times = node, times
        self._here.clear()

    def names(self, mark: SharedMark) -> tuple[str, ...]:
        """Of the rounds that both know those that an entry of the mark must be tried with."""
        node, known = self._node, mark.rounds or ()
        assert node is not None
        places = self._places(node, mark.name)
        found = [
            name
            for side, position, place in zip((self.old, self.new), (node.old, node.new), places, strict=True)
            if place is not None
            for name in strays(side.machine, mark.name, place, side.state(position))
        ]
        key = tuple(None if place is None else place.index for place in places)
        if key not in self._here:
            self._here[key] = tuple(self._later(node, places, known))
        found += self._here[key]
        return tuple(name for name in dict.fromkeys(found) if name in known)

    def _places(self, node: Node, mark: str) -> tuple[Place | None, Place | None]:
        return self.old.open_rounds(node.old, mark), self.new.open_rounds(node.new, mark)

    def _later(self, node: Node, places: tuple[Place | None, Place | None], known: Sequence[str]) -> Iterator[str]:
        """Later rounds that may be named, up to one from where all was gone through before."""
        both = [(side, position, place) for side, position, place in self._sides(node, places)]
        rows = [(rounds_of(place), side.state(position)) for side, position, place in both]
        if not both or any(row.unmarked is None for row, _ in rows):
            rows = [(row, state) for row, state in rows if row.unmarked is not None]
            yield from self._all_later(rows)
            return
        opens = {state.counters[row.open] for row, state in rows}
        if len(opens) > 1 or len({row.names for row, _ in rows}) > 1:
            yield from self._all_later(rows)
            return
        names = rows[0][0].names
        for number in range(opens.pop() + 1, len(names)):
            closed = [side.closed(position, place, number) for side, position, place in both]
            yield names[number]
            if any(over for _, over in closed) or self._was_gone_over(node, places, [each for each, _ in closed]):
                return

    @staticmethod
    def _all_later(rows: Sequence[tuple[RoundsRow, object]]) -> Iterator[str]:
        for row, _ in rows:
            yield from row.names

    def _sides(self, node: Node, places: tuple[Place | None, Place | None]) -> Iterator[tuple[Side, int, Place]]:
        for side, position, place in zip((self.old, self.new), (node.old, node.new), places, strict=True):
            if place is not None:
                yield side, position, place

    def _was_gone_over(self, node: Node, places: tuple[Place | None, Place | None], closed: Sequence[int]) -> bool:
        left = list(closed)
        old, new = (
            position if place is None else left.pop(0)
            for position, place in zip((node.old, node.new), places, strict=True)
        )
        offset = len(self.old.machine.clocks)
        running = (*self.old.running(old), *(offset + clock for clock in self.new.running(new)))
        assert self._times is not None
        times = self.clockwork.after(self._times, self.clockwork.turn(running, frozenset()))
        key = old, new, times.reads, node.late, node.in_step, node.told, places[0] is None, places[1] is None
        known = self._gone_over.setdefault(key, [])
        if any(other.includes(times) for other in known):
            return True
        known.append(times)
        return False
