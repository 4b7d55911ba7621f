"""Whether both editions go on alike from a pair of positions, whatever is logged: then no difference can follow.

They do where the events not yet decided, and all around them, mean the same in both, and every register stands
alike.
"""

from standfast.difference.figures import Figures
from standfast.difference.likeness import bare_event, bare_frame
from standfast.difference.node import Node
from standfast.difference.side import Side
from standfast.machine.parts import Location
from standfast.machine.state import State
from standfast.values import define, field, frozen

View = tuple[frozenset[tuple[str, str, object]], dict[str, int]]
"""Each register that does not stand as at the start, by name, and the running clocks by name."""


_UNKNOWN = ("totals", "kept", "bests", "values", "readings")
"""Registers that may differ though they look alike."""


@frozen(eq=False)
class _Alike:
    """The figures that must be in step, and the clocks that must have been set together."""

    in_step: int
    clocks: tuple[tuple[int, int], ...]


@define(eq=False)
class Futures:
    old: Side
    new: Side
    figures: Figures
    _frames_alike: bool = field(init=False)
    _events: dict[int, tuple[object, ...]] = field(init=False)
    _views: dict[tuple[int, int], View | None] = field(factory=dict)
    _alike: dict[tuple[int, int], "_Alike | None"] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        standards = [side.machine.standard for side in (self.old, self.new)]
        self._frames_alike = bare_frame(standards[0]) == bare_frame(standards[1])
        self._events = {
            number: tuple(bare_event(event) for event in standard.events)
            for number, standard in enumerate(standards)
        }

    def same(self, node: Node) -> bool:
        """Whether the editions cannot part after the node. INVARIANT: never said where they might."""
        if not self._frames_alike or node.old < 0 or node.new < 0:
            return False
        key = node.old, node.new
        if key not in self._alike:
            self._alike[key] = self._alike_at(*key)
        alike = self._alike[key]
        if alike is None or node.in_step & alike.in_step != alike.in_step:
            return False
        if not alike.clocks:
            return True
        reads = node.times.variables
        return all(reads[one] == reads[other] for one, other in alike.clocks)

    def _alike_at(self, old: int, new: int) -> "_Alike | None":
        """What must be so that a pair of positions goes on alike; None where it may not at any time."""
        if self._left(0, self.old.state(old)) != self._left(1, self.new.state(new)):
            return None
        one, other = self._view(0, old), self._view(1, new)
        if one is None or other is None or one[0] != other[0] or one[1].keys() != other[1].keys():
            return None
        unknown = any(kind in _UNKNOWN for kind, _, _ in one[0])
        offset = len(self.old.machine.clocks)
        clocks = tuple((clock, offset + other[1][name]) for name, clock in one[1].items())
        return _Alike(self.figures.live(old, new) if unknown else 0, clocks)

    def _left(self, side: int, state: State) -> list[object]:
        """The events not yet decided."""
        pairs = zip(self._events[side], state.standings, strict=True)
        return [event for event, standing in pairs if standing is None]

    def _view(self, number: int, position: int) -> View | None:
        key = number, position
        if key not in self._views:
            self._views[key] = _view((self.old, self.new)[number], position)
        return self._views[key]


def _view(side: Side, position: int) -> View | None:
    """None where names do not tell registers apart."""
    machine, state = side.machine, side.state(position)
    rows: list[tuple[str, str, object]] = []
    for place in machine.places:
        if state.locations[place.index] is not Location.ASLEEP:
            rows.append(("locations", place.path, state.locations[place.index]))
        if state.points[place.index]:
            rows.append(("points", place.path, state.points[place.index]))
    labels = [event.label for event in machine.standard.events]
    rows += [("open", labels[state.open], True)] if state.open is not None else []
    rows += [("standings", label, go) for label, go in zip(labels, state.standings, strict=True) if go is False]
    rows += [("bests", label, best) for label, best in zip(labels, state.bests, strict=True) if best]
    rows += [("counters", c.name, n) for c, n in zip(machine.counters, state.counters, strict=True) if n]
    rows += [("flags", name, True) for name, up in zip(machine.flags, state.flags, strict=True) if up]
    rows += [("kept", name, kept) for name, kept in zip(machine.kept, state.kept, strict=True) if kept is not None]
    rows += [("rolls", name, roll) for name, roll in zip(machine.rolls, state.rolls, strict=True) if roll]
    for number, value in enumerate(state.values):
        if value is not None:
            row = machine.values[number]
            rows.append(("values", f"{machine.places[row.place].path} {row.mark} {row.keep.name}", value))
    for number, readings in enumerate(state.readings):
        if readings:
            row_2 = machine.readings[number]
            rows.append(("readings", f"{machine.places[row_2.place].path} {row_2.mark}", readings))
    for number, ends in enumerate(side.sums(position)):
        if any(ends):
            rows.append(("totals", machine.totals[number].name, ends))
    clocks = {machine.clocks[clock].name: clock for clock in side.running(position)}
    found = frozenset(rows)
    distinct = len({(kind, name) for kind, name, _ in rows}) == len(rows) == len(found)
    return (found, clocks) if distinct and len(clocks) == len(side.running(position)) else None
