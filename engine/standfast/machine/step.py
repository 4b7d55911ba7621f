"""One step of a machine: time up to an instant, an entry, or the end. Pure: a state in, a state and signals out.

Rules 1, 3, 4, 5, 7, 8, 10 and 12. The only questions to time are `younger` (a clock against a constant) and,
between entries, which `Due` comes next; everything else is locations, counters and flags.
"""

from collections.abc import Iterable
from fractions import Fraction

from standfast.log.entry import Entry
from standfast.machine.course import Course
from standfast.machine.parts import (
    FAULTS,
    LIVE,
    Bar,
    Count,
    Deed,
    Due,
    Keep,
    Location,
    Machine,
    Phase,
    Place,
    Strike,
    Use,
    ValueRow,
)
from standfast.machine.registers import Registers, Struck
from standfast.machine.rounds import rounds_of
from standfast.machine.state import Signal, State
from standfast.model.rules import Effect, Pattern, Until, UntilTotals
from standfast.quantity import Quantity
from standfast.values import define

Step = tuple[State, tuple[Signal, ...]]

_NO_ROLLS = frozenset[int]()


def initial(machine: Machine) -> Step:
    """The position at the session's zero; an event alone without a start mark opens here."""
    state = State(
        now=0,
        locations=(Location.ASLEEP,) * len(machine.places),
        counters=(0,) * len(machine.counters),
        totals=(Fraction(0),) * len(machine.totals),
        values=(None,) * len(machine.values),
        kept=(None,) * len(machine.kept),
        readings=((),) * len(machine.readings),
        bests=((),) * len(machine.events),
        flags=(False,) * len(machine.flags),
        clocks=(None,) * len(machine.clocks),
        longest=(0,) * len(machine.silences),
        standings=(None,) * len(machine.events),
        open=None,
        decided=None,
        rolls=((),) * len(machine.rolls),
        points=(0,) * len(machine.places),
    )
    work = Work.of(machine, state)
    work.next_event()
    return work.frozen()


def enter(machine: Machine, state: State, entry: Entry) -> Step:
    """All that falls due before the entry, then the entry; it must not lie before `state.now`."""
    work = Work.of(machine, state)
    work.pass_time(entry.at)
    work.take(entry)
    return work.frozen()


def overhear(machine: Machine, state: State, entry: Entry) -> Step:
    """The same with another candidate's entry, of which it is known that time passes to it or beyond (rule 38)."""
    work = Work.of(machine, state)
    work.pass_time(entry.at)
    work.overhear(entry)
    return work.frozen()


def end(machine: Machine, state: State, at: int) -> Step:
    """The end of a log at an instant: all before it, and what completes or strictly expires at it."""
    work = Work.of(machine, state)
    work.pass_time(at)
    work.end_bests()
    return work.frozen()


def run(machine: Machine, entries: Iterable[tuple[Entry, bool]], until: int | None) -> Step:
    """A whole log, told together: `initial`, then `enter` for each entry or, where it is another candidate's
    (False), `overhear`, then `end` if the log has one.
    """
    state, signals = initial(machine)
    work = Work.of(machine, state)
    work.signals += signals
    for entry, own in entries:
        work.pass_time(entry.at)
        if own:
            work.take(entry)
        else:
            work.overhear(entry)
    if until is not None:
        work.pass_time(until)
        work.end_bests()
    return work.frozen()


@define
class Work(Course):
    # --- time ------------------------------------------------------------------------------------------

    def pass_time(self, until: int) -> None:
        """Everything due before the instant, and at it what comes before entries (rule 1)."""
        self.entry = None
        while (due := self.next_due(until)) is not None:
            at, transition = due
            self.now = at
            self.fire(transition)
        self.now = until

    def next_due(self, until: int) -> tuple[int, Due] | None:
        best: tuple[tuple[int, int, int, int, int], Due] | None = None
        for due in self.live_dues():
            since = self.clocks[due.clock]
            assert since is not None
            at = since + due.after
            if at > until or (at == until and due.phase is Phase.LAST):
                continue
            key = (at, due.phase, *self.rank(due))
            if best is None or key < best[0]:
                best = (key, due)
        return None if best is None else (best[0][0], best[1])

    def live_dues(self) -> Iterable[Due]:
        """The transitions that time alone could bring about from here."""
        if self.decided is not None:
            return
        for due in self.machine.dues_when[0 if self.open is None else self.open + 1]:
            if (
                self.locations[due.place] in due.locations
                and self.clocks[due.clock] is not None
                and not (due.spent is not None and self.flags[due.spent])
                and not (due.silence is not None and not self.flags[self.machine.silences[due.silence].armed])
            ):
                yield due

    def rank(self, due: Due) -> tuple[int, int, int]:
        """The order among dues of one instant and phase: gravest, deepest, first written."""
        place = self.machine.places[due.place]
        if due.deed is Deed.TOO_FEW:
            unmet = next(self.unmet(place), None)
            if unmet is not None:
                return self.breach_rank(unmet)
            return -Effect.FAIL.gravity, -place.depth, place.order  # exploring may answer that nothing is unmet
        if due.breach is not None:
            return self.breach_rank(due.breach)
        if due.deed is Deed.BEGIN and place.rest is not None and place.rest.least is not None:
            rule = place.rest.least.rule
            return 0, -rule.depth, rule.order
        return 0, -place.depth, place.order

    def fire(self, due: Due) -> None:
        place = self.machine.places[due.place]
        match due.deed:
            case Deed.COMPLETE:
                if next(self.unmet(place), None) is None:
                    self.complete(place)
                else:
                    self.locations[place.index] = Location.LATE
            case Deed.BEGIN:
                self.begin_from_wait(place)
            case Deed.BREAK:
                assert due.breach is not None
                self.act(due.breach, None)
            case Deed.SILENCE:
                assert due.breach is not None and due.silence is not None
                self.flags[self.machine.silences[due.silence].armed] = False
                if self.nothing_to_act_on(due.breach):
                    self.tell_unused(breach=due.breach)
                elif not self.flags[due.breach.kept]:
                    self.act(due.breach, None)
            case Deed.OVERSTAY:
                assert due.breach is not None and due.spent is not None
                self.flags[due.spent] = True
                if not self.flags[due.breach.kept]:
                    self.act(due.breach, None)
            case Deed.TOO_FEW:
                self.complete(place)

    # --- entries ---------------------------------------------------------------------------------------

    def take(self, entry: Entry) -> None:
        self.entry = entry
        if self.decided is not None:
            self.tell_unused(after_verdict=True)
            return
        if self.locations[FAULTS] is Location.ASLEEP:
            self.begin(self.machine.places[FAULTS])
        place = self.machine.round_marks.get(entry.mark)
        if place is None or not isinstance(entry.value, str) or self.locations[place] not in LIVE:
            self.show(entry, None)
        else:
            self.take_named(entry, self.machine.places[place], entry.value)
        self.complete_late()

    def take_named(self, entry: Entry, place: Place, name: str) -> None:
        """Rule 33: an entry that names a round of an open place: the open one, a later one or one closed."""
        rounds = rounds_of(place)
        number = rounds.names.index(name)
        if number > self.counters[rounds.open] and rounds.unmarked is not None and self.pass_over(place, number):
            return
        if number == self.counters[rounds.open]:
            self.show(entry, None)
            return
        struck: list[Struck] = []
        self.strike_stray(entry, struck, None)
        if not struck:
            self.tell_unused()
        self.act_on(struck)

    def show(self, entry: Entry, scope: frozenset[int] | None) -> None:
        """Rules 4 and 5 for an entry: in all places (None), or only in those that a `start with first` opened."""
        watch = self.machine.watches[entry.mark]
        used = False
        repeated = self.repeated(entry)
        for count in watch.counts:
            if count.once not in repeated and self.counts(count, entry, scope):
                self.count(count, entry)
                if count.compared is not None:
                    self.counters[count.compared] = self.counters[count.counter]
                used = True
        for hush in watch.hushes:
            if self.locations[hush.place] in LIVE and (scope is None or hush.place in scope):
                self.hush(hush.silence)
                used = True
        used = self.note_values(entry, scope) or used
        struck: list[Struck] = []
        for bar in watch.bars:
            if self.locations[bar.place] in LIVE and (scope is None or bar.place in scope):
                self.strike_bar(bar, entry, struck)
        for strike in watch.strikes:
            if (
                not strike.out_of_order
                and strike.once not in repeated
                and self.hears(strike)
                and (scope is None or strike.place in scope)
                and strike.pattern.fits(entry.mark, entry.value)
            ):
                used = True
                self.strike(strike, entry, struck)
        use = self.first_use([use for use in watch.uses if use.once not in repeated], entry, scope)
        if use is not None:
            self.strike_rest(self.machine.places[use.place], struck)
        elif not used and scope is None:
            self.strike_stray(entry, struck, scope)
            if not struck:
                self.tell_unused(unfit=self.names_another_value(entry))
                return
        if not self.act_on(struck) and use is not None:
            self.make_use(use, entry, [row for row in struck if row[0].between])

    def names_another_value(self, entry: Entry) -> bool:
        """Rule 8: whether something in play names the mark, and all that does with other values."""
        watch = self.machine.watches[entry.mark]
        patterns = [strike.pattern for strike in watch.strikes if self.hears(strike)]
        patterns += [count.pattern for count in watch.counts if self.counts(count, entry, None)]
        for use in watch.uses:
            if self.locations[use.place] is (Location.WAITING if use.begins else Location.OPEN):
                patterns.append(use.pattern)
        return bool(patterns) and not any(pattern.fits(entry.mark, entry.value) for pattern in patterns)

    def strike_stray(self, entry: Entry, struck: list[Struck], scope: frozenset[int] | None) -> None:
        """Rule 8: the faults on a mark that has no use."""
        for strike in self.machine.watches[entry.mark].strikes:
            if strike.out_of_order and self.sees(strike.place, strike.pattern, entry, scope):
                self.strike(strike, entry, struck)

    def hears(self, strike: Strike) -> bool:
        return is_heard(self.machine, self, strike)

    def sees(self, place: int, pattern: Pattern, entry: Entry, scope: frozenset[int] | None) -> bool:
        return (
            self.locations[place] in LIVE
            and (scope is None or place in scope)
            and pattern.fits(entry.mark, entry.value)
        )

    def repeated(self, entry: Entry) -> frozenset[int]:
        """Rule 38: the rolls that the entry's grader already stands on."""
        if not any(self.rolls):
            return _NO_ROLLS
        return frozenset(number for number, roll in enumerate(self.rolls) if entry.by in roll)

    def counts(self, count: Count, entry: Entry, scope: frozenset[int] | None) -> bool:
        if count.waits:
            waits = self.locations[count.place] is Location.WAITING and (scope is None or count.place in scope)
            return waits and count.pattern.fits(entry.mark, entry.value)
        return self.sees(count.place, count.pattern, entry, scope)

    def count(self, row: Count, entry: Entry) -> None:
        self.counters[row.counter] += 1
        self.enrol(row.once, entry)

    def enrol(self, roll: int | None, entry: Entry) -> None:
        if roll is not None:
            assert entry.by is not None
            self.rolls[roll] = (*self.rolls[roll], entry.by)

    def overhear(self, entry: Entry) -> None:
        """Rule 38: another candidate's entry only raises counts.

        Those of places that are not in play too: they begin anew with their place.
        """
        self.entry = entry
        watch, repeated = self.machine.watches[entry.mark], self.repeated(entry)
        for count in watch.counts:
            if count.anyone and count.once not in repeated and count.pattern.fits(entry.mark, entry.value):
                self.count(count, entry)
        for use in watch.uses:
            goal = self.machine.places[use.place].goal_register
            if use.anyone and use.once not in repeated and use.pattern.fits(entry.mark, entry.value):
                assert goal is not None
                self.counters[goal] += 1
                self.enrol(use.once, entry)
        self.complete_late()

    def note_values(self, entry: Entry, scope: frozenset[int] | None) -> bool:
        """Take an entry into the totals, values and rates of the places that see it; whether any did."""
        noted = False
        for index in self.machine.watches[entry.mark].places:
            if self.locations[index] not in LIVE or (scope is not None and index not in scope):
                continue
            noted, place = True, self.machine.places[index]
            if isinstance(entry.value, Quantity):
                for total in place.totals:
                    if self.machine.totals[total].mark == entry.mark:
                        self.add(total, entry.value.base)
                for value in place.values:
                    row = self.machine.values[value]
                    if row.mark == entry.mark:
                        self.values[value] = _kept_of(row, self.values[value], entry.value.base)
                for reading in place.readings:
                    if self.machine.readings[reading].mark == entry.mark:
                        self.readings[reading] = (*self.readings[reading], entry.value.base)
            for rate in place.rates:
                if self.machine.rates[rate].mark == entry.mark:
                    self.pace(rate)
        return noted

    def pace(self, rate: int) -> None:
        """One more entry of a rate."""
        row = self.machine.rates[rate]
        self.clocks[row.last] = self.now
        if self.clocks[row.first] is None:
            self.clocks[row.first] = self.now

    def add(self, total: int, amount: Fraction) -> None:
        self.totals[total] += amount

    def strike_bar(self, bar: Bar, entry: Entry, struck: list[Struck]) -> None:
        assert isinstance(entry.value, Quantity)
        if not self.flags[bar.breach.kept] and self.barred(bar, entry.value.base):
            figure = entry.value.base if bar.gauge is None else self.gauge(bar.gauge, bar.register)
            struck.append((bar.breach, figure))

    def hush(self, silence: int) -> None:
        row = self.machine.silences[silence]
        self.longest[silence] = max(self.longest[silence], self.age(row.clock))
        self.clocks[row.clock] = self.now
        self.flags[row.armed] = True

    def strike(self, strike: Strike, entry: Entry, struck: list[Struck]) -> None:
        number = None if strike.counter is None else self.counters[strike.counter]
        if (number is None or number > strike.allowed) and not self.flags[strike.breach.kept]:
            figure = value_compared(strike.pattern, entry) if number is None else number
            struck.append((strike.breach, figure))

    def strike_rest(self, place: Place, struck: list[Struck]) -> None:
        """The mark would begin the place: is its rest too short?"""
        rest = place.rest
        if (
            rest is not None
            and rest.least is not None
            and self.locations[place.index] is Location.WAITING
            and self.clocks[rest.clock] is not None
            and self.younger(rest.clock, rest.least_length)
            and not self.flags[rest.least.kept]
        ):
            struck.append((rest.least, self.age(rest.clock)))

    def first_use(self, uses: Iterable[Use], entry: Entry, scope: frozenset[int] | None) -> Use | None:
        for use in uses:
            wanted = Location.WAITING if use.begins else Location.OPEN
            if (
                self.locations[use.place] is wanted
                and (scope is None or use.place in scope)
                and (use.counter is None or self.counters[use.counter] > use.allowed)
                and use.pattern.fits(entry.mark, entry.value)
            ):
                return use
        return None

    def act_on(self, struck: list[Struck]) -> bool:
        """Keep the notes, let the gravest act; whether something graver than a note did."""
        if not struck:
            return False
        acting = []
        for breach, figure in sorted(struck, key=lambda row: self.breach_rank(row[0])):
            if self.nothing_to_act_on(breach):
                self.tell_unused(breach=breach)
            elif breach.effect is not Effect.NOTE:
                acting.append((breach, figure))
        notes = [row for row in struck if row[0].effect is Effect.NOTE]
        for breach, figure in sorted(notes, key=lambda row: self.breach_rank(row[0])):
            if acting or not breach.between:
                self.tell_breached(breach, figure)
        return bool(acting) and self.act(*acting[0])

    def make_use(self, use: Use, entry: Entry, between: list[Struck]) -> None:
        place = self.machine.places[use.place]
        if use.begins:
            self.begin_from_wait(place, between)
            return
        register = place.goal_register
        assert register is not None
        if isinstance(place.goal, Until):
            self.counters[register] += 1
            self.enrol(use.once, entry)
            reached = self.counters[register] >= place.goal.number
        else:
            assert isinstance(entry.value, Quantity)
            reached = self.add_to_total(place, entry.value.base)
        if reached and place.rounds is not None:
            self.make_round(place)
        elif reached:
            self.complete(place)

    def add_to_total(self, place: Place, amount: Fraction) -> bool:
        """Add to the total of a place; whether it has reached its amount."""
        assert isinstance(place.goal, UntilTotals) and place.goal_register is not None
        self.totals[place.goal_register] += amount
        return self.totals[place.goal_register] >= place.goal.amount.base

    def complete_late(self) -> None:
        """Rule 2: a `for` past its length completes with the entry that meets its `at least`."""
        if Location.LATE not in self.locations:
            return
        late = [p for p in self.machine.places if self.locations[p.index] is Location.LATE]
        for place in sorted(late, key=lambda p: (-p.depth, p.order)):
            if self.locations[place.index] is Location.LATE and next(self.unmet(place), None) is None:
                self.complete(place)


def is_heard(machine: Machine, state: State | Registers, strike: Strike) -> bool:
    """Whether its place is live or, where it says that no other attempt follows, between attempts (rule 44)."""
    location = state.locations[strike.place]
    if not strike.breach.ends_event or location is not Location.WAITING:
        return location in LIVE
    event = machine.events[machine.places[strike.place].event]
    return state.open is None and state.counters[event.charged] > 0


def value_compared(pattern: Pattern, entry: Entry) -> Fraction | None:
    """The value of an entry in base units, where the pattern holds it against a number."""
    return entry.value.base if pattern.test is not None and isinstance(entry.value, Quantity) else None


def _kept_of(row: ValueRow, before: Fraction | None, value: Fraction) -> Fraction:
    """What a register keeps once `value` has been logged."""
    if before is None:
        return value
    match row.keep:
        case Keep.LARGEST:
            return max(before, value)
        case Keep.SMALLEST:
            return min(before, value)
        case Keep.LAST:
            return value
        case Keep.NEAREST:
            assert row.test is not None
            return value if row.test.margin(value) < row.test.margin(before) else before
