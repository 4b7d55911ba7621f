"""Ways to what can happen, taken down position by position as a machine is explored."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import permutations

from standfast.machine.effort import Effort
from standfast.machine.explore import Node
from standfast.machine.parts import LIVE, Breach, Deed, Gauge, Judged, Location, Machine, Phase, Place
from standfast.machine.state import (
    Began,
    Breached,
    Completed,
    Decided,
    Ended,
    Opened,
    Restarted,
    Rested,
    State,
)
from standfast.machine.wishes import Demand, by_clocks
from standfast.machine.witness import is_guess, log_of
from standfast.machine.zone import Guard
from standfast.model.rules import Effect, Fault, Limit, RestBound, Until, UntilTotals
from standfast.proofing.edges import edges
from standfast.values import define, field, frozen


@frozen
class Sight:
    """A way to something; `last` is what its last step must ask of a clock besides, `demand` what of a figure."""

    machine: Machine
    node: Node
    last: Guard | None = None
    demand: Demand | None = None


@define
class Survey:
    """What can happen while one event is tried, or in a whole test.

    `broken` and `met` are by path (`.at_most` for a restart's number): the log just over a limit, and the one that
    just keeps it. `endless` are the clauses that may wait for ever, by path; `circles` the restarts, and where
    there is no restart the clauses, that let an attempt go on for ever. `go` is the GO with the fewest entries,
    `quickest` one that lasts `shortest`, which is a bound only, as `longest` is, where these are `rough`; `spent`:
    an attempt can be used up. `clashes` are pairs of paths, graver and milder, that one entry triggers. `during`
    says which rules graver than a note can act while a clause is open, `beside` which clauses can be open with it
    when an entry comes. `stopped` has the clauses that can be open where time alone does nothing any more,
    `run_out` the counted limits of which the last mark allowed can have been logged there. `rested` has the items
    before which a rest can last, `in_rests` which rules of a clause around it act then, by the paths of the rule
    and of the item. `given` are the rows that scores can come down to, by path (None: `otherwise`).
    Logs are looked for with the `effort` there is.
    """

    machine: Machine
    effort: Effort = field(factory=Effort)
    broken: dict[str, Sight] = field(factory=dict)
    met: dict[str, Sight] = field(factory=dict)
    began: dict[str, Sight] = field(factory=dict)
    waited: dict[str, Sight] = field(factory=dict)
    completed: dict[str, Sight] = field(factory=dict)
    endless: dict[str, Sight] = field(factory=dict)
    circles: dict[str, Sight] = field(factory=dict)
    clashes: dict[tuple[str, str], Sight] = field(factory=dict)
    during: dict[str, set[str]] = field(factory=dict)
    beside: dict[str, set[str]] = field(factory=dict)
    stopped: set[str] = field(factory=set)
    run_out: set[str] = field(factory=set)
    rested: set[str] = field(factory=set)
    in_rests: dict[tuple[str, str], Sight] = field(factory=dict)
    watched: dict[str, int] = field(factory=dict)
    given: set[tuple[str, int | None]] = field(factory=set)
    go: Sight | None = None
    quickest: Sight | None = None
    spent: bool = False
    shortest: int | None = None
    longest: int | None = 0
    rough: bool = False
    _ranks: dict[tuple[str, str], int] = field(factory=dict)
    _allowed: dict[int, int] = field(factory=dict)
    _limits: dict[Limit, tuple[int, int]] = field(factory=dict)
    _most: dict[int, tuple[str, int]] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        """`_allowed` is by counter the greatest number a rule lets it come to, `_most` the same for faults.

        `_limits` are the counters of counted limits, with what they allow.
        """
        for watch in self.machine.watches.values():
            for strike in watch.strikes:
                if strike.counter is not None:
                    assert strike.figure is not None
                    self._allowed[strike.figure] = strike.allowed
                    if isinstance(strike.breach.rule, Limit):
                        self._limits[strike.breach.rule] = strike.counter, strike.allowed
                    if isinstance(strike.breach.rule, Fault):
                        self._most[strike.figure] = strike.breach.rule.path, strike.allowed
        for rounds in (place.rounds for place in self.machine.places if place.rounds is not None):
            for out in rounds.outs:
                self._most[out.counter] = out.breach.rule.path, out.number - 1
        for breach in _breaches(self.machine):
            if breach.restarts is not None and breach.at_most is not None:
                self._most[breach.restarts] = f"{breach.rule.path}.at_most", breach.at_most

    def see(self, node: Node, attempt_clock: int) -> None:
        """Take down what one step shows."""
        for signal in node.signals:
            match signal:
                case Began(place=place):
                    self.began.setdefault(self.path(place), Sight(self.machine, node))
                case Completed(place=place, figures=figures):
                    self.keep("completed", self.path(place), Sight(self.machine, node), near=not _breaks(node))
                    counts = {row.register: int(number) for row, number in figures}
                    self.see_met(node, self.machine.places[place], counts)
                case Decided(go=True, figures=figures):
                    counts = {row.register: int(number) for row, number in figures}
                    for test_place in self.machine.places[:2]:
                        self.see_met(node, test_place, counts)
                case Breached():
                    self.see_broken(node, signal)
                case Ended(effect=None):
                    self.see_go(node, attempt_clock)
                case Ended(effect=Effect.FAIL | Effect.HALT, charged=True) if not _ends_the_test(node):
                    self.spent = True
                case Rested(place=place, bound=bound):
                    rest = self.machine.places[place].rest
                    assert rest is not None
                    self.meet_at(bound.path, node, rest.clock, int(bound.length.base))
                case _:
                    pass
        due = node.move.due
        if due is not None and due.deed is Deed.BEGIN:  # a rest that time alone ends lasts just its least length
            resting = self.machine.places[due.place].rest
            assert resting is not None and resting.least is not None
            self.keep("met", resting.least.rule.path, Sight(self.machine, node))
        for silence in node.hushed:
            self.see_hushed(node, silence)
        self.given |= set(node.awarded)
        self.see_during(node)
        self.see_rests(node)
        self.see_position(node)
        self.see_counts(node)
        self.see_clashes(node)

    def seen(self) -> set[str]:
        """The paths of what was seen to act, begin or be completed."""
        return {*self.broken, *self.began, *self.completed}

    def path(self, place: int) -> str:
        return self.machine.places[place].path

    def keep(self, where: str, path: str, sight: Sight, *, near: bool = True, passed: bool = False) -> None:
        """Keep the first way, but of all the first that is near the limit and as plain as can be.

        Plain is one on which no failure is held from before, an attempt is open, and no `for` waits at its end.
        Better still is one that has `passed`: it ends GO.
        """
        parent = sight.node.parent
        state = None if parent is None else parent.position.state
        opened = state is not None and state.open is not None
        failed = (
            state is not None and state.open is not None and state.flags[self.machine.events[state.open].failing]
        )
        unopened = path.startswith("always.") and not opened
        rank = 8 * (not near) + 4 * failed + 2 * unopened + _waits_late(sight.node) - 16 * passed
        if rank < self._ranks.get((where, path), 16):
            self._ranks[where, path] = rank
            sights: dict[str, Sight] = getattr(self, where)
            sights[path] = sight

    def sure(self, where: str, path: str) -> bool:
        """Whether the way kept is one that cannot be bettered."""
        return self._ranks.get((where, path), 16) <= 0

    def has_both(self, path: str, has_number: bool) -> bool:
        """Whether ways over a clause's limit and just within it are known, plain ones where it can matter."""
        wanted = ("broken", "met") if has_number else ("broken",)
        if path.startswith("always.") or any(event.carry_on for event in self.machine.events):
            return all(self.sure(where, path) for where in wanted)
        return path in self.broken and (path in self.met or not has_number)

    # --- limits ----------------------------------------------------------------------------------------

    def see_met(self, node: Node, place: Place, counts: dict[int, int]) -> None:
        """A clause completes: which of its limits does it keep by nothing to spare?"""
        for due in self.machine.dues:
            if due.place == place.index and due.breach is not None and due.deed in (Deed.BREAK, Deed.SILENCE):
                self.meet_at(due.breach.rule.path, node, due.clock, due.after - (due.phase is Phase.STRICT))
        for early in place.not_before:
            self.meet_at(early.breach.rule.path, node, early.clock, early.length)
        for few in place.at_least:
            if counts.get(few.counter) == few.number:
                self.keep("met", few.breach.rule.path, Sight(self.machine, node), near=not _breaks(node))
        for judged in place.judged:
            self.see_judged(node, judged, "met")
            if judged.gauge is Gauge.ROUNDS and counts.get(judged.register) in _edges(judged)[0]:
                self.keep("met", judged.breach.rule.path, Sight(self.machine, node), near=not _breaks(node))
        for row in place.rows:
            allowed = self._allowed.get(row.register)
            if allowed is not None and counts.get(row.register) == allowed:
                self.keep("met", row.rule.path, Sight(self.machine, node), near=not _breaks(node))

    def see_judged(self, node: Node, judged: Judged, where: str) -> None:
        """A rate or a sum of times that is met, or broken, as nearly as can be."""
        rule = judged.breach.rule
        assert isinstance(rule, Limit)
        by_time = judged.gauge is Gauge.RATE or by_clocks(judged)
        if not by_time or self.sure(where, rule.path):
            return
        for inside, outside in edges(rule.test):
            demand = (judged, (inside if where == "met" else outside).base)
            if log_of(self.machine, node, session="", demand=demand, effort=self.effort) is not None:
                near = where == "broken" or not _breaks(node)
                self.keep(where, rule.path, Sight(self.machine, node, demand=demand), near=near)

    def see_counts(self, node: Node) -> None:
        """A fault's or a restart's number is kept by nothing to spare as soon as it has been used up."""
        state = node.position.state
        for counter, (path, most) in self._most.items():
            if not self.sure("met", path) and state.counters[counter] == most:
                self.keep("met", path, Sight(self.machine, node))

    def meet_at(self, path: str, node: Node, clock: int, value: int) -> None:
        if self.sure("met", path) or clock not in node.instant.clocks:
            return
        if node.instant.within(clock, least=value, most=value) is not None:
            self.keep("met", path, Sight(self.machine, node, (clock, value, value)), near=not _breaks(node))

    def see_hushed(self, node: Node, silence: int) -> None:
        for due in self.machine.dues:
            if due.silence == silence and due.breach is not None:
                self.meet_at(due.breach.rule.path, node, due.clock, due.after - (due.phase is Phase.STRICT))

    def see_broken(self, node: Node, signal: Breached) -> None:
        """The way to a breach, as near to the limit as can be."""
        rule = signal.breach.rule
        path = rule.path if signal.asked is None else f"{rule.path}.at_most"
        if self.sure("broken", path):
            return
        sight, near = Sight(self.machine, node), True
        place = self.machine.places[signal.breach.place]
        for row in place.not_before:
            if row.breach.rule is rule:
                sight, near = self.just_under(sight, row.clock, row.length)
        for judged in place.judged:
            if judged.breach.rule is rule:
                self.see_judged(node, judged, "broken")
                near = False
        for few in place.at_least:
            if few.breach.rule is rule:
                near = signal.figure == few.number - 1
        for judged in place.judged:
            if judged.breach.rule is rule and judged.gauge is Gauge.ROUNDS:
                near = signal.figure in _edges(judged)[1]
        for other in self.machine.places:
            if other.rest is not None and other.rest.least is not None and other.rest.least.rule is rule:
                sight, near = self.just_under(sight, other.rest.clock, other.rest.least_length)
        self.keep("broken", path, sight, near=near)

    def just_under(self, sight: Sight, clock: int, length: int) -> tuple[Sight, bool]:
        value = length - 1
        instant = sight.node.instant
        if clock in instant.clocks and instant.within(clock, least=value, most=value) is not None:
            return Sight(sight.machine, sight.node, (clock, value, value)), True
        return sight, False

    # --- going on for ever, and how long ---------------------------------------------------------------

    def see_go(self, node: Node, attempt_clock: int) -> None:
        if self.go is None:
            self.go = Sight(self.machine, node)
        used = () if node.parent is None else node.parent.position.state.counters
        for counter, (path, number) in self._most.items():
            if used and used[counter] == number and not _breaks(node):
                self.keep("met", path, Sight(self.machine, node), passed=True)
        at_once = any(isinstance(signal, Opened) for signal in node.signals)
        if at_once or attempt_clock in node.instant.clocks:
            least, most = (0, 0) if at_once else node.instant.range(attempt_clock)
            rough = is_guess(node)
            self.rough = self.rough or rough
            if self.shortest is None or least < self.shortest:
                last = None if at_once or rough else (attempt_clock, least, least)
                self.shortest, self.quickest = least, Sight(self.machine, node, last)
            self.longest = None if most is None or self.longest is None else max(most, self.longest)

    def see_position(self, node: Node) -> None:
        state = node.position.state
        if state.open is None:
            return
        if not self.can_be_moved_by_time(node):
            for path in self.waiting(state):
                self.endless.setdefault(path, Sight(self.machine, node))
            live = {place.path for place in self.machine.places if state.locations[place.index] in LIVE}
            self.stopped |= live
            for limit, (counter, allowed) in self._limits.items():
                if limit.path.rpartition(".")[0] in live and state.counters[counter] == allowed:
                    self.run_out.add(limit.path)

    def see_waiting(self, node: Node) -> None:
        """An entry may come: which clauses wait for one to begin, and which are open beside each other?"""
        locations = node.position.state.locations
        for place in self.machine.places:
            if locations[place.index] is Location.WAITING:
                self.waited.setdefault(place.path, Sight(self.machine, node))
        live = [place.path for place in self.machine.places if locations[place.index] in LIVE]
        for path in live:
            self.beside.setdefault(path, set()).update(live)

    def waiting(self, state: State) -> Iterator[str]:
        """The clauses that wait for a mark there: to begin, or for their goal."""
        for place in self.machine.places:
            location = state.locations[place.index]
            for_goal = location is Location.OPEN and isinstance(place.goal, Until | UntilTotals)
            begun = place.waiting.begun
            if for_goal or (location is Location.WAITING and (begun is None or state.flags[begun])):
                yield place.path

    def see_during(self, node: Node) -> None:
        """Which rules graver than a note act while which steps are open."""
        before = () if node.parent is None else node.parent.position.state.locations
        live = {place for place, location in enumerate(before) if location in LIVE}
        for signal in node.signals:
            match signal:
                case Began(place=place):
                    live.add(place)
                case Completed(place=place) | Restarted(place=place):
                    live -= set(range(place, self.machine.places[place].end))
                case Breached(breach=breach) if breach.effect is not Effect.NOTE:
                    for place in live:
                        self.during.setdefault(self.path(place), set()).add(breach.rule.path)
                case _:
                    pass

    def see_rests(self, node: Node) -> None:
        """Before which items a rest lasts, and which rules act while it does, but those of the rest itself."""
        self.rested |= {place.path for place in self.resting(node.position.state)}
        breached = [signal.breach for signal in node.signals if isinstance(signal, Breached)]
        if node.parent is None or not breached:
            return
        for place in self.resting(node.parent.position.state):
            for breach in breached:
                around = self.machine.places[breach.place]
                if around.index < place.index < around.end and not isinstance(breach.rule, RestBound):
                    self.in_rests.setdefault((breach.rule.path, place.path), Sight(self.machine, node))

    def resting(self, state: State) -> Iterator[Place]:
        """The items before which a rest lasts there."""
        for place in self.machine.places:
            if place.rest is not None and place.parent is not None and state.clocks[place.rest.clock] is not None:
                yield place

    def can_be_moved_by_time(self, node: Node) -> bool:
        state = node.position.state
        return any(
            state.locations[due.place] in due.locations
            and state.clocks[due.clock] is not None
            and not (due.spent is not None and state.flags[due.spent])
            and not (due.silence is not None and not state.flags[self.machine.silences[due.silence].armed])
            for due in self.machine.dues
        )

    def see_clashes(self, node: Node) -> None:
        for graver, milder in (pair for breaches in node.struck for pair in permutations(breaches, 2)):
            if milder.effect is not Effect.NOTE and graver.effect.gravity > milder.effect.gravity:
                self.clashes.setdefault((graver.rule.path, milder.rule.path), Sight(self.machine, node))


def _edges(judged: Judged) -> tuple[set[int], set[int]]:
    """The whole numbers that just pass the test of a limit, and those that just do not."""
    assert isinstance(judged.breach.rule, Limit)
    test = judged.breach.rule.test
    ends = [int(end.base) for end in (test.first, test.second) if end is not None]
    near = {end + step for end in ends for step in (-1, 0, 1) if end + step >= 0}
    passing = {number for number in near if test.holds(Fraction(number))}
    failing = near - passing
    kept = {number for number in passing if {number - 1, number + 1} & failing}
    return kept, {number for number in failing if {number - 1, number + 1} & passing}


def _breaches(machine: Machine) -> Iterator[Breach]:
    for watch in machine.watches.values():
        yield from (strike.breach for strike in watch.strikes)
    yield from (due.breach for due in machine.dues if due.breach is not None)
    yield from (
        place.rest.least for place in machine.places if place.rest is not None and place.rest.least is not None
    )


def _waits_late(node: Node) -> bool:
    """Whether on the way a `for` was over before all it asks for was done."""
    return any(Location.LATE in step.position.state.locations for step in node.path())


def _ends_the_test(node: Node) -> bool:
    return any(isinstance(signal, Breached) and signal.breach.ends_test for signal in node.signals)


def _breaks(node: Node) -> bool:
    return any(isinstance(signal, Breached) for signal in node.signals)
