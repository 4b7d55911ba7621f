"""Two machines on one log: every pair of positions that some log leads to, with the clocks of both as zones.

Each side is stepped as in `machine.explore`, its questions answered both ways; what both answer about one clock or
one figure must agree. At one instant what falls due comes first, as rule 1 has it, on both sides; what falls
due on both at once and is of one kind happens in one step. Pairs are visited in the order of
the number of entries that lead to them: the first way found to anything is a shortest log.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Protocol

from standfast.difference.clockwork import Asked, Clockwork, Times
from standfast.difference.figures import Figures
from standfast.difference.futures import Futures
from standfast.difference.marks import SharedMark
from standfast.difference.node import NOTHING_TOLD, Node, Told
from standfast.difference.rounds import RoundNames
from standfast.difference.side import NO_GO, Kind, Side, Waiting
from standfast.difference.tries import Following, Outcomes, Tries, Try
from standfast.machine.panels import Panel, givers, joined, rolls_of
from standfast.machine.parts import Phase
from standfast.machine.values import ANYTHING, Values
from standfast.machine.zone import Guard
from standfast.values import define, field, frozen


class Agenda(Protocol):
    """Pairs of positions from which steps are still to be taken; `next` takes the most promising out."""

    def add(self, node: Node) -> None: ...

    def next(self) -> Node | None: ...


_MOST_KEPT = 5_000
"""Pairs of positions of which it is kept what can be tried there."""


@define(eq=False)
class _Due:
    """What may fall due at a pair of positions; the step is looked at where the times allow it."""

    kinds: tuple[Kind | None, Kind | None]
    phase: Phase
    guards: Asked
    tried: Try | None = None
    opened: bool = False


@frozen(eq=False)
class _Here:
    """What can be tried at a pair of positions: by time, then `before` that by the end or an entry.

    The marks are those that matter; of one that names rounds the names are looked for at each time.
    """

    dues: tuple[_Due, ...]
    before: Asked
    end: Try | None
    marks: tuple[tuple[SharedMark, tuple[Try, ...]], ...]
    named: dict[tuple[str, str], tuple[Try, ...]] = field(factory=dict)


@define(eq=False)
class Product:
    """Walks all pairs of positions. `visited` counts those told apart, with their zones.

    With `telling` it is remembered which rules have acted on one side only. Unless it is to look `on`, nothing
    follows a pair of positions after which both editions go on alike. With `alone` that side is walked by itself,
    the other taken to be decided from the first.
    """

    old: Side
    new: Side
    marks: tuple[SharedMark, ...]
    telling: bool = False
    on: bool = False
    alone: int | None = None
    visited: int = 0
    futures: Futures = field(init=False)
    _tries: Tries = field(init=False)
    _clockwork: Clockwork = field(init=False)
    _rounds: RoundNames = field(init=False)
    _known: dict[object, list[Times]] = field(factory=dict)
    _here: dict[tuple[int, int, int, Told], _Here] = field(factory=dict)
    _panels: dict[str, tuple[Panel, ...]] = field(init=False)
    _by_anyone: frozenset[str] = field(init=False)
    _kinds: dict[str, tuple[Kind, ...]] = field(init=False)

    def __attrs_post_init__(self) -> None:
        offset = len(self.old.machine.clocks)
        bounds = dict(self.old.bounds)
        bounds |= {offset + clock: bound for clock, bound in self.new.bounds.items()}
        self._clockwork = Clockwork(bounds)
        figures = Figures(self.old, self.new)
        self.futures = Futures(self.old, self.new, figures)
        self._rounds = RoundNames(self.old, self.new, self._clockwork)
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
        self._tries = Tries(self.old, self.new, figures, self._clockwork, panels, self.telling)

    # --- the walk --------------------------------------------------------------------------------------

    def first(self) -> Node:
        ours = None if self.alone == 1 else self.old.first()
        theirs = None if self.alone == 0 else self.new.first()
        times = self._clockwork.start()
        root = Node(
            NO_GO, NO_GO, times, False, 0, NOTHING_TOLD, 0, Kind(), None, (None, None), (),
            frozenset(), {}, None,
        )  # fmt: skip
        following = self._tries.after(root, (ours, theirs), (), first=True)
        assert following is not None
        return self._node(None, Kind(), None, (ours, theirs), following, times)

    def nodes(self, goes_on: Callable[[Node], bool]) -> Iterator[Node]:
        """Every step from a pair of positions, nearest first; nothing follows where it does not go on."""
        now, one_more = deque[Node](), [self.first()]
        while now or one_more:
            if now:
                found = list[Node]()
                for node in self._steps(now.popleft()):
                    (found if node.kind.mark is None else one_more).append(node)
            else:  # all that so many entries lead to has been seen
                found, one_more = one_more, []
            for node in found:
                yield node
                if self._goes_on(node, goes_on):
                    now.append(node)

    def led(self, goes_on: Callable[[Node], bool], agenda: "Agenda") -> Iterator[Node]:
        """The same steps, in the order in which the agenda has the pairs of positions: no way need be shortest."""
        found: Iterable[Node] = [self.first()]
        while True:
            for node in found:
                yield node
                if self._goes_on(node, goes_on):
                    agenda.add(node)
            following = agenda.next()
            if following is None:
                return
            found = self._steps(following)

    def _goes_on(self, node: Node, goes_on: Callable[[Node], bool]) -> bool:
        """Whether something can follow the node that followed none before; it is known from here on."""
        if (node.old < 0 and node.new < 0) or node.kind.end or not goes_on(node):
            return False
        if not self.on and node.told == NOTHING_TOLD and self.futures.same(node):
            return False
        key = node.old, node.new, node.times.reads, node.late, node.in_step, node.told
        known = self._known.setdefault(key, [])
        for times in known:
            if times.includes(node.times):
                return False
        known[:] = [times for times in known if not node.times.includes(times)]
        known.append(node.times)
        self.visited += 1
        return True

    def may_end(self, node: Node) -> bool:
        """Whether a log can end after the node, before anything more falls due."""
        return self._clockwork.narrowed(self._later(node), self._at_the_end(node)) is not None

    def at_the_end(self, node: Node) -> tuple[Guard, ...]:
        """What a log that ends after the node asks of the clocks: that nothing more falls due."""
        return self._at_the_end(node).guards

    def _at_the_end(self, node: Node) -> Asked:
        return self._tries.before_all(self._tries.dues(node.old, node.new))

    def _later(self, node: Node) -> Times:
        return self._clockwork.later(node.times, int(node.late))

    # --- steps -----------------------------------------------------------------------------------------

    def _steps(self, node: Node) -> Iterator[Node]:
        key = node.old, node.new, node.in_step, node.told
        here = self._here.get(key)
        if here is None:
            if len(self._here) >= _MOST_KEPT:
                self._here.clear()
            here = self._here[key] = self._at(node)
        now_or_later, later, narrowed = (
            self._clockwork.later(node.times),
            self._later(node),
            self._clockwork.narrowed,
        )
        for due in here.dues:
            times = narrowed(now_or_later if due.phase is Phase.LAST else later, due.guards)
            if times is None:
                continue
            if not due.opened:
                due.tried, due.opened = self._tries.of(*key[:2], due.kinds, due.guards, due.phase), True
            if due.tried is not None:
                yield from self._take(node, times, due.tried)
        times = narrowed(later, here.before)
        if times is None:
            return
        if here.end is not None:
            yield from self._take(node, times, here.end)
        self._rounds.look_at(node, times)
        for mark, tries in here.marks:
            for tried in tries:
                yield from self._take(node, times, tried)
            if mark.rounds is not None:
                for name in self._rounds.names(mark):
                    if (mark.name, name) not in here.named:
                        value = name, ANYTHING
                        here.named[mark.name, name] = tuple(self._entries(node, mark, name, value, here.before))
                    for tried in here.named[mark.name, name]:
                        yield from self._take(node, times, tried)

    def _at(self, node: Node) -> _Here:
        """What can be tried at the pair of positions, at whatever times."""
        old, new, dues = node.old, node.new, self._tries.dues(node.old, node.new)
        by_time: list[_Due] = []
        for acting in self._acting(dues):
            kinds = dict.fromkeys((0, 1), None) | {side: Kind(due=each.number) for side, each in acting}
            by_time.append(_Due((kinds[0], kinds[1]), acting[0][1].due.phase, self._only(dues, acting)))
        before = self._tries.before_all(dues)
        end = None
        if self.old.any_best(old) or self.new.any_best(new):
            end = self._tries.of(old, new, (Kind(end=True), Kind(end=True)), before)
        marks: list[tuple[SharedMark, tuple[Try, ...]]] = []
        for mark in self.marks:
            if self.old.matters(old, mark.name) or self.new.matters(new, mark.name):
                marks.append((mark, tuple(self._all_entries(node, mark, before))))
        return _Here(tuple(by_time), before, end, tuple(marks))

    def _all_entries(self, node: Node, mark: SharedMark, before: Asked) -> Iterator[Try]:
        if mark.name in self._panels:
            for place, value in enumerate(mark.values):
                yield from self._entries(node, mark, place, value, before)
        else:
            yield from self._tries.entries(node.old, node.new, self._kinds[mark.name], before)

    def _entries(
        self, node: Node, mark: SharedMark, place: int | str, value: Values, before: Asked
    ) -> Iterator[Try]:
        """The entries of one mark and value: by each who can give it, of the candidate or of another."""
        rolls = self._tries.rolls(node.old, node.new)
        for by in givers(self._panels.get(mark.name, ()), rolls, value[0]):
            for kind in self._kinds_of(mark, place, value, by):
                tried = self._tries.of(node.old, node.new, (kind, kind), before)
                if tried is not None:
                    yield tried

    def _kinds_of(
        self, mark: SharedMark, place: int | str, value: Values, by: str | None = None
    ) -> Iterator[Kind]:
        for other in (False, True) if mark.name in self._by_anyone else (False,):
            yield Kind(mark.name, place, by, other, value=value[0], span=value[1])

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
            clock = self._tries.clock(side, each.due.clock)
            if any(each is other for _, other in acting):
                guards.append((clock, each.due.after, each.due.after))
            elif side in first:
                early = (each.due.phase, *each.rank) < first[side]
                guards.append((clock, None, each.due.after - early))
            else:
                guards.append((clock, None, each.due.after - (each.due.phase <= phase)))
        return self._clockwork.asked(tuple(guards))

    def _take(self, node: Node, times: Times, tried: Try) -> Iterator[Node]:
        """The step at any of the times, once for each way its questions can be answered."""
        narrowed = self._clockwork.narrowed
        for one, asked in enumerate(tried.ours.asked):
            part = narrowed(times, asked)
            if part is None:
                continue
            for other, also in enumerate(tried.theirs.asked):
                both = narrowed(part, also)
                following = None if both is None else self._tries.following(node, tried, (one, other))
                if both is not None and following is not None:
                    outcomes = tried.ours.outcomes[one], tried.theirs.outcomes[other]
                    yield self._node(node, tried.kind, tried.due, outcomes, following, both)

    def _node(
        self,
        node: Node | None,
        kind: Kind,
        due: Phase | None,
        outcomes: Outcomes,
        following: Following,
        instant: Times,
    ) -> Node:
        """The node after a step (None: no step) at any of the times."""
        return Node(
            old=following.old,
            new=following.new,
            times=self._clockwork.after(instant, following.turn),
            late=due is Phase.LAST,
            in_step=following.in_step,
            told=following.told,
            entries=(0 if node is None else node.entries) + (kind.mark is not None),
            kind=kind,
            due=due,
            outcomes=outcomes,
            guards=following.guards,
            resets=following.turn.resets,
            names=following.names,
            parent=node,
        )
