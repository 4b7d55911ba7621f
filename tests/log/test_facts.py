"""The candidate's facts in a header: read, understood by a standard, and written again."""

import json
from typing import Any

import pytest

from standfast.diagnostic import Diagnostic
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source

CREW = """\
standard crew "Crew"
    edition "1"
    in force from 2026-01-01
candidate
    mass in kg
    height in m
    duty is one of deck, bridge
    wind is a heading
    age is a number
conditions
    spare at least 10 % of mass
marks
    go "The signal"
    load in kg "A load"
    steered is a heading "A course called"
event lift
    attempts 1
    start on go
    fail on steered within 5 deg of wind
    until load within 5 kg of mass
    score for age under 30
        otherwise gives 1
    score for age at least 30
        otherwise gives 2
"""


@pytest.fixture(scope="module")
def crew() -> Standard:
    standard, found = load_standard(Source("crew.standard", CREW))
    assert standard is not None, found
    return standard


def bound(
    crew: Standard, facts: Any, *entries: dict[str, str], **header: Any
) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    named = {} if "candidates" in header else {"candidate": "C-1"}
    lines = [{"session": "S", "standard": "crew", **named, "facts": facts, **header}, *entries]
    raw, found = read_log("log.jsonl", "".join(json.dumps(line) + "\n" for line in lines).encode())
    assert raw is not None, found
    return bind(raw, crew)


def said(log: SessionLog | None) -> dict[str, dict[str, str]]:
    assert log is not None
    return {whose: {name: str(value) for name, value in facts.items()} for whose, facts in log.facts.items()}


def test_facts_of_one_candidate(crew: Standard) -> None:
    log, found = bound(crew, {"mass": "176.5 lb", "duty": "deck", "wind": "359.999999 deg", "height": "0 m"})
    assert found == ()
    assert said(log) == {"C-1": {"mass": "176.5 lb", "duty": "deck", "wind": "359.999999 deg", "height": "0 m"}}


def test_facts_of_all_and_of_each(crew: Standard) -> None:
    facts = {"duty": "deck", "C-1": {"mass": "80 kg"}, "C-2": {"mass": "90 kg", "wind": "0 deg"}}
    log, found = bound(crew, facts, candidates=["C-1", "C-2", "C-3"])
    assert found == ()
    assert said(log) == {
        "C-1": {"duty": "deck", "mass": "80 kg"},
        "C-2": {"duty": "deck", "mass": "90 kg", "wind": "0 deg"},
        "C-3": {"duty": "deck"},
    }


def test_what_is_written_is_read_again(crew: Standard) -> None:
    for facts, header in (
        ({"mass": "80 kg", "duty": "deck"}, {}),
        ({"duty": "deck", "C-2": {"mass": "90.5 kg"}}, {"candidates": ["C-1", "C-2"]}),
        ({"age": 34, "C-2": {"mass": "1 kg"}}, {"candidates": ["C-1", "C-2"]}),
        ({}, {}),
    ):
        log, _ = bound(crew, facts, **header)
        assert log is not None
        raw, _ = read_log("log.jsonl", log_bytes(log))
        assert raw is not None
        again, found = bind(raw, crew)
        assert found == () and again is not None
        assert said(again) == said(log)


@pytest.mark.parametrize(
    ("facts", "code", "place", "message"),
    [
        ({"mas": "80 kg"}, "L490", "mas", "the fact `mas` is not declared in `crew`"),
        ({"C-2": {"mass": "80 kg"}}, "L491", "C-2", "facts of `C-2`, who is no candidate of this log"),
        ({"mass": "80 kg", "C-1": {"mass": "80 kg"}}, "L492", "mass", "`mass` is stated twice of `C-1`"),
        ({"wind": "360 deg"}, "L493", "360 deg", "`360 deg` for `wind` is no heading"),
        ({"wind": "5 m"}, "L468", "5 m", "`5 m` for `wind` is a measure of length, not of angle"),
        ({"mass": "0 kg"}, "L494", "0 kg", "`0 kg` for `mass`, of which the standard takes a share"),
        ({"mass": 80}, "L466", "80", "`80` for `mass` has no unit"),
        ({"age": "34 m"}, "L497", "34 m", "`34 m` for `age` is no whole number"),
        ({"age": 34.5}, "L497", "34.5", "`34.5` for `age` is no whole number"),
        ({"duty": "dek"}, "L463", "dek", "`dek` is not a value of `duty`"),
    ],
)
def test_facts_that_are_refused(crew: Standard, facts: Any, code: str, place: str, message: str) -> None:
    log, found = bound(crew, facts)
    assert log is None
    assert [(d.code.number, d.span and d.span.text, d.message) for d in found] == [(code, place, message)]
    assert found[0].help


def test_a_heading_that_is_logged_is_below_a_full_circle(crew: Standard) -> None:
    for value, fine in (("359.999999 deg", True), ("360 deg", False)):
        log, found = bound(crew, {}, {"at": "0:00", "mark": "steered", "value": value})
        assert (log is not None) is fine
        assert [d.code.number for d in found] == ([] if fine else ["L493"])


def test_facts_for_a_standard_that_asks_for_none(standard: Standard) -> None:
    lines = {"session": "S", "standard": "check", "candidate": "C-1", "facts": {"mass": "80 kg"}}
    raw, _ = read_log("log.jsonl", (json.dumps(lines) + "\n").encode())
    assert raw is not None
    log, found = bind(raw, standard)
    assert log is None
    assert [d.message for d in found] == ["facts of the candidate, but this standard declares none"]
