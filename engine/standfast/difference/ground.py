"""What two machines do together, whatever is looked for: worked out once for every walk through both."""

from collections.abc import Iterator, Sequence

from standfast.difference.clockwork import Asked, Clockwork
from standfast.difference.figures import Figures
from standfast.difference.futures import Futures
from standfast.difference.marks import SharedMark
from standfast.difference.node import Node, Told
from standfast.difference.side import Kind, Side, Waiting
from standfast.difference.tries import Tries, Try
from standfast.machine.panels import Panel, givers, joined, rolls_of
from standfast.machine.parts import Phase
from standfast.machine.values import ANYTHING, Values
from standfast.machine.zone import Guard
from standfast.values import define, field, frozen

_MOST_KEPT = 5_000
"""Pairs of positions of which it is kept what can be tried there."""


@define(eq=False)
class Due:
    """What may fall due at a pair of positions; the step is looked at where the times allow it."""

    kinds: tuple[Kind | None, Kind | None]
    phase: Phase
    guards: Asked
    tried: Try | None = None
    opened: bool = False


@frozen(eq=False)
class Here:
    """What can be tried at a pair of positions: by time, then `before` that by the end or an entry.

    The marks are those that matter; of one that names rounds the names are looked for at each time.
    """

    dues: tuple[Due, ...]
    before: Asked
    end: Try | None
    marks: tuple[tuple[SharedMark, tuple[Try, ...]], ...]
    named: dict[tuple[str, str], tuple[Try, ...]] = field(factory=dict)


@define(eq=False)
class Ground:
    """Two sides and the marks that both know.

    With `telling` it is remembered which rules have acted on one side only.
    """

    old: Side
    new: Side
    marks: tuple[SharedMark, ...]
    telling: bool
    futures: Futures = field(init=False)
    tries: Tries = field(init=False)
    clockwork: Clockwork = field(init=False)
    _here: dict[tuple[int, int, int, Told], Here] = field(factory=dict)
    _dues: dict[int, Kind] = field(factory=dict)
    _named: dict[tuple[str, int | str, str | None], tuple[Kind, ...]] = field(factory=dict)
    _panels: dict[str, tuple[Panel, ...]] = field(init=False)
    _by_anyone: frozenset[str] = field(init=False)
    _kinds: dict[str, tuple[Kind, ...]] = field(init=False)

    def __attrs_post_init__(self) -> None:
        offset = len(self.old.machine.clocks)
        bounds = dict(self.old.bounds)
        bounds |= {offset + clock: bound for clock, bound in self.new.bounds.items()}
        self.clockwork = Clockwork(bounds)
        figures = Figures(self.old, self.new)
        self.futures = Futures(self.old, self.new, figures)
        self._by_anyone = self.old.machine.standard.by_anyone | self.new.machine.standard.by_anyone
        rolls = len(self.old.machine.rolls)
        self._panels = {}
        for mark in self.marks:
            both = dict(rolls_of(self.old.machine, mark.name))
            both |= {rolls + number: roll for number, roll in rolls_of(self.new.machine, mark.name)}
            if both:
                self._panels[mark.name] = joined(mark.name, both, (value for value, _ in mark.values))
        panels = tuple(panel for panels in self._panels.values() for panel in panels)
        self._kinds = {
            mark.name: tuple(
                kind for place, value in enumerate(mark.values) for kind in self._kinds_of(mark, place, value)
            )
            for mark in self.marks
        }
        self.tries = Tries(self.old, self.new, figures, self.clockwork, panels, self.telling)

    def here(self, node: Node) -> Here:
        """What can be tried at the node's pair of positions, at whatever times."""
        key = node.old, node.new, node.in_step, node.told
        here = self._here.get(key)
        if here is None:
            if len(self._here) >= _MOST_KEPT:
                self._here.clear()
            here = self._here[key] = self._at(node)
        return here

    def named(self, here: Here, node: Node, mark: SharedMark, name: str) -> tuple[Try, ...]:
        """The entries of the mark that name this round."""
        key = mark.name, name
        if key not in here.named:
            here.named[key] = tuple(self._entries(node, mark, name, (name, ANYTHING), here.before))
        return here.named[key]

    def _at(self, node: Node) -> Here:
        old, new, dues = node.old, node.new, self.tries.dues(node.old, node.new)
        by_time: list[Due] = []
        for acting in self._acting(dues):
            kinds = dict.fromkeys((0, 1), None) | {side: self._due(each.number) for side, each in acting}
            by_time.append(Due((kinds[0], kinds[1]), acting[0][1].due.phase, self._only(dues, acting)))
        before = self.tries.before_all(dues)
        end = None
        if self.old.any_best(old) or self.new.any_best(new):
            end = self.tries.of(old, new, (Kind(end=True), Kind(end=True)), before)
        marks: list[tuple[SharedMark, tuple[Try, ...]]] = []
        mattering = self.old.mattering(old) | self.new.mattering(new)
        for mark in self.marks:
            if mark.name in mattering:
                marks.append((mark, tuple(self._all_entries(node, mark, before))))
        return Here(tuple(by_time), before, end, tuple(marks))

    def _due(self, number: int) -> Kind:
        known = self._dues.get(number)
        if known is None:
            known = self._dues[number] = Kind(due=number)
        return known

    def _all_entries(self, node: Node, mark: SharedMark, before: Asked) -> Iterator[Try]:
        if mark.name in self._panels:
            for place, value in enumerate(mark.values):
                yield from self._entries(node, mark, place, value, before)
        else:
            yield from self.tries.entries(node.old, node.new, self._kinds[mark.name], before)

    def _entries(
        self, node: Node, mark: SharedMark, place: int | str, value: Values, before: Asked
    ) -> Iterator[Try]:
        """The entries of one mark and value: by each who can give it, of the candidate or of another."""
        rolls = self.tries.rolls(node.old, node.new)
        for by in givers(self._panels.get(mark.name, ()), rolls, value[0]):
            for kind in self._kinds_of(mark, place, value, by):
                tried = self.tries.of(node.old, node.new, (kind, kind), before)
                if tried is not None:
                    yield tried

    def _kinds_of(
        self, mark: SharedMark, place: int | str, value: Values, by: str | None = None
    ) -> tuple[Kind, ...]:
        key = mark.name, place, by
        known = self._named.get(key)
        if known is None:
            others = (False, True) if mark.name in self._by_anyone else (False,)
            known = self._named[key] = tuple(
                Kind(mark.name, place, by, other, value=value[0], span=value[1]) for other in others
            )
        return known

    @staticmethod
    def _acting(dues: Sequence[tuple[int, Waiting]]) -> Iterator[tuple[tuple[int, Waiting], ...]]:
        """What may fall due next: one due, or one of each side at the same instant and of the same kind."""
        for one in dues:
            yield (one,)
            if one[0] == 0:
                yield from ((one, each) for each in dues if each[0] == 1 and each[1].due.phase is one[1].due.phase)

    def _only(self, dues: Sequence[tuple[int, Waiting]], acting: Sequence[tuple[int, Waiting]]) -> Asked:
        """That just these fall due now: nothing of an earlier kind, on their own sides nothing before them."""
        guards: list[Guard] = []
        first = {side: (each.due.phase, *each.rank) for side, each in acting}
        phase = acting[0][1].due.phase
        for side, each in dues:
            clock = self.tries.clock(side, each.due.clock)
            if any(each is other for _, other in acting):
                guards.append((clock, each.due.after, each.due.after))
            elif side in first:
                early = (each.due.phase, *each.rank) < first[side]
                guards.append((clock, None, each.due.after - early))
            else:
                guards.append((clock, None, each.due.after - (each.due.phase <= phase)))
        return self.clockwork.asked(tuple(guards))
