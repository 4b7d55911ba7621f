"""A step that writes down also what it does to figures it does not know, for two machines to be held together.

A total, a rate or a sum of times is answered for and not worked out. Where both machines have taken the same
entries into such a figure since it last began anew, it is the same on both sides, whatever it is: only answers
that one amount can give are then possible together.
"""

from collections.abc import Mapping
from fractions import Fraction

from standfast.log.entry import Entry
from standfast.machine.asking import Asking
from standfast.machine.parts import LIVE, Bar, BestRow, Gauge, Judged, Keeping, Place, Rung
from standfast.model.rules import PickWord, Test, UntilTotals
from standfast.quantity import Comparison
from standfast.values import define, field, frozen

Key = tuple[str, int, str]
"""What figures are read from: entries of a mark in a place, a clock, a goal's total, a figure kept, a best."""

ENTRIES, CLOCK, GOAL, KEPT, BEST = "entries", "clock", "goal", "kept", "best"

Source = Key | str
"""What was done to it: RESET, TAKE, or set from another (a key; SET where that is known exactly)."""

RESET, TAKE, SET = "reset", "take", "set"

_NOTHING_DONE: Mapping[Key, tuple[Source, ...]] = {}

Part = tuple[object, Key | Fraction]
"""What is read, and from where; an amount where it is known."""


@frozen
class Answer:
    """A question about a figure, and how it was answered. `test` None: which of two attempts is the better."""

    parts: tuple[Part, ...]
    test: Test | None
    holds: bool


@define
class Doings(Asking):
    doings: list[tuple[Key, Source]] = field(factory=list)
    answers: list[Answer] = field(factory=list)

    def sources(self) -> Mapping[Key, tuple[Source, ...]]:
        found: dict[Key, tuple[Source, ...]] = {}
        if not self.doings:
            return _NOTHING_DONE
        for key, source in self.doings:
            found[key] = (*found.get(key, ()), source)
        return found

    # --- what is done ----------------------------------------------------------------------------------

    def begin(self, place: Place) -> None:
        self.doings.append(((CLOCK, place.clock, ""), RESET))
        if isinstance(place.goal, UntilTotals):
            self.doings.append(((GOAL, place.index, place.goal.mark), RESET))
        super().begin(place)

    def forget(self, place: Place) -> None:
        self.doings += (((ENTRIES, place.index, mark), RESET) for mark in _marks(self, place))
        self.doings += (((KEPT, keeping.register, ""), SET) for keeping in place.keepings)
        super().forget(place)

    def note_values(self, entry: Entry, scope: frozenset[int] | None) -> bool:
        for index in self.machine.watches[entry.mark].places:
            if self.locations[index] in LIVE and (scope is None or index in scope):
                self.doings.append(((ENTRIES, index, entry.mark), TAKE))
        return super().note_values(entry, scope)

    def add_to_total(self, place: Place, amount: Fraction) -> bool:
        known = len(self.asked)
        assert isinstance(place.goal, UntilTotals)
        key = GOAL, place.index, place.goal.mark
        self.doings.append((key, TAKE))
        reached = super().add_to_total(place, amount)
        if len(self.asked) > known:
            test = Test(Comparison.AT_LEAST, place.goal.amount)
            self.answers.append(Answer(((GOAL, key),), test, reached))
        return reached

    def kept_figure(self, keeping: Keeping) -> Fraction | None:
        part = self.part(*keeping.dial)
        self.doings.append(((KEPT, keeping.register, ""), SET if isinstance(part[1], Fraction) else part[1]))
        return super().kept_figure(keeping)

    def is_best(self, event: int, row: BestRow, points: int | None) -> bool:
        best = super().is_best(event, row, points)
        if best:
            self.doings.append(((BEST, event, ""), (KEPT, row.register, "")))
        return best

    def settle(self, event: int, go: bool) -> None:
        row = self.machine.events[event].best
        if row is not None and self.bests[event]:
            self.doings += (((KEPT, register, ""), (BEST, event, "")) for register in row.kept)
        super().settle(event, go)

    # --- what is answered ------------------------------------------------------------------------------

    def asked_before(self, row: Judged | Bar | Rung) -> bool:
        known = len(self.asked)
        answer = super().asked_before(row)
        if len(self.asked) > known:
            dials = self.machine.sums[row.register] if row.gauge is Gauge.SUM else ((row.gauge, row.register),)
            parts = tuple(self.part(gauge, register) for gauge, register in dials if gauge is not None)
            self.answers.append(Answer(parts, _test_of(row), answer))
        return answer

    def surpasses(self, row: BestRow, figure: Fraction | None, best: Fraction | None) -> bool:
        if figure is None or best is None:
            return figure is not None
        known = len(self.asked)
        answer = super().surpasses(row, figure, best)
        if len(self.asked) > known:
            event = next(number for number, each in enumerate(self.machine.events) if each.best is row)
            parts: tuple[Part, ...] = ((KEPT, (KEPT, row.register, "")), ((BEST, row.least), (BEST, event, "")))
            self.answers.append(Answer(parts, None, answer))
        return answer

    def is_exact(self, row: Judged | Rung) -> bool:
        """A mean is not that of the values that stand for their classes."""
        if row.gauge is Gauge.READING:
            readings = self.machine.readings[row.register].readings
            pick = dict(readings.picks).get(len(self.readings[row.register]))
            return pick is not PickWord.MEAN
        return super().is_exact(row)

    def part(self, gauge: Gauge, register: int) -> Part:
        machine = self.machine
        match gauge:
            case Gauge.TOTAL:
                total = machine.totals[register]
                return gauge.name, (ENTRIES, total.place, total.mark or "")
            case Gauge.RATE:
                rate = machine.rates[register]
                return gauge.name, (ENTRIES, rate.place, rate.mark)
            case Gauge.READING:
                reading = machine.readings[register]
                return (gauge.name, reading.readings), (ENTRIES, reading.place, reading.mark)
            case Gauge.VALUE:
                value = machine.values[register]
                return (gauge.name, value.keep), (ENTRIES, value.place, value.mark)
            case Gauge.CLOCK:
                return gauge.name, (CLOCK, register, "")
            case Gauge.KEPT:
                return gauge.name, (KEPT, register, "")
            case _:
                amount = self.gauge(gauge, register)
                return gauge.name, Fraction(0 if amount is None else amount)


def _marks(work: Doings, place: Place) -> set[str]:
    machine = work.machine
    rows = [machine.totals[total].mark for total in place.totals]
    rows += [machine.values[value].mark for value in place.values]
    rows += [machine.rates[rate].mark for rate in place.rates]
    rows += [machine.readings[reading].mark for reading in place.readings]
    return {mark for mark in rows if mark is not None}


def _test_of(row: Judged | Bar | Rung) -> Test:
    """What is asked of the figure: of a limit that is broken at once only not to be too great."""
    test = row.test
    if isinstance(row, Bar) and test.comparison is not Comparison.UNDER:
        return Test(Comparison.AT_MOST, test.second or test.first)
    return test
