"""Laws of the two engines: the machine's verdicts are the definition's, to the last reason."""

import pytest
from plausible_logs import AT_THE_LIMIT
from trials.pairs import compare


@pytest.mark.parametrize("seed", ["agreement 1", "agreement 2", "agreement 3", "agreement 4"])
def test_machine_and_definition_agree(seed: str) -> None:
    seen, wrong = compare(seed, 500)
    assert not wrong, str(wrong[0])
    assert all(seen[outcome] for outcome in ("GO", "NO-GO", "UNFINISHED", "VOID"))


@pytest.mark.parametrize("seed", ["limit 1", "limit 2"])
def test_they_agree_on_steps_exactly_at_a_limit(seed: str) -> None:
    _, wrong = compare(seed, 400, off=AT_THE_LIMIT)
    assert not wrong, str(wrong[0])
