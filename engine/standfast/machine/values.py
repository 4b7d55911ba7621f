"""The values a measured mark can have, in classes that no rule tells apart."""

from collections.abc import Iterator, Mapping
from fractions import Fraction

from standfast.machine.bounds import before_rounding
from standfast.machine.parts import Machine
from standfast.model.rules import FULL_CIRCLE, Figure, FigureKind, Limit, Readings, Score, Test
from standfast.model.standard import Mark, Standard
from standfast.quantity import Quantity, Unit

_ON_VALUES = (FigureKind.LARGEST, FigureKind.SMALLEST, FigureKind.EACH, FigureKind.LAST)

Span = tuple[Fraction, Fraction | None]
"""The ends of a class, both in it, in base units; None: no upper end."""

ANYTHING: Span = (Fraction(0), None)


Values = tuple[str | Quantity | None, Span]
"""One value, and for a measure the ends of the class it stands for."""


def value_classes(machine: Machine, mark: Mark) -> Iterator[Values]:
    """One value of each class: each choice; for a measure each constant of a test, and what lies between."""
    yield from classes_between(mark, constants_of(machine, mark))


def constants_of(machine: Machine, mark: Mark) -> dict[Fraction, Quantity]:
    """The amounts at which a test of a measured mark turns, by their base units."""
    if mark.unit is None:
        return {}
    watch = machine.watches[mark.name]
    figures = {Figure(kind, mark.name) for kind in _ON_VALUES}
    counted = [row.pattern.test for row in watch.counts]
    struck = [row.pattern.test for row in watch.strikes]
    used = [row.pattern.test for row in watch.uses]
    tests = [test for test in (*counted, *struck, *used) if test is not None]
    limits = [rule for rule in machine.standard.rules() if isinstance(rule, Limit)]
    tests += [limit.test for limit in limits if _own(limit.figure) in figures]
    scores = [rule for rule in machine.standard.rules() if isinstance(rule, Score)]
    rows = [(row, score.rounding) for score in scores for row in score.rows if _own(row.figure) in figures]
    tests += [before_rounding(row.test, rounding) for row, rounding in rows]
    constants = {q.base: q for test in tests for q in test.ends()}
    for test in tests_on_readings(machine.standard, mark.name):
        for base in turning_points(mark.readings or Readings(), test, mark.unit.factor / 1_000_000):
            constants.setdefault(base, Quantity(((base / mark.unit.factor, mark.unit),)))
    return constants


def classes_between(mark: Mark, constants: Mapping[Fraction, Quantity]) -> Iterator[Values]:
    """One value of each class when a measured mark is told apart at these amounts."""
    if mark.unit is None:
        yield from ((value, ANYTHING) for value in mark.choices or (None,))
        return
    grid = mark.unit.factor / 1_000_000
    least = Fraction(0)
    for base, constant in sorted(constants.items()):
        if base > least:
            yield _between(mark.unit, least, base - grid), (least, base - grid)
        yield constant, (base, base)
        least = base + grid
    if not mark.heading:
        yield _between(mark.unit, least, least + 2 * mark.unit.factor), (least, None)
    elif least < FULL_CIRCLE:
        yield _between(mark.unit, least, FULL_CIRCLE - grid), (least, FULL_CIRCLE - grid)


def tests_on_readings(standard: Standard, mark: str) -> Iterator[Test]:
    """The tests of limits and scores on a reading of the mark, or on a sum with one."""
    for rule in standard.rules():
        tried = [(rule.figure, rule.test)] if isinstance(rule, Limit) else []
        if isinstance(rule, Score):
            tried += [(row.figure, before_rounding(row.test, rule.rounding)) for row in rule.rows]
        for figure, test in tried:
            if any(part.kind is FigureKind.READING and part.mark == mark for part in figure.all_parts()):
                yield test


def turning_points(readings: Readings, test: Test, grid: Fraction) -> Iterator[Fraction]:
    """The bounds of a test and where, one grid step on, the rounded value passes and the value before does not."""
    bounds = [bound.base for bound in test.ends()]
    yield from (bound // grid * grid for bound in bounds)
    rounding = readings.rounding
    if rounding is None:
        return
    step = rounding.step.base
    for bound in bounds:
        for halves in range(-3, 4):
            point = (bound // step * step + halves * step / 2) // grid * grid
            passes = [test.holds(rounding.of(point + by * grid)) for by in (-1, 0, 1)]
            if point > 0 and len(set(passes)) > 1:
                yield point


def _between(unit: Unit, least: Fraction, most: Fraction) -> Quantity:
    """A value between the two with as few decimals as will do."""
    middle = (least + most) / 2 / unit.factor
    for places in (1, 10, 100, 10**3, 10**4, 10**5):
        rounded = Fraction(round(middle * places), places)
        if least <= rounded * unit.factor <= most:
            return Quantity(((rounded, unit),))
    return Quantity(((least / unit.factor, unit),))


def _own(figure: Figure) -> Figure:
    """A figure of one clause inside as if it were the clause's own."""
    if len(figure.parts) != 1:
        return figure
    return Figure(figure.parts[0].kind, figure.parts[0].mark)
