"""Published tolerances of flying: the rule file beside this one and the outcomes its source gives."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Written = Callable[..., bytes]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]

# Private pilot airman certification standards, PA.V.A.S5, steep turns: altitude within 100 ft, airspeed
# within 10 kt, bank 45 degrees within 5, roll out within 10 degrees of the entry heading,
# http://peterjungmann.com/Private%20Pilot%20ACS/References/V_Refs/V_Arefs.html (undated; seen). The roll-outs
# across north are worked out: 355 is 7 from 2, and 351 is 11.
_FLOWN = "0:05 altitude 3500 ft | 0:10 altitude 3560 ft | 0:20 altitude 3600 ft | 0:25 altitude 3540 ft"
_TURN = [
    ("2", f"{_FLOWN} | 0:30 roll_out 355 deg", "GO", []),
    ("2", "0:05 altitude 3601 ft | 0:30 roll_out 355 deg", "NO-GO", ["turn.each_altitude"]),
    ("2", "0:05 altitude 3400 ft | 0:06 altitude 3399.999999 ft", "NO-GO", ["turn.each_altitude"]),
    ("2", "0:05 altitude 1097.28 m | 0:30 roll_out 355 deg", "GO", []),
    ("2", "0:05 altitude 1097.280001 m", "NO-GO", ["turn.each_altitude"]),
    ("2", "0:30 roll_out 351 deg", "NO-GO", ["turn.last_roll_out"]),
    ("2", "0:30 roll_out 352 deg", "GO", []),
    ("2", "0:30 roll_out 351.999999 deg", "NO-GO", ["turn.last_roll_out"]),
    ("2", "0:30 roll_out 12 deg", "GO", []),
    ("2", "0:30 roll_out 13 deg", "NO-GO", ["turn.last_roll_out"]),
    ("355", "0:30 roll_out 5 deg", "GO", []),
    ("355", "0:30 roll_out 5.1 deg", "NO-GO", ["turn.last_roll_out"]),
    ("180", "0:30 roll_out 170 deg", "GO", []),
    ("180", "0:05 bank 50 deg | 0:10 bank 40 deg | 0:30 roll_out 180 deg", "GO", []),
    ("180", "0:05 bank 39.9 deg", "NO-GO", ["turn.each_bank"]),
    ("180", "0:05 airspeed 110 kt | 0:06 airspeed 90 kt | 0:07 airspeed 89.9 kt", "NO-GO", ["turn.each_airspeed"]),
]


def _facts(heading: str) -> dict[str, str]:
    return {"entry_heading": f"{heading} deg", "entry_altitude": "3500 ft", "entry_airspeed": "100 kt"}


@pytest.mark.parametrize(("heading", "entries", "expected", "paths"), _TURN)
def test_steep_turn(
    load: Load, written: Written, verdicts: Verdicts, heading: str, entries: str, expected: str, paths: list[str]
) -> None:
    standard = load(_HERE / "steep_turn.standard")
    (verdict,) = verdicts(standard, entries, written(standard, f"0:00 entry | {entries}", {}, _facts(heading)))
    assert verdict.outcome.value == expected
    assert [reason.path for attempt in verdict.events[0].attempts for reason in attempt.reasons] == paths


def test_the_margin_is_what_is_left_of_the_tolerance(load: Load, written: Written, verdicts: Verdicts) -> None:
    standard = load(_HERE / "steep_turn.standard")
    entries = f"0:00 entry | {_FLOWN} | 0:30 roll_out 355 deg"
    (verdict,) = verdicts(standard, entries, written(standard, entries, {}, _facts("2")))
    figures = {row.path: (str(row.figure), str(row.margin)) for row in verdict.events[0].attempts[0].figures}
    assert figures["turn.last_roll_out"] == ("355 deg", "3 deg")
    assert figures["turn.each_altitude"] == ("3600 ft", "0 ft")
