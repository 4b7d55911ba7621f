"""The quick subset: machine and replay against worked cases, written logs and a few hundred random pairs.

It is what every mutant of the machine is held against: `tools/trial.py mutants`.
"""

from collections.abc import Iterable

from trials.corpus import Engine, Example, random_pairs, worked_cases, written_logs

from standfast.machine.compile import compile_standard
from standfast.proofing.cases import case_findings
from standfast.replay import replay


def wrong(examples: Iterable[Example], at_least: int) -> list[str]:
    """The names of the examples that fail; there must be enough of them."""
    engine = Engine(compile_standard, replay, case_findings)
    tried = list(examples)
    assert len(tried) >= at_least
    return [example.name for example in tried if engine.differs(example)]


def test_the_worked_cases_hold() -> None:
    assert wrong(worked_cases(), 40) == []


def test_the_written_logs_give_what_the_definition_and_their_authors_say() -> None:
    assert wrong(written_logs(), 80) == []


def test_the_random_pairs_give_what_the_definition_says() -> None:
    assert wrong(random_pairs(), 400) == []
