"""Entries that name another round than the open one, as far as two machines together must look at them.

The method is that of `machine.passing_over`: what an entry does that names a later round is settled by the
positions in which that round is open and all before it are closed, and by the clocks that still run there. On
either side another round may be open, and a round that is named may be the open one, or be of no use.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from standfast.difference.clockwork import Clockwork, Times
from standfast.difference.marks import SharedMark
from standfast.difference.node import Node
from standfast.difference.side import Side
from standfast.machine.parts import Place
from standfast.machine.rounds import rounds_of
from standfast.values import define, field

Places = tuple[Place | None, Place | None]
"""On each side the place whose rounds a mark names, where a round of it is open."""

Named = tuple[tuple[str, ...], tuple[int | None, ...]]
"""The names that both sides know, and the numbers of these places."""


@define(eq=False)
class _Open:
    """One side on which a round of the place is open; `numbers` are those of its rounds by name.

    `closed` is the position with rounds closed as far as they were named, `over` whether that ended the rounds.
    """

    side: Side
    number: int
    place: Place
    numbers: dict[str, int]
    closed: int = field(init=False)
    over: bool = False
    _closings: Iterator[tuple[int, int, bool]] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.closed = self.number
        self._closings = self.side.closings(self.number, self.place)

    @property
    def open(self) -> int:
        return self.side.state(self.number).counters[rounds_of(self.place).open]

    @property
    def passes_over(self) -> bool:
        """Whether an entry may name a later round."""
        return rounds_of(self.place).unmarked is not None

    def close_before(self, name: str) -> None:
        """Close the rounds before this one, if it is a later one and they were not over before."""
        wanted, reached = self.numbers[name], self.open
        while self.passes_over and not self.over and reached < wanted:
            following = next(self._closings, None)
            if following is None:
                return
            reached, self.closed, self.over = following


@define(eq=False)
class RoundNames:
    """The names that must be looked at from one pair of positions, and what was gone through before."""

    old: Side
    new: Side
    clockwork: Clockwork
    _node: Node | None = None
    _times: Times | None = None
    _here: dict[Named, tuple[str, ...]] = field(factory=dict)
    _gone_over: dict[object, list[Times]] = field(factory=dict)
    _numbers: dict[tuple[int, int], dict[str, int]] = field(factory=dict)

    def look_at(self, node: Node, times: Times) -> None:
        """The pair of positions from which the next entry comes, with the times of its instant."""
        self._node, self._times = node, times
        self._here.clear()

    def names(self, mark: SharedMark) -> tuple[str, ...]:
        """Of the rounds that both know those that an entry of the mark must be tried with.

        An entry that names none is of the open round on both sides.
        """
        node = self._node
        assert node is not None
        places = self.old.open_rounds(node.old, mark.name), self.new.open_rounds(node.new, mark.name)
        named = mark.rounds or (), tuple([None if place is None else place.index for place in places])
        if named not in self._here:
            self._here[named] = tuple(self._named(node, places, named))
        return self._here[named]

    def _named(self, node: Node, places: Places, named: Named) -> Iterator[str]:
        """One name of each kind of which no side passes over a round, and the later rounds that either may."""
        known, sides = named[0], tuple(self._open(node, places))
        later: list[str] = []
        others: dict[tuple[bool, ...], str] = {}
        opens = [(one, one.open) for one in sides]
        for name in known:
            if any(one.passes_over and one.numbers[name] > number for one, number in opens):
                later.append(name)
            else:
                others.setdefault(tuple([one.numbers[name] == number for one, number in opens]), name)
        yield from (name for is_open, name in others.items() if not all(is_open))
        if all(_in_order(one.numbers, later) for one in sides):
            yield from self._not_gone_over(node, named, sides, later)
        else:
            yield from later

    def _not_gone_over(
        self, node: Node, named: Named, sides: Sequence[_Open], later: Sequence[str]
    ) -> Iterator[str]:
        """Later rounds, in the order of both sides, up to one from where it was gone through before."""
        for name in later:
            for one in sides:
                one.close_before(name)
            if not any(one.over for one in sides) and self._was_gone_over(node, (named, name), sides):
                return
            yield name
            if all(one.over for one in sides):  # a later one does the same
                return

    def _open(self, node: Node, places: Places) -> Iterator[_Open]:
        for number, (side, place) in enumerate(zip((self.old, self.new), places, strict=True)):
            if place is not None:
                key = number, place.index
                if key not in self._numbers:
                    self._numbers[key] = {name: each for each, name in enumerate(rounds_of(place).names)}
                yield _Open(side, node.position(number), place, self._numbers[key])

    def _was_gone_over(self, node: Node, named: tuple[Named, str], sides: Sequence[_Open]) -> bool:
        """Whether this round and all later ones were named from the same positions and times before."""
        closed = {one.side: one.closed for one in sides}
        old, new = closed.get(self.old, node.old), closed.get(self.new, node.new)
        offset = len(self.old.machine.clocks)
        running = (*self.old.running(old), *(offset + clock for clock in self.new.running(new)))
        assert self._times is not None
        times = self.clockwork.after(self._times, self.clockwork.turn(running, frozenset()))
        key = named, old, new, times.reads, node.late, node.in_step, node.told
        known = self._gone_over.setdefault(key, [])
        if any(other.includes(times) for other in known):
            return True
        known.append(times)
        return False


def _in_order(numbers: dict[str, int], names: Sequence[str]) -> bool:
    return all(numbers[one] < numbers[other] for one, other in pairwise(names))
