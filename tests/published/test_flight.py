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

# Private pilot airman certification standards, PA.V.A.S5, steep turns: altitude within 100 ft, bank 45 degrees
# within 5, roll out within 10 degrees of the entry heading,
# http://peterjungmann.com/Private%20Pilot%20ACS/References/V_Refs/V_Arefs.html (undated; seen). The roll-outs
# across north are worked out: 355 is 7 from 2, and 351 is 11.
_TURN = [
    (
        "002",
        "0:05 altitude_off 0 ft | 0:10 altitude_off 60 ft | 0:20 altitude_off 100 ft | 0:30 roll_out 355 deg",
        "GO",
        [],
    ),
    ("002", "0:05 altitude_off 101 ft | 0:30 roll_out 355 deg", "NO-GO", ["turn.altitude_off"]),
    ("002", "0:30 roll_out 351 deg", "NO-GO", ["turn.roll_out.out_of_order"]),
    ("002", "0:30 roll_out 352 deg", "GO", []),
    ("002", "0:30 roll_out 351.999999 deg", "NO-GO", ["turn.roll_out.out_of_order"]),
    ("002", "0:30 roll_out 12 deg", "GO", []),
    ("002", "0:30 roll_out 13 deg", "NO-GO", ["turn.roll_out.out_of_order"]),
    ("355", "0:30 roll_out 5 deg", "GO", []),
    ("355", "0:30 roll_out 5.1 deg", "NO-GO", ["turn.roll_out.out_of_order"]),
    ("180", "0:30 roll_out 170 deg", "GO", []),
    ("180", "0:05 bank 50 deg | 0:10 bank 40 deg | 0:30 roll_out 180 deg", "GO", []),
    ("180", "0:05 bank 39.9 deg", "NO-GO", ["turn.too_shallow"]),
    ("180", "0:05 bank 50.1 deg", "NO-GO", ["turn.too_steep"]),
]


@pytest.mark.parametrize(("heading", "entries", "expected", "paths"), _TURN)
def test_steep_turn(
    load: Load, written: Written, verdicts: Verdicts, heading: str, entries: str, expected: str, paths: list[str]
) -> None:
    standard = load(_HERE / "steep_turn.standard")
    facts = {"entry_heading": f"{heading} deg"}
    (verdict,) = verdicts(standard, entries, written(standard, f"0:00 entry | {entries}", {}, facts))
    assert verdict.outcome.value == expected
    assert [reason.path for attempt in verdict.events[0].attempts for reason in attempt.reasons] == paths
