"""Published physical ability tests: the rule files beside this one and the outcomes their sources give.

Each table: the log's entries, then the outcome, the path of the last reason, and in brackets what is owed first.
"""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Written = Callable[[Standard, str, Mapping[str, str | bool]], bytes]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]
Row = tuple[str, str]


@pytest.fixture(scope="session")
def outcome(
    load: Load, written: Written, verdicts: Verdicts
) -> Callable[[str, str, Mapping[str, str | bool]], str]:
    """The outcome of a log under a rule file of this folder, its last reason, and what is owed first."""

    def of(name: str, entries: str, conditions: Mapping[str, str | bool]) -> str:
        standard = load(_HERE / f"{name}.standard")
        (verdict,) = verdicts(standard, entries, written(standard, entries, conditions))
        reasons = [r for event in verdict.events for a in event.attempts for r in a.reasons] + [*verdict.reasons]
        owed = [f"({owed.path})" for owed in verdict.owed]
        return " ".join([verdict.outcome.value, *(reason.path for reason in reasons[-1:]), *owed[:1]])

    return of


Outcome = Callable[[str, str, Mapping[str, str | bool]], str]

# Work capacity tests for wildland fire crews. USFS brochure, https://docslib.org/doc/4158318/work-capacity-test
# and http://coloradofirecamp.com/pack-test/wct-brochure.htm (undated; seen, limits and masses recomputed): 3 mi
# with 45 lb in 45 min or less, 2 mi with 25 lb in 30 min or less, 1 mi in 16 min or less, walking only.
# 45 lb are 20 411.65665 g and 3 mi 4828.032 m exactly (NIST SP 811 app. B).
_PACK: list[Row] = [
    ("0:00 lined_up | 1:00 set_off arduous | 1:00 pack 45 lb | 46:00 walked 3 mi", "GO"),
    (
        "0:00 lined_up | 1:00 set_off arduous | 1:00 pack 45 lb | 46:00.1 walked 3 mi",
        "NO-GO walk.kind.arduous.within",
    ),
    ("0:00 lined_up | 1:00 set_off arduous | 1:00 pack 20411.65665 g | 46:00 walked 4828.032 m", "GO"),
    (
        "0:00 lined_up | 1:00 set_off arduous | 1:00 pack 20411.65664 g | 46:00 walked 3 mi",
        "NO-GO walk.kind.arduous.pack",
    ),
    (
        "0:00 lined_up | 1:00 set_off arduous | 1:00 pack 45 lb | 46:00 walked 4828.031999 m | 46:00.1 end",
        "NO-GO walk.kind.arduous.within",
    ),
    ("0:00 lined_up | 0:00 set_off arduous | 44:59 walked 3 mi", "NO-GO walk.kind.arduous.at_least_pack"),
    ("0:00 lined_up | 0:00 set_off arduous | 0:00 pack 50 lb | 20:00 ran | 40:00 walked 3 mi", "NO-GO walk.ran"),
    ("0:00 lined_up | 1:00 set_off moderate | 1:00 pack 25 lb | 31:00 walked 2 mi", "GO"),
    (
        "0:00 lined_up | 1:00 set_off moderate | 1:00 pack 25 lb | 31:00.1 walked 2 mi",
        "NO-GO walk.kind.moderate.within",
    ),
    ("0:00 lined_up | 1:00 set_off light | 17:00 walked 1609.344 m", "GO"),
    ("0:00 lined_up | 1:00 set_off light | 17:00.1 walked 1 mi", "NO-GO walk.kind.light.within"),
]


@pytest.mark.parametrize(("entries", "expected"), _PACK)
def test_work_capacity(outcome: Outcome, entries: str, expected: str) -> None:
    assert outcome("pack_walk", entries, {}) == expected


# Prerequisites of a lifeguard course. American Red Cross text as given at
# https://www.chicagolifeguard.com/swimming-pretest and https://www.hellbenderaquatics.com/page/lifeguarding-class
# (undated; seen). Edition 2: swim 150 yd, tread 2 min, swim 50 yd without a rest, then the object within
# 1 min 40 s. Edition 1, older: swim 300 yd, and tread 2 min apart from it.
_SWIM = "0:00 jumped_in | 0:01 submerged | 3:00 swum 150 yd"
_DONE = f"{_SWIM} | 6:00 swum 50 yd"
_OBJECT = f"{_DONE} | 10:00 go | 10:20 swum 20 yd | 10:40 surfaced with_object"
_CLEAR: Mapping[str, str | bool] = {"object_depth": "3.048 m", "object_mass": "4535.9237 g"}
_PREREQUISITE: list[Row] = [
    (f"{_OBJECT} | 11:20 swum 18.288 m | 11:40 left_water unaided", "GO"),
    (f"{_OBJECT} | 11:20 swum 20 yd | 11:40.1 left_water unaided", "NO-GO object.within"),
    (f"{_OBJECT} | 11:10 swum 20 yd | 11:20 left_water ladder", "NO-GO object.leave.left_water"),
    (f"{_DONE} | 10:00 go | 10:20 swum 20 yd | 10:40 surfaced empty_handed", "NO-GO object.dive.surfaced"),
    (f"{_DONE} | 10:00 go | 10:20 swum 20 yd | 11:41 end", "NO-GO object.within"),
    (f"{_DONE} | 10:00 go | 10:05 goggles", "NO-GO object.there.goggles"),
    (f"{_OBJECT} | 11:00 grip_lost", "NO-GO object.back.grip_lost"),
    (f"{_OBJECT} | 11:00 face_under", "NO-GO object.back.face_under"),
    (f"{_SWIM} | 3:50 held", "NO-GO swim_tread_swim.held"),
    (f"{_SWIM} | 3:50 hands_used", "NO-GO swim_tread_swim.tread.hands_used"),
    (f"{_SWIM} | 4:59.9 trod", "NO-GO swim_tread_swim.tread.trod"),
    (f"{_SWIM} | 5:00 trod | 6:00 swum 50 yd | 10:00 go | 10:20 swum 20 yd", "UNFINISHED (object.dive.goal)"),
    (f"{_SWIM} | 5:00 trod | 5:10 stopped", "NO-GO swim_tread_swim.stopped"),
    (f"{_SWIM} | 4:59.9 swum 50 yd | 5:00 end", "UNFINISHED (swim_tread_swim.home.goal)"),
]


@pytest.mark.parametrize(("entries", "expected"), _PREREQUISITE)
def test_swim_prerequisite(outcome: Outcome, entries: str, expected: str) -> None:
    assert outcome("swim_prerequisite_2", entries, _CLEAR) == expected


@pytest.mark.parametrize(
    ("object_depth", "object_mass", "expected"),
    [
        ("7 ft", "10 lb", "UNFINISHED (swim_tread_swim.submerge.goal)"),
        ("10 ft", "10 lb", "UNFINISHED (swim_tread_swim.submerge.goal)"),
        ("3.048001 m", "10 lb", "VOID conditions.object_depth"),
        ("3 m", "4.535924 kg", "VOID conditions.object_mass"),
    ],
)
def test_where_and_what_the_object_is(
    outcome: Outcome, object_depth: str, object_mass: str, expected: str
) -> None:
    conditions = {"object_depth": object_depth, "object_mass": object_mass}
    assert outcome("swim_prerequisite_2", "0:00 jumped_in", conditions) == expected


def test_who_passes_one_edition_only(outcome: Outcome) -> None:
    """200 yd in all pass the new swim and not the old; a rest before treading passes the old and not the new."""
    swum_200 = "0:00 jumped_in | 0:01 submerged | 3:00 swum 150 yd | 3:00 treads | 6:00 swum 50 yd"
    rested = "0:00 jumped_in | 0:01 submerged | 4:00 swum 300 yd | 4:10 held | 5:00 treads | 7:00 end"
    assert outcome("swim_prerequisite_1", f"{swum_200} | 6:00 end", {}) == "UNFINISHED (swim.goal)"
    assert outcome("swim_prerequisite_1", rested, {}) == "GO"
    new_swum, new_rested = (
        outcome("swim_prerequisite_2", entries.replace(" | 3:00 treads", "").replace(" | 5:00 treads", ""), _CLEAR)
        for entries in (swum_200, rested)
    )
    assert new_swum == "UNFINISHED (object.start)"
    assert new_rested == "NO-GO swim_tread_swim.held"


# The firefighter candidate physical ability test, as published at
# https://www.fireontario.com/services/occupational-assessment-cpat/stair-climb/,
# https://billingsmt.gov/766/Stair-Climb and https://jobmonkey.com/firefighting/cpat-for-firefighting (undated;
# seen): warm-up of 20 s, redone whole after a fall, the third fall fails; then 3 min on the stairs, a third
# violating touch fails; 10 min 20 s or less in all.
_GEAR: Mapping[str, str | bool] = {"vest": "50 lb", "shoulder_weights": "25 lb"}
_WARM = "0:00 ready | 0:10 stairs_on"
_STATIONS = (
    "4:00 done hose | 5:00 done kit | 6:00 done ladder | 7:00 done entry | 8:00 done search | 9:00 done rescue"
)
_CIRCUIT: list[Row] = [
    (f"{_WARM} | {_STATIONS} | 10:50 done ceiling", "GO"),
    (f"{_WARM} | {_STATIONS} | 10:50.1 done ceiling", "NO-GO circuit.timed.within"),
    (
        f"{_WARM} | 0:15 fell | 0:30 stairs_on | 0:49 fell | 1:00 stairs_on | 1:20 end",
        "UNFINISHED circuit.warm_up.fell (circuit.timed.stairs.goal)",
    ),
    (
        f"{_WARM} | 0:15 fell | 0:30 stairs_on | 0:49 fell | 1:00 stairs_on | 1:19 fell",
        "NO-GO circuit.warm_up.fell.at_most",
    ),
    (f"{_WARM} | 0:31 fell", "NO-GO circuit.timed.stairs.fell"),
    (f"{_WARM} | 1:00 leaned | 1:10 leaned | {_STATIONS} | 10:50 done ceiling", "GO"),
    (f"{_WARM} | 1:00 leaned | 1:10 leaned | 3:00 leaned", "NO-GO circuit.timed.stairs.leaned"),
    (f"{_WARM} | 4:00 done kit", "NO-GO circuit.timed.done.out_of_order"),
    (f"{_WARM} | 4:00 done hose | 4:10 ran", "NO-GO circuit.timed.ran"),
]


@pytest.mark.parametrize(("entries", "expected"), _CIRCUIT)
def test_eight_stations(outcome: Outcome, entries: str, expected: str) -> None:
    assert outcome("eight_station_circuit", entries, _GEAR) == expected


def test_the_third_fall_comes_before_the_clock(load: Load, written: Written, verdicts: Verdicts) -> None:
    standard = load(_HERE / "eight_station_circuit.standard")
    begun = {}
    for entries in (
        f"{_WARM} | 0:15 fell | 0:30 stairs_on | 0:49 fell | 1:00 stairs_on | 1:20 end",
        f"{_WARM} | 0:15 fell | 0:30 stairs_on | 0:49 fell | 1:00 stairs_on | 1:19 fell | 1:30 end",
    ):
        (verdict,) = verdicts(standard, entries, written(standard, entries, _GEAR))
        (attempt,) = verdict.events[0].attempts
        begun[verdict.outcome.value] = [m.at for m in attempt.moments if m.path == "circuit.timed"]
    assert begun == {"UNFINISHED": [80_000_000], "NO-GO": []}
