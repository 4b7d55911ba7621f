"""Laws of comparing editions, on random pairs; the full counts are those of `tools/trial.py`."""

from trials import editions, untimed


def test_no_log_contradicts_what_is_said_of_random_editions() -> None:
    trial = editions.tried("laws", 20, most=150)
    assert not trial.wrong, str(trial.wrong[0])
    assert trial.counts["pairs"] == 20
    assert trial.counts["logs GO, GO"] > 0


def test_of_small_editions_every_log_is_tried() -> None:
    trial = editions.tried_small("laws", 30)
    assert not trial.wrong, str(trial.wrong[0])
    assert trial.counts["pairs"] >= 18
    assert trial.counts["shortest logs"] >= 8


def test_without_a_clock_an_automata_library_is_the_referee() -> None:
    trial = untimed.tried("laws", 100)
    assert not trial.wrong, str(trial.wrong[0])
    assert trial.counts["shortest logs"] >= 40
    assert all(trial.counts[f"pairs {word}"] for word in ("same", "harder", "easier", "mixed"))
