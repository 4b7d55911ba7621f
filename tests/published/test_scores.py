"""Published points, floors and classes: the rule files beside this one and the outcomes their sources give."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Written = Callable[..., bytes]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]


def _verdict(name: str, entries: str, load: Load, written: Written, verdicts: Verdicts) -> Verdict:
    standard = load(_HERE / f"{name}.standard")
    (verdict,) = verdicts(standard, entries, written(standard, entries, {}))
    return verdict


def _points(verdict: Verdict) -> list[int]:
    return [scored.points for e in verdict.events for a in e.attempts for scored in a.scores]


# Stamina exercises of a dive leader course, seen: the rows of the 400 m swim, the float and the sum of at least
# 12 at https://www.divingfrontiers.com.au/padi-divemaster-course-watermanship-requirements.htm and
# https://www.scubaboard.com/community/threads/two-simple-questions.362108/post-5620455. The diary with 11, then
# 12 points: http://goferal.com/?p=500. The rows of snorkel and tow are not those of a source: their points are
# logged. A printed row `6:30-8:40` ends where the next begins, so each is read as `under`; the times beside an
# end are worked out.
def _stamina(swim: str, float_: str, snorkel: int, tow: int) -> str:
    def read(at: str, points: int) -> str:
        return "" if points == 1 else f" | {at} scored_{points}"

    first = f"0:00 go | {swim} home | 30:00 go{float_}"
    second = f"1:05:00 go{read('1:06:00', snorkel)} | 1:25:00 home"
    return f"{first} | {second} | 2:00:00 go{read('2:01:00', tow)} | 2:05:00 home"


@pytest.mark.parametrize(
    ("swim", "expected"),
    [("6:29.9", 5), ("6:30.0", 4), ("8:40.0", 3), ("11:00.0", 2), ("13:00.0", 2), ("13:00.1", 1)],
)
def test_rows_of_the_swim(load: Load, written: Written, verdicts: Verdicts, swim: str, expected: int) -> None:
    verdict = _verdict("stamina_points", f"0:00 go | {swim} home", load, written, verdicts)
    assert _points(verdict) == [expected]


def test_the_diary_with_eleven_points_then_twelve(load: Load, written: Written, verdicts: Verdicts) -> None:
    eleven = _verdict("stamina_points", _stamina("13:30", "", 2, 3), load, written, verdicts)
    assert (eleven.outcome.value, eleven.points, _points(eleven)) == ("NO-GO", 11, [1, 5, 2, 3])
    assert [reason.path for reason in eleven.reasons] == ["always.points"]
    twelve = _verdict("stamina_points", _stamina("13:30", "", 2, 4), load, written, verdicts)
    assert (twelve.outcome.value, twelve.points, _points(twelve)) == ("GO", 12, [1, 5, 2, 4])


@pytest.mark.parametrize(
    ("float_", "expected"),
    [
        ("", 5),
        (" | 44:00 hand_down", 3),
        (" | 40:00 hand_down", 5),
        (" | 35:00 held", 1),
        (" | 35:00 held | 36:00 held", 1),
        (" | 35:00 held | 36:00 held | 37:00 held", None),
    ],
)
def test_the_float(load: Load, written: Written, verdicts: Verdicts, float_: str, expected: int | None) -> None:
    entries = f"0:00 go | 6:00 home | 30:00 go{float_} | 46:00 end"
    verdict = _verdict("stamina_points", entries, load, written, verdicts)
    assert _points(verdict) == ([5] if expected is None else [5, expected])


def test_three_fives_and_an_incomplete_exercise_are_no_pass(
    load: Load, written: Written, verdicts: Verdicts
) -> None:
    whole = _stamina("6:00", "", 5, 5)
    stopped = whole.removesuffix("2:05:00 home") + "2:04:00 stopped"
    verdict = _verdict("stamina_points", stopped, load, written, verdicts)
    assert (verdict.outcome.value, verdict.points, _points(verdict)) == ("UNFINISHED", None, [5, 5, 5])


def _refused(name: str, *changed: tuple[str, str]) -> list[tuple[str, str]]:
    text = (_HERE / f"{name}.standard").read_text(encoding="utf-8")
    for old, new in changed:
        assert old in text
        text = text.replace(old, new)
    standard, found = load_standard(Source("printed", text))
    assert standard is None
    return [(each.code.number, each.message) for each in found]


def test_the_printed_rows_overlap() -> None:
    """8:40 and 11:00 stand in two rows each."""
    found = _refused(
        "stamina_points",
        ("under 8 min 40 s gives 4", "from 6 min 30 s to 8 min 40 s gives 4"),
        ("under 11 min gives 3", "from 8 min 40 s to 11 min gives 3"),
        ("at most 13 min gives 2", "from 11 min to 13 min gives 2"),
    )
    assert [code for code, _ in found] == ["M370", "M370", "M370"]
    assert "which row has `8 min 40 s` itself" in found[0][1] and "`11 min`" in found[2][1]
    (clock,) = _refused("stamina_points", ("under 8 min 40 s gives 4", "6:30 to 8:40 gives 4"))
    assert clock[0] == "R180" and "which row has `8 min 40 s` itself" in clock[1]


# Step test classes, seen:
# https://cdquestions.com/exams/questions/mention-the-fitness-index-score-formula-and-its-no-
# 67c00a147b7db1f854451004: over 96 excellent, 83-96 good, 68-82 average, under 68 poor. After five full minutes
# the index is 15000 by the beats P of three half-minutes, so that the classes are P up to 156, 157 to 180, 183 to
# 220, from 221 on (worked out). P = 181 and 182 (index 82.87 and 82.42) belong to no printed class.
def test_the_printed_classes_leave_a_hole() -> None:
    found = _refused(
        "pulse_classes",
        ("under 181 gives 3", "from 157 to 180 gives 3"),
        ("under 221 gives 2", "from 183 to 220 gives 2"),
    )
    assert found == [
        ("M371", "no row has what lies between `180` and `183`"),
        ("M371", "no row has what lies between `180` and `183`"),
    ]


def test_the_classes_as_printed_are_refused_and_the_hole_is_named() -> None:
    """The index has no unit and every measure of the language has one: a metre stands for one of it here."""
    found = _refused(
        "pulse_classes",
        ('beat "A beat of the pulse"', 'index in m "The index is worked out"'),
        ("score from count of beat", "score from last of index"),
        ("under 157 gives 4", "over 96 m gives 4"),
        ("under 181 gives 3", "from 83 m to 96 m gives 3"),
        ("under 221 gives 2", "from 68 m to 82 m gives 2"),
    )
    assert found == [("M371", "no row has what lies between `82 m` and `83 m`")] * 2


@pytest.mark.parametrize(("beats", "expected"), [(156, 4), (157, 3), (180, 3), (182, 2), (200, 2), (221, 1)])
def test_classes_without_a_hole(
    load: Load, written: Written, verdicts: Verdicts, beats: int, expected: int
) -> None:
    entries = " | ".join(["0:00 go", *["1:00 beat"] * beats, "3:30 counted"])
    assert _points(_verdict("pulse_classes", entries, load, written, verdicts)) == [expected]


# A five-event fitness test, seen (secondary): at least 60 points in every event and 300 in all, 350 for the
# combat standard, https://www.usamm.com/blogs/news/army-fitness-test-aft-new-standards-guide. That 350 is in this
# source only.
@pytest.mark.parametrize(
    ("points", "outcome", "total", "grade", "paths"),
    [
        ((60, 60, 60, 60, 60), "GO", 300, "general", []),
        ((70, 70, 70, 70, 70), "GO", 350, "combat", []),
        ((100, 100, 100, 100, 59), "NO-GO", None, None, ["run.points"]),
    ],
)
def test_floors_and_a_total(
    load: Load,
    written: Written,
    verdicts: Verdicts,
    points: tuple[int, ...],
    outcome: str,
    total: int | None,
    grade: str | None,
    paths: list[str],
) -> None:
    entries = " | ".join(
        f"{10 * n}:00 go | {10 * n}:30 scored_{p} | {10 * n}:40 done" for n, p in enumerate(points)
    )
    verdict = _verdict("five_event_floors", entries, load, written, verdicts)
    assert (verdict.outcome.value, verdict.points, verdict.grade) == (outcome, total, grade)
    assert [r.path for e in verdict.events for a in e.attempts for r in a.reasons] == paths


# Two-mile run of the 2020 edition, seen in a printed guide to the test (Wiley 2020, chapters 2 and 3): 21:00
# gives 60, 19:00 65, 18:00 70, 13:30 100. Nothing is said of times between the rows: here each row reaches to the
# next.
@pytest.mark.parametrize(
    ("home", "points", "paths"),
    [
        ("13:30", [100], []),
        ("13:30.1", [70], []),
        ("18:00", [70], []),
        ("19:00", [65], []),
        ("21:00", [60], []),
        ("21:00.1", [], ["run.score"]),
    ],
)
def test_the_run_table(
    load: Load, written: Written, verdicts: Verdicts, home: str, points: list[int], paths: list[str]
) -> None:
    verdict = _verdict("run_table", f"0:00 go | {home} home", load, written, verdicts)
    assert _points(verdict) == points
    assert [r.path for e in verdict.events for a in e.attempts for r in a.reasons] == paths


# The least for 60 points at thirty, combat standard, seen:
# https://www.wusf.org/health-news-florida/2025-07-15/could-you-pass-the-armys-physical-fitness-test
# Deadlift 150 lb (68.0388555 kg), 14 push-ups in 2 min, sprint, drag and carry in 2:32, plank for 1:20, run in
# 19:45.
# What lies beside each is worked out.
_PUSHES = " | ".join(["5:10 push"] * 14)
_LEAST = (
    "0:00 go | 1:00 lifted 150 lb",
    f"5:00 go | {_PUSHES}",
    "10:00 go | 12:32 home",
    "20:00 go",
    "30:00 go | 49:45 home",
)


@pytest.mark.parametrize(
    ("place", "event", "outcome", "paths"),
    [
        (0, _LEAST[0], "GO", []),
        (0, "0:00 go | 1:00 lifted 68.038856 kg", "GO", []),
        (0, "0:00 go | 1:00 lifted 68.038855 kg", "NO-GO", ["deadlift.last_lifted"]),
        (1, f"5:00 go | {_PUSHES.removesuffix(' | 5:10 push')}", "NO-GO", ["push_up.at_least_push"]),
        (2, "10:00 go | 12:32.1 home", "NO-GO", ["sprint_drag_carry.within"]),
        (3, "20:00 go | 21:19.9 sagged", "NO-GO", ["plank.sagged"]),
        (3, "20:00 go | 21:20 sagged", "GO", []),
        (4, "30:00 go | 49:45.1 home", "NO-GO", ["run.within"]),
    ],
)
def test_the_least_of_five_events(
    load: Load, written: Written, verdicts: Verdicts, place: int, event: str, outcome: str, paths: list[str]
) -> None:
    entries = " | ".join((*_LEAST[:place], event, *_LEAST[place + 1 :]))
    verdict = _verdict("fitness_minimums", entries, load, written, verdicts)
    assert verdict.outcome.value == outcome
    assert [r.path for e in verdict.events for a in e.attempts for r in a.reasons] == paths


# The guide of 2020 (above): the whole test within 120 min, 5 min of rest between the first four events where one
# or two are tested, 10 min before the run from when the last of all has ended the event before it.
@pytest.mark.parametrize(
    ("from_others", "run", "outcome", "paths"),
    [
        ("55:00 all_done", "1:05:00 go | 1:25:00 done", "GO", []),
        ("55:00 all_done", "1:04:59.9 go", "NO-GO", ["whole.run.rest"]),
        ("40:00 all_done", "55:00 go | 2:00:00 done", "GO", []),
        ("40:00 all_done", "55:00 go | 2:00:00.1 done", "NO-GO", ["whole.within"]),
    ],
)
def test_rests_and_the_whole_time(
    load: Load, written: Written, verdicts: Verdicts, from_others: str, run: str, outcome: str, paths: list[str]
) -> None:
    four = "0:00 go | 5:00 done | 10:00 go | 15:00 done | 20:00 go | 25:00 done | 30:00 go | 35:00 done"
    verdict = _verdict("fitness_rests", f"{four} | {from_others} | {run}", load, written, verdicts)
    assert verdict.outcome.value == outcome
    assert [r.path for e in verdict.events for a in e.attempts for r in a.reasons] == paths
    early = _verdict("fitness_rests", four.replace("10:00 go", "9:59.9 go"), load, written, verdicts)
    assert [r.path for e in early.events for a in e.attempts for r in a.reasons] == ["whole.push.rest"]
