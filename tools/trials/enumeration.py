"""Every log of a small standard, tried one by one, and what was seen to happen in them.

Two logs that lead to the same position go on alike, so positions are what is walked: from each, one microsecond
passes, or one entry with one value is logged. A position is the machine's own, with times counted back from now;
of clocks and counts that are past every number they are compared with only that is kept. Time has no finer grain
than the microsecond: every log takes one of these ways.
"""

from collections import deque
from collections.abc import Iterator, Sequence
from fractions import Fraction

from attrs import define, evolve, field, frozen

from standfast.log.entry import Entry
from standfast.machine.parts import LIVE, Breach, Location, Machine, Place
from standfast.machine.registers import Struck
from standfast.machine.state import Began, Completed, Ended, Opened, Reading, Restarted, Signal, State, Unused
from standfast.machine.step import Work, initial
from standfast.model.rules import Effect, FigureKind, Limit, Until, UntilTotals
from standfast.model.standard import Mark
from standfast.quantity import Quantity
from trials.rings import rings

Value = str | Quantity | None


@frozen
class Act:
    """A rule that acted: its path (`.at_most` for a restart's number), how, and where each clause stood."""

    path: str
    effect: Effect
    locations: tuple[Location, ...]
    resting: frozenset[int]


@define
class _Watching(Work):
    """A step that takes down what its entry triggered and which rules acted."""

    triggered: list[tuple[Breach, ...]] = field(factory=list)
    acts: list[Act] = field(factory=list)

    def act_on(self, struck: list[Struck]) -> bool:
        self.triggered.append(tuple(breach for breach, _ in struck if not self.nothing_to_act_on(breach)))
        return super().act_on(struck)

    def tell_breached(self, breach: Breach, figure: Reading) -> None:
        used_up = self.used_up(breach)
        path = f"{breach.rule.path}.at_most" if used_up else breach.rule.path
        effect = Effect.FAIL if used_up else breach.effect
        resting = frozenset(
            place.index
            for place in self.machine.places
            if place.rest is not None and place.parent is not None and self.clocks[place.rest.clock] is not None
        )
        self.acts.append(Act(path, effect, tuple(self.locations), resting))
        super().tell_breached(breach, figure)


@frozen
class Giver:
    """By whom an entry is, where that matters, and whether it is another candidate's."""

    by: str | None = None
    other: bool = False


ANYBODY = Giver()


@frozen
class Step:
    """From one position to another, by a microsecond (`mark` None), an entry or the session's zero.

    `inside`: one attempt was open all the way. `restarts` are the paths of restarts that acted.
    """

    before: int
    after: int
    mark: str | None
    value: Value
    giver: "Giver"
    signals: tuple[Signal, ...] = field(repr=False)
    acts: tuple[Act, ...] = field(repr=False)
    triggered: tuple[tuple[Breach, ...], ...] = field(repr=False)
    inside: bool

    @property
    def restarts(self) -> set[str]:
        return {act.path for act in self.acts if act.effect is Effect.RESTART}


_OF_AMOUNTS = (FigureKind.LARGEST, FigureKind.SMALLEST, FigureKind.EACH, FigureKind.LAST, FigureKind.TOTAL)
"""The figures that are made of what is logged for a measured mark, and not of when or how often."""

ZERO = ""
"""The mark of the session's zero, at which an event without a start mark opens."""


class TooMany(Exception):
    """There are more positions than were asked for."""


@define
class Enumeration:
    """All positions of a machine that logs of up to `entries` entries reach, or (None) all logs.

    `entered[n]` is the least number of entries that lead to position n.
    """

    machine: Machine
    entries: int | None = None
    most: int | None = None
    positions: list[State] = field(factory=list)
    entered: list[int] = field(factory=list)
    steps: list[Step] = field(factory=list)
    _numbers: dict[State, int] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        values = {mark.name: tuple(all_values(self.machine, mark)) for mark in self.machine.standard.marks}
        state, signals = initial(self.machine)
        first = self._number(from_now(self.machine, state), 0)
        self.steps.append(Step(first, first, ZERO, None, ANYBODY, signals, (), (), inside=False))
        queue: deque[int] = deque([first])
        walked: set[int] = set()
        while queue:
            number = queue.popleft()
            if number in walked:
                continue
            walked.add(number)
            state, count = self.positions[number], self.entered[number]
            if state.decided is not None:
                continue
            after = self._step(number, None, None, ANYBODY, count)
            queue.appendleft(after)
            if self.entries is not None and count >= self.entries:
                continue
            for mark, its_values in values.items():
                for value in its_values:
                    for giver in givers(self.machine, mark):
                        queue.append(self._step(number, mark, value, giver, count + 1))

    @property
    def deepest(self) -> int:
        """The greatest number of entries that some position needs."""
        return max(self.entered)

    def _number(self, state: State, entered: int) -> int:
        number = self._numbers.setdefault(state, len(self.positions))
        if number == len(self.positions):
            if number == self.most:
                raise TooMany
            self.positions.append(state)
            self.entered.append(entered)
        self.entered[number] = min(entered, self.entered[number])
        return number

    def _step(self, number: int, mark: str | None, value: Value, giver: Giver, entered: int) -> int:
        before = self.positions[number]
        if mark is None:
            done = passed(self.machine, before, 1)
        else:
            done = logged(self.machine, before, mark, value, giver)
        after = self._number(done.state, entered)
        ended = any(isinstance(signal, Ended) for signal in done.signals)
        inside = before.open is not None and done.state.open is not None and not ended
        self.steps.append(Step(number, after, mark, value, giver, done.signals, done.acts, done.triggered, inside))
        return after


@frozen
class Done:
    """What a microsecond or an entry leads to; the state as counted from now."""

    state: State
    signals: tuple[Signal, ...]
    acts: tuple[Act, ...]
    triggered: tuple[tuple[Breach, ...], ...]


def passed(machine: Machine, state: State, length: int) -> Done:
    """Time goes by."""
    work = _Watching.of(machine, state)
    work.pass_time(state.now + length)
    return _done(work)


def logged(machine: Machine, state: State, mark: str, value: Value, giver: Giver = ANYBODY) -> Done:
    work = _Watching.of(machine, state)
    work.pass_time(state.now)
    entry = Entry(number=1, line=1, at=state.now, mark=mark, value=value, by=giver.by)
    (work.overhear if giver.other else work.take)(entry)
    return _done(work)


def givers(machine: Machine, mark: str) -> tuple[Giver, ...]:
    """Everyone who can give an entry of the mark: as many graders as its counts can tell apart, and one more."""
    names: list[str | None] = [None]
    if mark in machine.standard.once_a_grader:
        watch = machine.watches[mark]
        bounds = {row.once: machine.counters[row.counter].bound for row in watch.counts if row.once is not None}
        for use in watch.uses:
            register = machine.places[use.place].goal_register
            if use.once is not None and not use.begins and register is not None:
                bounds[use.once] = machine.counters[register].bound
        names = [f"G-{number}" for number in range(1, 2 + sum(bound + 1 for bound in bounds.values()))]
    others = (False, True) if mark in machine.standard.by_anyone else (False,)
    return tuple(Giver(by, other) for by in names for other in others)


def _done(work: _Watching) -> Done:
    state, signals = work.frozen()
    return Done(from_now(work.machine, state), signals, tuple(work.acts), tuple(work.triggered))


def from_now(machine: Machine, state: State) -> State:
    """The state with `now` nought and everything that is past its last comparison made alike.

    The rounds made, missed and the furthest stay: they cannot grow beyond the rounds there are.
    """
    rows = (place.rounds for place in machine.places if place.rounds is not None)
    of_rounds = {counter for row in rows for counter in (row.made, row.missed, row.furthest)}

    def aged(since: int | None, bound: int) -> int | None:
        return None if since is None else -min(state.now - since, bound + 1 if bound else 0)

    return evolve(
        state,
        now=0,
        clocks=tuple(aged(since, row.bound) for since, row in zip(state.clocks, machine.clocks, strict=True)),
        counters=tuple(
            count if number in of_rounds else min(count, row.bound + 1)
            for number, (count, row) in enumerate(zip(state.counters, machine.counters, strict=True))
        ),
        longest=(0,) * len(state.longest),
        rolls=tuple(tuple(sorted(roll)) for roll in state.rolls),
    )


def all_values(machine: Machine, mark: Mark) -> Iterator[Value]:
    """Each choice; each round, or none; of a measure every number it is compared with, and what is next to it."""
    if mark.name in machine.round_marks:
        rounds = machine.places[machine.round_marks[mark.name]].rounds
        yield from (None, *(() if rounds is None else rounds.names))
        return
    if mark.unit is None:
        yield from mark.choices or (None,)
        return
    watch = machine.watches[mark.name]
    patterns = [row.pattern for rows in (watch.counts, watch.strikes, watch.uses) for row in rows]
    tests = [pattern.test for pattern in patterns if pattern.test is not None]
    for limit in (rule for rule in machine.standard.rules() if isinstance(rule, Limit)):
        parts = limit.figure.all_parts()
        tests += [limit.test for part in parts if part.mark == mark.name and part.kind in _OF_AMOUNTS]
    constants = {end.base for test in tests for end in test.ends()}
    constants |= {
        place.goal.amount.base
        for place in machine.places
        if isinstance(place.goal, UntilTotals) and place.goal.mark == mark.name
    }
    grain = Fraction(1, 1_000_000)
    near = {c + off for c in constants for off in (-grain, Fraction(0), grain)}
    for amount in sorted({Fraction(0), Fraction(1), *near}):
        yield Quantity(((amount / mark.unit.factor, mark.unit),))


# --- what was seen -------------------------------------------------------------------------------------------


@define
class Seen:
    """What happened in some log, by path; with the open attempt's shortest and longest time to a GO.

    `forever` are the clauses at which time alone can stand still, `rounds` the restarts and `put_off` the clauses
    in which an attempt can be kept going round. `during` has for each step the rules graver than a note that
    acted in it, `resting` the rules that acted during a rest, by the item after it. `used_up`: the rules whose
    number was reached where time alone stands still. `turns` are the events whose turn came. `watched`: the most
    marks of use at once while a step is open.
    """

    acted: dict[str, int] = field(factory=dict)
    began: set[str] = field(factory=set)
    completed: set[str] = field(factory=set)
    waited: set[str] = field(factory=set)
    clashes: set[tuple[str, str]] = field(factory=set)
    forever: set[str] = field(factory=set)
    rounds: set[str] = field(factory=set)
    put_off: set[str] = field(factory=set)
    during: dict[str, set[str]] = field(factory=dict)
    resting: set[tuple[str, str]] = field(factory=set)
    used_up: set[str] = field(factory=set)
    watched: dict[str, int] = field(factory=dict)
    passed: set[str] = field(factory=set)
    turns: set[str] = field(factory=set)
    shortest: int | None = None
    longest: int | None = None


def seen(all_logs: Enumeration) -> Seen:
    facts = Seen()
    machine = all_logs.machine
    for step in all_logs.steps:
        _see_step(facts, all_logs, step)
    for state in all_logs.positions:
        for event in machine.events:
            if state.locations[event.place] is not Location.ASLEEP:
                facts.turns.add(machine.places[event.place].path)
        if state.open is not None:
            _see_position(facts, machine, state)
    still = {step.before for step in all_logs.steps if step.mark is None and step.before == step.after}
    for number in still:
        state = all_logs.positions[number]
        if state.open is not None:
            facts.forever |= stuck(machine, state)
            facts.used_up |= _used_up(machine, state)
    inside = [step for step in all_logs.steps if step.inside]
    ring = rings(len(all_logs.positions), [(step.before, step.after) for step in inside])
    turning = {ring[step.before] for step in inside if step.mark is None and ring[step.before] == ring[step.after]}
    for step in inside:
        if ring[step.before] == ring[step.after] and ring[step.before] in turning:
            facts.rounds |= step.restarts
    onward = [step for step in inside if not any(isinstance(s, Restarted) for s in step.signals)]
    ring = rings(len(all_logs.positions), [(step.before, step.after) for step in onward])
    for step in onward:
        if step.mark is None and ring[step.before] == ring[step.after] and step.before != step.after:
            facts.put_off |= stuck(machine, all_logs.positions[step.before])
    _see_times(facts, all_logs)
    return facts


def _see_step(facts: Seen, all_logs: Enumeration, step: Step) -> None:
    places = all_logs.machine.places
    entered = all_logs.entered[step.before] + (step.mark is not None)
    for signal in step.signals:
        match signal:
            case Began(place=place):
                facts.began.add(places[place].path)
            case Completed(place=place):
                facts.completed.add(places[place].path)
            case Ended(event=event, effect=None):
                facts.passed.add(all_logs.machine.standard.events[event].label)
            case Opened(event=event):
                facts.turns.add(all_logs.machine.standard.events[event].label)
            case _:
                pass
    for act in step.acts:
        facts.acted[act.path] = min(entered, facts.acted.get(act.path, entered))
        facts.resting |= {(act.path.removesuffix(".at_most"), places[item].path) for item in act.resting}
        for open_place in places[2:]:
            if act.effect is not Effect.NOTE and act.locations[open_place.index] in LIVE:
                facts.during.setdefault(open_place.path, set()).add(act.path.removesuffix(".at_most"))
    for breaches in step.triggered:
        weighty = [breach for breach in breaches if breach.effect is not Effect.NOTE]
        facts.clashes |= {
            (one.rule.path, other.rule.path)
            for one in weighty
            for other in weighty
            if one.effect.gravity > other.effect.gravity
        }


def _see_position(facts: Seen, machine: Machine, state: State) -> None:
    facts.waited |= {p.path for p in machine.places if state.locations[p.index] is Location.WAITING}
    useful = 0
    for mark in machine.standard.marks:
        own = [giver for giver in givers(machine, mark.name) if not giver.other]
        values = all_values(machine, mark)
        done = (logged(machine, state, mark.name, value, giver) for value in values for giver in own)
        useful += any(not any(isinstance(s, Unused) for s in each.signals) for each in done)
    for place in machine.places:
        if place.goal is not None and state.locations[place.index] in LIVE:
            facts.watched[place.path] = max(useful, facts.watched.get(place.path, 0))


def stuck(machine: Machine, state: State) -> set[str]:
    """The clauses that wait for a mark."""
    return {
        place.path
        for place in machine.places
        if (state.locations[place.index] is Location.WAITING and _is_owed(place, state))
        or (state.locations[place.index] is Location.OPEN and isinstance(place.goal, Until | UntilTotals))
    }


def _is_owed(place: Place, state: State) -> bool:
    return place.waiting.begun is None or state.flags[place.waiting.begun]


def _used_up(machine: Machine, state: State) -> set[str]:
    """The rules with a greatest number of which the next one would break it."""
    return {
        strike.breach.rule.path
        for watch in machine.watches.values()
        for strike in watch.strikes
        if strike.counter is not None
        and state.locations[strike.place] in LIVE
        and state.counters[strike.counter] == strike.allowed
    }


def _see_times(facts: Seen, all_logs: Enumeration) -> None:
    """Shortest and longest way from an opening to a GO of the same attempt; `longest` None: none, or for ever."""
    size = len(all_logs.positions)
    opening: dict[int, tuple[int, int]] = {}  # position: least and greatest age with which it is opened
    closing: list[tuple[int, int]] = []  # position and time from it to the GO
    at_once: list[int] = []
    for step in all_logs.steps:
        opened: int | None = None
        for signal in step.signals:
            match signal:
                case Opened(at=at):
                    opened = at
                case Ended(at=at, effect=None) if opened is None:
                    closing.append((step.before, at))
                case Ended(at=at, effect=None) if opened is not None:
                    at_once.append(at - opened)
                case _:
                    pass
            if isinstance(signal, Ended):
                opened = None
        if opened is not None:
            age = (step.mark is None) - opened
            least, most = opening.get(step.after, (age, age))
            opening[step.after] = (min(least, age), max(most, age))
    inside = [(step.before, step.after, int(step.mark is None)) for step in all_logs.steps if step.inside]
    times = list(at_once)
    ages = _least_ages(size, inside, {n: least for n, (least, _) in opening.items()})
    times += [ages[n] + more for n, more in closing if n in ages]
    if not times:
        return
    facts.shortest = min(times)
    longest = _greatest_ages(size, inside, {n: most for n, (_, most) in opening.items()}, [n for n, _ in closing])
    if longest is not None:
        facts.longest = max([*at_once, *(longest[n] + more for n, more in closing if n in longest)])


Edge = tuple[int, int, int]


def _least_ages(size: int, edges: Sequence[Edge], first: dict[int, int]) -> dict[int, int]:
    following: list[list[tuple[int, int]]] = [[] for _ in range(size)]
    for one, other, length in edges:
        following[one].append((other, length))
    ages: dict[int, int] = {}
    waiting: dict[int, list[int]] = {}
    for number, age in first.items():
        waiting.setdefault(age, []).append(number)
    while waiting:
        age = min(waiting)
        numbers = waiting.pop(age)
        while numbers:
            number = numbers.pop()
            if number in ages:
                continue
            ages[number] = age
            for other, length in following[number]:
                if length:
                    waiting.setdefault(age + length, []).append(other)
                else:
                    numbers.append(other)
    return ages


def _greatest_ages(
    size: int, edges: Sequence[Edge], first: dict[int, int], last: Sequence[int]
) -> dict[int, int] | None:
    """The greatest age at each position on a way from `first` to `last`; None if there is none."""
    back: list[list[int]] = [[] for _ in range(size)]
    for one, other, _ in edges:
        back[other].append(one)
    useful: set[int] = set()
    waiting = list(last)
    while waiting:
        number = waiting.pop()
        if number not in useful:
            useful.add(number)
            waiting += back[number]
    reached = set(_least_ages(size, edges, first))
    kept = [edge for edge in edges if {edge[0], edge[1]} <= useful & reached]
    ring = rings(size, [(one, other) for one, other, _ in kept])
    if any(length and ring[one] == ring[other] for one, other, length in kept):
        return None
    ages = {ring[n]: age for n, age in sorted(first.items(), key=lambda item: item[1]) if n in useful}
    for one, other, length in sorted(kept, key=lambda edge: -ring[edge[0]]):
        if ring[one] in ages:
            ages[ring[other]] = max(ages.get(ring[other], 0), ages[ring[one]] + length)
    return {n: ages[ring[n]] for n in useful & reached if ring[n] in ages}
