"""Findings of proof against every log of small random standards: none contradicted, none missed."""

from trials.brute_force import Trial, try_one


def test_findings_agree_with_every_log_of_small_standards() -> None:
    trial = Trial()
    number = 0
    while trial.counts["standards"] < 15:
        try_one(f"law {number}", trial)
        number += 1
    assert not trial.wrong, str(trial.wrong[0])
    assert trial.counts["steps"] > 1000
