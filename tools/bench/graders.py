"""Replay beside what else could grade the same sessions: two graders by hand, three libraries, and reading alone.

All of them are held against the engine's verdicts on every session before anything is timed.
"""

import json
from collections.abc import Callable, Sequence
from functools import partial
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from attrs import frozen

from bench import readable, tight
from bench.by_hand import Log, log_by_hand, told_by_engine
from bench.rows import Row
from bench.section import Section, ratio_row, seconds_row
from bench.sessions import STANDARD, sessions
from bench.taking import Job, Times
from standfast.log.entry import SessionLog
from standfast.pipeline import Ready, load_standard
from standfast.source import Source

STANDARDS = Path(__file__).resolve().parents[2] / "standards"
_SEED = 7
_SESSIONS = 60
_OF_LIBRARIES = 10  # sessions, since some take hundreds of times as long
LIBRARIES = {
    "with_transitions_nested": ("transitions", "a state-machine library (`transitions`, nested states)"),
    "with_transitions": ("transitions", "the same with one flat machine"),
    "with_statemachine": ("statemachine", "a state-machine library (`python-statemachine`)"),
    "with_rtamt": ("rtamt", "a temporal-logic monitor (`rtamt`)"),
}
"""By the module that gives the outcome of a log: what it imports, and what it is called in the table."""
_READABLE = "readable grader by hand"
_OURS = "replay"


@frozen
class Sample:
    data: tuple[bytes, ...]
    logs: tuple[SessionLog, ...]
    by_hand: tuple[Log, ...]
    ready: Ready

    def entries(self, number: int) -> int:
        return sum(len(log.entries) for log in self.logs[:number])


class Disagreement(Exception):
    """A grader gives another verdict than the engine: its time would mean nothing."""


def sample(number: int = _SESSIONS) -> Sample:
    standard, found = load_standard(Source(STANDARD, (STANDARDS / STANDARD).read_text(encoding="utf-8")))
    assert standard is not None, found
    data = tuple(sessions(_SEED, number))
    ready = Ready(standard)
    logs = tuple(_log(ready, each) for each in data)
    return Sample(data, logs, tuple(map(log_by_hand, logs)), ready)


def _log(ready: Ready, data: bytes) -> SessionLog:
    log, found = ready.log("session.jsonl", data)
    assert log is not None, found
    return log


def section() -> Section:
    given = sample()
    outcomes = checked(given)
    every = given.entries(_SESSIONS)
    rows = [(tight.rows_of(log), log) for log in given.by_hand]
    jobs = {
        _READABLE: Job(lambda: _each(readable.grade, given.by_hand), every),
        "tight grader by hand": Job(
            lambda: _each(lambda pair: tight.grade(pair[1].conditions, pair[0], pair[1].end), rows), every
        ),
        _OURS: Job(lambda: _each(given.ready.grade, given.logs), every),
        "replay from JSON Lines": Job(
            lambda: _each(lambda data: given.ready.grade(_log(given.ready, data)), given.data), every
        ),
        "reading lines with json": Job(lambda: _each(_decoded_by(json.loads), given.data), every),
    }
    if find_spec("msgspec") is not None:
        decode = import_module("msgspec.json").Decoder().decode
        jobs["reading lines with msgspec"] = Job(lambda: _each(_decoded_by(decode), given.data), every)
    for module in (module for module, (library, _) in LIBRARIES.items() if find_spec(library) is not None):
        jobs[module] = library_job(module, given, outcomes)
    return Section(jobs, _rows)


def checked(given: Sample) -> list[str]:
    """The outcomes of the sessions, on which the graders by hand agree with the engine in all that they tell."""
    outcomes = []
    for log, plain in zip(given.logs, given.by_hand, strict=True):
        (verdict,) = given.ready.grade(log)
        told = told_by_engine(verdict)
        by_hand = (
            readable.grade(plain).told(),
            tight.grade(plain.conditions, tight.rows_of(plain), plain.end),
        )
        if any(other != told for other in by_hand):
            raise Disagreement(f"a grader by hand gives another verdict on {log.session}")
        outcomes.append(verdict.outcome.value)
    return outcomes


def library_job(module: str, given: Sample, outcomes: Sequence[str]) -> Job:
    outcome = import_module(f"bench.libraries.{module}").outcome
    for log, plain, expected in zip(given.logs, given.by_hand, outcomes, strict=True):
        if (found := outcome(plain)) != expected:
            raise Disagreement(f"{module} gives {found} on {log.session}, the engine {expected}")
    return Job(partial(_each, outcome, given.by_hand[:_OF_LIBRARIES]), given.entries(_OF_LIBRARIES))


def _each(do: Callable[..., object], what: Sequence[object]) -> None:
    for one in what:
        do(one)


def _decoded_by(decode: Callable[[bytes], object]) -> Callable[[bytes], None]:
    def decoded(data: bytes) -> None:
        for line in data.splitlines():
            decode(line)

    return decoded


def _rows(times: Times) -> list[Row]:
    rows = [
        ratio_row(
            times, "replay with full reasons, to a readable grader by hand", _OURS, _READABLE, bar=0.6, stretch=0.4
        ),
        ratio_row(times, "a tight grader by hand, to the readable one", "tight grader by hand", _READABLE),
        ratio_row(
            times,
            "replay from JSON Lines, to the readable grader without reading",
            "replay from JSON Lines",
            _READABLE,
            bar=4,
            stretch=2.6,
        ),
        ratio_row(
            times, "reading alone, line by line with `json`, to the same", "reading lines with json", _READABLE
        ),
    ]
    if "reading lines with msgspec" in times:
        rows.append(
            ratio_row(
                times,
                "reading alone, line by line with `msgspec`, to the same",
                "reading lines with msgspec",
                _READABLE,
            )
        )
    for module, (_, called) in LIBRARIES.items():
        if module in times:
            name = f"{called}, the outcome alone, to our replay"
            rows.append(ratio_row(times, name, module, _OURS, bar=50, stretch=100, at_least=True))
    rows.append(seconds_row(times, "replay, for one entry", _OURS, unit="µs"))
    return rows
