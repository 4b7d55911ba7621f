"""Every position a machine can reach, for all logs at once: clocks as zones, counters exact up to their bound.

The machine itself is stepped, by the same `Work` that replays a log. Only its questions are answered differently:
a clock against a constant is asked of the zone and, where both answers are possible, both are followed; a total is
an interval that may or may not reach its amount. So whatever is found here can happen, and what is not found
cannot. Positions are visited in the order of the number of entries that lead to them: the first way found to
anything is a shortest log.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from heapq import heappop, heappush
from itertools import chain

from standfast.log.entry import Entry
from standfast.machine.alike import Settling
from standfast.machine.asking import NOW, Asking
from standfast.machine.effort import Effort
from standfast.machine.guards import before_all, guard_of
from standfast.machine.panels import NOBODY, Names, Panel, givers, panels
from standfast.machine.parts import (
    FAULTS,
    LIVE,
    Bar,
    Breach,
    Due,
    Judged,
    Location,
    Machine,
    Phase,
    Rung,
)
from standfast.machine.passing_over import GoneOver, strays
from standfast.machine.state import Opened, Signal, State
from standfast.machine.step import Work, initial, is_heard
from standfast.machine.values import ANYTHING, Span, Values, value_classes
from standfast.machine.zone import UNBOUNDED, Guard, Zone
from standfast.quantity import Quantity
from standfast.values import define, evolve, field, frozen


@frozen
class Position:
    """A machine's position without times: `state.clocks` only says which run, totals are those of `sums`.

    `late`: an expiry that comes after the entries of its instant has just acted, so there is none at this instant.
    """

    state: State
    sums: tuple[tuple[Fraction, Fraction], ...]
    late: bool


@frozen
class Move:
    """One step: an entry (mark, value and the class of values it stands for), a due, the end, or none: the zero.

    `by` is the grader, by the name in the position before, where that matters; `other`: of another candidate.
    """

    mark: str | None = None
    value: str | Quantity | None = None
    span: Span = ANYTHING
    due: Due | None = None
    by: str | None = None
    other: bool = False
    end: bool = False


@frozen
class Node:
    """A position with its clocks, and the step that led to it first.

    `guards` are what the step asked of the clocks at its instant (clock, least, most); `resets` the clocks it set;
    `struck` the breaches its entry triggered at a time, whether or not they acted; `hushed` the silences it ended;
    `noted` the totals of limits and `paced` the rates it was added to, `judged` the limits on totals, rates and
    sums that were asked about, with the answers; `awarded` the rows (None: `otherwise`) that scores came down to,
    by path; `instant` the clocks as they stood at it; `wait` the least time since the step before; `names` what
    the graders of the position were called in the one before.
    """

    position: Position
    zone: Zone
    move: Move
    parent: "Node | None" = field(eq=False, repr=False)
    entries: int
    signals: tuple[Signal, ...] = field(eq=False, repr=False)
    guards: "tuple[Guard, ...]" = field(eq=False, repr=False)
    resets: frozenset[int] = field(eq=False, repr=False)
    struck: tuple[tuple[Breach, ...], ...] = field(eq=False, repr=False)
    hushed: tuple[int, ...] = field(eq=False, repr=False)
    instant: Zone = field(eq=False, repr=False)
    added: tuple[tuple[int, bool], ...] = field(default=(), eq=False, repr=False)
    noted: tuple[int, ...] = field(default=(), eq=False, repr=False)
    paced: tuple[int, ...] = field(default=(), eq=False, repr=False)
    judged: "tuple[tuple[Judged | Bar | Rung, bool], ...]" = field(default=(), eq=False, repr=False)
    awarded: tuple[tuple[str, int | None], ...] = field(default=(), eq=False, repr=False)
    wait: int = field(default=0, eq=False, repr=False)
    names: Names = field(default=NOBODY, eq=False, repr=False)

    def path(self) -> tuple["Node", ...]:
        """The steps from the session's zero to here."""
        nodes: list[Node] = []
        node: Node | None = self
        while node is not None:
            nodes.append(node)
            node = node.parent
        return tuple(reversed(nodes))


@define
class Explorer:
    """Walks all positions of a machine. `visited` counts the positions told apart (with their zones), `bounds` has
    for each clock the greatest constant it is compared with.

    With `timed`, beside the machine's clocks runs one more, `attempt_clock`: the time since the open attempt was
    opened. It is compared with nothing. Where going round in a circle lets it grow, it is let grow beyond all
    bounds at once. With `lapped` there is a `lap_clock`, set by whoever gives nodes to start from and compared
    with what no other clock is compared with any more. When the `effort` is spent nothing more is found.
    """

    machine: Machine
    timed: bool = False
    lapped: bool = False
    effort: Effort = field(factory=Effort)
    visited: int = 0
    _known: dict[Position, list[Zone]] = field(factory=dict)
    _gone_over: GoneOver = field(factory=GoneOver)
    attempt_clock: int = field(init=False)
    lap_clock: int = field(init=False)
    bounds: dict[int, int] = field(init=False)
    _read: tuple[int, ...] = field(init=False)
    _values: dict[str, tuple[Values, ...]] = field(init=False)
    _settling: Settling = field(init=False)
    _by_anyone: frozenset[str] = field(init=False)
    _panels: dict[str, tuple[Panel, ...]] = field(init=False)
    _all_panels: tuple[Panel, ...] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.attempt_clock = len(self.machine.clocks)
        self.lap_clock = self.attempt_clock + 1
        self.bounds = {number: clock.bound for number, clock in enumerate(self.machine.clocks) if clock.bound}
        self._read = tuple(self.bounds)
        if self.timed:
            self.bounds[self.attempt_clock] = UNBOUNDED
        if self.lapped:
            self.bounds[self.lap_clock] = 1 + max(self.bounds.values(), default=0)
        self._settling = Settling(self.machine)
        self._by_anyone = self.machine.standard.by_anyone
        self._panels = panels(self.machine)
        self._all_panels = tuple(chain.from_iterable(self._panels.values()))
        self._values = {
            mark.name: tuple(value_classes(self.machine, mark)) for mark in self.machine.standard.marks
        }

    def nodes(self) -> Iterator[Node]:
        """Every step that can be taken from a reachable position, nearest first; each position goes on once.

        Steps that change nothing but the time are left out: whatever follows them follows without them.
        """
        first = self._first()
        yield first
        yield from self.among([first], lambda node: True)

    def among(self, starts: Iterable[Node], stays: Callable[[Node], bool]) -> Iterator[Node]:
        """The same from these nodes on, without the steps after which it does not stay among those wanted."""
        now, one_more = deque(node for node in starts if self._is_new(node)), list[Node]()
        while now or one_more:
            if now:
                found = list[Node]()
                for node in filter(stays, self._steps(now.popleft())):
                    (one_more if node.move.due is None else found).append(node)
            else:  # all that so many entries lead to has been seen
                found, one_more = one_more, []
            for node in found:
                for grown in self._grown(node):
                    yield grown
                    if self._is_new(grown):
                        now.append(grown)

    def onward(
        self, start: Node | None, left: Callable[[Node], int | None], *, deep: bool = False
    ) -> Iterator[Node]:
        """Steps from a node (None: from the session's zero), those after which least is left first.

        `left` says how much is still to do; nothing follows a node for which it is None. Unlike `nodes` this makes
        for one aim: ways that need not be shortest are found soon, few positions are looked at. Of nodes with as
        much left those found first go on first or, going `deep`, those found last.
        """
        first = self._first() if start is None else start
        heap = [(left(first) or 0, 0, first)]
        count = 0
        while heap:
            _, _, node = heappop(heap)
            for following in self._steps(node):
                yield following
                rest = left(following)
                if rest is not None and self._is_new(following):
                    count += -1 if deep else 1
                    heappush(heap, (rest, count, following))

    def _first(self) -> Node:
        state, signals = initial(self.machine)
        work = Asking.of(self.machine, state)
        work.sums = [(Fraction(0), Fraction(0))] * len(self.machine.totals)
        position = self._position(work, late=False)
        zone = Zone.start().with_clocks(dict.fromkeys(self._running(work), True))
        counting = [clock for clock, since in enumerate(work.clocks) if since is not None]
        resets = frozenset((*self._running(work), *counting))
        return Node(position, zone, Move(), None, 0, signals, (), resets, (), (), Zone.start())

    def _grown(self, node: Node) -> Iterator[Node]:
        """The node; with its attempt as old as can be, if the way to it has gone round in a circle.

        Clocks that the circle does not set stop it from being gone again until they are past every comparison: the
        node is then taken apart into what is before that and what is past it.
        """
        clock = self.attempt_clock
        if not self.timed or node.position.state.open is None or node.zone.range(clock)[1] is None:
            yield node
            return
        unset, step = set(node.zone.clocks) - {clock}, node
        while clock not in step.resets and step.parent is not None:
            unset -= step.resets
            step = step.parent
            if step.position == node.position:
                if node.zone.outgrows(step.zone, clock):
                    yield evolve(node, zone=node.zone.without_upper_bound(clock))
                    return
                parts = [part for each in sorted(unset) for part in self._parts(node, each)]
                if parts:
                    for part in parts[:2]:
                        yield from self._grown(part)
                    return
        yield node

    def _parts(self, node: Node, clock: int) -> list[Node]:
        """The node where the clock is not past its bound, and where it is; nothing if only one can be."""
        bound = self.bounds[clock]
        least, most = node.zone.range(clock)
        if least > bound or (most is not None and most <= bound):
            return []
        guards: tuple[Guard, ...] = ((clock, None, bound), (clock, bound + 1, None))
        parts = []
        for guard in guards:
            zone, instant = node.zone.narrowed([guard]), node.instant.narrowed([guard])
            if zone is not None and instant is not None:
                zone = zone.blurred(self.bounds)
                parts.append(evolve(node, zone=zone, guards=(*node.guards, guard), instant=instant))
        return parts if len(parts) == 2 else []

    def _is_new(self, node: Node) -> bool:
        """Whether something can follow the node that followed none before; it is known from here on."""
        if node.position.state.decided is not None:
            return False
        zones = self._known.setdefault(node.position, [])
        if any(zone.includes(node.zone) for zone in zones):
            return False
        zones[:] = [zone for zone in zones if not node.zone.includes(zone)]
        zones.append(node.zone)
        self.visited += 1
        return True

    def may_be_entered(self, node: Node) -> bool:
        """Whether an entry can come next, or time will do something more at this very instant."""
        if node.move.due is None:
            return True
        later = node.zone.later(node.position.late)
        return later.narrowed(before_all(self._work(node).live_dues())) is not None

    def _steps(self, node: Node) -> Iterator[Node]:
        work = self._work(node)
        dues = list(work.live_dues())
        ranks = {id(due): (due.phase, *work.rank(due)) for due in dues}
        now_or_later, later = node.zone.later(), node.zone.later(node.position.late)
        for due in dues:
            if not self._affords(node.zone):
                return
            guards: list[Guard] = [(due.clock, due.after, due.after)]
            for other in dues:
                if other is not due:
                    early = ranks[id(other)] < ranks[id(due)]
                    guards.append((other.clock, None, other.after - early))
            after = now_or_later if due.phase is Phase.LAST else later
            yield from self._take(node, after.narrowed(guards), guards, Move(due=due))
        guards = before_all(dues)
        zone = later.narrowed(guards)
        if any(work.bests):
            # Nothing comes after the end, so it matters only where it decides.
            yield from (
                ended
                for ended in self._take(node, zone, guards, Move(end=True))
                if ended.position.state.decided is not None
            )
        named: dict[int, tuple[str, ...]] = {}
        for mark, values in self._values.items():
            if not matters(self.machine, mark, node.position.state):
                continue
            if mark in self.machine.round_marks:
                values = tuple((name, ANYTHING) for name in self._rounds_named(mark, node, zone, named))
            for value, span in values:
                for by in givers(self._panels.get(mark, ()), node.position.state.rolls, value):
                    yield from self._take(node, zone, guards, Move(mark, value, span, by=by))
                    if mark in self._by_anyone:
                        yield from self._take(node, zone, guards, Move(mark, value, span, by=by, other=True))

    def _rounds_named(
        self, mark: str, node: Node, zone: Zone | None, later: dict[int, tuple[str, ...]]
    ) -> Iterator[str | None]:
        """None for the round now open; where it can matter each later one, and one that is closed.

        `zone` is that of the instant of the entry, `later` what was found for other marks of the same rounds.
        """
        yield None
        place, state = self.machine.places[self.machine.round_marks[mark]], node.position.state
        if zone is None or state.locations[place.index] is not Location.OPEN:
            return
        yield from strays(self.machine, mark, place, state)
        if place.index not in later:
            work = self._work(node)
            later[place.index] = tuple(
                self._gone_over.names(
                    work,
                    place,
                    lambda: zone.with_clocks(dict.fromkeys(self._running(work), False)),
                    lambda: self._position(work, late=node.position.late),
                )
            )
        yield from later[place.index]

    def _take(self, node: Node, zone: Zone | None, guards: list[Guard], move: Move) -> Iterator[Node]:
        """The step at any point of the zone, once for each way its questions can be answered."""
        if zone is None:
            return
        scripts: list[tuple[bool, ...]] = [()]
        while scripts and self._affords(zone):
            script = scripts.pop()
            work = self._work(node, script, move.span)
            if move.due is not None:
                work.fire(move.due)
            elif move.end:
                work.end_bests()
            else:
                assert move.mark is not None
                number = node.entries + 1
                entry = Entry(number=number, line=0, at=0, mark=move.mark, value=move.value, by=move.by)
                (work.overhear if move.other else work.take)(entry)
            answers = tuple(question.answer for question in work.asked)
            scripts += [(*answers[:k], False) for k in range(len(script), len(answers))]
            asked = [guard_of(question) for question in work.asked if question.clock is not None]
            late = move.due is not None and move.due.phase is Phase.LAST
            position = self._position(work, late=late)
            running = self._running(work)
            resets = frozenset(
                clock for clock in (*running, *range(len(work.clocks))) if self._set_now(work, clock)
            )
            changed = not resets.isdisjoint(running) or work.struck or work.asked
            if not changed and evolve(position, late=node.position.late) == node.position:
                continue
            part = zone.narrowed(asked)
            if part is not None:
                yield self._node(node, work, position, resets, part, move, (*guards, *asked))

    def _node(
        self,
        node: Node,
        work: Asking,
        position: Position,
        resets: frozenset[int],
        zone: Zone,
        move: Move,
        guards: Sequence[Guard],
    ) -> Node:
        running = {clock: clock in resets for clock in self._running(work)}
        return Node(
            position=position,
            zone=zone.with_clocks(running).blurred(self.bounds),
            move=move,
            parent=node,
            entries=node.entries + (move.mark is not None),
            signals=tuple(work.signals),
            guards=tuple(guards),
            resets=resets,
            struck=tuple(work.struck),
            hushed=tuple(work.hushed),
            instant=zone,
            added=tuple(work.added),
            noted=tuple(work.noted),
            paced=tuple(work.paced),
            judged=tuple((each.limit, each.answer) for each in work.asked if each.limit is not None),
            awarded=tuple(work.awarded),
            wait=int(node.position.late and not position.late),
            names=work.names,
        )

    def _work(
        self,
        node: Node,
        script: tuple[bool, ...] = (),
        span: Span = ANYTHING,
    ) -> Asking:
        work = Asking.of(self.machine, node.position.state)
        work.script, work.value_range, work.sums = script, span, list(node.position.sums)
        return work

    def _affords(self, zone: Zone) -> bool:
        """Whether a step from there can still be looked at: it takes more with many clauses and clocks."""
        return self.effort.takes(1 + len(self.machine.places) // 40 + len(zone.clocks) ** 3 // 2_000)

    def _running(self, work: Work) -> list[int]:
        running = [clock for clock in self._read if work.clocks[clock] is not None]
        if self.timed and work.open is not None:
            running.append(self.attempt_clock)
        return [*running, self.lap_clock] if self.lapped else running

    def _set_now(self, work: Work, clock: int) -> bool:
        if clock == self.attempt_clock:
            return any(isinstance(signal, Opened) for signal in work.signals)
        return clock != self.lap_clock and work.clocks[clock] == NOW

    def _position(self, work: Asking, *, late: bool) -> Position:
        """What is left when all that can no longer matter is made alike."""
        state, sums, work.names = self._settling.alike(self._all_panels, work, work.sums)
        return Position(state, tuple(sums), late)


def matters(machine: Machine, mark: str, state: State) -> bool:
    """Whether anything names the mark now; if not, its entry changes nothing but the time."""
    locations, watch = state.locations, machine.watches[mark]
    return (
        locations[FAULTS] is Location.ASLEEP
        or Location.LATE in locations
        or any(locations[row.place] in LIVE for rows in (watch.counts, watch.hushes) for row in rows)
        or any(is_heard(machine, state, row) for row in watch.strikes)
        or any(locations[place] in LIVE for place in watch.places)
        or any(locations[use.place] is (Location.WAITING if use.begins else Location.OPEN) for use in watch.uses)
    )
