"""Units against published factors and conversions.

Sources:
- NIST Special Publication 811 (2008), appendix B. The page was seen; the digits below are from memory and were
  recomputed, so feet, inches and pounds have a witness that was seen too, and yards and miles are held to them.
- Candidate physical ability test, pages of fire services (seen): 85 ft printed as 25.91 m, 12.5 lb as 5.67 kg, a
  vest of 50 lb as 22.68 kg.
- Conversion table of a coastal engineering report (seen): 0.3048 m a foot, 2.54 cm an inch, 0.4535924 kg a pound.
- Work capacity tests for wildland firefighters (seen): 3 mi with 45 lb, 2 mi with 25 lb; in metric recomputed.
"""

from fractions import Fraction

import pytest

from standfast.quantity import RATES, UNITS, Dimension


def size(number: str, unit: str) -> Fraction:
    return Fraction(number) * UNITS[unit].factor


def rounded(amount: Fraction, places: int) -> Fraction:
    """To the nearest in the last place, as a page prints it; none of the amounts here is a tie."""
    return Fraction(round(amount * 10**places), 10**places)


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        ("ft", "0.3048"),
        ("yd", "0.9144"),
        ("mi", "1609.344"),
        ("lb", "0.45359237"),
        ("inch", "0.0254"),
        ("nmi", "1852"),
    ],
)
def test_factors_of_sp_811(unit: str, factor: str) -> None:
    """Page seen, digits from memory; the nautical mile is the one whose only other witness is the knot."""
    assert UNITS[unit].factor == Fraction(factor)


@pytest.mark.parametrize(
    ("number", "unit", "printed", "places"),
    [
        ("85", "ft", "25.91", 2),
        ("12.5", "lb", "5.67", 2),
        ("50", "lb", "22.68", 2),
        ("1", "ft", "0.3048", 4),
        ("1", "inch", "0.0254", 4),
        ("1", "lb", "0.4535924", 7),
    ],
)
def test_conversions_seen_in_print(number: str, unit: str, printed: str, places: int) -> None:
    assert rounded(size(number, unit), places) == Fraction(printed)


@pytest.mark.parametrize(
    ("number", "unit", "base"),
    [
        ("300", "yd", "274.32"),
        ("85", "ft", "25.908"),
        ("36", "ft", "10.9728"),
        ("12.5", "lb", "5.669904625"),
        ("50", "lb", "22.6796185"),
        ("3", "mi", "4828.032"),
        ("2", "mi", "3218.688"),
        ("45", "lb", "20.41165665"),
        ("25", "lb", "11.33980925"),
    ],
)
def test_conversions_recomputed(number: str, unit: str, base: str) -> None:
    assert size(number, unit) == Fraction(base)


def test_units_that_are_defined_by_each_other() -> None:
    assert size("1", "yd") == size("3", "ft") == size("36", "inch")
    assert size("1", "mi") == size("1760", "yd")
    assert size("1", "kt") * 3600 == size("1", "nmi")
    assert size("1", "mph") * 3600 == size("1", "mi")
    assert size("3.6", "km/h") == size("1", "m/s")
    assert size("1", "km") == size("1000", "m") == size("100000", "cm") == size("1000000", "mm")
    assert size("1", "kg") == size("1000", "g")
    assert size("1", "h") == size("60", "min") == size("3600", "s") == size("3600000", "ms")


def test_every_unit_is_exact_and_has_a_size() -> None:
    units = (*UNITS.values(), *RATES.values())
    assert all(isinstance(unit.factor, Fraction) and unit.factor > 0 for unit in units)
    assert {unit.dimension for unit in units} == set(Dimension) - {Dimension.COUNT, Dimension.SHARE}
