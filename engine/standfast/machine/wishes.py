"""What the answers on a way ask of figures: how long stretches of it take together, what values add up to.

Exploring answers whether a limit on a total, a rate or a sum of times is met without working it out. A log that
takes the way must give just these answers.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Protocol

from standfast.machine.explore import Node
from standfast.machine.instants import Wish
from standfast.machine.parts import Bar, Gauge, Judged, Machine, Rung
from standfast.machine.state import Began, Completed, Restarted, Signal
from standfast.machine.values import Span
from standfast.model.rules import FigureKind, Test
from standfast.quantity import Comparison, Quantity

Row = Judged | Bar | Rung


class Taken(Protocol):
    """One step of a way, as far as figures go: see `Node`."""

    @property
    def signals(self) -> tuple[Signal, ...]: ...

    @property
    def resets(self) -> frozenset[int]: ...

    @property
    def paced(self) -> tuple[int, ...]: ...

    @property
    def judged(self) -> tuple[tuple[Row, bool], ...]: ...


Demand = tuple[Row, Fraction]
"""A limit that was asked about at the last step, and the figure it must have there, in base units."""


_NEVER = Wish((), 1, None)
"""What no log grants: a figure that is not there has no amount."""


def wishes(
    machine: Machine, path: Sequence[Taken], demand: Demand | None, *, at_once: bool = False
) -> Iterator[Wish]:
    """What the answers about rates and sums of times ask of the instants of a way's steps.

    `at_once`: a rate for which none that is there is asked for is of entries at one instant, which have none.
    """
    set_at: dict[int, int] = {}
    kept: dict[int, tuple[int, int]] = {}
    paced: dict[int, list[int]] = {}
    for number, step in enumerate(path):
        before = dict(set_at)
        for clock in step.resets:
            set_at[clock] = number
        for signal in step.signals:
            if isinstance(signal, Began | Restarted):
                for rate in machine.places[signal.place].rates:
                    paced[rate] = []
        for rate in step.paced:
            paced.setdefault(rate, []).append(number)
        for signal in step.signals:
            if isinstance(signal, Completed):
                place = machine.places[signal.place]
                since = before.get(place.clock, number)
                for keeping in place.keepings:
                    if keeping.dial[0] is Gauge.CLOCK:
                        kept[keeping.register] = since, number
        last = number == len(path) - 1
        rows: list[tuple[Row, bool, Fraction | None]] = [(row, answer, None) for row, answer in step.judged]
        if last and demand is not None:
            rows = [(row, answer, None) for row, answer, _ in rows if row is not demand[0]]
            rows.append((demand[0], True, demand[1]))
        for row, answer, exactly in rows:
            if row.gauge is Gauge.RATE:
                run = paced.get(row.register, [])
                if at_once and run and exactly is None and answer is not _must_be_there(row):
                    yield Wish(((run[0], run[-1]),), None, 0)
                else:
                    yield _of_rate(row, answer, exactly, len(run), (run[0], run[-1])) if len(run) > 1 else _NEVER
            elif by_clocks(row):
                stretches = []
                for gauge, register in machine.sums[row.register]:
                    if gauge is Gauge.CLOCK:
                        stretches.append((before.get(register, number), number))
                    elif register in kept:
                        stretches.append(kept[register])
                least, most = _range(row.test, answer, exactly)
                there = len(stretches) == len(machine.sums[row.register])
                yield Wish(tuple(stretches), least, most) if there else _NEVER


def _must_be_there(row: Row) -> bool:
    """Whether its test is answered with no where the figure is not there."""
    return row.figure.must_be_there or row.test.comparison not in (Comparison.AT_MOST, Comparison.UNDER)


def by_clocks(row: Row) -> bool:
    """Whether the figure of the limit is a sum of times that clocks show."""
    return row.gauge is Gauge.SUM and all(part.kind is FigureKind.TIME for part in row.figure.parts)


def _of_rate(row: Row, answer: bool, exactly: Fraction | None, many: int, stretch: tuple[int, int]) -> Wish:
    """`many` entries have the rate asked for if they take so long; no two of them have none at all."""
    test, between = row.test, Fraction(many - 1)

    def longest(rate: Fraction, *, counts: bool) -> int | None:
        if not rate:
            return None
        taken = between / rate
        return int(taken // 1) - (not counts and taken.denominator == 1)

    def slower(rate: Fraction, *, counts: bool) -> Wish:
        return Wish((stretch,), shortest(rate, counts=counts), None) if rate else _NEVER

    def shortest(rate: Fraction, *, counts: bool) -> int:
        taken = between / rate
        return int(-(-taken // 1)) + (not counts and taken.denominator == 1)

    first = test.first.base
    least, most = 1, None
    match test.comparison, answer:
        case _ if exactly is not None:
            if not exactly:
                return _NEVER
            least = most = int(between / exactly)
        case (Comparison.AT_LEAST, True) | (Comparison.OVER, True):
            least, most = 1, longest(first, counts=test.comparison is Comparison.AT_LEAST)
        case (Comparison.AT_LEAST, False) | (Comparison.OVER, False):
            return slower(first, counts=test.comparison is Comparison.OVER)
        case (Comparison.AT_MOST, True) | (Comparison.UNDER, True):
            return slower(first, counts=test.comparison is Comparison.AT_MOST)
        case (Comparison.AT_MOST, False) | (Comparison.UNDER, False):
            least, most = 1, longest(first, counts=test.comparison is Comparison.UNDER)
        case (_, True):
            second = (test.second or test.first).base
            if not second:
                return _NEVER
            least, most = shortest(second, counts=True), longest(first, counts=True)
        case _:
            return slower(first, counts=False)
    return Wish((stretch,), least, most)


def _range(test: Test, answer: bool, exactly: Fraction | None) -> tuple[int | None, int | None]:
    """The microseconds with which the test gives the answer; of two ranges the greater."""
    if exactly is not None:
        return int(exactly), int(exactly)
    first, second = int(test.first.base), int((test.second or test.first).base)
    match test.comparison:
        case Comparison.AT_LEAST:
            return (first, None) if answer else (None, first - 1)
        case Comparison.OVER:
            return (first + 1, None) if answer else (None, first)
        case Comparison.AT_MOST:
            return (None, first) if answer else (first + 1, None)
        case Comparison.UNDER:
            return (None, first - 1) if answer else (first, None)
        case _:
            return (first, second) if answer else (second + 1, None)


def summed(
    machine: Machine, path: Sequence[Node], values: list[str | Quantity | None], demand: Demand | None
) -> None:
    """Change values of entries, each within the class it stands for, so that totals pass and fail as answered."""
    runs: dict[int, list[tuple[int, Span]]] = {}
    for number, step in enumerate(path):
        for signal in step.signals:
            if isinstance(signal, Began | Restarted):
                for total in machine.places[signal.place].totals:
                    runs[total] = []
        for total in step.noted:
            runs.setdefault(total, []).append((number, step.move.span))
        rows: list[tuple[Row, bool, Fraction | None]] = []
        rows += [(row, answer, None) for row, answer in step.judged if row.gauge is Gauge.TOTAL]
        if demand is not None and number == len(path) - 1 and demand[0].gauge is Gauge.TOTAL:
            rows.append((demand[0], True, demand[1]))
        for row, answer, exactly in rows:
            run = runs.get(row.register, [])
            grid = _grid(values, run)
            if grid is not None:
                least, most = total_range(row, answer, exactly, grid)
                _shift(values, run, grid, least, most)


def _grid(values: Sequence[str | Quantity | None], run: Sequence[tuple[int, Span]]) -> Fraction | None:
    """The finest step of the mark's unit."""
    for number, _ in run:
        value = values[number]
        if isinstance(value, Quantity):
            return value.unit.factor / 1_000_000
    return None


def total_range(
    row: Row, answer: bool, exactly: Fraction | None, grid: Fraction
) -> tuple[Fraction | None, Fraction | None]:
    if exactly is not None:
        return exactly, exactly
    test = row.test
    first, second = test.first.base, (test.second or test.first).base
    if isinstance(row, Bar):
        if test.comparison is Comparison.UNDER:
            return (None, first - grid) if answer else (first, None)
        return (None, second) if answer else (second + grid, None)
    match test.comparison:
        case Comparison.AT_LEAST:
            return (first, None) if answer else (None, first - grid)
        case Comparison.OVER:
            return (first + grid, None) if answer else (None, first)
        case _:
            return (first, second) if answer else (None, first - grid)


def _shift(
    values: list[str | Quantity | None],
    run: Sequence[tuple[int, Span]],
    grid: Fraction,
    least: Fraction | None,
    most: Fraction | None,
) -> None:
    """Raise or lower the values of a run, the last first, until they add up to what is wanted."""
    amounts = {n: value.base for n, _ in run if isinstance(value := values[n], Quantity)}
    total = sum(amounts.values(), Fraction(0))
    for number, (low, high) in reversed(run):
        value = values[number]
        assert isinstance(value, Quantity)
        wanted = amounts[number]
        if least is not None and total < least:
            wanted = amounts[number] + least - total
            wanted = wanted if high is None else min(wanted, high)
        elif most is not None and total > most:
            wanted = max(amounts[number] + most - total, low)
        wanted = -(-wanted // grid) * grid if least is not None and total < least else wanted // grid * grid
        total += wanted - amounts[number]
        values[number] = Quantity(((wanted / value.unit.factor, value.unit),))
