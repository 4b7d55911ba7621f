"""A verdict is a close call exactly where some shift of its times within the doubt makes it another."""

import pytest
from trials.doubts import Trial, hold_one


@pytest.mark.parametrize("seed", ["close 1", "close 2"])
def test_close_calls_agree_with_every_shift(seed: str) -> None:
    trial = Trial()
    for number in range(8):
        hold_one(f"{seed}.{number}", trial)
    assert not trial.wrong, trial.wrong[0]
    assert trial.counts["shifts"] > 1000
    assert trial.counts["GO close call"] + trial.counts["NO-GO close call"] > 0
