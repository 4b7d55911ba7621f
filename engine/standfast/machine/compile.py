"""Model to machine: every clause a place, every rule its clocks, counters and transitions.

Nothing is decided here that the rules of meaning do not say; the compiler only lays out which registers a rule
needs and which transitions read them.
"""

from collections.abc import Iterable

from attrs import define, evolve, field

from standfast.machine.parts import (
    FAULTS,
    LIMITS,
    LIVE,
    AtLeast,
    Breach,
    Clock,
    Count,
    Counter,
    Deed,
    Due,
    EventRow,
    Gauge,
    Hush,
    Location,
    Machine,
    NotBefore,
    Phase,
    Place,
    RestRow,
    Row,
    SilenceRow,
    Strike,
    Use,
    Waiting,
    Watch,
)
from standfast.model.rules import (
    Counting,
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Pattern,
    Rest,
    RestBound,
    Rule,
    Silence,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Event, Kind, Standard
from standfast.quantity import Comparison, Quantity


def compile_standard(standard: Standard) -> Machine:
    """The machine of a standard; its places stand in written order, each clause's subtree together."""
    shop = _Workshop(standard)
    shop.test_places()
    for number, event in enumerate(standard.events):
        shop.event(number, event)
    return Machine(
        standard,
        tuple(shop.places),
        tuple(shop.events),
        tuple(shop.clocks),
        tuple(shop.counters),
        tuple(shop.totals),
        tuple(shop.flags),
        tuple(shop.rolls),
        tuple(shop.silences),
        {mark.name: shop.watch(mark.name) for mark in standard.marks},
        tuple(shop.dues),
    )


def micros(length: Quantity) -> int:
    """A time in whole microseconds; resolving has refused any other."""
    assert length.base.denominator == 1
    return int(length.base)


@define
class _Own:
    """The registers of one place while it is being laid out."""

    clock: int
    counters: list[int] = field(factory=list)
    rolls: list[int] = field(factory=list)
    silences: list[int] = field(factory=list)
    at_least: list[AtLeast] = field(factory=list)
    not_before: list[NotBefore] = field(factory=list)
    rows: list[Row] = field(factory=list)


@define
class _Workshop:
    standard: Standard
    places: list[Place] = field(factory=list)
    events: list[EventRow] = field(factory=list)
    clocks: list[Clock] = field(factory=list)
    counters: list[Counter] = field(factory=list)
    totals: list[str] = field(factory=list)
    flags: list[str] = field(factory=list)
    rolls: list[str] = field(factory=list)
    silences: list[SilenceRow] = field(factory=list)
    counts: list[Count] = field(factory=list)
    hushes: list[Hush] = field(factory=list)
    strikes: list[Strike] = field(factory=list)
    uses: list[Use] = field(factory=list)
    dues: list[Due] = field(factory=list)

    # --- registers -------------------------------------------------------------------------------------

    def clock(self, name: str) -> int:
        self.clocks.append(Clock(name, 0))
        return len(self.clocks) - 1

    def read(self, clock: int, length: int) -> int:
        """Note that the clock is compared with `length`."""
        row = self.clocks[clock]
        self.clocks[clock] = evolve(row, bound=max(row.bound, length))
        return length

    def counter(self, name: str, bound: int) -> int:
        self.counters.append(Counter(name, bound))
        return len(self.counters) - 1

    def flag(self, name: str) -> int:
        self.flags.append(name)
        return len(self.flags) - 1

    def roll(self, name: str, counting: Counting) -> int | None:
        """The roll of graders of a count; None for one that takes every entry."""
        if not counting.once_a_grader:
            return None
        self.rolls.append(name)
        return len(self.rolls) - 1

    # --- places ----------------------------------------------------------------------------------------

    def test_places(self) -> None:
        always = self.standard.always
        for index, name, rules in (
            (LIMITS, "always (limits)", always.limits),
            (FAULTS, "always (faults)", always.faults),
        ):
            own = _Own(self.clock(name))
            self.rules(rules, index, own)
            self.places.append(
                Place(
                    index, index + 1, name, Kind.STEP, -1, None, (), 0, index, None, None, None, None, own.clock,
                    tuple(own.counters), tuple(own.rolls), Waiting(), tuple(own.silences), tuple(own.at_least),
                    tuple(own.not_before), tuple(own.rows),
                )
            )  # fmt: skip

    def event(self, number: int, event: Event) -> None:
        first_counter, first_flag = len(self.counters), len(self.flags)
        always_flags = [strike.breach.kept for strike in self.strikes if strike.place == FAULTS]
        always_flags += [due.breach.kept for due in self.dues if due.place == FAULTS and due.breach is not None]
        failing = self.flag(f"{event.label} holds a failure")
        root = self.clause(number, event.clause, None, event.rest_between)
        fresh = tuple(range(first_counter, len(self.counters)))
        charged = self.counter(f"{event.label} attempts charged", event.attempts or 0)
        flags = (*sorted(set(always_flags)), *range(first_flag, len(self.flags)))
        self.events.append(EventRow(root, event.attempts, charged, event.carry_on, failing, fresh, flags))

    def clause(self, event: int, clause: Clause, parent: int | None, between: Rest | None) -> int:
        index = len(self.places)
        self.places.append(_blank(index))
        own = _Own(self.clock(clause.path))
        rest = self.rest(between or clause.rest, index, parent, clause.start is not None)
        waiting = self.start(clause, index)
        self.rules((*clause.limits, *clause.faults), index, own)
        register = self.goal(clause, index, own)
        children = tuple(self.clause(event, item, index, None) for item in clause.items)
        for child in children:
            rest_row = self.places[child].rest
            for breach in () if rest_row is None else (rest_row.least, rest_row.greatest):
                self.restarts_row(breach, own)
        self.places[index] = Place(
            index, len(self.places), clause.path, clause.kind, event, parent, children, clause.depth, clause.order,
            clause.start, clause.goal, register, rest, own.clock, tuple(own.counters), tuple(own.rolls), waiting,
            tuple(own.silences), tuple(own.at_least), tuple(own.not_before),
            tuple(sorted(own.rows, key=lambda row: row.rule.order)),
        )  # fmt: skip
        return index

    def start(self, clause: Clause, place: int) -> Waiting:
        start, begun = clause.start, None
        if start is None:
            return Waiting()
        if clause.only_if_begun:
            begun = self.flag(f"{clause.path} has begun")
        if not start.more_than:
            self.uses.append(Use(start.pattern, place, True))
            return Waiting(begun=begun)
        counter = self.counter(start.path, start.more_than)
        roll = self.roll(start.path, start.counting)
        anyone = start.counting.by_anyone
        self.counts.append(Count(start.pattern, place, counter, waits=True, once=roll, anyone=anyone))
        self.uses.append(Use(start.pattern, place, True, counter, start.more_than, roll))
        return Waiting(counter, roll, begun)

    def goal(self, clause: Clause, place: int, own: _Own) -> int | None:
        match clause.goal:
            case Until() as goal:
                register = self.counter(goal.path, goal.number)
                own.counters.append(register)
                roll = self.roll(goal.path, goal.counting)
                own.rolls += [] if roll is None else [roll]
                anyone = goal.counting.by_anyone
                self.uses.append(Use(goal.pattern, place, False, once=roll, anyone=anyone))
                return register
            case UntilTotals() as goal:
                self.uses.append(Use(Pattern(goal.mark), place, False))
                self.totals.append(goal.path)
                own.rows.append(Row(goal, Gauge.TOTAL, len(self.totals) - 1))
                return len(self.totals) - 1
            case For() as goal:
                after = self.read(own.clock, micros(goal.length))
                only_open = frozenset({Location.OPEN})
                self.dues.append(Due(Deed.COMPLETE, place, only_open, own.clock, after, Phase.COMPLETION))
                late = frozenset({Location.LATE})
                self.dues.append(Due(Deed.TOO_FEW, place, late, own.clock, after, Phase.LAST))
        return None

    def rest(self, rest: Rest | None, place: int, parent: int | None, has_start: bool) -> RestRow | None:
        if rest is None:
            return None
        clock = self.clock(f"rest before {(rest.least or rest.greatest).path}")  # type: ignore[union-attr]  # one is there
        spent = self.flag(f"{self.clocks[clock].name} was too long")
        around = place if parent is None else parent
        least, length, greatest = None, 0, None
        if rest.least is not None:
            length = self.read(clock, micros(rest.least.length))
            least = self.breach(rest.least, around, between=parent is None)
            if not has_start:
                resting = frozenset({Location.RESTING})
                self.dues.append(Due(Deed.BEGIN, place, resting, clock, length, Phase.COMPLETION))
        if rest.greatest is not None:
            greatest = self.breach(rest.greatest, around, between=parent is None)
            after = self.read(clock, micros(rest.greatest.length))
            waiting = frozenset({Location.WAITING})
            self.dues.append(
                Due(Deed.OVERSTAY, place, waiting, clock, after, Phase.LAST, breach=greatest, spent=spent)
            )
        return RestRow(clock, spent, least, length, greatest)

    # --- rules -----------------------------------------------------------------------------------------

    def breach(self, rule: Limit | Fault | RestBound, place: int, *, between: bool = False) -> Breach:
        kept = self.flag(f"{rule.path} is kept as a failure")
        if isinstance(rule, Limit):
            return Breach(rule, Effect.FAIL, place, kept, ends_test=place == LIMITS)
        restarts = None
        if rule.effect is Effect.RESTART:
            restarts = self.counter(f"{rule.path} restarts", rule.at_most or 0)
        return Breach(
            rule, rule.effect, place, kept, rule.at_once, restarts, rule.at_most, rule.charged, between=between
        )

    def rules(self, rules: Iterable[Limit | Fault], place: int, own: _Own) -> None:
        for rule in rules:
            breach = self.breach(rule, place)
            if isinstance(rule, Limit):
                self.limit(rule, breach, own)
            else:
                self.fault(rule, breach, own)
            self.restarts_row(breach, own)

    def restarts_row(self, breach: Breach | None, own: _Own) -> None:
        if breach is not None and breach.restarts is not None and breach.at_most is not None:
            own.rows.append(Row(breach.rule, Gauge.RESTARTS, breach.restarts))

    def limit(self, limit: Limit, breach: Breach, own: _Own) -> None:
        strict = limit.test.comparison is Comparison.UNDER
        match limit.figure.kind:
            case FigureKind.TIME:
                length = self.read(own.clock, micros(limit.test.first))
                own.rows.append(Row(limit, Gauge.CLOCK, own.clock))
                if limit.test.comparison is Comparison.AT_LEAST:
                    own.not_before.append(NotBefore(breach, own.clock, length))
                else:
                    phase = Phase.STRICT if strict else Phase.LAST
                    self.dues.append(
                        Due(Deed.BREAK, breach.place, LIVE, own.clock, length, phase, breach, spent=breach.kept)
                    )
            case FigureKind.COUNT:
                assert limit.figure.mark is not None
                number = int(limit.test.first.base)
                pattern, at_end = Pattern(limit.figure.mark), limit.test.comparison is Comparison.AT_LEAST
                count = self.count(pattern, limit, number, breach.place, own, limit.figure.counting, at_end=at_end)
                if at_end:
                    own.at_least.append(AtLeast(breach, count.counter, number))
                else:
                    self.strike(count, breach, number - 1 if strict else number)
            case FigureKind.SILENCE:
                assert limit.figure.mark is not None
                self.silence(limit, limit.figure.mark, micros(limit.test.first), strict, breach, own)

    def fault(self, fault: Fault, breach: Breach, own: _Own) -> None:
        match fault.trigger:
            case Occurrence(pattern, more_than):
                if more_than:
                    counting = fault.trigger.counting
                    self.strike(
                        self.count(pattern, fault, more_than, breach.place, own, counting), breach, more_than
                    )
                else:
                    self.strikes.append(Strike(pattern, breach.place, breach))
            case OutOfOrder(pattern):
                self.strikes.append(Strike(pattern, breach.place, breach, out_of_order=True))
            case Silence(mark, length, or_more):
                self.silence(fault, mark, micros(length), or_more, breach, own)

    def count(
        self,
        pattern: Pattern,
        rule: Rule,
        bound: int,
        place: int,
        own: _Own,
        counting: Counting,
        *,
        at_end: bool = False,
    ) -> Count:
        counter = self.counter(rule.path, bound)
        own.counters.append(counter)
        compared = None
        if counting.by_anyone and not at_end:
            compared = self.counter(f"{rule.path} as last compared", bound)
            own.counters.append(compared)
        own.rows.append(Row(rule, Gauge.COUNTER, counter if compared is None else compared))
        roll = self.roll(rule.path, counting)
        own.rolls += [] if roll is None else [roll]
        row = Count(pattern, place, counter, once=roll, anyone=counting.by_anyone, compared=compared)
        self.counts.append(row)
        return row

    def strike(self, count: Count, breach: Breach, allowed: int) -> None:
        figure = count.counter if count.compared is None else count.compared
        self.strikes.append(
            Strike(count.pattern, count.place, breach, count.counter, allowed, once=count.once, figure=figure)
        )

    def silence(self, rule: Rule, mark: str, length: int, strict: bool, breach: Breach, own: _Own) -> None:
        clock = self.clock(rule.path)
        self.read(clock, length)
        number = len(self.silences)
        self.silences.append(SilenceRow(rule, breach.place, clock, self.flag(f"{rule.path} can act")))
        own.silences.append(number)
        own.rows.append(Row(rule, Gauge.SILENCE, number))
        self.hushes.append(Hush(mark, breach.place, number))
        phase = Phase.STRICT if strict else Phase.LAST
        self.dues.append(Due(Deed.SILENCE, breach.place, LIVE, clock, length, phase, breach, silence=number))

    def watch(self, mark: str) -> Watch:
        return Watch(
            tuple(row for row in self.counts if row.pattern.mark == mark),
            tuple(row for row in self.hushes if row.mark == mark),
            tuple(row for row in self.strikes if row.pattern.mark == mark),
            tuple(sorted((row for row in self.uses if row.pattern.mark == mark), key=lambda row: row.place)),
        )


def _blank(index: int) -> Place:
    """Holds a clause's number while its inner clauses are laid out."""
    nothing = Waiting()
    return Place(
        index, index, "", Kind.STEP, -1, None, (), 0, 0, None, None, None, None, 0, (), (), nothing, (), (), (), ()
    )  # fmt: skip
