"""What is a change of a standard, of which kind and pointing which way, and what is none."""

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from trials.clauses import pair, wrong_with

from standfast.difference.clauses import ClauseChange, clause_changes
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[2]
TEXT = """\
standard quay_check "Quay check"
    edition "1"
    in force from 2026-01-01
    caution "Cold water can kill."

conditions
    depth at least 2.5 m "Where the candidate swims"
    lookouts at least 2 "With nothing else to do"

marks
    go "The signal"
    throw "A throw"
    hit "A hit"
    slip "A slip"
    check is one of cord, fuel, neutral "A check"
    line_in in m "Line recovered"
    stop_call "Anyone calls stop"

always
    halt on stop_call "stopped"

event throws "Two hits"
    attempts 2, rest at least 1 min between, else fail "too soon"
    start on go
    within 4 throws
    within 90 s
    fail on slip more than twice "a third slip"
    step hits
        until 2 hits
        not before 5 s

event engine "Checks, then the line"
    attempts 3
    start on go
    in any order checks
        step cord
            until check cord
        step fuel
            until check fuel
            fail on slip "a slip at the fuel"
    rest at least 20 s, else restart, at most twice
    step line
        until line_in totals 60 m
        no line_in for over 30 s
"""


def meant(text: str) -> Standard:
    standard, found = load_standard(Source("quay_check.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def changed(*edits: tuple[str, str]) -> str:
    text = TEXT
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def told(change: ClauseChange) -> str:
    """A change as one line: `altered harder throws.within 90 s -> 80 s`."""
    figures = "".join(f" {old} -> {new}" for old, new in change.figures)
    return f"{change.kind.value} {change.points.value} {change.path}{figures}"


def found(*edits: tuple[str, str]) -> list[str]:
    return [told(change) for change in clause_changes(meant(TEXT), meant(changed(*edits)))]


NONE = {
    "units": [("within 90 s", "within 1 min 30 s"), ("rest at least 1 min", "rest at least 60 s")],
    "yards": [("totals 60 m", "totals 6000 cm"), ("2.5 m", "250 cm")],
    "comments": [("    attempts 3\n", "    # three at the most\n    attempts 3  # as ever\n")],
    "layout": [("    start on go\n    within 4 throws\n", "    within 4 throws\n\n    start on go\n")],
    "order of marks": [('    throw "A throw"\n    hit "A hit"\n', '    hit "A hit"\n    throw "A throw"\n')],
    "order of conditions": [
        ('    depth at least 2.5 m "Where the candidate swims"\n', ""),
        ('to do"\n\nmarks', 'to do"\n    depth at least 2.5 m "Where the candidate swims"\n\nmarks'),
    ],
    "order of choices": [("one of cord, fuel, neutral", "one of neutral, cord, fuel")],
    "edition and date": [('edition "1"', 'edition "2"'), ("2026-01-01", "2027-02-03")],
}


@pytest.mark.parametrize("edits", NONE.values(), ids=NONE)
def test_no_change(edits: list[tuple[str, str]]) -> None:
    assert found(*edits) == []


def test_a_hundred_yards_are_so_many_metres() -> None:
    yards = meant(changed(("totals 60 m", "totals 100 yd")))
    metres = meant(changed(("totals 60 m", "totals 91.44 m")))
    assert clause_changes(yards, metres) == ()
    assert [told(each) for each in clause_changes(yards, meant(TEXT))] == [
        "altered easier engine.line.goal 100 yd -> 60 m"
    ]


ONE = {
    "a shorter time": (("within 90 s", "within 80 s"), "altered harder throws.within 90 s -> 80 s"),
    "a longer one": (("within 90 s", "within 2 min"), "altered easier throws.within 90 s -> 2 min"),
    "a tie that counts no more": (("within 90 s", "under 90 s as in_time"), "altered harder throws.in_time"),
    "the same in other words": (
        ("within 4 throws", "before 5 throws as within_throw"),
        "altered neither throws.within_throw 4 -> 5",
    ),
    "later": (("not before 5 s", "not before 6 s"), "altered harder throws.hits.not_before 5 s -> 6 s"),
    "more to do": (("until 2 hits", "until 3 hits"), "altered harder throws.hits.goal 2 -> 3"),
    "a fault sooner": (
        ("fail on slip more than twice", "fail on slip more than once"),
        "altered harder throws.slip 2 -> 1",
    ),
    "a milder fault": (("fail on slip more than", "note on slip more than"), "altered easier throws.slip"),
    "a fault that only begins anew": (
        ("fail on slip more than", "restart on slip more than"),
        "altered neither throws.slip",
    ),
    "a silence": (("for over 30 s", "for 30 s or more"), "altered harder engine.line.no_line_in"),
    "attempts": (("attempts 3", "attempts without limit"), "altered easier engine"),
    "a rest": (
        ("rest at least 1 min", "rest at least 2 min"),
        "altered harder throws.rest_between 1 min -> 2 min",
    ),
    "a rest that begins anew": (
        ("at least 20 s", "at least 25 s"),
        "altered neither engine.line.rest 20 s -> 25 s",
    ),
    "fewer of these": (("at most twice", "at most once"), "altered neither engine.line.rest 2 -> 1"),
    "a condition": (("at least 2.5 m", "at least 3 m"), "altered harder conditions.depth 2.5 m -> 3 m"),
    "a condition gone": (
        ('    lookouts at least 2 "With nothing else to do"\n', ""),
        "removed easier conditions.lookouts",
    ),
    "a limit gone": (("    within 90 s\n", ""), "removed easier throws.within"),
    "a limit that came": (
        ("    within 90 s\n", "    within 90 s\n    within 6 hits\n"),
        "added harder throws.within_hit",
    ),
    "a sentence": (("a third slip", "the third slip"), "worded neither throws.slip"),
    "a title": (("Two hits", "Two hits in time"), "worded neither throws"),
    "a caution": (("Cold water can kill.", "Cold water kills."), "worded neither caution"),
    "what is observed": (('throw "A throw"', 'throw "The line leaves the hand"'), "worded neither marks.throw"),
    "a choice of a mark": (("cord, fuel, neutral", "cord, fuel, neutral, gear"), "altered neither marks.check"),
    "the order of a group": (("in any order checks", "in order checks"), "altered harder engine.checks"),
    "a label of a rule": (("within 90 s", "within 90 s as in_time"), "renamed neither throws.in_time"),
    "a label of a step": (("step hits", "step both"), "renamed neither throws.both"),
    "a label of an event": (('event throws "', 'event casting "'), "renamed neither casting"),
    "limits in another order": (
        ("    within 4 throws\n    within 90 s\n", "    within 90 s\n    within 4 throws\n"),
        "moved neither throws",
    ),
    "in the header": (("    caution", "    carry on\n    caution"), "added neither carry_on"),
}


@pytest.mark.parametrize(("edit", "expected"), ONE.values(), ids=ONE)
def test_one_change(edit: tuple[str, str], expected: str) -> None:
    assert found(edit) == [expected]


def test_a_step_that_came_and_one_that_went() -> None:
    step = "        step cord\n            until check cord\n"
    assert found((step, "")) == ["removed easier engine.checks.cord"]
    assert found((step, step + "        step neutral\n            until check neutral\n")) == [
        "added harder engine.checks.neutral"
    ]


def test_a_step_out_of_its_group_has_moved_with_all_it_says() -> None:
    fuel = '        step fuel\n            until check fuel\n            fail on slip "a slip at the fuel"\n'
    after = '    step fuel\n        until check fuel\n        fail on slip "a slip at the fuel"\n'
    assert found((fuel, ""), ("    rest at least 20 s", after + "    rest at least 20 s")) == [
        "moved neither engine.fuel"
    ]


def test_items_in_another_order_have_moved() -> None:
    old = meant(TEXT)
    parts = TEXT.split("event ")
    (change,) = clause_changes(old, meant("event ".join([parts[0], parts[2] + "\n", parts[1]])))
    assert told(change) == "moved neither "
    assert change.old is not None and change.new is not None
    assert (change.old.words, change.new.words) == ("throws, then engine", "engine, then throws")


def test_another_label_and_another_figure_are_two_changes() -> None:
    assert found(("step fuel", "step petrol"), ("a slip at the fuel", "a slip")) == [
        "renamed neither engine.checks.petrol",
        "worded neither engine.checks.petrol.slip",
    ]
    assert found(('event throws "', 'event casting "'), ("within 90 s", "within 80 s")) == [
        "renamed neither casting",
        "altered harder casting.within 90 s -> 80 s",
    ]


def test_a_mark_of_another_name_is_one_change_and_not_one_of_each_line() -> None:
    text = TEXT.replace("line_in", "line_home")
    assert [told(change) for change in clause_changes(meant(TEXT), meant(text))] == [
        "renamed neither marks.line_home"
    ]


def test_events_as_they_come() -> None:
    apart = changed(("    attempts 3\n    start on go", "    attempts 3\n    start on throw"))
    (change,) = clause_changes(
        meant(apart), meant(apart.replace("    caution", "    events in any order\n    caution"))
    )
    assert told(change) == "added easier events_in_any_order"


def test_a_change_says_where_it_stands() -> None:
    (change,) = clause_changes(meant(TEXT), meant(changed(("within 90 s", "within 80 s"))))
    assert change.old is not None and change.new is not None
    assert TEXT.splitlines()[change.old.line - 1].strip() == change.old.words == "within 90 s"
    assert change.new.words == "within 80 s"


# --- laws ----------------------------------------------------------------------------------------------------


def test_of_random_pairs_nothing_is_passed_over_or_made_up_and_all_is_mirrored() -> None:
    counts: Counter[str] = Counter()
    for number in range(60):
        _, old, _, new = pair(f"clauses {number}")
        assert wrong_with(old, new, counts) is None, number
    kinds = {part for each in counts for part in each.split(", ")}
    assert kinds >= {"added", "removed", "renamed", "altered", "harder", "easier", "neither"}


def test_the_shipped_editions(load: Callable[[Path], Standard]) -> None:
    home = ROOT / "standards/boat_crew_entry"
    old, new = load(home / "boat_crew_entry_1.standard"), load(home / "boat_crew_entry_2.standard")
    assert [told(change) for change in clause_changes(old, new)] == [
        "worded neither guidance",
        "added neither marks.answer",
        "added neither heaving.rest_between",
        "worded neither heaving.throws",
        "altered harder heaving.throws.within_throw 5 -> 4",
        "altered harder heaving.throws.within 2 min -> 90 s",
        "moved neither engine.fuel",
        "worded neither engine.fuel",
        "added harder engine.pulls.rest",
        "altered harder water.tread.hand_down 3 -> 2",
        "worded neither water.tread.hand_down",
        "added harder water.tread.no_answer",
        "altered neither water.casualty.let_go",
    ]
