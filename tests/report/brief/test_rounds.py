"""Rounds in the briefing and on the picture: what they are, how they go, what is missed, passed and over."""

import pytest

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.brief.outline import outline
from standfast.report.brief.setting import Voice
from standfast.report.brief.sketch import leads, limit, trigger
from standfast.source import Source

TEXT = """\
standard check "A check"
    edition "1"
    in force from 2026-01-01

marks
    go "The signal"
    lap names a round "Touched in time"
    late names a round "Not touched in time"
    jump names a round "Over the bar"
    hang "Hangs on the bar"

event all_of_it
    attempts 1
    start on go
    rounds ladder
        level 1: shuttle 1 to 7, at 8 km/h
        level 2: shuttle 1 to 8, at 9.5 km/h
        paced over 20 m
        unmarked rounds are made
        until lap
        furthest at least level 2 shuttle 1 "below entry level"
        miss on late
        out on 2 misses in a row
    rounds bar
        at 1.91 m, 1.93 m
        tries 3
        until 2 jump
        made at least 1
        missed at most 1
        pass on hang
        out on 5 misses in all
        out on late out_of
    rounds sets
        3 rounds
        step hold
            for 10 s
            within 2 hang
        step let_go
            start on hang
            until hang
            within 5 s
"""


@pytest.fixture
def standard() -> Standard:
    text = TEXT.replace("        out on late out_of\n", "")
    standard, found = load_standard(Source("check.standard", text))
    assert standard is not None and found == (), [each.message for each in found]
    return standard


def test_what_the_rounds_are_and_how_they_go(standard: Standard) -> None:
    said = {each.path: each.text for each in outline(standard, Voice.GRADER).said()}
    assert said["all_of_it.ladder.goal"] == (
        "15 rounds one after another, from level 1 shuttle 1 to level 2 shuttle 8. A round is made on "
        "`lap`. Each is tried once. Rounds passed over by an entry for a later one count as made. Each "
        "round is 20 metres. Pace: level 1 8 kilometres an hour, 9 seconds a round; level 2 9.5 "
        "kilometres an hour, 7.579 seconds a round. Done with the last round, or when one of the rules "
        "ends it. Its own rules run on over all rounds; those of its parts begin anew in each round and "
        "at each go."
    )
    assert said["all_of_it.bar.goal"].startswith(
        "2 rounds one after another: 1.91 m and 1.93 m. A round is made on the 2nd `jump`, counted from "
        "the opening of the round or of the go at it. Each is tried up to 3 times. Every round is to be "
        "logged"
    )
    assert "A round is made when its 2 parts are done, one after another." in said["all_of_it.sets.goal"]


def test_limits_misses_and_outs(standard: Standard) -> None:
    said = {each.path: each.text for each in outline(standard, Voice.GRADER).said()}
    assert said["all_of_it.ladder.furthest"] == (
        "The furthest round made, when the rounds are over: at least level 2 shuttle 1; if not, the try fails."
    )
    assert said["all_of_it.ladder.late"] == "On `late`: this go at the round is missed."
    assert said["all_of_it.ladder.out"] == (
        "On the 2nd miss in a row: the rounds are over, and are judged on what was made."
    )
    assert said["all_of_it.bar.made"].startswith(
        "The number of rounds made, when the rounds are over: at least 1;"
    )
    assert said["all_of_it.bar.missed"] == (
        "The number of rounds missed, when the rounds are over: at most 1; if not, the try fails."
    )
    assert said["all_of_it.bar.hang"] == "On `hang`: the round is passed: neither made nor missed."
    assert said["all_of_it.bar.out_in_all"].startswith("On the 5th miss in all: ")
    assert said["all_of_it.sets.made"].startswith(
        "The number of rounds made, when the rounds are over: at least 3;"
    )


def test_inside_a_round(standard: Standard) -> None:
    said = {each.path: each.text for each in outline(standard, Voice.GRADER).said()}
    assert said["all_of_it.sets.hold.start"] == "Begins with each round, and with each new go at it."
    assert said["all_of_it.sets.hold.within_hang"] == (
        "`hang` at most twice, counted from the opening of the round, or of the next go at it; on the "
        "3rd this go at the round is missed."
    )
    assert said["all_of_it.sets.let_go.within"].endswith("later than that this go at the round is missed.")


def test_a_mark_of_a_round_is_logged_with_it(standard: Standard) -> None:
    logged = {each.name: each.text for each in outline(standard, Voice.GRADER).marks}
    assert logged["lap"] == "Touched in time. Log the name of the round with it, unless it is the one now open."


def test_the_picture(standard: Standard) -> None:
    event = standard.events[0]
    ladder, bar, sets = event.clause.items
    assert [limit(each) for each in ladder.limits] == ["furthest at least level 2 shuttle 1"]
    said = [f"{trigger(each)}: {leads(each, ladder, event)}" for each in ladder.faults]
    assert said == ["late: misses a go at the round", "the 2nd miss in a row: ends the rounds"]
    assert leads(bar.faults[0], bar, event) == "passes the round"
    assert limit(sets.limits[0]) == "made at least 3"


ASKED = """\
always
    furthest in all_of_it.ladder from level 1 shuttle 2 to level 2 shuttle 3

grade high
    made in all_of_it.ladder plus made in all_of_it.bar at least 12
"""


def test_figures_of_rounds_asked_for_from_outside() -> None:
    score = "    score from furthest in bar\n        at least 1.93 m gives 2\n        otherwise gives 1\n"
    text = TEXT.replace("        out on late out_of\n", "").replace(
        "    rounds ladder", f"{score}    rounds ladder"
    )
    asked, found = load_standard(Source("check.standard", text.replace("event all", f"{ASKED}\nevent all")))
    assert asked is not None, [each.message for each in found]
    said = {each.path: each.text for each in outline(asked, Voice.GRADER).said()}
    assert said["always.furthest_in_ladder"] == (
        "The furthest round made in the rounds “ladder”, from the opening of the first try to the verdict, is "
        "from level 1 shuttle 2 to level 2 shuttle 3, both included; if it is not at the verdict, the whole test "
        "ends NO-GO."
    )
    assert said["grades.high.made_in_ladder_plus_made_in_bar"].startswith(
        "For the grade “high”, the number of rounds made in the rounds “ladder” plus the number of rounds made in "
        "the rounds “bar” must be at least 12 when every event is passed;"
    )
    assert "2 points if it is at least 1.93 m" in said["all_of_it.score"]
    assert limit(asked.always.limits[0]) == (
        "furthest in ladder, from level 1 shuttle 2 to level 2 shuttle 3, both included"
    )
