"""What every test of whole standards needs: loading them, grading by both engines, verdicts as plain data."""

import json
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from standfast.command.shelf import Shelf, shelf
from standfast.definition import judge
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_log, load_standard
from standfast.quantity import clock
from standfast.source import Source
from standfast.verdict import Reason, Verdict

Listed = dict[str, Any]


@cache
def _load(path: Path) -> Standard:
    standard, found = load_standard(Source(path.name, path.read_text(encoding="utf-8")))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def _log(standard: Standard, name: str, data: bytes) -> SessionLog:
    log, found = load_log(name, data, standard)
    assert log is not None, [(d.span and d.span.line, d.message) for d in found]
    return log


def _verdicts(standard: Standard, name: str, data: bytes) -> tuple[Verdict, ...]:
    log = _log(standard, name, data)
    verdicts = grade(standard, log)
    assert verdicts == judge(standard, log)
    return verdicts


def _time(at: int | None) -> str | None:
    return None if at is None else clock(at)


def _reason(reason: Reason) -> list[str | int | None]:
    return [reason.kind.value, reason.path, _time(reason.at), reason.entry]


def _listed(verdict: Verdict) -> Listed:
    attempts = [attempt for event in verdict.events for attempt in event.attempts]
    reasons = [_reason(reason) for attempt in attempts for reason in attempt.reasons]
    listed: Listed = {
        "candidate": verdict.candidate,
        "outcome": verdict.outcome.value,
        "decided_at": _time(verdict.decided_at),
        "reasons": reasons + [_reason(reason) for reason in verdict.reasons],
    }
    if verdict.remarks:
        listed["remarks"] = [[r.kind.value, r.entry] + ([r.path] if r.path else []) for r in verdict.remarks]
    if verdict.owed:
        listed["owed"] = [owed.path for owed in verdict.owed]
    return listed


@cache
def _shelf(folder: Path) -> Shelf:
    return shelf([str(folder)])


def _expected_and_found(path: Path) -> tuple[list[Listed], list[Listed]]:
    folder = path.parent.parent
    expected = json.loads((folder / "expected" / f"{path.stem}.json").read_text(encoding="utf-8"))["verdicts"]
    data = path.read_bytes()
    raw, found = read_log(path.name, data)
    assert raw is not None, [d.message for d in found]
    standard, found = _shelf(folder).find(raw.header)
    assert standard is not None, [d.message for d in found]
    return expected, [_listed(verdict) for verdict in _verdicts(standard, path.name, data)]


def _written(standard: Standard, entries: str, conditions: Mapping[str, str | bool]) -> bytes:
    header = {"session": "s", "standard": standard.name, "candidate": "C-1", "conditions": dict(conditions)}
    lines: list[Mapping[str, object]] = [header]
    for entry in filter(None, (part.strip() for part in entries.split("|"))):
        at, mark, *value = entry.split()
        fields = {"at": at, "mark": mark} | ({"value": " ".join(value)} if value else {})
        lines.append({"end": at} if mark == "end" else fields)
    return "".join(json.dumps(line) + "\n" for line in lines).encode()


@pytest.fixture(scope="session")
def load() -> Callable[[Path], Standard]:
    """A rule file that has no error."""
    return _load


@pytest.fixture(scope="session")
def verdicts() -> Callable[[Standard, str, bytes], tuple[Verdict, ...]]:
    """The verdicts of a log, by name and bytes, on which both engines agree."""
    return _verdicts


@pytest.fixture(scope="session")
def listed() -> Callable[[Verdict], Listed]:
    """A verdict in the form of the `expected` files.

    `reasons` are [kind, path, time, entry]: those of all attempts in order, then those of none; `remarks` are
    [kind, entry] with a path where there is one; times as a log writes them.
    """
    return _listed


@pytest.fixture(scope="session")
def written() -> Callable[[Standard, str, Mapping[str, str | bool]], bytes]:
    """A log's bytes from `0:00 go | 0:05 load 20 kg | 1:00 end`."""
    return _written


@pytest.fixture(scope="session")
def expected_and_found() -> Callable[[Path], tuple[list[Listed], list[Listed]]]:
    """What `FOLDER/expected/NAME.json` says of `FOLDER/logs/NAME.jsonl`, and what it gives.

    The edition is found among the rule files of the folder, as it is for any log.
    """
    return _expected_and_found
