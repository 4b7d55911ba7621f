"""How clauses, attempts and events run their course: what begins, completes, is broken, ends, and what follows.

Rules 2, 6, 9, 11, 13 to 21. What brings it about, time or an entry, is `step`'s business.
"""

from abc import ABC, abstractmethod
from collections.abc import Iterable
from fractions import Fraction

from standfast.log.entry import Entry
from standfast.machine.parts import FAULTS, LIMITS, BestRow, Breach, EventRow, GradeRow, Keeping, Location, Place
from standfast.machine.registers import Struck
from standfast.machine.rounds import Tries
from standfast.machine.state import Began, Completed, Decided, Ended, Figures, Opened, Reading, Restarted, Settled
from standfast.model.rules import Effect, UntilTotals
from standfast.model.standard import Kind
from standfast.values import define


@define
class Course(Tries, ABC):
    @abstractmethod
    def show(self, entry: Entry, scope: frozenset[int] | None) -> None:
        """Rules 4 and 5 for an entry: in all places (None), or only in those that a `start with first` opened."""

    # --- places ----------------------------------------------------------------------------------------

    def begin_from_wait(self, place: Place, between: Iterable[Struck] = ()) -> None:
        """Begin a place that waited or rested; between attempts that opens one."""
        woken = False
        if place.parent is None and self.open is None:
            woken = self.open_attempt(place.event)
        for breach, figure in between:
            self.tell_breached(breach, figure)
        first = place.start is not None and place.start.first and self.locations[place.index] is Location.WAITING
        if place.rest is not None and self.clocks[place.rest.clock] is not None:
            if self.locations[place.index] is Location.WAITING:
                self.tell_rested(place)
            self.clocks[place.rest.clock] = None
        if place.parent is not None:
            parent = self.machine.places[place.parent]
            if parent.kind is Kind.ONE_OF:
                for sibling in parent.children:
                    self.locations[sibling] = Location.ASLEEP
        self.begin(place)
        if first and self.entry is not None:
            self.show(self.entry, frozenset((*range(place.index, place.end), *((LIMITS,) if woken else ()))))

    def begin(self, place: Place) -> None:
        self.locations[place.index] = Location.OPEN
        self.clocks[place.clock] = self.now
        if place.waiting.begun is not None:
            self.flags[place.waiting.begun] = True
        if place.index != FAULTS:  # it counts others' entries before it begins, and begins once
            for counter in place.counters:
                self.counters[counter] = 0
            for roll in place.rolls:
                self.rolls[roll] = ()
        if isinstance(place.goal, UntilTotals) and place.goal_register is not None:
            self.totals[place.goal_register] = Fraction(0)
        self.forget(place)
        for silence in place.silences:
            row = self.machine.silences[silence]
            self.clocks[row.clock] = self.now
            self.flags[row.armed] = True
            self.longest[silence] = 0
        self.signals.append(Began(at=self.now, entry=self.entry, place=place.index))
        match place.kind:
            case Kind.IN_ORDER:
                self.reach(self.machine.places[place.children[0]])
            case Kind.ANY_ORDER | Kind.ONE_OF:
                children = [self.machine.places[child] for child in place.children]
                for child in children:
                    if child.waiting.begun is not None:
                        self.flags[child.waiting.begun] = False
                    self.reach(child)
            case Kind.ROUNDS:
                self.begin_try(place)
            case Kind.STEP:
                pass

    def forget(self, place: Place) -> None:
        """What was logged for the place and kept of it counts no longer: it begins, or waits to begin anew."""
        self.points[place.index] = 0
        for total in place.totals:
            self.totals[total] = Fraction(0)
        for value in place.values:
            self.values[value] = None
        for reading in place.readings:
            self.readings[reading] = ()
        for keeping in place.keepings:
            self.kept[keeping.register] = None

    def reach(self, place: Place) -> None:
        """A place's turn has come: it waits for its start mark, or begins."""
        if place.start is not None:
            self.wait(place)
        else:
            self.begin(place)

    def wait(self, place: Place) -> None:
        """Wait for the start mark; a start that is counted is counted from here."""
        self.locations[place.index] = Location.WAITING
        if place.waiting.counter is not None:
            self.counters[place.waiting.counter] = 0
        if place.waiting.roll is not None:
            self.rolls[place.waiting.roll] = ()

    def put_to_sleep(self, place: Place) -> None:
        """The place and all inside it, with their clocks and rests."""
        for index in range(place.index, place.end):
            inner = self.machine.places[index]
            self.locations[index] = Location.ASLEEP
            self.clocks[inner.clock] = None
            for silence in inner.silences:
                self.clocks[self.machine.silences[silence].clock] = None
            for rate in inner.rates:
                self.clocks[self.machine.rates[rate].first] = None
                self.clocks[self.machine.rates[rate].last] = None
            if inner.rest is not None:
                self.clocks[inner.rest.clock] = None

    def complete(self, place: Place) -> None:
        for breach, figure in self.broken_at_completion(place):
            if self.act(breach, figure):
                return
        scored = None if place.scale is None else self.scored(place.scale)
        figures = self.figures(place.rows)
        self.signals.append(
            Completed(at=self.now, entry=self.entry, place=place.index, figures=figures, scored=scored)
        )
        for keeping in place.keepings:
            self.kept[keeping.register] = self.kept_figure(keeping)
        points = self.points_of(place)
        self.put_to_sleep(place)
        self.locations[place.index] = Location.DONE
        if place.parent is None:
            event, best = self.machine.events[place.event], False
            failing = self.flags[event.failing]
            if not failing and event.best is not None:
                best = self.is_best(place.event, event.best, points)
            elif not failing:
                self.add_points(LIMITS, points)
            self.close(Effect.FAIL if failing else None, best=best)
            return
        self.add_points(place.parent, points)
        parent = self.machine.places[place.parent]
        match parent.kind:
            case Kind.IN_ORDER | Kind.ROUNDS:
                position = parent.children.index(place.index) + 1
                if position == len(parent.children):
                    if parent.kind is Kind.ROUNDS:
                        self.make_round(parent)
                    else:
                        self.complete(parent)
                else:
                    self.reach_after_rest(self.machine.places[parent.children[position]])
            case Kind.ANY_ORDER:
                if not any(self.is_owed(self.machine.places[child]) for child in parent.children):
                    self.complete(parent)
            case Kind.ONE_OF:
                self.complete(parent)
            case Kind.STEP:
                raise AssertionError("a step has no items")

    def add_points(self, around: int, points: int | None) -> None:
        """To those of a clause around, or of the test."""
        known = self.points[around]
        self.points[around] = None if known is None or points is None else known + points

    def is_owed(self, item: Place) -> bool:
        """Whether a group in any order still waits for the item."""
        begun = item.waiting.begun
        return self.locations[item.index] is not Location.DONE and (begun is None or self.flags[begun])

    def kept_figure(self, keeping: Keeping) -> Fraction | None:
        figure = self.gauge(*keeping.dial)
        return None if figure is None else self.exact(figure)

    def reach_after_rest(self, place: Place) -> None:
        if place.rest is not None:
            self.clocks[place.rest.clock] = self.now
            self.flags[place.rest.spent] = False
            if place.start is None:
                self.locations[place.index] = Location.RESTING
                return
        self.reach(place)

    # --- faults ----------------------------------------------------------------------------------------

    def act(self, breach: Breach, figure: Reading) -> bool:
        """Let a breach act; whether it weighed more than a note (a failure that is kept does not)."""
        if breach.ends_test:
            self.tell_breached(breach, figure)
            self.decide(False, Effect.FAIL)
            return True
        effect = Effect.FAIL if self.used_up(breach) else breach.effect
        match effect:
            case Effect.NOTE:
                self.tell_breached(breach, figure)
                return False
            case Effect.RESTART:
                self.tell_breached(breach, figure)
                if breach.restarts is not None:
                    self.counters[breach.restarts] += 1
                self.restart(self.machine.places[breach.place], breach.at_once)
            case Effect.OUT if breach.ends_event:
                self.tell_breached(breach, figure)
                self.stop(self.machine.places[breach.place].event)
            case Effect.PASS | Effect.MISS | Effect.OUT:
                assert breach.rounds is not None
                self.tell_breached(breach, figure)
                place = self.machine.places[breach.rounds]
                does = {Effect.PASS: self.pass_round, Effect.MISS: self.miss_try, Effect.OUT: self.end_rounds}
                does[effect](place)
            case Effect.FAIL if breach.between:
                self.open_and_fail(self.machine.places[breach.place], breach, figure)
            case Effect.FAIL:
                assert self.open is not None
                event = self.machine.events[self.open]
                self.tell_breached(breach, figure)
                if event.carry_on:
                    self.flags[breach.kept] = True
                    self.flags[event.failing] = True
                    return False
                self.close(Effect.FAIL)
            case Effect.HALT:
                self.tell_breached(breach, figure)
                self.close(Effect.HALT, charged=breach.charged)
            case Effect.DISQUALIFY:
                self.tell_breached(breach, figure)
                self.decide(False, Effect.DISQUALIFY)
        return True

    def restart(self, place: Place, at_once: bool) -> None:
        self.signals.append(Restarted(at=self.now, entry=self.entry, place=place.index))
        self.put_to_sleep(place)
        self.forget_all(place)
        if at_once:
            self.begin(place)
        else:
            self.reach(place)

    def forget_all(self, place: Place) -> None:
        for inner in self.machine.places[place.index : place.end]:
            self.forget(inner)

    # --- attempts and events ---------------------------------------------------------------------------

    def open_attempt(self, event: int) -> bool:
        """Open and charge an attempt; whether this woke the limits of `always`."""
        row = self.machine.events[event]
        for number in range(event) if not self.machine.standard.events_in_any_order else ():
            if self.standings[number] is None:
                self.settle(number, True)
        for other in self.machine.events:
            if other is not row and self.locations[other.place] is Location.WAITING:
                self.locations[other.place] = Location.ASLEEP
        self.freshen(row)
        self.forget_all(self.machine.places[row.place])
        self.counters[row.charged] += 1
        self.open = event
        self.signals.append(Opened(at=self.now, entry=self.entry, event=event))
        if self.locations[LIMITS] is Location.ASLEEP:
            self.begin(self.machine.places[LIMITS])
            return True
        return False

    def freshen(self, event: EventRow) -> None:
        """What an attempt counts and keeps begins and ends with it."""
        for counter in event.fresh_counters:
            self.counters[counter] = 0
        for flag in event.fresh_flags:
            self.flags[flag] = False

    def open_and_fail(self, place: Place, breach: Breach, figure: Reading) -> None:
        """Rule 18: a breach of the rest between attempts costs one."""
        self.open_attempt(place.event)
        self.tell_breached(breach, figure)
        self.close(Effect.FAIL)

    def stop(self, event: int) -> None:
        """Rule 44: no other attempt follows; one that is open fails."""
        if self.open is not None:
            self.close(Effect.FAIL, stopped=True)
            return
        self.locations[self.machine.events[event].place] = Location.ASLEEP
        self.settle(event, bool(self.bests[event]))
        self.next_event()

    def close(
        self, effect: Effect | None, *, charged: bool = True, best: bool = False, stopped: bool = False
    ) -> None:
        """End the open attempt, GO (None) or by an effect, and settle its event if that decides it."""
        assert self.open is not None
        number, self.open = self.open, None
        event = self.machine.events[number]
        place = self.machine.places[event.place]
        if not charged:
            self.counters[event.charged] -= 1
        self.signals.append(
            Ended(at=self.now, entry=self.entry, event=number, effect=effect, charged=charged, best=best)
        )
        self.put_to_sleep(place)
        self.freshen(event)
        if place.rest is not None:
            self.clocks[place.rest.clock] = self.now
        if effect is None and event.best is None:
            self.settle(number, True)
        elif stopped or (event.attempts is not None and self.counters[event.charged] >= event.attempts):
            self.settle(number, bool(self.bests[number]))
        self.next_event()

    def settle(self, event: int, go: bool) -> None:
        self.standings[event] = go
        row = self.machine.events[event].best
        if row is not None and self.bests[event]:
            _, points, *kept = self.bests[event]
            for register, figure in zip(row.kept, kept, strict=True):
                self.kept[register] = figure
            if go:
                from typing import cast  # only for the best of several: `typing` takes long to load

                self.add_points(LIMITS, cast("int | None", points))
            self.bests[event] = ()
        place = self.machine.places[self.machine.events[event].place]
        if place.rest is not None:
            self.clocks[place.rest.clock] = None
        self.signals.append(Settled(at=self.now, entry=self.entry, event=event, go=go))

    # --- the best of several attempts (rule 40) ----------------------------------------------------------

    def is_best(self, event: int, row: BestRow, points: int | None) -> bool:
        """Keep the figures of an attempt that ends GO if it is the best so far; whether it is."""
        before = self.bests[event]
        if before and not self.surpasses(row, self.kept[row.register], before[0]):
            return False
        given = None if points is None else self.exact(points)
        self.bests[event] = self.kept[row.register], given, *(self.kept[register] for register in row.kept)
        return True

    def surpasses(self, row: BestRow, figure: Fraction | None, best: Fraction | None) -> bool:
        if figure is None or best is None:
            return figure is not None
        return figure < best if row.least else figure > best

    def end_bests(self) -> None:
        """At the end of a log an event with an attempt that ended GO is decided; an open one is broken off."""
        if self.decided is not None:
            return
        held = [n for n, best in enumerate(self.bests) if best and self.standings[n] is None]
        for number in held:
            if self.open == number:
                self.open = None
                self.signals.append(Ended(at=self.now, entry=None, event=number, effect=Effect.HALT, charged=True))
                self.put_to_sleep(self.machine.places[self.machine.events[number].place])
            self.settle(number, True)
        if held and None not in self.standings:
            self.finish()
        elif held and self.open is None:
            pending = [number for number, go in enumerate(self.standings) if go is None]
            for number in pending if self.machine.standard.events_in_any_order else pending[:1]:
                place = self.machine.places[self.machine.events[number].place]
                if place.start is not None:
                    self.wait(place)

    def next_event(self) -> None:
        """No attempt is open: whose turn is it, or is the test decided?"""
        standard = self.machine.standard
        pending = [number for number, go in enumerate(self.standings) if go is None]
        if False in self.standings and not standard.carry_on:
            self.decide(False)
        elif not pending:
            self.finish()
        elif standard.events_in_any_order:
            for number in pending:
                self.await_opening(self.machine.places[self.machine.events[number].place])
        else:
            self.await_opening(self.machine.places[self.machine.events[pending[0]].place])
            if self.bests[pending[0]] and len(pending) > 1:
                later = self.machine.places[self.machine.events[pending[1]].place]
                if later.start is not None:
                    self.await_opening(later)

    def await_opening(self, place: Place) -> None:
        if self.locations[place.index] is Location.WAITING:
            return  # what it has counted stays
        if place.start is not None:
            self.wait(place)
        elif place.rest is not None and self.clocks[place.rest.clock] is not None:
            self.locations[place.index] = Location.RESTING
        else:
            self.begin_from_wait(place)

    def finish(self) -> None:
        """Every event is decided: the test is GO if all are and the limits of `always` are met."""
        if False in self.standings:
            self.decide(False)
            return
        for breach, figure in self.broken_at_completion(self.machine.places[LIMITS]):
            if self.act(breach, figure):
                return
        for row in self.machine.grades[-1].limits if self.machine.grades else ():
            if not self.holds(row):
                self.act(row.breach, self.gauge(row.gauge, row.register))
                return
        self.decide(True)

    def decide(self, go: bool, effect: Effect | None = None) -> None:
        """The verdict; an open attempt ends by the effect, and its event with it."""
        if self.decided is not None:
            return
        self.decided = go
        if self.open is not None and effect is not None:
            number, self.open = self.open, None
            self.signals.append(Ended(at=self.now, entry=self.entry, event=number, effect=effect, charged=True))
            self.put_to_sleep(self.machine.places[self.machine.events[number].place])
            self.settle(number, False)
        figures: Figures = ()
        grade = self.grade() if go else None
        if go:
            test = (self.machine.places[place] for place in (LIMITS, FAULTS))
            figures = tuple(
                row for p in test if self.locations[p.index] is Location.OPEN for row in self.figures(p.rows)
            )
            figures += () if grade is None else self.figures(grade.rows)
        name = None if grade is None else grade.grade.name
        self.signals.append(Decided(at=self.now, entry=self.entry, go=go, figures=figures, grade=name))

    def grade(self) -> GradeRow | None:
        """The highest that is met."""
        return next((row for row in self.machine.grades if all(map(self.holds, row.limits))), None)
