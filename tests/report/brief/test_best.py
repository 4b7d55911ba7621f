"""The best of several tries, and what says that no other follows; scores for some of the candidates, rounded."""

from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.brief import sketch
from standfast.report.brief.course import tries
from standfast.report.brief.outline import outline
from standfast.report.brief.setting import Setting, Voice
from standfast.source import Source

_SHIPPED = Path(__file__).resolve().parents[3] / "standards" / "best_throw" / "best_throw.standard"


@pytest.fixture(scope="module")
def standard() -> Standard:
    standard, _ = load_standard(Source(_SHIPPED.name, _SHIPPED.read_text(encoding="utf-8")))
    assert standard is not None
    return standard


@pytest.mark.parametrize(
    ("voice", "start"), [(Voice.CANDIDATE, "You have 3 tries: "), (Voice.GRADER, "3 tries: ")]
)
def test_how_long_tries_go_on_and_which_counts(standard: Standard, voice: Voice, start: str) -> None:
    throw, haul = standard.events
    seen = "“The judge reads the tape where the line fell”" if voice is Voice.CANDIDATE else "`tape`"
    assert tries(throw, Setting(standard, voice, throw, throw.clause)) == (
        f"{start}one that succeeds passes the event, and more may follow until it is said that no other does, "
        "they are used up, the next event begins or the test ends. The one that counts is that with the greatest "
        f"figure: the reading of {seen}."
    )
    assert "more may follow until they are used up, the next event begins or the test ends." in tries(
        haul, Setting(standard, voice, haul, haul.clause)
    )


def test_that_no_other_try_follows(standard: Standard) -> None:
    said = {each.path: each.text for each in outline(standard, Voice.GRADER).said()}
    assert said["throw.out_waived"] == (
        "On `waived`, in a try or between two: no other try follows, and the event is passed if one has "
        "succeeded, else failed."
    )


def test_whose_points_and_how_a_figure_is_rounded(standard: Standard) -> None:
    said = {each.path: each.text for each in outline(standard, Voice.GRADER).said()}
    assert said["haul.score_age_under_40"] == (
        "Points to candidates with age under 40 for the time, rounded up to 1 second, given at `landed`; the "
        "first of these that fits counts: 5 points if it is at most 30 seconds; 2 points if it is at most 45 "
        "seconds; otherwise 1 point."
    )
    assert "Points to candidates with age at least 40 for the time" in said["haul.score_age_at_least_40"]


def test_the_picture_says_which_try_counts_and_when_the_event_is_over(standard: Standard) -> None:
    _, throw, haul = (text for text in map(str, _drawn(standard)))
    assert "3 tries, the one with the greatest reading tape counts" in throw
    assert "the try succeeds, and another may follow" in throw
    assert "no other try, all tries used up, the next event begins or the test ends: a try has succeeded" in throw
    assert "none has" in throw and "event NO-GO" in throw
    assert "2 tries, the one with the least time counts" in haul
    assert "points, rounded up to 1 second, for age under 40: time at most 30 seconds: 5" in haul


def _drawn(standard: Standard) -> list[list[str]]:
    """All that is drawn, of the whole test and of each event."""
    return [[text for _, text in piece.lines()] for piece in sketch.pieces(standard)]
