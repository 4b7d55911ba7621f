"""Several watches on one try: which reading is the official time.

Sources:
- FINA SW 11.2, 11.3.1 to 11.3.3, seen (https://www.fina.org/content/sw-11-timing): two of three manual
  watches that agree, else the middle one; of two watches the average. Automatic times are recorded to 0.01 s, and
  a third digit is neither recorded nor used. The inputs are our own. The rule does not say how an average of three
  decimals is recorded; that it is dropped (58.225 s to 58.22 s) is common practice, from memory.
- A club's guide for timekeepers of foot races, seen (http://minortrack.netfirms.com/guidelines5.htm): one watch is
  the time, of two that differ the longer one, of three the two that agree, else the middle one. World Athletics
  technical rule 19 says the same (from memory), and hand times go up to the next 0.1 s.
"""

import json
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source
from standfast.verdict import Figured, Outcome, Reason, Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]


def _log(standard: Standard, mark: str, readings: str) -> bytes:
    lines: list[dict[str, object]] = [
        {"session": "s", "standard": standard.name, "candidate": "C-1"},
        {"at": "0:00", "mark": "go"},
    ]
    lines += [{"at": "1:40", "mark": mark, "value": f"{reading} s"} for reading in readings.split()]
    lines.append({"at": "2:00", "mark": "recorded"})
    return "".join(json.dumps(line) + "\n" for line in lines).encode()


def _graded(load: Load, verdicts: Verdicts, name: str, readings: str) -> Verdict:
    standard = load(_HERE / f"{name}.standard")
    (verdict,) = verdicts(standard, "watches.jsonl", _log(standard, "watch", readings))
    return verdict


def _official(verdict: Verdict) -> Figured:
    (figure,) = verdict.events[0].attempts[0].figures
    return figure


@pytest.mark.parametrize(
    ("readings", "official"),
    [
        ("58.21 58.21 58.34", "58.21"),
        ("58.21 58.34 58.34", "58.34"),
        ("58.34 58.21 58.27", "58.27"),
        ("58.20 58.24", "58.22"),
        ("58.21 58.24", "58.22"),  # the average is 58.225
        ("58.21", "58.21"),
    ],
)
def test_swimming_by_manual_watches(load: Load, verdicts: Verdicts, readings: str, official: str) -> None:
    figure = _official(_graded(load, verdicts, "swim_watches", readings))
    assert (figure.path, figure.figure.amount) == ("swim.reading_watch", Fraction(official))


@pytest.mark.parametrize("exact", ["51.141", "51.149"])
def test_a_third_digit_of_an_automatic_time_is_not_used(load: Load, verdicts: Verdicts, exact: str) -> None:
    standard = load(_HERE / "swim_watches.standard")
    log = (
        _log(standard, "watch", "58.21")
        + "".join(
            json.dumps(line) + "\n"
            for line in (
                {"at": "3:00", "mark": "go"},
                {"at": "4:00", "mark": "plate", "value": f"{exact} s"},
                {"at": "4:10", "mark": "recorded"},
            )
        ).encode()
    )
    (verdict,) = verdicts(standard, "plates.jsonl", log)
    (figure,) = verdict.events[1].attempts[0].figures
    assert figure.figure.amount == Fraction("51.14")


@pytest.mark.parametrize(
    ("readings", "official"),
    [
        ("11.4", "11.4"),
        ("11.4 11.6", "11.6"),
        ("11.4 11.6 11.4", "11.4"),
        ("11.6 11.4 11.5", "11.5"),
        ("12.28 12.32", "12.4"),
        ("10.10 10.10", "10.1"),
    ],
)
def test_foot_races_by_hand_watches(load: Load, verdicts: Verdicts, readings: str, official: str) -> None:
    assert _official(_graded(load, verdicts, "foot_race_watches", readings)).figure.amount == Fraction(official)


@pytest.mark.parametrize("readings", ["", "11.4 11.4 11.4 11.4"])
def test_a_number_of_watches_without_a_rule_passes_nobody(load: Load, verdicts: Verdicts, readings: str) -> None:
    verdict = _graded(load, verdicts, "foot_race_watches", readings)
    assert verdict.outcome is Outcome.NO_GO
    (reason,) = verdict.events[0].attempts[0].reasons
    assert isinstance(reason, Reason)
    assert (reason.path, reason.figure, reason.readings) == ("race.reading_watch", None, len(readings.split()))


def test_a_mean_says_how_it_is_rounded() -> None:
    text = (_HERE / "swim_watches.standard").read_text(encoding="utf-8")
    unrounded = text.replace(", of 2 the mean, rounded down to 0.01 s", ", of 2 the mean")
    assert unrounded != text
    standard, found = load_standard(Source("swim_watches.standard", unrounded))
    assert standard is None
    assert [each.code.number for each in found] == ["M313"]
    assert "does not say how it is rounded" in found[0].message
