"""Durations of the rule language against ISO 8601 durations of fixed length.

Source: ISO 8601 durations, with their lengths as a public calendar library computes them (observed). Months and
years have no fixed length (the library gives none), so no limit can be written with them.
"""

from fractions import Fraction

import pytest

from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.model.rules import Limit
from standfast.source import Source

TEXT = """standard check "A check"
    edition "1"
    in force from 2026-03-01

marks
    go "The signal"
    ashore "Out of the water"

event swim "Swim"
    attempts 1
    start on go
    step home
        until ashore
        within {length}
"""


@pytest.mark.parametrize(
    ("iso", "written", "seconds"),
    [
        ("PT1M40S", "1 min 40 s", "100"),
        ("PT10M20S", "10 min 20 s", "620"),
        ("PT12M", "12 min", "720"),
        ("PT1.5H", "1.5 h", "5400"),
        ("PT0.5S", "0.5 s", "0.5"),
        ("PT36H", "36 h", "129600"),
        ("P1DT12H", "36 h", "129600"),
    ],
)
def test_a_fixed_length(iso: str, written: str, seconds: str) -> None:
    tree, found = read(Source("check.standard", TEXT.format(length=written)))
    assert (iso, found) == (iso, ())
    assert tree is not None
    standard, found = resolve(tree)
    assert (iso, found) == (iso, ())
    assert standard is not None
    lengths = [rule.test.first.base for rule in standard.rules() if isinstance(rule, Limit)]
    assert lengths == [Fraction(seconds) * 1_000_000]


@pytest.mark.parametrize(
    ("iso", "written"),
    [
        ("P1M", "1 month"),
        ("P3Y6M4DT12H30M5S", "3 years 6 months 4 days 12 h 30 min 5 s"),
        ("P0.5Y", "0.5 y"),
        ("P1M", "P1M"),
        ("PT1M40S", "PT1M40S"),
    ],
)
def test_no_fixed_length_and_no_other_notation(iso: str, written: str) -> None:
    tree, found = read(Source("check.standard", TEXT.format(length=written)))
    assert tree is None
    assert found, iso
    assert all(finding.span is not None and finding.span.line == 14 for finding in found)
