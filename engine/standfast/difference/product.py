"""Two machines on one log: every pair of positions that some log leads to, with the clocks of both as zones.

Each side is stepped as in `machine.explore`, its questions answered both ways; what both answer about one clock or
one figure must agree. At one instant what falls due comes first, as rule 1 has it, on both sides; what falls
due on both at once and is of one kind happens in one step. Pairs are visited in the order of
the number of entries that lead to them: the first way found to anything is a shortest log.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence

from standfast.difference.clockwork import after, narrowed
from standfast.difference.figures import Figures
from standfast.difference.futures import Futures
from standfast.difference.marks import SharedMark
from standfast.difference.node import NOTHING_TOLD, Node, Told
from standfast.difference.rounds import RoundNames
from standfast.difference.side import NO_GO, Kind, Outcome, Side, Waiting
from standfast.machine.panels import Names, Panel, givers, joined, renamed, rolls_of
from standfast.machine.parts import Phase
from standfast.machine.values import ANYTHING, Values
from standfast.machine.zone import Guard, Zone
from standfast.values import define, field

_MOST_TOLD = 3
"""Rules that one side may be behind; with more the sides are taken to differ."""


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
    figures: Figures = field(init=False)
    futures: Futures = field(init=False)
    offset: int = field(init=False)
    bounds: dict[int, int] = field(init=False)
    _rounds: RoundNames = field(init=False)
    _known: dict[object, list[Zone]] = field(factory=dict)
    _panels: dict[str, tuple[Panel, ...]] = field(init=False)
    _all_panels: tuple[Panel, ...] = field(init=False)
    _by_anyone: frozenset[str] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.offset = len(self.old.machine.clocks)
        self.bounds = dict(self.old.bounds)
        self.bounds |= {self.offset + clock: bound for clock, bound in self.new.bounds.items()}
        self.figures = Figures(self.old, self.new)
        self.futures = Futures(self.old, self.new, self.figures)
        self._rounds = RoundNames(self.old, self.new, self.bounds)
        self._by_anyone = self.old.machine.standard.by_anyone | self.new.machine.standard.by_anyone
        rolls = len(self.old.machine.rolls)
        self._panels = {}
        for mark in self.marks:
            both = dict(rolls_of(self.old.machine, mark.name))
            both |= {rolls + number: roll for number, roll in rolls_of(self.new.machine, mark.name)}
            if both:
                self._panels[mark.name] = joined(mark.name, both, (value for value, _ in mark.values))
        self._all_panels = tuple(panel for panels in self._panels.values() for panel in panels)

    # --- the walk --------------------------------------------------------------------------------------

    def first(self) -> Node:
        ours = None if self.alone == 1 else self.old.first()
        theirs = None if self.alone == 0 else self.new.first()
        root = Node(
            NO_GO, NO_GO, (), Zone.start(), False, 0, NOTHING_TOLD, 0, Kind(), None, (None, None), (),
            frozenset(), {}, None,
        )  # fmt: skip
        node = self._node(root, Kind(), None, (ours, theirs), Zone.start(), (), first=True)
        assert node is not None
        return node

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

    def _goes_on(self, node: Node, goes_on: Callable[[Node], bool]) -> bool:
        """Whether something can follow the node that followed none before; it is known from here on."""
        if (node.old < 0 and node.new < 0) or node.kind.end or not goes_on(node):
            return False
        if not self.on and node.told == NOTHING_TOLD and self.futures.same(node):
            return False
        zones = self._known.setdefault((node.old, node.new, node.reads, node.late, node.in_step, node.told), [])
        if any(zone.includes(node.zone) for zone in zones):
            return False
        zones[:] = [zone for zone in zones if not node.zone.includes(zone)]
        zones.append(node.zone)
        self.visited += 1
        return True

    def may_end(self, node: Node) -> Zone | None:
        """Where a log can end after the node, before anything more falls due; None if nowhere."""
        return narrowed(node.zone.later(node.late), dict(node.reads), self.before_all(self.dues(node)))

    def dues(self, node: Node) -> list[tuple[int, Waiting]]:
        return [
            (number, due)
            for number, side, position in ((0, self.old, node.old), (1, self.new, node.new))
            for due in side.dues(position)
        ]

    def before_all(self, dues: Iterable[tuple[int, Waiting]]) -> list[Guard]:
        """An entry comes before any of these."""
        return [
            (self.clock(side, each.due.clock), None, each.due.after - (each.due.phase is not Phase.LAST))
            for side, each in dues
        ]

    def clock(self, side: int, clock: int) -> int:
        return clock + self.offset * side

    # --- steps -----------------------------------------------------------------------------------------

    def _steps(self, node: Node) -> Iterator[Node]:
        dues, reads = self.dues(node), dict(node.reads)
        now_or_later, later = node.zone.later(), node.zone.later(node.late)
        for acting in self._acting(dues):
            phase = acting[0][1].due.phase
            guards = self._only(dues, acting)
            zone = narrowed(now_or_later if phase is Phase.LAST else later, reads, guards)
            kinds = dict.fromkeys((0, 1), None) | {side: Kind(due=each.number) for side, each in acting}
            yield from self._take(node, zone, guards, (kinds[0], kinds[1]), phase)
        guards = self.before_all(dues)
        zone = narrowed(later, reads, guards)
        if zone is None:
            return
        if self.old.any_best(node.old) or self.new.any_best(node.new):
            yield from self._take(node, zone, guards, (Kind(end=True), Kind(end=True)))
        self._rounds.look_at(node, zone)
        rolls = self._rolls(node.old, node.new)
        for mark in self.marks:
            if not (self.old.matters(node.old, mark.name) or self.new.matters(node.new, mark.name)):
                continue
            values: list[tuple[int | str, Values]] = list(enumerate(mark.values))
            if mark.rounds is not None:
                values += ((name, (name, ANYTHING)) for name in self._rounds.names(mark))
            for place, (value, span) in values:
                for by in givers(self._panels.get(mark.name, ()), rolls, value):
                    for other in (False, True) if mark.name in self._by_anyone else (False,):
                        kind = Kind(mark.name, place, by, other, value=value, span=span)
                        yield from self._take(node, zone, guards, (kind, kind))

    @staticmethod
    def _acting(dues: Sequence[tuple[int, Waiting]]) -> Iterator[tuple[tuple[int, Waiting], ...]]:
        """What may fall due next: one due, or one of each side at the same instant and of the same kind."""
        for one in dues:
            yield (one,)
            if one[0] == 0:
                yield from ((one, each) for each in dues if each[0] == 1 and each[1].due.phase is one[1].due.phase)

    def _only(self, dues: Sequence[tuple[int, Waiting]], acting: Sequence[tuple[int, Waiting]]) -> list[Guard]:
        """That just these fall due now: nothing of an earlier kind, on their own sides nothing before them."""
        guards: list[Guard] = []
        first = {side: (each.due.phase, *each.rank) for side, each in acting}
        phase = acting[0][1].due.phase
        for side, each in dues:
            clock = self.clock(side, each.due.clock)
            if any(each is other for _, other in acting):
                guards.append((clock, each.due.after, each.due.after))
            elif side in first:
                early = (each.due.phase, *each.rank) < first[side]
                guards.append((clock, None, each.due.after - early))
            else:
                guards.append((clock, None, each.due.after - (each.due.phase <= phase)))
        return guards

    def _take(
        self,
        node: Node,
        zone: Zone | None,
        guards: Sequence[Guard],
        kinds: tuple[Kind | None, Kind | None],
        due: Phase | None = None,
    ) -> Iterator[Node]:
        """The step at any point of the zone, once for each way its questions can be answered."""
        if zone is None:
            return
        reads = dict(node.reads)
        ways: list[Sequence[Outcome | None]] = []
        for kind, side, position in zip(kinds, (self.old, self.new), (node.old, node.new), strict=True):
            stays = (
                kind is None or position < 0 or (kind.mark is not None and not side.matters(position, kind.mark))
            )
            ways.append((None,) if stays or kind is None else side.outcomes(position, kind))
        step = kinds[0] or kinds[1] or Kind()
        for ours in ways[0]:
            asked = () if ours is None else ours.asked
            part = narrowed(zone, reads, asked)
            if part is None:
                continue
            for theirs in ways[1]:
                if not (ours is not None and ours.changed) and not (theirs is not None and theirs.changed):
                    continue
                more = () if theirs is None else theirs.asked
                also = tuple((self.clock(1, clock), least, most) for clock, least, most in more)
                both = narrowed(part, reads, also)
                if both is not None:
                    every = (*guards, *asked, *also)
                    made = self._node(node, step, due, (ours, theirs), both, every)
                    if made is not None:
                        yield made

    def _node(
        self,
        node: Node,
        kind: Kind,
        due: Phase | None,
        outcomes: tuple[Outcome | None, Outcome | None],
        instant: Zone,
        guards: tuple[Guard, ...],
        *,
        first: bool = False,
    ) -> Node | None:
        """The node after a step, or None where both sides' answers cannot be true or nothing has changed."""
        ours, theirs = outcomes
        old = node.old if ours is None else ours.after
        new = node.new if theirs is None else theirs.after
        in_step = 0
        if self.figures.pairs:
            live = 0 if first else self.figures.live(node.old, node.new)
            both = None if ours is None or theirs is None else (ours, theirs)
            if both is not None and not self.figures.agree(both, node.in_step, live):
                return None
            in_step = self.figures.after(node.in_step, live, outcomes, self.figures.live(old, new))
            if in_step:
                sums = self.figures.joined(in_step, self.old.sums(old), self.new.sums(new))
                if sums is None:
                    return None
                old, new = self.old.with_sums(old, sums[0]), self.new.with_sums(new, sums[1])
        old, new, names = self._with_names(old, new)
        resets = frozenset(() if ours is None else ours.resets)
        resets |= frozenset(self.clock(1, clock) for clock in (() if theirs is None else theirs.resets))
        running = [*self.old.running(old), *(self.clock(1, clock) for clock in self.new.running(new))]
        told = self._told(node.told, ours, theirs)
        late = due is Phase.LAST
        stays = (old, new, told, in_step) == (node.old, node.new, node.told, node.in_step)
        if stays and not first and resets.isdisjoint(running):
            return None
        zone, reads = after(instant, dict(node.reads), running, resets, self.bounds)
        return Node(
            old=old,
            new=new,
            reads=reads,
            zone=zone,
            late=late,
            in_step=in_step,
            told=told,
            entries=node.entries + (kind.mark is not None),
            kind=kind,
            due=due,
            outcomes=outcomes,
            guards=guards,
            resets=resets,
            names=names,
            parent=None if first else node,
        )

    def _rolls(self, old: int, new: int) -> tuple[tuple[str, ...], ...]:
        empty: tuple[tuple[str, ...], ...] = ()
        ours = self.old.state(old).rolls if old >= 0 else ((),) * len(self.old.machine.rolls)
        theirs = self.new.state(new).rolls if new >= 0 else empty
        return (*ours, *theirs, *((),) * (len(self.new.machine.rolls) if new < 0 else 0))

    def _with_names(self, old: int, new: int) -> tuple[int, int, Names]:
        """The positions with graders named by what they stand on, on both sides together."""
        rolls = self._rolls(old, new)
        if not any(rolls):
            return old, new, {}
        named, names = renamed(self._all_panels, rolls)
        half = len(self.old.machine.rolls)
        old = old if old < 0 else self.old.with_rolls(old, named[:half])
        new = new if new < 0 else self.new.with_rolls(new, named[half:])
        return old, new, names

    def _told(self, before: Told, ours: Outcome | None, theirs: Outcome | None) -> Told:
        if not self.telling:
            return NOTHING_TOLD
        one, other, differ = before
        one += () if ours is None else ours.acts
        other += () if theirs is None else theirs.acts
        while one and other and not differ:
            differ, one, other = one[0] != other[0], one[1:], other[1:]
        if differ or max(len(one), len(other)) > _MOST_TOLD:
            return (), (), True
        return one, other, False
