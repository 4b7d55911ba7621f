"""The shipped standards: no error, cases that hold, and logs that give the verdicts written beside them."""

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model.rules import Fault, FigureKind, Limit, RestBound
from standfast.model.standard import Kind, Standard
from standfast.pipeline import load_standard
from standfast.proofing.cases import case_findings
from standfast.proofing.findings import proof
from standfast.quantity import Comparison
from standfast.source import Source

_HOME = Path(__file__).resolve().parents[2] / "standards"
_FILES = sorted(_HOME.glob("*/*.standard"))
_LOGS = sorted(_HOME.glob("*/logs/*.jsonl"))


def _names(paths: list[Path]) -> list[str]:
    return [f"{path.relative_to(_HOME).parts[0]}/{path.stem}" for path in paths]


def test_there_is_enough_to_check() -> None:
    assert len({path.parent for path in _FILES}) >= 3
    assert len(_LOGS) >= 24
    for folder in {path.parent for path in _FILES}:
        logs = {path.stem for path in folder.glob("logs/*.jsonl")}
        assert len(logs) >= 8
        assert logs == {path.stem for path in folder.glob("expected/*.json")}


@pytest.mark.parametrize("path", _FILES, ids=_names(_FILES))
def test_a_standard_has_no_error_and_its_cases_hold(path: Path) -> None:
    source = Source(path.name, path.read_text(encoding="utf-8"))
    standard, found = load_standard(source)
    assert standard is not None
    assert found == ()
    tree, _ = read(source)
    assert tree is not None and canonical(tree) == source.text
    assert path.stem == standard.name or re.fullmatch(rf"{standard.name}_[1-9]", path.stem)
    assert path.parent.name == standard.name
    assert standard.cautions and len(standard.cases) >= 2
    assert [finding.message for case in standard.cases for finding in case_findings(standard, case)] == []


@pytest.mark.parametrize("path", _FILES, ids=_names(_FILES))
def test_nothing_is_doubted_that_its_author_does_not_accept(path: Path, load: Callable[[Path], Standard]) -> None:
    proved = proof(load(path))
    assert [(one.code.number, one.message) for one in proved.findings if one.accepted is None] == []
    assert proved.undecided == ()
    assert all(event.shortest is not None and event.longest is not None for event in proved.events)


@pytest.mark.parametrize("path", _LOGS, ids=_names(_LOGS))
def test_a_log_gives_the_expected_verdict(
    path: Path, expected_and_found: Callable[[Path], tuple[list[Any], list[Any]]]
) -> None:
    expected, found = expected_and_found(path)
    assert found == expected


def test_the_logs_show_every_outcome_and_every_kind_of_reason() -> None:
    verdicts = [
        verdict
        for path in _HOME.glob("*/expected/*.json")
        for verdict in json.loads(path.read_text(encoding="utf-8"))["verdicts"]
    ]
    assert {verdict["outcome"] for verdict in verdicts} == {"GO", "NO-GO", "UNFINISHED", "VOID"}
    kinds = {reason[0] for verdict in verdicts for reason in verdict["reasons"]}
    acts = {"note", "pass", "restart", "miss", "out", "fail", "halt", "disqualify"}
    assert kinds == {*acts, "unmet", "not stated", "owed"}


def test_the_standards_use_the_whole_language(load: Callable[[Path], Standard]) -> None:
    standards = [load(path) for path in _FILES]
    rules = [rule for standard in standards for rule in standard.rules()]
    faults = [rule for rule in rules if isinstance(rule, Fault)]
    assert {(f.effect.value, f.at_once or f.charged) for f in faults} == {
        ("note", False),
        ("pass", False),
        ("restart", False),
        ("restart", True),
        ("miss", False),
        ("out", False),
        ("fail", False),
        ("halt", False),
        ("halt", True),
        ("disqualify", False),
    }
    limits = {(rule.figure.kind, rule.test.comparison) for rule in rules if isinstance(rule, Limit)}
    parts = {part.kind for rule in rules if isinstance(rule, Limit) for part in rule.figure.parts}
    assert {kind for kind, _ in limits} | parts == set(FigureKind)
    assert limits >= {
        (FigureKind.TIME, Comparison.AT_MOST),
        (FigureKind.TIME, Comparison.UNDER),
        (FigureKind.TIME, Comparison.AT_LEAST),
        (FigureKind.COUNT, Comparison.AT_MOST),
        (FigureKind.COUNT, Comparison.UNDER),
        (FigureKind.COUNT, Comparison.AT_LEAST),
        (FigureKind.SILENCE, Comparison.AT_MOST),
        (FigureKind.SILENCE, Comparison.UNDER),
        (FigureKind.MADE, Comparison.AT_LEAST),
        (FigureKind.MISSED, Comparison.AT_MOST),
        (FigureKind.FURTHEST, Comparison.AT_LEAST),
    }
    assert {rule.path.rpartition(".")[2] for rule in rules if isinstance(rule, RestBound)} >= {
        "rest",
        "rest_at_most",
        "rest_between",
    }
    kinds = {c.kind for standard in standards for event in standard.events for c in event.clause.walk()}
    assert kinds == set(Kind)
    assert any(standard.carry_on for standard in standards)
    assert any(standard.events_in_any_order for standard in standards)
    assert any(event.carry_on for standard in standards for event in standard.events)
