"""Conditions and facts of the candidate that two editions ask for."""

import pytest

from standfast.difference.behaviour import compare
from standfast.difference.conditions import ConditionChange, Word, condition_changes
from standfast.verdict import Outcome

from .conftest import MARKS, edition, lines

EVENT = """
event drill
    attempts 1
    start on go
    until hit
"""


def changes(old: str, new: str) -> tuple[ConditionChange, ...]:
    heads = [f"conditions\n    {each}\n" if each else "" for each in (old, new)]
    return condition_changes(*(edition(f"{head}{EVENT}") for head in heads))


@pytest.mark.parametrize(
    ("old", "new", "word", "lost", "gained"),
    [
        ("depth at least 2.5 m", "depth at least 3 m", Word.HARDER, "2.5 m", None),
        ("depth at least 2.5 m", "depth over 2.5 m", Word.HARDER, "2.5 m", None),
        ("depth over 2.5 m", "depth at least 2.5 m", Word.EASIER, None, "2.5 m"),
        ("depth at most 5 m", "depth from 1 m to 6 m", Word.MIXED, "0 m", "6 m"),
        ("crew at least 2", "crew exactly 2", Word.HARDER, "3", None),
        ("crew over 1", "crew over 2", Word.HARDER, "2", None),
        ("ice no", "ice yes", Word.MIXED, "False", "True"),
        ("", "ice no", Word.HARDER, "True", None),
        ("ice no", "", Word.EASIER, None, "True"),
        ("ice no", "ice at most 2 cm", Word.NOT_DECIDED, None, None),
    ],
)
def test_which_facts_meet_it(old: str, new: str, word: Word, lost: str | None, gained: str | None) -> None:
    (change,) = changes(old, new)
    assert change.word is word
    assert (change.lost if change.lost is None else str(change.lost)) == lost
    assert (change.gained if change.gained is None else str(change.gained)) == gained


@pytest.mark.parametrize(
    ("old", "new"), [("depth at least 2.5 m", "depth at least 250 cm"), ("crew over 1", "crew at least 2")]
)
def test_the_same_facts_are_no_change(old: str, new: str) -> None:
    assert changes(old, new) == ()


def test_a_condition_makes_the_whole_test_harder_and_its_log_void() -> None:
    old, new = (edition(f"conditions\n    depth at least {least} m\n{EVENT}") for least in ("2.5", "3"))
    comparison = compare(old, new)
    assert comparison.word is Word.HARDER
    assert comparison.course.word is Word.SAME
    shown = comparison.whole.lost.shown
    assert shown is not None
    assert lines(comparison.whole.lost) == ["0 go", "1 hit"]
    assert [shown.old.outcome, shown.new.outcome] == [Outcome.GO, Outcome.VOID]
    assert str(shown.new_log.conditions["depth"]) == "2.5 m"


FACTS = """candidate
    body_mass in kg "Weighed on the day"
    duty is one of deck, bridge "A duty"
"""


def test_a_share_of_a_fact_is_compared_for_every_kind_of_candidate() -> None:
    rule = "event drill\n    attempts 1\n    start on go\n    until load at least {share} % of body_mass\n"
    old, new = (edition(f"{FACTS}\n{rule.format(share=share)}") for share in (5, 6))
    comparison = compare(old, new)
    assert comparison.word is Word.HARDER
    assert comparison.whole.lost.shown is not None
    assert comparison.whole.lost.shown.old_log.facts["C-1"].keys() == {"body_mass"}


def test_what_one_kind_of_candidate_alone_feels_is_found() -> None:
    rule = (
        EVENT.replace("until hit", "until hit\n    within {limit} s")
        + "\nevent second\n    only for duty bridge\n"
    )
    rule += "    attempts 1\n    start on throw\n    until slip\n    within {other} s\n"
    old = edition(f"{FACTS}\n{rule.format(limit=9, other=9)}")
    new = edition(f"{FACTS}\n{rule.format(limit=9, other=10)}")
    comparison = compare(old, new)
    assert comparison.word is Word.EASIER
    assert [event.course and event.course.word for event in comparison.events] == [Word.SAME, Word.EASIER]
    assert comparison.whole.gained.shown is not None
    assert comparison.whole.gained.shown.old_log.facts["C-1"]["duty"] == "bridge"


def test_a_fact_of_another_kind_leaves_all_undecided() -> None:
    other = FACTS.replace("body_mass in kg", "body_mass in m")
    rule = "event drill\n    only for duty deck\n    attempts 1\n    start on go\n    until hit\n" + EVENT.replace(
        "drill", "next"
    )
    comparison = compare(edition(f"{FACTS}\n{rule}", marks=MARKS), edition(f"{other}\n{rule}", marks=MARKS))
    assert comparison.candidates.changed == ("body_mass",)
    assert comparison.word is Word.NOT_DECIDED


def test_a_log_is_stated_to_meet_both_editions_where_it_can() -> None:
    """What the two differ in shows in the course of the test, not in a condition that one does not meet."""
    rule = 'conditions\n    watchers at least {least} "Who watch"\n\n' + EVENT.replace("until hit", "until {most}")
    old, new = edition(rule.format(least=1, most="hit")), edition(rule.format(least=2, most="2 hits"))
    shown = compare(old, new).whole.lost.shown
    assert shown is not None and (shown.old.outcome, shown.new.outcome) == (Outcome.GO, Outcome.UNFINISHED)
    assert [str(log.conditions["watchers"]) for log in (shown.old_log, shown.new_log)] == ["2", "2"]


def test_a_condition_that_asks_more_of_some_candidates_and_less_of_others_is_mixed() -> None:
    """5 % of the body mass is less than 3 kg for one of 50 kg, and more for one of 70 kg."""
    head = f"{FACTS}\nconditions\n    load {{least}}\n{EVENT}"
    old, new = edition(head.format(least="at least 3 kg")), edition(head.format(least="at least 5 % of body_mass"))
    comparison = compare(old, new)
    assert comparison.word is Word.MIXED
    assert [change.word for change in comparison.conditions] == [Word.MIXED]
    for claim, outcomes in (
        (comparison.whole.lost, [Outcome.GO, Outcome.VOID]),
        (comparison.whole.gained, [Outcome.VOID, Outcome.GO]),
    ):
        assert claim.shown is not None
        assert [claim.shown.old.outcome, claim.shown.new.outcome] == outcomes


@pytest.mark.parametrize("first", ["depth", "ice"])
def test_where_no_session_meets_both_editions_one_and_the_same_is_stated_to_both(first: str) -> None:
    def conditions(least: int, ice: str) -> str:
        both = [f"depth at least {least} m", f"ice {ice}"]
        return "conditions\n" + "".join(f"    {each}\n" for each in both[:: 1 if first == "depth" else -1])

    old = edition(conditions(2, "no") + EVENT)
    new = edition(conditions(3, "yes") + EVENT.replace("until hit", "until hit\n    within 9 s"))
    comparison = compare(old, new)
    assert comparison.word is Word.MIXED
    assert comparison.whole.told.word is False
    for claim, ice in ((comparison.whole.lost, False), (comparison.whole.gained, True)):
        assert claim.shown is not None
        assert claim.shown.old_log.conditions == claim.shown.new_log.conditions
        assert claim.shown.old_log.conditions["ice"] is ice
        assert Outcome.VOID in (claim.shown.old.outcome, claim.shown.new.outcome)
