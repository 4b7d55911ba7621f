"""Published rules that were revised: what comparing two editions says, held against what is known of the change.

Every pair has a known log that tells the editions apart, or a direction in which all logs lie: it must lie in the
direction that is claimed.
"""

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from standfast.difference.behaviour import compare
from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source
from standfast.verdict import Verdict

_HERE = Path(__file__).resolve().parent
Written = Callable[[Standard, str, Mapping[str, str | bool]], bytes]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]
Known = Callable[[Comparison, str], tuple[str, str]]


def _standard(text: str) -> Standard:
    standard, found = load_standard(Source("edition", text))
    assert standard is not None, [diagnostic.message for diagnostic in found]
    return standard


def _file(name: str, *changes: tuple[str, str]) -> Standard:
    text = (_HERE / f"{name}.standard").read_text(encoding="utf-8")
    for was, now in changes:
        assert was in text
        text = text.replace(was, now)
    return _standard(text)


@pytest.fixture
def known(written: Written, verdicts: Verdicts) -> Known:
    """The outcomes of a log under the old edition and the new."""

    def of(comparison: Comparison, entries: str) -> tuple[str, str]:
        outcomes = []
        for standard in (comparison.old, comparison.new):
            (verdict,) = verdicts(standard, entries, written(standard, entries, {}))
            outcomes.append(verdict.outcome.value)
        return outcomes[0], outcomes[1]

    return of


# False starts, three generations of one rule (sources in `test_counting.py`). Each takes away from the one
# before.
_TWICE = "0:00 set | 0:02 reaction 0.080 s | 1:00 set | 1:02 reaction 0.050 s | 1:15 finished"
_ONCE = "0:00 set | 0:02 reaction 0.080 s | 1:00 set | 1:15 finished"


@pytest.mark.parametrize(("old", "new", "shortest"), [(1, 2, 4), (2, 3, 3), (1, 3, 3)])
def test_three_generations_of_the_false_start(old: int, new: int, shortest: int) -> None:
    comparison = compare(_file(f"sprint_start_{old}"), _file(f"sprint_start_{new}"))
    assert comparison.word is Word.HARDER
    assert comparison.whole.lost.entries == shortest


def test_of_two_generations_another_athlete_tells_the_difference() -> None:
    """Q is out for the second false start of the field, of which P made the first."""
    lost = compare(_file("sprint_start_1"), _file("sprint_start_2")).whole.lost.shown
    assert lost is not None
    starts = [entry for entry in lost.old_log.entries if entry.mark == "reaction"]
    assert len({entry.candidate for entry in starts}) == 2
    assert lost.new.events[0].attempts[0].reasons[-1].path == "race.reaction"


def test_the_first_false_start_warns_or_puts_out(known: Known) -> None:
    comparison = compare(_file("sprint_start_2"), _file("sprint_start_3"))
    assert known(comparison, _ONCE) == ("GO", "NO-GO")
    assert known(comparison, _TWICE) == ("NO-GO", "NO-GO")


# The time allowed to begin a trial in the vertical jump, from the official's signal to the start of the run-up:
# half a minute with more than three left, USATF notice of Rule 180.17, seen:
# http://southtexas.usatf.org/News/NEW-RULE-FOR-FIELD-EVENTS.aspx . Before and later one minute (from memory: the
# instants beside the limits are worked out, and bear the test without it).
_TRIAL = """\
standard jump_trial "Time to begin a trial"
    edition "1"
    in force from 2018-01-01

marks
    ready "The official signals that all is ready"
    run_up "The run-up begins"
    cleared "The bar stays up"

event trial
    attempts 1
    start on ready
    step begin
        until run_up
        within {allowed} "the trial was not begun in time"
    step jump
        until cleared
"""


def test_the_time_to_begin_a_trial(known: Known) -> None:
    comparison = compare(_standard(_TRIAL.format(allowed="1 min")), _standard(_TRIAL.format(allowed="30 s")))
    assert comparison.word is Word.HARDER
    assert comparison.whole.lost.entries == 3
    assert known(comparison, "0:00 ready | 0:29.9 run_up | 0:34 cleared") == ("GO", "GO")
    assert known(comparison, "0:00 ready | 0:30 run_up | 0:34 cleared") == ("GO", "GO")
    assert known(comparison, "0:00 ready | 0:30.1 run_up | 0:34 cleared") == ("GO", "NO-GO")


# Prerequisites of a lifeguard course, the swim and the tread (sources in `test_abilities.py`): the older 300 yd
# at a stretch and 2 min apart from it, the newer 150 yd, 2 min and 50 yd without a rest between.
_SWIM = """\
standard swim_and_tread "Swim and tread"
    edition "1"
    in force from 2012-01-01
    caution "Never alone: a guard with nothing else to do watches one candidate."

marks
    sets_off "The candidate begins to swim"
    swum in yd "Distance swum since the last such mark"
    treads "The candidate begins to tread"
    rested "The candidate takes a rest"

"""
_OLDER = f"""{_SWIM}event swim "300 yd at a stretch"
    attempts 1
    start on sets_off
    until swum totals 300 yd
    fail on rested

event tread "2 min"
    attempts 1
    start on treads
    for 2 min
    fail on rested
"""
_NEWER = f"""{_SWIM}event swim "150 yd, 2 min, 50 yd"
    attempts 1
    start on sets_off
    fail on rested
    step away
        until swum totals 150 yd
    step tread
        start on treads
        for 2 min
    step home
        until swum totals 50 yd
"""
_FAR = "0:00 sets_off | 7:00 swum 300 yd"


def test_the_older_and_the_newer_swim_each_pass_what_the_other_does_not(known: Known) -> None:
    comparison = compare(_standard(_OLDER), _standard(_NEWER))
    assert comparison.word is Word.MIXED
    assert compare(comparison.new, comparison.old).word is Word.MIXED
    swims_200 = "0:00 sets_off | 4:00 swum 150 yd | 4:01 treads | 8:00 swum 50 yd"
    assert known(comparison, swims_200) == ("UNFINISHED", "GO")
    rests = f"{_FAR} | 7:30 rested | 8:00 treads | 10:00 swum 50 yd"
    assert known(comparison, rests) == ("GO", "NO-GO")
    assert comparison.whole.gained.entries == 4
    assert comparison.whole.lost.entries <= 5


# A circuit of eight stations for firefighters, 10 min 20 s in all (sources in `test_abilities.py`), and a
# variant in 9 min, seen: http://www.gainesvillefirerescue.com/agility.htm . The variant passes less and nothing
# else.
def test_eight_stations_in_nine_minutes() -> None:
    comparison = compare(
        _file("eight_station_circuit"), _file("eight_station_circuit", ("within 10 min 20 s", "within 9 min"))
    )
    assert comparison.word is Word.HARDER
    assert comparison.whole.gained.word is False
    lost = comparison.whole.lost.shown
    assert lost is not None
    assert lost.new.events[0].attempts[-1].reasons[-1].words == "within 9 min"


# Points of the dive leader course (sources in `test_scores.py`): the sum at least 12, later at least 15, seen:
# https://jumpsaildive.com/2013/08/01/waterskills-development-divemaster/ ; an older table of the swim, seen:
# http://forum.scubatoys.com/archive/index.php/t-1003.html (under 6, 8, 10, 12 min).
_TABLE = [
    ("under 6 min 30 s gives 5", "under 6 min gives 5"),
    ("under 8 min 40 s gives 4", "under 8 min gives 4"),
    ("under 11 min gives 3", "under 10 min gives 3"),
    ("at most 13 min gives 2", "at most 12 min gives 2"),
]


def test_twelve_points_and_fifteen(known: Known) -> None:
    comparison = compare(_file("stamina_points"), _file("stamina_points", ("at least 12", "at least 15")))
    assert comparison.word is Word.HARDER
    thirteen = (
        "0:00 go | 7:00 home | 30:00 go | 32:00 held | 46:00 go | 46:30 scored_5 | 60:00 home"
        " | 70:00 go | 71:00 scored_3 | 75:00 home"
    )
    assert known(comparison, thirteen) == ("GO", "NO-GO")
    lost = comparison.whole.lost.shown
    assert lost is not None
    assert lost.old.points is not None and 12 <= lost.old.points < 15


def test_the_older_table_is_harder() -> None:
    comparison = compare(_file("stamina_points", *_TABLE), _file("stamina_points"))
    assert comparison.word is Word.EASIER
    gained = comparison.whole.gained.shown
    assert gained is not None
    assert gained.old.points is not None and gained.new.points is not None
    assert gained.old.points < 12 <= gained.new.points


# Inclusion of languages with one clock: words in which b comes less than 2 s after a lie strictly inside those
# in which it comes at most 2 s after it, and the new ones have a gap of exactly 2 s. Elementary; from memory,
# with Alur and Dill (1994).
def test_strict_and_not_strict() -> None:
    comparison = compare(_file("one_clock"), _file("one_clock", ("under 2 s", "within 2 s")))
    assert comparison.word is Word.EASIER
    gained = comparison.whole.gained.shown
    assert gained is not None
    times = {entry.mark: entry.at for entry in gained.old_log.entries}
    assert times["b"] - times["a"] == 2_000_000


# Words with a gap over nought and at most 5 s are those of at most 5 s but for a gap of nought.
_GAP = """\
standard gap "A gap"
    edition "1"
    in force from 2026-01-01

marks
    a "The letter a"
    b "The letter b"

event word
    attempts 1
    start on a
    until b
    within 5 s
"""


def test_without_a_gap_of_nought() -> None:
    comparison = compare(_standard(_GAP), _standard(f"{_GAP}    time over 0 s\n"))
    assert comparison.word is Word.HARDER
    lost = comparison.whole.lost.shown
    assert lost is not None
    assert [entry.at for entry in lost.old_log.entries] == [0, 0]
