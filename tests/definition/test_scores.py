"""Rules 30 and 31: scores, points and grades, each a tick before, at and after its end."""

from collections.abc import Callable
from fractions import Fraction

import pytest

import standfast.definition
from standfast.log.entry import SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.cases import case_log, case_standard
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import Verdict

HEAD = """standard scored "Scored"
    edition "1"
    in force from 2026-01-01

marks
    go "A signal"
    hit "The end is touched"
    slip "A slip"
    load in kg "A load"

"""
TWO = """event swim
    attempts 1
    start on go
    in order legs
        points at least 3 "a floor"
        step away
            until hit
            score from time
                under 5 s gives 3
                at most 8 s gives 2
                otherwise gives 1
        step back
            until hit
            score
                count of slip at least 2 gives 0
                last of load at least 3 kg gives 4
                otherwise gives 1
"""
GRADES = """always
    points at most 6

grade high "High"
    points at least 6
    count of slip under 1

grade low
    points at least 4

"""
Judged = Callable[[str, str], Verdict]


@pytest.fixture
def judged() -> Judged:
    """The verdict both programs give; they must agree."""

    def judge(rules: str, entries: str) -> Verdict:
        lines = "".join(f"        {line.strip()}\n" for line in entries.split("|"))
        text = f'{HEAD}{rules}\ncase "it"\n    log\n{lines}    gives VOID\n'
        standard, found = load_standard(Source("scored", text))
        assert standard is not None, [(each.code.number, each.message) for each in found]
        (case,) = standard.cases
        about: Standard = case_standard(standard, case)
        log: SessionLog = case_log(standard, case)
        (machine,), (defined,) = replay(compile_standard(about), log), standfast.definition.judge(about, log)
        assert machine == defined
        return defined

    return judge


def _scores(verdict: Verdict) -> list[tuple[int, str]]:
    return [(s.points, s.words) for e in verdict.events for a in e.attempts for s in a.scores]


@pytest.mark.parametrize(
    ("first", "row"),
    [
        ("0:04.999999", "under 5 s gives 3"),
        ("0:05", "at most 8 s gives 2"),
        ("0:08", "at most 8 s gives 2"),
        ("0:08.000001", "otherwise gives 1"),
    ],
)
def test_the_first_row_that_fits_gives_the_points(judged: Judged, first: str, row: str) -> None:
    verdict = judged(TWO, f"0:00 go | {first} hit | 0:20 load 3 kg | 0:21 hit")
    assert _scores(verdict)[0] == (int(row[-1]), row)
    assert _scores(verdict)[1] == (4, "last of load at least 3 kg gives 4")
    assert verdict.points == int(row[-1]) + 4


def test_a_figure_that_is_not_there_fits_no_row(judged: Judged) -> None:
    verdict = judged(TWO, "0:00 go | 0:04 hit | 0:21 hit")
    assert _scores(verdict)[1] == (1, "otherwise gives 1")
    assert [s.figure for e in verdict.events for a in e.attempts for s in a.scores][1] is None


def test_a_floor_is_judged_with_the_points_of_what_is_inside(judged: Judged) -> None:
    kept = judged(TWO, "0:00 go | 0:05 hit | 0:21 hit")
    assert (kept.outcome.value, kept.points) == ("GO", 3)
    broken = judged(TWO, "0:00 go | 0:09 hit | 0:21 hit")
    (reason,) = broken.events[0].attempts[0].reasons
    assert (reason.path, str(reason.figure), str(reason.margin)) == ("swim.legs.points", "2", "-1")


def test_a_score_that_fails_acts_after_the_limits(judged: Judged) -> None:
    rules = TWO.replace("otherwise gives 1", 'otherwise fails "too slow"', 1)
    (reason,) = judged(rules, "0:00 go | 0:08.000001 hit").events[0].attempts[0].reasons
    assert (reason.path, reason.words, reason.sentence) == ("swim.legs.away.score", "otherwise fails", "too slow")
    assert (str(reason.figure), str(reason.margin)) == ("8.000001 s", "-0.000001 s")
    limited = rules.replace(
        "            until hit\n", "            until hit\n            time at least 20 s\n", 1
    )
    (first,) = judged(limited, "0:00 go | 0:08.000001 hit").events[0].attempts[0].reasons
    assert first.path == "swim.legs.away.time"


ROUNDED = """event swim
    attempts 1
    start on go
    until hit
    score from time, rounded {}
        under 12.1 s gives 5
        at most 12.2 s gives 4
        otherwise fails
"""


@pytest.mark.parametrize(
    ("way", "at", "points", "figure"),
    [
        ("up to 0.1 s", "0:12", 5, "12 s"),
        ("up to 0.1 s", "0:12.000001", 4, "12.1 s"),
        ("up to 0.1 s", "0:12.2", 4, "12.2 s"),
        ("up to 0.1 s", "0:12.200001", None, "12.3 s"),
        ("down to 0.1 s", "0:12.099999", 5, "12 s"),
        ("down to 0.1 s", "0:12.1", 4, "12.1 s"),
        ("down to 0.1 s", "0:12.299999", 4, "12.2 s"),
        ("down to 0.1 s", "0:12.3", None, "12.3 s"),
        ("nearest to 0.1 s, ties up", "0:12.049999", 5, "12 s"),
        ("nearest to 0.1 s, ties up", "0:12.05", 4, "12.1 s"),
        ("nearest to 0.1 s, ties up", "0:12.25", None, "12.3 s"),
        ("nearest to 0.1 s, ties to even", "0:12.05", 5, "12 s"),
        ("nearest to 0.1 s, ties to even", "0:12.25", 4, "12.2 s"),
        ("nearest to 0.1 s, ties to even", "0:12.250001", None, "12.3 s"),
        # A step that the ends of the rows are no multiples of.
        ("nearest to 5 s, ties up", "0:12.499999", 5, "10 s"),
        ("nearest to 5 s, ties up", "0:12.5", None, "15 s"),
    ],
)
def test_the_rows_are_tried_on_the_rounded_figure(
    judged: Judged, way: str, at: str, points: int | None, figure: str
) -> None:
    verdict = judged(ROUNDED.format(way), f"0:00 go | {at} hit")
    (attempt,) = verdict.events[0].attempts
    if points is None:
        (reason,) = attempt.reasons
        assert (reason.path, str(reason.figure)) == ("swim.score", figure)
        assert reason.margin is not None and reason.margin.amount == Fraction("12.2") - Fraction(figure.split()[0])
    else:
        assert [(s.points, str(s.figure)) for s in attempt.scores] == [(points, figure)]


def test_a_restart_takes_the_points_of_its_clause_away(judged: Judged) -> None:
    rules = TWO.replace(
        "        points at least 3", "        restart on slip, at most once\n        points at least 3"
    )
    rules = rules.replace("restart on slip, at most once", 'restart on slip "again", at most once')
    verdict = judged(rules, "0:00 go | 0:04 hit | 0:05 slip | 0:11 hit | 0:12 load 3 kg | 0:13 hit")
    assert [points for points, _ in _scores(verdict)] == [2, 4]
    assert verdict.points == 6


@pytest.mark.parametrize(
    ("entries", "grade", "path"),
    [
        ("0:00 go | 0:06 hit | 0:07 load 3 kg | 0:08 hit", "high", None),
        ("0:00 go | 0:06 hit | 0:07 load 3 kg | 0:07 slip | 0:08 hit", "low", None),
        ("0:00 go | 0:04 hit | 0:08 hit", "low", None),
        ("0:00 go | 0:05 hit | 0:08 hit", None, "grades.low.points"),
        ("0:00 go | 0:04 hit | 0:07 load 3 kg | 0:08 hit", None, "always.points"),
    ],
)
def test_grades(judged: Judged, entries: str, grade: str | None, path: str | None) -> None:
    verdict = judged(GRADES + TWO, entries)
    assert (verdict.outcome.value, verdict.grade) == ("NO-GO" if grade is None else "GO", grade)
    assert [reason.path for reason in verdict.reasons] == ([] if path is None else [path])
    given = {figure.path.split(".")[1] for figure in verdict.figures if figure.path.startswith("grades.")}
    assert given == ({grade} if grade else set())


def test_a_case_of_one_event_judges_neither_grades_nor_the_total(judged: Judged) -> None:
    text = f'{HEAD}{GRADES}{TWO}\ncase "it"\n    log swim\n        0:00 go\n        0:05 hit\n        0:06 hit\n'
    standard, _ = load_standard(Source("scored", text + "    gives GO\n    gives points 3\n"))
    assert standard is not None
    about = case_standard(standard, standard.cases[0])
    assert (about.grades, about.always.limits) == ((), ())
    (verdict,) = replay(compile_standard(about), case_log(standard, standard.cases[0]))
    assert (verdict.outcome.value, verdict.points, verdict.grade) == ("GO", 3, None)
