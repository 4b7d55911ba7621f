"""Rounding against published rules and examples.

Sources:
- Rankings of masters' athletics, seen (http://www.masterstrack.com/rankings_HvFAT.html): hand times are rounded up
  to the next tenth; 12.32 becomes 12.4.
- World Athletics technical rule 19, from memory: 10.11 by hand becomes 10.2, 59:26.32 over 10 000 m on a track
  59:26.4. 9.571 and 9.570 are our own inputs to its rule for photo finishes.
- IAAF rule 165.24(e) as quoted by a marathon, seen (https://sydney-marathon.com/faq-items/
  why-are-results-based-on-gun-time-and-not-net-time/): transponder times are recorded in whole seconds, rounded
  up; 2:09:44.3 becomes 2:09:45.
- ISO 80000-1, annex B, from memory, recomputed with decimal: rounding to the nearest, both rules for ties, in one
  stage.
- IS 2:1960, seen: 2.651 to 0.1, 0.3552 to 0.01, 15.205 to 0.1.
- A databook on number formats, seen (http://www.cicc.or.jp/english/hyoujyunka/databook/205.htm): 123.011 up,
  123.019 down and 123.455 half up, to 0.01.
"""

from decimal import ROUND_CEILING, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from fractions import Fraction
from random import Random

import pytest

from standfast.quantity import COUNT, SECOND, Quantity, Rounding, Unit, Way


def rounded(way: Way, step: str, amount: str, unit: Unit = COUNT) -> Fraction:
    """In the unit the amount is given in."""
    rounding = Rounding(way, Quantity(((Fraction(step), unit),)))
    return rounding.of(Fraction(amount) * unit.factor) / unit.factor


@pytest.mark.parametrize(
    ("step", "exact", "recorded"),
    [
        ("0.1", "12.32", "12.4"),
        ("0.1", "10.11", "10.2"),
        ("0.1", "10.10", "10.1"),
        ("1", "7784.3", "7785"),  # 2:09:44.3
        ("1", "7784", "7784"),
        ("0.01", "9.571", "9.58"),
        ("0.01", "9.570", "9.57"),
        ("0.1", "3566.32", "3566.4"),  # 59:26.32
        ("0.01", "123.011", "123.02"),
    ],
)
def test_times_are_recorded_up_to_the_next_step_unless_exact(step: str, exact: str, recorded: str) -> None:
    assert rounded(Way.UP, step, exact, SECOND) == Fraction(recorded)


def test_down() -> None:
    assert rounded(Way.DOWN, "0.01", "123.019") == Fraction("123.01")


def test_every_exact_hundredth_stays_what_it_is() -> None:
    """Binary arithmetic is wrong for 573 of these: 0.07 becomes 0.08."""
    for number in range(10_000):
        exact = f"{number // 100}.{number % 100:02d}0"
        assert rounded(Way.UP, "0.01", exact, SECOND) == Fraction(exact), exact


@pytest.mark.parametrize("way", [Way.NEAREST_TIES_UP, Way.NEAREST_TIES_TO_EVEN])
@pytest.mark.parametrize(
    ("step", "exact", "nearest"),
    [
        ("0.1", "12.223", "12.2"),
        ("0.1", "12.251", "12.3"),
        ("0.1", "12.275", "12.3"),
        ("10", "1222.3", "1220"),
        ("10", "1225.1", "1230"),
        ("10", "1227.5", "1230"),
        ("0.1", "12.254", "12.3"),  # in two stages, by way of 12.25, the even rule would give 12.2
        ("0.1", "2.651", "2.7"),
        ("0.01", "0.3552", "0.36"),
        ("0.1", "15.205", "15.2"),
    ],
)
def test_to_the_nearest_where_there_is_no_tie(way: Way, step: str, exact: str, nearest: str) -> None:
    assert rounded(way, step, exact) == Fraction(nearest)


@pytest.mark.parametrize(
    ("step", "exact", "even", "up"),
    [
        ("0.1", "12.25", "12.2", "12.3"),
        ("0.1", "12.35", "12.4", "12.4"),  # in binary 12.35 lies below the middle
        ("10", "1225.0", "1220", "1230"),
        ("10", "1235.0", "1240", "1240"),
        ("0.01", "123.455", "123.46", "123.46"),
    ],
)
def test_ties_by_both_rules(step: str, exact: str, even: str, up: str) -> None:
    assert rounded(Way.NEAREST_TIES_TO_EVEN, step, exact) == Fraction(even)
    assert rounded(Way.NEAREST_TIES_UP, step, exact) == Fraction(up)


def test_decimal_arithmetic_agrees() -> None:
    random = Random("decimal")
    for _ in range(2_000):
        places, exact = random.randint(0, 3), Decimal(random.randint(0, 10**7)).scaleb(-random.randint(0, 5))
        step = Decimal(1).scaleb(-places)
        for way, other in (
            (Way.UP, ROUND_CEILING),
            (Way.NEAREST_TIES_UP, ROUND_HALF_UP),
            (Way.NEAREST_TIES_TO_EVEN, ROUND_HALF_EVEN),
        ):
            assert rounded(way, str(step), str(exact)) == Fraction(exact.quantize(step, other)), (way, exact)
