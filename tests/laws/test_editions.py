"""Laws of comparing editions, on random pairs; the full counts are those of `tools/trial.py`."""

from random import Random

from trials import bearing, editions, entries_left, rounds, untimed, written

from standfast.difference.behaviour import compare
from standfast.difference.conditions import Word


def test_no_log_contradicts_what_is_said_of_random_editions() -> None:
    seen, wrong = editions.tried("laws", 20, most=150)
    assert not wrong, str(wrong[0])
    assert seen["pairs"] == 20
    assert seen["logs GO, GO"] > 0


def test_no_log_contradicts_what_is_said_of_altered_standards_that_were_written_by_hand() -> None:
    names = "manikin_drill_1", "water_points", "line_and_sprint_2", "swim_watches", "watermanship_sequence"
    seen, wrong = written.tried("laws", 10, 150, names)
    assert not wrong, str(wrong[0])
    assert seen["pairs"] == 10
    assert seen["logs GO, GO"] > 0
    assert seen["logs GO, not GO"] + seen["logs not GO, GO"] > 0


def test_of_small_editions_every_log_is_tried() -> None:
    seen, wrong = editions.tried_small("laws", 30)
    assert not wrong, str(wrong[0])
    assert seen["pairs"] >= 18
    assert seen["shortest logs"] >= 8


def test_of_small_editions_with_rounds_every_log_is_tried() -> None:
    seen, wrong = rounds.tried("laws", 25)
    assert not wrong, str(wrong[0])
    assert seen["shortest logs"] >= 15
    assert all(seen[f"whole test {word}"] for word in ("same", "harder", "easier", "mixed"))


def test_without_a_clock_an_automata_library_is_the_referee() -> None:
    trial = untimed.tried("laws", 100)
    assert not trial.wrong, str(trial.wrong[0])
    assert trial.counts["shortest logs"] >= 40
    assert all(trial.counts[f"pairs {word}"] for word in ("same", "harder", "easier", "mixed"))


def test_an_edition_is_the_same_as_itself_for_more_kinds_of_candidate_than_are_looked_at() -> None:
    _, old, _, new = editions.editions(Random("s1/18"))
    assert len(compare(old, new, 50).candidates.kinds) > 48
    for standard in (old, new):
        comparison = compare(standard, standard, 50)
        assert comparison.word is Word.SAME and not comparison.different


def test_what_has_no_bearing_on_who_is_go_can_be_left_out() -> None:
    seen, wrong = bearing.held("laws", 25)
    assert not wrong, str(wrong[0])
    assert all(seen[outcome] for outcome in ("GO", "NO-GO", "UNFINISHED"))


def test_no_way_to_go_has_fewer_entries_than_are_said_to_be_left() -> None:
    seen, wrong = entries_left.held("laws", 24)
    assert not wrong, str(wrong[0])
    assert seen["sides"] >= 20
    assert seen["as many as there are"] > seen["positions"] // 20
