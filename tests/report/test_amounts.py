from fractions import Fraction

import pytest

from standfast.quantity import COUNT, UNITS, clock
from standfast.report.amounts import exact_clock, figure_text, is_rounded, margin_text
from standfast.verdict import spoken

METRE, SECOND = UNITS["m"], UNITS["s"]


@pytest.mark.parametrize(
    ("micros", "short", "exact"),
    [
        (0, "0:00", "0:00.000000"),
        (62_400_000, "1:02.4", "1:02.400000"),
        (1, "0:00.000001", "0:00.000001"),
        (3_599_999_999, "59:59.999999", "59:59.999999"),
        (3_600_000_000, "1:00:00", "60:00.000000"),
        (36_061_500_000, "10:01:01.5", "601:01.500000"),
    ],
)
def test_instants(micros: int, short: str, exact: str) -> None:
    assert clock(micros) == short
    assert exact_clock(micros) == exact


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        (Fraction(1, 3), "~0.333 m"),
        (Fraction(2, 3), "~0.666 m"),
        (Fraction(-1, 3), "~-0.334 m"),
        (Fraction(0), "0 m"),
        (Fraction(-1, 2), "-0.5 m"),
        (Fraction(1, 10**6), "0.000001 m"),
        (Fraction(3, 10**7), "~0 m"),
    ],
)
def test_a_margin_is_rounded_towards_broken(amount: Fraction, text: str) -> None:
    margin = spoken(amount, METRE)
    assert margin_text(margin) == text
    assert is_rounded(margin) is text.startswith("~")


def test_a_figure_is_rounded_towards_the_side_its_limit_forbids() -> None:
    least = spoken(Fraction(31, 3), METRE), spoken(Fraction(1, 3), METRE)  # at least 10 m
    most = spoken(Fraction(29, 3), METRE), spoken(Fraction(1, 3), METRE)  # at most 10 m
    assert figure_text(*least) == "~10.333 m"
    assert figure_text(*most) == "~9.667 m"


def test_a_minute_or_more_is_also_shown_as_a_clock() -> None:
    assert margin_text(spoken(Fraction(599, 10), SECOND)) == "59.9 s"
    assert margin_text(spoken(Fraction(648, 10), SECOND)) == "64.8 s (1:04.8)"
    assert margin_text(spoken(Fraction(-90), SECOND)) == "-90 s (-1:30)"
    assert figure_text(spoken(Fraction(3), COUNT), None) == "3"
