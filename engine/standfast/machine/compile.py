"""Model to machine: every clause a place, every rule its clocks, counters and transitions.

Nothing is decided here that the rules of meaning do not say; the compiler only lays out which registers a rule
needs and which transitions read them.
"""

from collections.abc import Iterable
from fractions import Fraction

from attrs import define, evolve, field

from standfast.machine.parts import (
    FAULTS,
    LIMITS,
    LIVE,
    AtLeast,
    Bar,
    Breach,
    Clock,
    Count,
    Counter,
    Deed,
    Dial,
    Due,
    EventRow,
    Gauge,
    Hush,
    Judged,
    Keep,
    Keeping,
    Location,
    Machine,
    NotBefore,
    Phase,
    Place,
    RateRow,
    RestRow,
    Row,
    SilenceRow,
    Strike,
    TotalRow,
    Use,
    ValueRow,
    Waiting,
    Watch,
)
from standfast.model.rules import (
    Counting,
    Effect,
    Fault,
    Figure,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Part,
    Pattern,
    Rest,
    RestBound,
    Rule,
    Silence,
    Test,
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
        tuple(shop.values),
        tuple(shop.rates),
        tuple(shop.sums),
        tuple(shop.kept),
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
    judged: list[Judged] = field(factory=list)
    totals: list[int] = field(factory=list)
    values: list[int] = field(factory=list)
    rates: list[int] = field(factory=list)
    keepings: list[Keeping] = field(factory=list)
    not_before: list[NotBefore] = field(factory=list)
    rows: list[Row] = field(factory=list)

    def registers(self, waiting: Waiting) -> "_Registers":
        """As the last parts of a place."""
        return (
            tuple(self.counters),
            tuple(self.rolls),
            waiting,
            tuple(self.silences),
            tuple(self.at_least),
            tuple(self.judged),
            tuple(self.not_before),
            tuple(self.totals),
            tuple(self.values),
            tuple(self.rates),
            tuple(self.keepings),
            tuple(sorted(self.rows, key=lambda row: row.rule.order)),
        )


_Registers = tuple[
    tuple[int, ...],
    tuple[int, ...],
    Waiting,
    tuple[int, ...],
    tuple[AtLeast, ...],
    tuple[Judged, ...],
    tuple[NotBefore, ...],
    tuple[int, ...],
    tuple[int, ...],
    tuple[int, ...],
    tuple[Keeping, ...],
    tuple[Row, ...],
]


@define
class _Workshop:
    standard: Standard
    places: list[Place] = field(factory=list)
    events: list[EventRow] = field(factory=list)
    clocks: list[Clock] = field(factory=list)
    counters: list[Counter] = field(factory=list)
    totals: list[TotalRow] = field(factory=list)
    values: list[ValueRow] = field(factory=list)
    rates: list[RateRow] = field(factory=list)
    sums: list[tuple[Dial, ...]] = field(factory=list)
    kept: list[str] = field(factory=list)
    wanted: list[tuple[Part, int]] = field(factory=list)
    flags: list[str] = field(factory=list)
    rolls: list[str] = field(factory=list)
    silences: list[SilenceRow] = field(factory=list)
    counts: list[Count] = field(factory=list)
    hushes: list[Hush] = field(factory=list)
    strikes: list[Strike] = field(factory=list)
    bars: list[Bar] = field(factory=list)
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
                    *own.registers(Waiting()),
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
        for part, kept in self.wanted:
            if part.path == clause.path:
                own.keepings.append(Keeping(self.reading(part.kind, part.mark, index, own), kept))
        register = self.goal(clause, index, own)
        children = tuple(self.clause(event, item, index, None) for item in clause.items)
        for child in children:
            rest_row = self.places[child].rest
            for breach in () if rest_row is None else (rest_row.least, rest_row.greatest):
                self.restarts_row(breach, own)
        self.places[index] = Place(
            index, len(self.places), clause.path, clause.kind, event, parent, children, clause.depth, clause.order,
            clause.start, clause.goal, register, rest, own.clock, *own.registers(waiting),
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
                self.totals.append(TotalRow(goal.path, place, None, goal.amount.base))
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
        match limit.figure.kind:
            case FigureKind.TIME:
                self.time_limit(limit, breach, own)
            case FigureKind.COUNT:
                self.count_limit(limit, breach, own)
            case FigureKind.SILENCE:
                assert limit.figure.mark is not None
                strict = limit.test.comparison is Comparison.UNDER
                self.silence(limit, limit.figure.mark, micros(limit.test.first), strict, breach, own)
            case _:
                self.value_limit(limit, breach, own)

    def time_limit(self, limit: Limit, breach: Breach, own: _Own) -> None:
        own.rows.append(Row(limit, Gauge.CLOCK, own.clock))
        least, most = _least(limit.test), _most(limit.test)
        if most is not None:
            strict = limit.test.comparison is Comparison.UNDER
            after = self.read(own.clock, most + strict)
            phase = Phase.STRICT if strict else Phase.LAST
            self.dues.append(
                Due(Deed.BREAK, breach.place, LIVE, own.clock, after, phase, breach, spent=breach.kept)
            )
        if least is not None:
            own.not_before.append(NotBefore(breach, own.clock, self.read(own.clock, least)))

    def count_limit(self, limit: Limit, breach: Breach, own: _Own) -> None:
        assert limit.figure.mark is not None
        pattern, place, counting = Pattern(limit.figure.mark), breach.place, limit.figure.counting
        least, most = _least(limit.test), _most(limit.test)
        bound = max(least or 0, most or 0)
        count = self.count(pattern, limit, bound, place, own, counting, at_end=most is None)
        if most is not None:
            self.strike(count, breach, most)
        if least is not None:
            own.at_least.append(AtLeast(breach, count.counter, least))

    def value_limit(self, limit: Limit, breach: Breach, own: _Own) -> None:
        """Limits on values, a rate or a sum: at once where nothing can mend them, else at completion."""
        figure = limit.figure
        if figure.kind is FigureKind.SUM:
            gauge, register = Gauge.SUM, self.sum(figure, breach.place, own)
        else:
            gauge, register = self.reading(figure.kind, figure.mark, breach.place, own, limit.test)
        own.rows.append(Row(limit, gauge, register))
        if limit.acts_at_once:
            assert figure.mark is not None
            each = figure.kind is FigureKind.EACH
            self.bars.append(Bar(figure.mark, breach.place, breach, None if each else gauge, register))
        if limit.judged_late:
            own.judged.append(Judged(breach, gauge, register))

    def sum(self, figure: Figure, place: int, own: _Own) -> int:
        dials: list[Dial] = []
        for part in figure.parts:
            if part.path is None:
                dials.append(self.reading(part.kind, part.mark, place, own))
            else:
                self.kept.append(f"{part.kind.value} {part.mark or ''} in {part.path}")
                self.wanted.append((part, len(self.kept) - 1))
                dials.append((Gauge.KEPT, len(self.kept) - 1))
        self.sums.append(tuple(dials))
        return len(self.sums) - 1

    def reading(self, kind: FigureKind, mark: str | None, place: int, own: _Own, test: Test | None = None) -> Dial:
        """A register of the figure in the place."""
        if kind is FigureKind.TIME:
            return Gauge.CLOCK, own.clock
        assert mark is not None
        name = f"{kind.value} of {mark} in place {place}"
        if kind in (FigureKind.COUNT, FigureKind.RATE):
            counter = self.counter(name, 2)
            own.counters.append(counter)
            self.counts.append(Count(Pattern(mark), place, counter))
            if kind is FigureKind.COUNT:
                return Gauge.COUNTER, counter
            rate = RateRow(mark, place, counter, self.clock(f"{name}: first"), self.clock(f"{name}: last"))
            self.rates.append(rate)
            own.rates.append(len(self.rates) - 1)
            return Gauge.RATE, len(self.rates) - 1
        if kind is FigureKind.TOTAL:
            bound = Fraction(0) if test is None else (test.second or test.first).base
            self.totals.append(TotalRow(name, place, mark, bound))
            own.totals.append(len(self.totals) - 1)
            return Gauge.TOTAL, len(self.totals) - 1
        self.values.append(ValueRow(mark, place, _KEEPS[kind], test if kind is FigureKind.EACH else None))
        own.values.append(len(self.values) - 1)
        return Gauge.VALUE, len(self.values) - 1

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

    def noting(self, mark: str) -> tuple[int, ...]:
        """The places with a register for the mark's values or its rate."""
        rows: list[TotalRow | ValueRow | RateRow] = [*self.totals, *self.values, *self.rates]
        return tuple(sorted({row.place for row in rows if row.mark == mark}))

    def watch(self, mark: str) -> Watch:
        return Watch(
            tuple(row for row in self.counts if row.pattern.mark == mark),
            tuple(row for row in self.hushes if row.mark == mark),
            tuple(row for row in self.strikes if row.pattern.mark == mark),
            tuple(row for row in self.bars if row.mark == mark),
            tuple(sorted((row for row in self.uses if row.pattern.mark == mark), key=lambda row: row.place)),
            self.noting(mark),
        )


_KEEPS = {
    FigureKind.LARGEST: Keep.LARGEST,
    FigureKind.SMALLEST: Keep.SMALLEST,
    FigureKind.LAST: Keep.LAST,
    FigureKind.EACH: Keep.NEAREST,
}


def _least(test: Test) -> int | None:
    """The least whole number that passes, None if any small one does; times in microseconds."""
    match test.comparison:
        case Comparison.AT_LEAST | Comparison.EXACTLY | Comparison.FROM_TO:
            return int(test.first.base)
        case Comparison.OVER:
            return int(test.first.base) + 1
        case Comparison.AT_MOST | Comparison.UNDER:
            return None


def _most(test: Test) -> int | None:
    """The greatest whole number that passes, None if any great one does."""
    match test.comparison:
        case Comparison.AT_MOST | Comparison.EXACTLY:
            return int(test.first.base)
        case Comparison.UNDER:
            return int(test.first.base) - 1
        case Comparison.FROM_TO:
            assert test.second is not None
            return int(test.second.base)
        case Comparison.AT_LEAST | Comparison.OVER:
            return None


def _blank(index: int) -> Place:
    """Holds a clause's number while its inner clauses are laid out."""
    blank = _Own(0).registers(Waiting())
    return Place(index, index, "", Kind.STEP, -1, None, (), 0, 0, None, None, None, None, 0, *blank)
