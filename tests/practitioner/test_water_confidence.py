"""One practitioner's whole test in one rule file: each rule met and each rule broken, by hand.

The rules are common practice for water confidence tests and follow no published text.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from standfast.model.standard import Standard
from standfast.proofing.cases import case_findings
from standfast.proofing.findings import proof

_HERE = Path(__file__).resolve().parent
_LOGS = sorted(_HERE.glob("logs/*.jsonl"))


def test_there_is_enough_to_check() -> None:
    assert len(_LOGS) >= 40
    assert {path.stem for path in _LOGS} == {path.stem for path in _HERE.glob("expected/*.json")}


def test_the_rule_file_has_no_error_and_its_cases_hold(load: Callable[[Path], Standard]) -> None:
    standard = load(_HERE / "water_confidence.standard")
    assert standard.cautions and standard.cases
    assert [finding.message for case in standard.cases for finding in case_findings(standard, case)] == []


def test_what_proof_doubts_is_meant_and_says_why(load: Callable[[Path], Standard]) -> None:
    found = proof(load(_HERE / "water_confidence.standard")).findings
    assert [(one.code.number, one.message) for one in found if one.accepted is None] == []
    assert {one.code.number for one in found} == {"A101", "D104", "D105", "D112", "D118"}


@pytest.mark.parametrize("path", _LOGS, ids=[path.stem for path in _LOGS])
def test_a_log_gives_the_expected_verdict(
    path: Path, expected_and_found: Callable[[Path], tuple[list[Any], list[Any]]]
) -> None:
    expected, found = expected_and_found(path)
    assert found == expected


def test_every_rule_is_broken_by_some_log(load: Callable[[Path], Standard]) -> None:
    standard = load(_HERE / "water_confidence.standard")
    clauses = [clause for event in standard.events for clause in event.clause.walk()]
    waited_for = {rule.path for clause in clauses for rule in (clause.start, clause.goal) if rule is not None}
    cited = {
        reason[1]
        for path in _HERE.glob("expected/*.json")
        for verdict in json.loads(path.read_text(encoding="utf-8"))["verdicts"]
        for reason in verdict["reasons"]
    }
    assert {rule.path for rule in standard.rules()} - waited_for - cited == set()
