from datetime import date
from fractions import Fraction

import pytest

from standfast.quantity import UNITS, Quantity, count
from standfast.report.brief.spoken import amount, counted, day, listed, ordinal, plural, times


def quantity(*parts: tuple[str, str]) -> Quantity:
    return Quantity(tuple((Fraction(number), UNITS[unit]) for number, unit in parts))


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ([("1", "min"), ("40", "s")], "1 minute 40 seconds"),
        ([("90", "s")], "90 seconds"),
        ([("1", "s")], "1 second"),
        ([("300", "s")], "5 minutes"),
        ([("7200", "s")], "2 hours"),
        ([("150.5", "min")], "2 hours 30 minutes 30 seconds"),
        ([("1.5", "h")], "1.5 hours"),
        ([("1", "h"), ("90", "s")], "1 hour 1 minute 30 seconds"),
        ([("500", "ms")], "500 milliseconds"),
        ([("1500", "ms")], "1.5 seconds"),
        ([("0", "s")], "0 seconds"),
        ([("2.5", "m")], "2.5 metres"),
        ([("1", "ft")], "1 foot"),
        ([("9", "ft")], "9 feet"),
        ([("25", "kt")], "25 knots"),
    ],
)
def test_amounts_as_people_say_them(parts: list[tuple[str, str]], said: str) -> None:
    assert amount(quantity(*parts)) == said


def test_a_count_is_its_number() -> None:
    assert amount(count(3)) == "3"


@pytest.mark.parametrize("unit", sorted(UNITS))
def test_every_unit_has_its_words(unit: str) -> None:
    one, two = amount(quantity(("1", unit))), amount(quantity(("2", unit)))
    assert one.startswith("1 ") and two == f"2 {plural(UNITS[unit])}" and len(two) >= len("2 feet")


def test_numbers() -> None:
    assert [times(number) for number in (1, 2, 3)] == ["once", "twice", "3 times"]
    assert [counted(number, "try", "tries") for number in (1, 2)] == ["1 try", "2 tries"]
    wanted = ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "102nd", "111th"]
    assert [ordinal(int(each[:-2])) for each in wanted] == wanted


def test_days_and_lists() -> None:
    assert day(date(2026, 3, 1)) == "1 March 2026"
    assert [listed(list(names)) for names in ("a", "ab", "abc")] == ["a", "a and b", "a, b and c"]
