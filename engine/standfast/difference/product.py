"""Two machines on one log: every pair of positions that some log leads to, with the clocks of both as zones.

Each side is stepped as in `machine.explore`, its questions answered both ways; what both answer about one clock or
one figure must agree. At one instant what falls due comes first, as rule 1 has it, on both sides; what falls
due on both at once and is of one kind happens in one step. Pairs are visited in the order of
the number of entries that lead to them: the first way found to anything is a shortest log.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from typing import Protocol

from standfast.difference.clockwork import Asked, Times
from standfast.difference.ground import Ground
from standfast.difference.node import NOTHING_TOLD, Node
from standfast.difference.rounds import RoundNames
from standfast.difference.side import NO_GO, Kind, Side
from standfast.difference.tries import Following, Outcomes, Try
from standfast.machine.parts import Phase
from standfast.machine.zone import Guard
from standfast.values import define, field


class Agenda(Protocol):
    """Pairs of positions from which steps are still to be taken; `next` takes the most promising out."""

    def add(self, node: Node) -> None: ...

    def next(self) -> Node | None: ...


@define(eq=False)
class Product:
    """Walks all pairs of positions. `visited` counts those told apart, with their zones.

    Unless it is to look `on`, nothing follows a pair of positions after which both editions go on alike. With
    `alone` that side is walked by itself, the other taken to be decided from the first.
    """

    ground: Ground
    on: bool = False
    alone: int | None = None
    visited: int = 0
    _rounds: RoundNames = field(init=False)
    _known: dict[object, list[Times]] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self._rounds = RoundNames(self.old, self.new, self.ground.clockwork)

    @property
    def old(self) -> Side:
        return self.ground.old

    @property
    def new(self) -> Side:
        return self.ground.new

    # --- the walk --------------------------------------------------------------------------------------

    def first(self) -> Node:
        ours = None if self.alone == 1 else self.old.first()
        theirs = None if self.alone == 0 else self.new.first()
        times = self.ground.clockwork.start()
        root = Node(
            NO_GO, NO_GO, times, False, 0, NOTHING_TOLD, 0, Kind(), None, (None, None), (),
            frozenset(), {}, None,
        )  # fmt: skip
        following = self.ground.tries.after(root, (ours, theirs), (), first=True)
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
        if not self.on and node.told == NOTHING_TOLD and self.ground.futures.same(node):
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
        return self.ground.clockwork.narrowed(self._later(node), self._at_the_end(node)) is not None

    def at_the_end(self, node: Node) -> tuple[Guard, ...]:
        """What a log that ends after the node asks of the clocks: that nothing more falls due."""
        return self._at_the_end(node).guards

    def _at_the_end(self, node: Node) -> Asked:
        return self.ground.tries.before_all(self.ground.tries.dues(node.old, node.new))

    def _later(self, node: Node) -> Times:
        return self.ground.clockwork.later(node.times, int(node.late))

    # --- steps -----------------------------------------------------------------------------------------

    def _steps(self, node: Node) -> Iterator[Node]:
        here, narrowed = self.ground.here(node), self.ground.clockwork.narrowed
        now_or_later, later = self.ground.clockwork.later(node.times), self._later(node)
        for due in here.dues:
            times = narrowed(now_or_later if due.phase is Phase.LAST else later, due.guards)
            if times is None:
                continue
            if not due.opened:
                due.tried, due.opened = (
                    self.ground.tries.of(node.old, node.new, due.kinds, due.guards, due.phase),
                    True,
                )
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
                    for tried in self.ground.named(here, node, mark, name):
                        yield from self._take(node, times, tried)

    def _take(self, node: Node, times: Times, tried: Try) -> Iterator[Node]:
        """The step at any of the times, once for each way its questions can be answered."""
        narrowed = self.ground.clockwork.narrowed
        for one, asked in enumerate(tried.ours.asked):
            part = narrowed(times, asked)
            if part is None:
                continue
            for other, also in enumerate(tried.theirs.asked):
                both = narrowed(part, also)
                following = None if both is None else self.ground.tries.following(node, tried, (one, other))
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
            times=self.ground.clockwork.after(instant, following.turn),
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
