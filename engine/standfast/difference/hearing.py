"""What a step reads of the value that is logged: of values of which the same is read all else comes out alike.

A mark has a value of each class that anything in either edition tells apart. At one position few of these rules
are heard: then one step stands for many values.
"""

from collections.abc import Iterator

from standfast.machine.parts import FAULTS, LIVE, Location, Machine, Watch
from standfast.machine.state import State
from standfast.model.rules import Pattern, UntilTotals
from standfast.quantity import Quantity
from standfast.values import define, field, frozen

_DEAF = (Location.ASLEEP, Location.RESTING, Location.DONE)
"""Where a clause hears no entry; the rules of `FAULTS` wake with the first."""

Read = tuple[bool, ...]
"""Which of the patterns the value fits."""


@frozen(eq=False)
class _Heard:
    """Of a mark at a position: the patterns that are heard, and those that may begin a clause.

    `amounts`: whether the value goes into a figure, or is held against a limit.
    """

    patterns: tuple[int, ...]
    begins: tuple[int, ...]
    amounts: bool


@define(eq=False)
class Hearing:
    machine: Machine
    _fits: dict[tuple[str, int | str], Read] = field(factory=dict)
    _heard: dict[str, _Heard] = field(factory=dict)
    _heard_by: int | None = None

    def read(self, number: int, state: State, mark: str, place: int | str, value: str | Quantity) -> Read | None:
        """What is read of a value, the one with this place, at the position of this number; None: all of it."""
        if mark in self.machine.round_marks:
            return None
        if self._heard_by != number:  # all that is read at one position is read one after the other
            self._heard_by = number
            self._heard.clear()
        heard = self._heard.get(mark)
        if heard is None:
            heard = self._heard[mark] = self._heard_at(state, mark)
        if heard.amounts:
            return None
        fits = self.fits(mark, place, value)
        if any(fits[each] for each in heard.begins):  # what then begins may hear the entry too
            return None if self._takes_amounts(mark) else fits
        return tuple([fits[each] for each in heard.patterns])

    def fits(self, mark: str, place: int | str, value: str | Quantity) -> Read:
        """All patterns of the mark."""
        known = self._fits.get((mark, place))
        if known is None:
            rows = _rows(self.machine.watches[mark])
            known = self._fits[mark, place] = tuple(pattern.fits(mark, value) for pattern, _ in rows)
        return known

    def _takes_amounts(self, mark: str) -> bool:
        watch = self.machine.watches[mark]
        return bool(watch.places or watch.bars) or any(self._adds(place) for place in _used(watch))

    def _heard_at(self, state: State, mark: str) -> _Heard:
        watch = self.machine.watches[mark]
        hears = [place == FAULTS or each not in _DEAF for place, each in enumerate(state.locations)]
        live = [place == FAULTS or each in LIVE for place, each in enumerate(state.locations)]
        first = len(watch.counts) + len(watch.strikes)
        return _Heard(
            tuple(number for number, (_, place) in enumerate(_rows(watch)) if hears[place]),
            tuple(first + n for n, use in enumerate(watch.uses) if use.begins and hears[use.place]),
            any(live[place] for place in (*watch.places, *(bar.place for bar in watch.bars)))
            or any(live[place] and self._adds(place) for place in _used(watch)),
        )

    def _adds(self, place: int) -> bool:
        return isinstance(self.machine.places[place].goal, UntilTotals)


def _used(watch: Watch) -> Iterator[int]:
    return (use.place for use in watch.uses)


def _rows(watch: Watch) -> Iterator[tuple[Pattern, int]]:
    """Every pattern that an entry is held against, with its place."""
    yield from ((row.pattern, row.place) for row in watch.counts)
    yield from ((row.pattern, row.place) for row in watch.strikes)
    yield from ((row.pattern, row.place) for row in watch.uses)
