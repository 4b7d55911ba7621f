"""What every test of whole standards needs: loading them, grading by both engines, verdicts as plain data."""

import json
import os
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

import pytest
from attrs import evolve
from shipped import Listing, expected, listing

from standfast.command.shelf import Shelf, shelf
from standfast.definition import judge
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_log, load_standard
from standfast.report.documents import verdict_document
from standfast.source import Source
from standfast.verdict import Verdict

os.environ["STANDFAST_CACHE"] = "off"  # a test reads what it says it reads; also in the commands it starts


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
    assert tuple(evolve(each, doubt=None) for each in verdicts) == judge(standard, log)  # which weighs no doubt
    return verdicts


def _listed(verdict: Verdict) -> Listing:
    return listing(verdict_document(verdict))


@cache
def _shelf(folder: Path) -> Shelf:
    return shelf([str(folder)])


def _expected_and_found(path: Path) -> tuple[list[Listing], list[Listing]]:
    data = path.read_bytes()
    raw, found = read_log(path.name, data)
    assert raw is not None, [d.message for d in found]
    standard, found = _shelf(path.parent.parent).find(raw.header)
    assert standard is not None, [d.message for d in found]
    return expected(path), [_listed(verdict) for verdict in _verdicts(standard, path.name, data)]


def _written(
    standard: Standard, entries: str, conditions: Mapping[str, str | bool], facts: Mapping[str, str] | None = None
) -> bytes:
    header = {"session": "s", "standard": standard.name, "candidate": "C-1", "conditions": dict(conditions)}
    header |= {} if facts is None else {"facts": dict(facts)}
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
def listed() -> Callable[[Verdict], Listing]:
    """A verdict in the form of the `expected` files."""
    return _listed


@pytest.fixture(scope="session")
def written() -> Callable[..., bytes]:
    """A log's bytes from `0:00 go | 0:05 load 20 kg | 1:00 end`, conditions and, where wanted, facts."""
    return _written


@pytest.fixture(scope="session")
def expected_and_found() -> Callable[[Path], tuple[list[Listing], list[Listing]]]:
    """What `FOLDER/expected/NAME.json` says of `FOLDER/logs/NAME.jsonl`, and what it gives.

    The edition is found among the rule files of the folder, as it is for any log.
    """
    return _expected_and_found
