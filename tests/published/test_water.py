"""Published water-skills standards: the rule files beside this one and the outcomes their sources give."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Written = Callable[..., bytes]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]

# Watermanship evaluation, https://en.wikiversity.org/wiki/Commercial_diving/Watermanship_evaluation (undated;
# seen): all items in order without a break, each attempt from the first item; after three common items the
# candidate chooses (a) belt of 5 % of the body mass, tread, rest, breath hold or (b) 15 min afloat, rest, breath
# hold. That 80 kg make 4 kg on the belt is worked out; so are the pounds, 1 lb being 0.45359237 kg.
_COMMON = "0:00 standing | 0:30 under_water 25 m | 10:30 freestyle 300 m | 13:30 backstroke 100 m"
_BELT = f"{_COMMON} | 13:40 belt_on 4 kg | 15:00 belted 50 m | 15:10 hands_on_head"
_WHOLE = f"{_BELT} | 16:10 side | 16:40 head_under | 17:00 head_up"
_FAILED = f"{_BELT} | 16:08 hands_down"
_AGAIN = (
    "1:00:00 standing | 1:00:30 under_water 25 m | 1:09:00 freestyle 300 m | 1:12:00 backstroke 100 m"
    " | 1:12:10 belt_on 4 kg | 1:14:00 belted 50 m | 1:14:10 hands_on_head | 1:15:40 head_under | 1:16:00 end"
)
_SEQUENCE = [
    (_WHOLE, "GO", []),
    (_FAILED, "UNFINISHED", ["sequence.choice.with_belt.tread.hands_down"]),
    (
        f"{_FAILED} | 1:00:00 standing | 1:00:05 hands_on_head",
        "UNFINISHED",
        ["sequence.choice.with_belt.tread.hands_down", "sequence.hands_on_head.out_of_order"],
    ),
    (f"{_FAILED} | {_AGAIN}", "GO", ["sequence.choice.with_belt.tread.hands_down"]),
    (
        "0:00 standing | 0:30 under_water 25 m | 10:31 freestyle 300 m",
        "UNFINISHED",
        ["sequence.swim.within"],
    ),
    (
        f"{_BELT} | 16:20 head_under",
        "UNFINISHED",
        ["sequence.choice.with_belt.hold.rest"],
    ),
    (
        f"{_BELT} | 16:39.9 head_under",
        "UNFINISHED",
        ["sequence.choice.with_belt.hold.rest"],
    ),
    (f"{_BELT} | 16:40 head_under | 16:59.9 head_up", "UNFINISHED", ["sequence.choice.with_belt.hold.head_up"]),
    (f"{_COMMON} | 13:40 afloat | 29:10 head_under | 29:30 end", "GO", []),
    (f"{_COMMON} | 13:40 afloat | 28:39.9 side", "UNFINISHED", ["sequence.choice.without_belt.float.side"]),
    (f"{_COMMON} | 13:40 belt_on 3.999999 kg", "UNFINISHED", ["sequence.choice.belt_on"]),
    (f"{_COMMON} | 13:40 belt_on 8.818490 lb", "UNFINISHED", ["sequence.choice.belt_on"]),
    (f"{_COMMON} | 13:40 belt_on 8.818491 lb", "UNFINISHED", []),
    ("0:00 standing | 0:20 surfaced", "UNFINISHED", ["sequence.dive.surfaced"]),
    (f"{_COMMON} | 13:35 stopped", "UNFINISHED", ["sequence.stopped"]),
]


@pytest.mark.parametrize(("entries", "expected", "paths"), _SEQUENCE)
def test_watermanship(
    load: Load, written: Written, verdicts: Verdicts, entries: str, expected: str, paths: list[str]
) -> None:
    standard = load(_HERE / "watermanship_sequence.standard")
    (verdict,) = verdicts(standard, entries, written(standard, entries, {}, {"body_mass": "80 kg"}))
    assert verdict.outcome.value == expected
    assert [reason.path for attempt in verdict.events[0].attempts for reason in attempt.reasons] == paths


def test_the_share_is_in_the_unit_of_the_fact(load: Load, written: Written, verdicts: Verdicts) -> None:
    standard = load(_HERE / "watermanship_sequence.standard")
    entries = f"{_COMMON} | 13:40 belt_on 3.5 kg"
    (verdict,) = verdicts(standard, entries, written(standard, entries, {}, {"body_mass": "80 kg"}))
    (reason,) = verdict.events[0].attempts[0].reasons
    assert (str(reason.figure), str(reason.margin)) == ("3.5 kg", "-0.5 kg")
    (verdict,) = verdicts(standard, entries, written(standard, entries, {}))
    assert [(reason.kind.value, reason.path) for reason in verdict.reasons] == [
        ("not stated", "candidate.body_mass")
    ]


# Survival swim, https://myspheres.ca/en/supplemental-reading/outdoor-survival/simw-to-survive (undated; seen):
# roll into deep water, tread 1 min, swim 50 m.
_SURVIVE = [
    ("0:00 rolled_in | 1:00 stopped | 2:30 swum 50 m", "GO", []),
    ("0:00 rolled_in | 0:59.9 stopped", "NO-GO", ["survive.tread.stopped"]),
    ("0:00 rolled_in | 0:30 swum 50 m", "NO-GO", ["survive.swum.out_of_order"]),
    ("0:00 rolled_in | 1:30 swum 25 m | 2:00 swum 24.999999 m", "UNFINISHED", []),
]


@pytest.mark.parametrize(("entries", "expected", "paths"), _SURVIVE)
def test_roll_tread_swim(
    load: Load, written: Written, verdicts: Verdicts, entries: str, expected: str, paths: list[str]
) -> None:
    standard = load(_HERE / "roll_tread_swim.standard")
    (verdict,) = verdicts(standard, entries, written(standard, entries, {}))
    assert verdict.outcome.value == expected
    assert [reason.path for attempt in verdict.events[0].attempts for reason in attempt.reasons] == paths
