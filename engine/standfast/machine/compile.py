"""Model to machine: every clause a place, every rule its clocks, counters and transitions.

Nothing is decided here that the rules of meaning do not say; the compiler only lays out which registers a rule
needs and which transitions read them.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator

from standfast.machine.bench import Bench, Own, micros
from standfast.machine.parts import (
    FAULTS,
    LIMITS,
    LIVE,
    BestRow,
    Count,
    Deed,
    Due,
    EventRow,
    Gauge,
    GradeRow,
    Keeping,
    Location,
    Machine,
    Phase,
    Place,
    RateRow,
    ReadingRow,
    RestRow,
    RoundsRow,
    Row,
    TotalRow,
    Use,
    ValueRow,
    Waiting,
    Watch,
)
from standfast.model.rules import (
    For,
    Pattern,
    Rest,
    Until,
    UntilTotals,
)
from standfast.model.standard import Best, Clause, Event, Kind, Standard
from standfast.values import define, evolve, field

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import TypeVar

    T = TypeVar("T")


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
        tuple(shop.readings),
        tuple(shop.sums),
        tuple(shop.kept),
        tuple(shop.flags),
        tuple(shop.rolls),
        tuple(shop.silences),
        shop.watches(),
        tuple(shop.dues),
        tuple(shop.dues_when()),
        shop.round_marks(),
        tuple(shop.grades),
        tuple(_point_bounds(shop)),
    )


@define
class _Workshop(Bench):
    grades: list[GradeRow] = field(factory=list)
    of_always: frozenset[int] = frozenset()
    flags_of_faults: frozenset[int] = frozenset()

    # --- places ----------------------------------------------------------------------------------------

    def test_places(self) -> None:
        always = self.standard.always
        for index, name, rules in (
            (LIMITS, "always (limits)", always.limits),
            (FAULTS, "always (faults)", always.faults),
        ):
            own = Own(self.clock(name))
            self.rules(rules, index, own)
            if index == LIMITS:
                self.grades += (self.grade(grade, index, own) for grade in self.standard.grades)
            self.of_always = frozenset(range(len(self.kept)))
            self.places.append(
                Place(
                    index, index + 1, name, Kind.STEP, -1, None, (), 0, index, None, None, None, None, own.clock,
                    *own.registers(Waiting()),
                )
            )  # fmt: skip
        struck = [strike.breach for strike in self.strikes if strike.place == FAULTS]
        struck += [due.breach for due in self.dues if due.place == FAULTS and due.breach is not None]
        self.flags_of_faults = frozenset(breach.kept for breach in struck)

    def event(self, number: int, event: Event) -> None:
        first_counter, first_flag = len(self.counters), len(self.flags)
        failing = self.flag(f"{event.label} holds a failure")
        root = self.clause(number, event.clause, None, event.rest_between, event.best)
        fresh = tuple(range(first_counter, len(self.counters)))
        charged = self.counter(f"{event.label} attempts charged", event.attempts or 0)
        flags = (*sorted(self.flags_of_faults), *range(first_flag, len(self.flags)))
        self.events.append(
            EventRow(
                root,
                event.attempts,
                charged,
                event.carry_on,
                failing,
                fresh,
                flags,
                self.best(root, event),
            )
        )

    def best(self, root: int, event: Event) -> BestRow | None:
        if event.best is None:
            return None
        register = self.places[root].keepings[-1].register
        inside = (keeping.register for place in self.places[root:] for keeping in place.keepings)
        kept = tuple(register for register in inside if register in self.of_always)
        scored = any(each.score is not None for each in event.clause.walk())
        return BestRow(register, event.best.least, kept, bool(kept) or scored)

    def clause(
        self, event: int, clause: Clause, parent: int | None, between: Rest | None, best: Best | None = None
    ) -> int:
        index = len(self.places)
        self.places.append(_blank(index))
        own = Own(self.clock(clause.path))
        around = None if parent is None else self.rounds_around[parent]
        self.rounds_around[index] = index if clause.rounds is not None else around
        own.rounds = self.rounds(clause, own)
        rest = self.rest(between or clause.rest, index, parent, clause.start is not None)
        waiting = self.start(clause, index)
        self.rules((*clause.limits, *clause.faults), index, own)
        if clause.score is not None:
            self.scale(clause.score, index, own)
        for part, kept in self.wanted:
            if part.path == clause.path:
                own.keepings.append(Keeping(self.reading(part.kind, part.mark, index, own), kept))
        if best is not None:
            self.kept.append(best.path)
            own.keepings.append(Keeping(self.unheld(best.figure, index, own), len(self.kept) - 1))
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

    def rounds(self, clause: Clause, own: Own) -> RoundsRow | None:
        """The counters of the rounds; what `out` needs of them is noted as the faults are laid out."""
        if clause.rounds is None:
            return None
        first = len(self.counters)
        for name, bound in (
            ("open round", len(clause.rounds.rounds)),
            ("tries missed at it", clause.rounds.tries),
            ("misses in a row", 0),
            ("longest row of misses", 0),
            ("misses in all", 0),
            ("rounds made", 0),
            ("rounds missed", 0),
            ("furthest round made", 0),
        ):
            own.counters.append(self.counter(f"{clause.path}: {name}", bound))
        return RoundsRow(
            names=tuple(each.words for each in clause.rounds.rounds),
            tries=clause.rounds.tries,
            unmarked=clause.rounds.unmarked,
            open=first,
            tried=first + 1,
            row=first + 2,
            longest=first + 3,
            misses=first + 4,
            made=first + 5,
            missed=first + 6,
            furthest=first + 7,
            goal_roll=None,
            outs=(),
        )

    def round_marks(self) -> dict[str, int]:
        place = {place.path: place.index for place in self.places}
        return {mark: place[clause.path] for mark, clause in self.standard.round_marks().items()}

    def goal(self, clause: Clause, place: int, own: Own) -> int | None:
        match clause.goal:
            case Until() as goal:
                register = self.counter(goal.path, goal.number)
                own.counters.append(register)
                roll = self.roll(goal.path, goal.counting)
                own.rolls += [] if roll is None else [roll]
                own.rounds = None if own.rounds is None else evolve(own.rounds, goal_roll=roll)
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

    def dues_when(self) -> Iterator[tuple[Due, ...]]:
        """With no event open only those of the test and of events that wait; with one open its own as well."""
        roots = {event.place for event in self.events}
        of_any: dict[int, Due] = {}
        of_event: list[dict[int, Due]] = [{} for _ in self.events]
        for number, due in enumerate(self.dues):
            event = self.places[due.place].event
            if event < 0 or (due.place in roots and not due.locations <= LIVE):
                of_any[number] = due
            else:
                of_event[event][number] = due
        for own in ({}, *of_event):
            yield tuple(due for _, due in sorted({**of_any, **own}.items()))

    def watches(self) -> dict[str, Watch]:
        """For each mark what hears it, and the places with a register for its values or its rate."""
        counts = _by(lambda row: row.pattern.mark, self.counts)
        strikes = _by(lambda row: row.pattern.mark, self.strikes)
        uses = _by(lambda row: row.pattern.mark, self.uses)
        hushes = _by(lambda row: row.mark, self.hushes)
        bars = _by(lambda row: row.mark, self.bars)
        rows: list[TotalRow | ValueRow | RateRow | ReadingRow]
        rows = [*self.totals, *self.values, *self.rates, *self.readings]
        noting = _by(lambda row: row.mark, rows)
        return {
            mark.name: Watch(
                tuple(counts[mark.name]),
                tuple(hushes[mark.name]),
                tuple(strikes[mark.name]),
                tuple(bars[mark.name]),
                tuple(sorted(uses[mark.name], key=lambda row: row.place)),
                tuple(sorted({row.place for row in noting[mark.name]})),
            )
            for mark in self.standard.marks
        }


def _by(key: "Callable[[T], str | None]", rows: "Iterable[T]") -> "defaultdict[str | None, list[T]]":
    found: defaultdict[str | None, list[T]] = defaultdict(list)
    for row in rows:
        found[key(row)].append(row)
    return found


def _point_bounds(shop: _Workshop) -> Iterator[int]:
    """For each place the greatest number that its points, or those of a clause around it, are compared with."""
    compared: dict[int, int] = {}
    limits = [judged for grade in shop.grades for judged in grade.limits]
    for judged in (*limits, *(judged for place in shop.places for judged in place.judged)):
        bound = int((judged.test.second or judged.test.first).base)
        dials = shop.sums[judged.register] if judged.gauge is Gauge.SUM else ((judged.gauge, judged.register),)
        for gauge, register in dials:
            if gauge is Gauge.KEPT:
                kept = ((p.index, k) for p in shop.places for k in p.keepings if k.register == register)
                gauge, register = next(((k.dial[0], index) for index, k in kept), (gauge, register))
            if gauge is Gauge.POINTS:
                compared[register] = max(bound, compared.get(register, -1))
    for place in shop.places:
        around: int | None = place.index
        bounds = [compared.get(LIMITS, -1)]
        while around is not None:
            bounds.append(compared.get(around, -1))
            around = shop.places[around].parent
        yield max(bounds)


def _blank(index: int) -> Place:
    """Holds a clause's number while its inner clauses are laid out."""
    blank = Own(0).registers(Waiting())
    return Place(index, index, "", Kind.STEP, -1, None, (), 0, 0, None, None, None, None, 0, *blank)
