"""A small standard, made from model values, for logs to be understood by."""

from datetime import date
from fractions import Fraction

import pytest

from standfast.model.rules import Pattern, Start, Test, Until
from standfast.model.standard import Always, Clause, Condition, Event, Kind, Mark, Standard
from standfast.quantity import UNITS, Comparison, Quantity, count
from standfast.source import Source

NOWHERE = Source("check.standard", "").span(0, 0)


def condition(name: str, demand: Test | bool) -> Condition:
    path = f"conditions.{name}"
    return Condition(
        name=name, demand=demand, path=path, words=name, sentence=None, order=0, depth=0, span=NOWHERE
    )


def at_least(quantity: Quantity) -> Test:
    return Test(Comparison.AT_LEAST, quantity)


@pytest.fixture(scope="session")
def standard() -> Standard:
    start = Start(
        path="swim.start",
        words="start on go",
        sentence=None,
        order=1,
        depth=1,
        span=NOWHERE,
        pattern=Pattern("go"),
        first=False,
    )
    goal = Until(
        path="swim.goal",
        words="until ashore",
        sentence=None,
        order=2,
        depth=1,
        span=NOWHERE,
        pattern=Pattern("ashore"),
        number=1,
    )
    swim = Clause(
        label="swim",
        path="swim",
        title=None,
        kind=Kind.STEP,
        depth=1,
        order=0,
        start=start,
        goal=goal,
        limits=(),
        faults=(),
        rest=None,
        items=(),
        span=NOWHERE,
    )
    wind = condition("wind", Test(Comparison.AT_MOST, Quantity(((Fraction(12), UNITS["kt"]),))))
    return Standard(
        name="check",
        title="A check",
        edition="2.1",
        in_force=date(2026, 3, 1),
        authority=None,
        cautions=(),
        guidance=(),
        carry_on=False,
        events_in_any_order=False,
        owed_fails=False,
        conditions=(
            condition("depth", at_least(Quantity(((Fraction(5, 2), UNITS["m"]),)))),
            condition("lookouts", at_least(count(2))),
            condition("aid", True),
        ),
        marks=(
            Mark("go", "The signal", words="go", span=NOWHERE),
            Mark("ashore", "Out of the water", words="ashore", span=NOWHERE),
            Mark("check", "A check made", choices=("kill_cord", "fuel", "neutral"), words="check", span=NOWHERE),
            Mark("line_in", "Line recovered", unit=UNITS["m"], words="line_in", span=NOWHERE),
            Mark("held", "How long it was held", unit=UNITS["s"], words="held", span=NOWHERE),
        ),
        always=Always(),
        events=(Event(clause=swim, attempts=1, rest_between=None, carry_on=False, conditions=(wind,)),),
        cases=(),
        acceptances=(),
        digest="",
        span=NOWHERE,
    )
