"""The registers of a machine that is being laid out, and what each limit and fault needs of them."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from standfast.machine.bounds import before_rounding, least_of, most_of
from standfast.machine.parts import (
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
    GradeRow,
    Hush,
    Judged,
    Keep,
    Keeping,
    MissedOut,
    NotBefore,
    Phase,
    Place,
    RateRow,
    ReadingRow,
    RoundsRow,
    Row,
    Rung,
    Scale,
    SilenceRow,
    Strike,
    TotalRow,
    Use,
    ValueRow,
    Waiting,
)
from standfast.model.rules import (
    OF_ROUNDS,
    Counting,
    Effect,
    Fault,
    Figure,
    FigureKind,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    Part,
    Pattern,
    RestBound,
    Rule,
    Score,
    Silence,
    Test,
)
from standfast.model.standard import Grade, Standard
from standfast.quantity import Comparison, Dimension, Quantity
from standfast.values import define, evolve, field


def micros(length: Quantity) -> int:
    """A time in whole microseconds; resolving has refused any other."""
    assert length.base.denominator == 1
    return int(length.base)


@define
class Own:
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
    readings: list[int] = field(factory=list)
    keepings: list[Keeping] = field(factory=list)
    not_before: list[NotBefore] = field(factory=list)
    rows: list[Row] = field(factory=list)
    outs: list[MissedOut] = field(factory=list)
    rounds: RoundsRow | None = None
    scale: Scale | None = None

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
            tuple(self.readings),
            tuple(self.keepings),
            tuple(sorted(self.rows, key=lambda row: row.rule.order)),
            self.scale,
            None if self.rounds is None else evolve(self.rounds, outs=tuple(self.outs)),
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
    tuple[int, ...],
    tuple[Keeping, ...],
    tuple[Row, ...],
    Scale | None,
    RoundsRow | None,
]


@define
class Bench:
    standard: Standard
    places: list[Place] = field(factory=list)
    events: list[EventRow] = field(factory=list)
    clocks: list[Clock] = field(factory=list)
    counters: list[Counter] = field(factory=list)
    totals: list[TotalRow] = field(factory=list)
    values: list[ValueRow] = field(factory=list)
    rates: list[RateRow] = field(factory=list)
    readings: list[ReadingRow] = field(factory=list)
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
    rounds_around: dict[int, int | None] = field(factory=dict)

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

    def bounded(self, counter: int, number: int) -> None:
        """Note that the counter is compared with `number`."""
        row = self.counters[counter]
        self.counters[counter] = evolve(row, bound=max(row.bound, number))

    def flag(self, name: str) -> int:
        self.flags.append(name)
        return len(self.flags) - 1

    def roll(self, name: str, counting: Counting) -> int | None:
        """The roll of graders of a count; None for one that takes every entry."""
        if not counting.once_a_grader:
            return None
        self.rolls.append(name)
        return len(self.rolls) - 1

    # --- rules -----------------------------------------------------------------------------------------

    def breach(self, rule: Limit | Fault | RestBound | Score, place: int, *, between: bool = False) -> Breach:
        kept = self.flag(f"{rule.path} is kept as a failure")
        rounds = self.rounds_around.get(place)
        if isinstance(rule, Score):
            return Breach(rule, Effect.FAIL, place, kept, rounds=rounds)
        if isinstance(rule, Limit):
            effect = Effect.MISS if rule.misses else Effect.FAIL
            return Breach(rule, effect, place, kept, ends_test=place == LIMITS, rounds=rounds)
        restarts = None
        if rule.effect is Effect.RESTART:
            restarts = self.counter(f"{rule.path} restarts", rule.at_most or 0)
        return Breach(
            rule,
            rule.effect,
            place,
            kept,
            rule.at_once,
            restarts,
            rule.at_most,
            rule.charged,
            between=between,
            rounds=rounds,
        )

    def rules(self, rules: Iterable[Limit | Fault], place: int, own: Own) -> None:
        for rule in rules:
            breach = self.breach(rule, place)
            if isinstance(rule, Limit):
                self.limit(rule, breach, own)
            else:
                self.fault(rule, breach, own)
            self.restarts_row(breach, own)

    def restarts_row(self, breach: Breach | None, own: Own) -> None:
        if breach is not None and breach.restarts is not None and breach.at_most is not None:
            own.rows.append(Row(breach.rule, Gauge.RESTARTS, breach.restarts))

    def limit(self, limit: Limit, breach: Breach, own: Own) -> None:
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

    def time_limit(self, limit: Limit, breach: Breach, own: Own) -> None:
        own.rows.append(Row(limit, Gauge.CLOCK, own.clock))
        least, most = least_of(limit.test), most_of(limit.test)
        if most is not None:
            strict = limit.test.comparison is Comparison.UNDER
            after = self.read(own.clock, most + strict)
            phase = Phase.STRICT if strict else Phase.LAST
            self.dues.append(
                Due(Deed.BREAK, breach.place, LIVE, own.clock, after, phase, breach, spent=breach.kept)
            )
        if least is not None:
            own.not_before.append(NotBefore(breach, own.clock, self.read(own.clock, least)))

    def count_limit(self, limit: Limit, breach: Breach, own: Own) -> None:
        assert limit.figure.mark is not None
        pattern, place, counting = Pattern(limit.figure.mark), breach.place, limit.figure.counting
        least, most = least_of(limit.test), most_of(limit.test)
        bound = max(least or 0, most or 0)
        count = self.count(pattern, limit, bound, place, own, counting, at_end=least is not None)
        if most is not None:
            self.strike(count, breach, most)
        if least is not None:
            own.at_least.append(AtLeast(breach, count.counter, least))

    def value_limit(self, limit: Limit, breach: Breach, own: Own) -> None:
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

    def dial(self, figure: Figure, place: int, own: Own, tests: Sequence[Test]) -> Dial:
        """A register of the figure that is exact enough for all these tests when the place completes."""
        amounts = [amount for test in tests for amount in (test.first, test.second) if amount is not None]
        match figure.kind:
            case FigureKind.TIME:
                for length in amounts:
                    self.read(own.clock, int(length.base) + 1)
                return Gauge.CLOCK, own.clock
            case FigureKind.COUNT:
                assert figure.mark is not None
                counter = self.counter(
                    f"count of {figure.mark} in place {place}", int(max(a.base for a in amounts))
                )
                own.counters.append(counter)
                self.counts.append(Count(Pattern(figure.mark), place, counter))
                return Gauge.COUNTER, counter
            case FigureKind.SUM:
                return Gauge.SUM, self.sum(figure, place, own)
            case _:
                greatest = max(tests, key=lambda test: (test.second or test.first).base)
                return self.reading(figure.kind, figure.mark, place, own, greatest)

    def scale(self, score: Score, place: int, own: Own) -> None:
        dials: dict[Figure, Dial] = {}
        tried = [(row, before_rounding(row.test, score.rounding)) for row in score.rows]
        for figure in dict.fromkeys(score.figures):
            tests = [test for row, test in tried if row.figure == figure]
            dials[figure] = self.dial(figure, place, own, tests)
        rungs = tuple(Rung(row, test, *dials[row.figure]) for row, test in tried)
        own.scale = Scale(score, rungs, self.breach(score, place))

    def grade(self, grade: Grade, place: int, own: Own) -> GradeRow:
        limits = []
        for limit in grade.limits:
            dial = self.dial(limit.figure, place, own, [limit.test])
            limits.append(Judged(self.breach(limit, place), *dial))
        return GradeRow(grade, tuple(limits), tuple(Row(j.breach.rule, j.gauge, j.register) for j in limits))

    def unheld(self, figure: Figure, place: int, own: Own) -> Dial:
        """A register of a figure that no test is held against."""
        if figure.kind is FigureKind.SUM:
            return Gauge.SUM, self.sum(figure, place, own)
        return self.reading(figure.kind, figure.mark, place, own)

    def sum(self, figure: Figure, place: int, own: Own) -> int:
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

    def most_added(self) -> int:
        """The greatest number that counts added up are compared with."""
        limits = [rule for rule in self.standard.rules() if isinstance(rule, Limit) and rule.figure.parts]
        scores = [score for _, score in self.standard.scores()]
        rows = [(row, score.rounding) for score in scores for row in score.rows if row.figure.parts]
        every = [*(limit.test for limit in limits), *(before_rounding(row.test, by) for row, by in rows)]
        tests = [test for test in every if test.first.dimension is Dimension.COUNT]
        return max((int((test.second or test.first).base) for test in tests), default=0)

    def reading(self, kind: FigureKind, mark: str | None, place: int, own: Own, test: Test | None = None) -> Dial:
        """A register of the figure in the place."""
        if kind is FigureKind.TIME:
            return Gauge.CLOCK, own.clock
        if kind is FigureKind.POINTS:
            return Gauge.POINTS, place
        if kind in OF_ROUNDS:
            assert own.rounds is not None
            return Gauge.ROUNDS, own.rounds.counter_of(kind)
        assert mark is not None
        name = f"{kind.value} of {mark} in place {place}"
        if kind in (FigureKind.COUNT, FigureKind.RATE):
            counter = self.counter(name, max(2, self.most_added()))
            own.counters.append(counter)
            self.counts.append(Count(Pattern(mark), place, counter))
            if kind is FigureKind.COUNT:
                return Gauge.COUNTER, counter
            rate = RateRow(mark, place, counter, self.clock(f"{name}: first"), self.clock(f"{name}: last"))
            self.rates.append(rate)
            own.rates.append(len(self.rates) - 1)
            return Gauge.RATE, len(self.rates) - 1
        if kind is FigureKind.READING:
            declared = self.standard.mark(mark)
            assert declared is not None and declared.readings is not None
            self.readings.append(ReadingRow(mark, place, declared.readings))
            own.readings.append(len(self.readings) - 1)
            return Gauge.READING, len(self.readings) - 1
        if kind is FigureKind.TOTAL:
            bound = Fraction(0) if test is None else (test.second or test.first).base
            self.totals.append(TotalRow(name, place, mark, bound))
            own.totals.append(len(self.totals) - 1)
            return Gauge.TOTAL, len(self.totals) - 1
        self.values.append(ValueRow(mark, place, _KEEPS[kind], test if kind is FigureKind.EACH else None))
        own.values.append(len(self.values) - 1)
        return Gauge.VALUE, len(self.values) - 1

    def fault(self, fault: Fault, breach: Breach, own: Own) -> None:
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
            case Misses(number, in_a_row):
                assert own.rounds is not None
                counter = own.rounds.row if in_a_row else own.rounds.misses
                self.bounded(counter, number)
                own.outs.append(MissedOut(breach, counter, number))
                own.rows.append(Row(fault, Gauge.MISSES, own.rounds.longest if in_a_row else counter))
            case Silence(mark, length, or_more):
                self.silence(fault, mark, micros(length), or_more, breach, own)

    def count(
        self,
        pattern: Pattern,
        rule: Rule,
        bound: int,
        place: int,
        own: Own,
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

    def silence(self, rule: Rule, mark: str, length: int, strict: bool, breach: Breach, own: Own) -> None:
        clock = self.clock(rule.path)
        self.read(clock, length)
        number = len(self.silences)
        self.silences.append(SilenceRow(rule, breach.place, clock, self.flag(f"{rule.path} can act")))
        own.silences.append(number)
        own.rows.append(Row(rule, Gauge.SILENCE, number))
        self.hushes.append(Hush(mark, breach.place, number))
        phase = Phase.STRICT if strict else Phase.LAST
        self.dues.append(Due(Deed.SILENCE, breach.place, LIVE, clock, length, phase, breach, silence=number))


_KEEPS = {
    FigureKind.LARGEST: Keep.LARGEST,
    FigureKind.SMALLEST: Keep.SMALLEST,
    FigureKind.LAST: Keep.LAST,
    FigureKind.EACH: Keep.NEAREST,
}
