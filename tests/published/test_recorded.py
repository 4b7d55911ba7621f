"""Rounding as written in a rule file: recorded times and lengths. The sources are those of `test_rounding.py`."""

import json
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]
_TOGETHER = 10
"""Readings in one log."""


def _recorded(load: Load, verdicts: Verdicts, mark: str, readings: list[str]) -> list[Fraction]:
    """What is recorded of each reading, one attempt for each."""
    standard = load(_HERE / "recorded_times.standard")
    lines: list[dict[str, str]] = [{"session": "s", "standard": standard.name, "candidate": "C-1"}]
    for number, reading in enumerate(readings):
        lines.append({"at": f"{number}:00", "mark": mark, "value": reading})
        lines.append({"at": f"{number}:30", "mark": "recorded"})
    (verdict,) = verdicts(standard, "record.jsonl", "".join(json.dumps(line) + "\n" for line in lines).encode())
    figures = [figure for event in verdict.events for attempt in event.attempts for figure in attempt.figures]
    return [figure.figure.amount for figure in figures]


@pytest.mark.parametrize(
    ("mark", "exact", "recorded"),
    [
        ("hand", "12.32 s", "12.4"),
        ("hand", "10.11 s", "10.2"),
        ("hand", "10.10 s", "10.1"),
        ("transponder", "2 h 9 min 44.3 s", "7785"),  # 2:09:45
        ("transponder", "2 h 9 min 44.0 s", "7784"),
        ("photo", "9.571 s", "9.58"),
        ("photo", "9.570 s", "9.57"),
        ("long_photo", "59 min 26.32 s", "3566.4"),  # 59:26.4
        ("to_even", "12.223 m", "12.2"),
        ("to_even", "12.251 m", "12.3"),
        ("to_even", "12.275 m", "12.3"),
        ("to_even", "12.254 m", "12.3"),  # in two stages, by way of 12.25, it would become 12.2
        ("to_even", "12.25 m", "12.2"),
        ("to_even", "12.35 m", "12.4"),
        ("to_upper", "12.25 m", "12.3"),
        ("to_upper", "12.35 m", "12.4"),
        ("tens_to_even", "1222.3 m", "1220"),
        ("tens_to_even", "1225.1 m", "1230"),
        ("tens_to_even", "1227.5 m", "1230"),
        ("tens_to_even", "1225.0 m", "1220"),
        ("tens_to_even", "1235.0 m", "1240"),
        ("tens_to_upper", "1225.0 m", "1230"),
        ("tens_to_upper", "1235.0 m", "1240"),
    ],
)
def test_what_is_recorded(load: Load, verdicts: Verdicts, mark: str, exact: str, recorded: str) -> None:
    assert _recorded(load, verdicts, mark, [exact]) == [Fraction(recorded)]


def test_every_exact_hundredth_of_a_hundred_seconds_is_recorded_as_it_is(load: Load, verdicts: Verdicts) -> None:
    """All 10,000; binary arithmetic is wrong for 573 of them, first for 0.070."""
    exact = [f"{number // 100}.{number % 100:02d}0" for number in range(10_000)]
    recorded = list[Fraction]()
    for first in range(0, len(exact), _TOGETHER):
        readings = [f"{each} s" for each in exact[first : first + _TOGETHER]]
        recorded += _recorded(load, verdicts, "photo", readings)
    assert recorded == [Fraction(each) for each in exact]
