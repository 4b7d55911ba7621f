"""A standard and a log as text, judged, and the verdict told as a few lines."""

from collections.abc import Callable
from textwrap import dedent, indent

import pytest
from attrs import evolve

from standfast.definition import judge
from standfast.language.reader import read
from standfast.log.entry import Entry, SessionLog
from standfast.model.resolve import resolve
from standfast.model.standard import Case
from standfast.quantity import clock
from standfast.source import Source
from standfast.verdict import AttemptResult, EventResult, Figured, Reason, RoundsResult, Verdict

HEADER = """\
standard check "A check"
    edition "1"
    in force from 2026-01-01
"""

MARKS = """\
marks
    go "The signal"
    ready "The second signal"
    hit "A hit"
    loss "A loss"
    turn "A turn"
    stop "A stop"
    check is one of left, right, both "A check that is called"
    line in m "Line recovered"
    made_it names a round "In time"
    short names a round "Not in time"
    waived names a round "Let go by"
"""


Judge = Callable[..., tuple[Verdict, ...]]


@pytest.fixture
def judge_all() -> Judge:
    def judged(
        rules: str, log: str, *, header: str = "", event: str = "", given: str = "", without_start: bool = False
    ) -> tuple[Verdict, ...]:
        """`given` holds `with` lines; with `event` the log is of that event alone, if wanted without its start."""
        case = indent(dedent(given), "    ") + f"    log {event}\n" + indent(dedent(log), " " * 8) + "\n"
        text = HEADER + indent(dedent(header), "    ") + "\n" + MARKS + dedent(rules)
        text += '\ncase "one"\n' + case + "    gives UNFINISHED\n"
        tree, errors = read(Source("check.standard", text))
        assert tree is not None and not errors, [e.message for e in errors]
        standard, errors = resolve(tree)
        assert standard is not None, [e.message for e in errors]
        if event:
            alone = next(each for each in standard.events if each.label == event)
            if without_start:
                alone = evolve(alone, clause=evolve(alone.clause, start=None))
            standard = evolve(standard, events=(alone,))
        return judge(standard, _log_of(standard.cases[0]))

    return judged


@pytest.fixture
def story(judge_all: Judge) -> Callable[..., str]:
    def told(rules: str, log: str, **more: str | bool) -> str:
        (verdict,) = judge_all(rules, log, **more)
        return "\n".join(_verdict(verdict)) + "\n"

    return told


@pytest.fixture
def moments(judge_all: Judge) -> Callable[..., list[str]]:
    def told(rules: str, log: str, **more: str | bool) -> list[str]:
        (verdict,) = judge_all(rules, log, **more)
        return [
            f"{clock(m.at)} {m.path} {'done' if m.completed else 'begins'}"
            + (f" #{m.entry}" if m.entry is not None else "")
            for event in verdict.events
            for attempt in event.attempts
            for m in attempt.moments
        ]

    return told


@pytest.fixture
def outcomes_of(judge_all: Judge) -> Callable[..., list[str]]:
    """One for each candidate the log names."""
    return lambda rules, log: [verdict.outcome.value for verdict in judge_all(rules, log)]


def _log_of(case: Case) -> SessionLog:
    named = sorted({e.candidate for e in case.entries if e.candidate is not None})
    return SessionLog(
        session="s",
        standard="check",
        edition=None,
        candidates=tuple(named) or ("C-1",),
        conditions=dict(case.given),
        entries=tuple(
            Entry(number=n, line=n + 1, at=e.at, mark=e.mark, value=e.value, candidate=e.candidate)
            for n, e in enumerate(case.entries, 1)
        ),
        end=case.end,
        grader=None,
        started=None,
        digest="0",
    )


def _verdict(verdict: Verdict) -> list[str]:
    lines = [
        verdict.outcome.value + (f" at {clock(verdict.decided_at)}" if verdict.decided_at is not None else "")
    ]
    lines += [f"  {_reason(each)}" for each in verdict.reasons]
    lines += [f"  {_figured(each)}" for each in verdict.figures]
    for remark in verdict.remarks:
        entry = f" #{remark.entry}" if remark.entry is not None else ""
        path = f" {remark.path}" if remark.path is not None else ""
        lines.append(f"  remark {remark.kind.value}{path} at {clock(remark.at)}{entry}")
    lines += [f"  owed {owed.path}: {owed.words}" for owed in verdict.owed]
    for event in verdict.events:
        lines += _event(event)
    return lines


def _event(event: EventResult) -> list[str]:
    lines = [f"{event.label} {event.outcome.value}"]
    for attempt in event.attempts:
        lines.append(f"  {_attempt(attempt)}")
        lines += [f"    {_reason(each)}" for each in attempt.reasons]
        lines += [f"    {_rounds(each)}" for each in attempt.rounds]
        lines += [f"    {_figured(each)}" for each in attempt.figures]
    return lines


def _attempt(attempt: AttemptResult) -> str:
    ended = "" if attempt.ended_at is None else clock(attempt.ended_at)
    free = "" if attempt.charged else ", not charged"
    return f"{attempt.number} {attempt.ending.value} {clock(attempt.opened_at)}-{ended}{free}"


def _rounds(rounds: RoundsResult) -> str:
    so_far = "" if rounds.over else " so far"
    return f"{rounds.path} {rounds.made} made {rounds.missed} missed furthest {rounds.furthest}{so_far}"


def _reason(reason: Reason) -> str:
    at = "" if reason.round is None else f" at {reason.round}"
    at += f" at {clock(reason.at)}" if reason.at is not None else ""
    entry = f" #{reason.entry}" if reason.entry is not None else ""
    assert (reason.entry is None) == (reason.line is None) and (reason.figure is None) == (reason.margin is None)
    measures = f" ({reason.figure}, {reason.margin})" if reason.figure is not None else ""
    return f"{reason.kind.value} {reason.path}{at}{entry}{measures}"


def _figured(figured: Figured) -> str:
    return f"= {figured.path} {figured.figure}, {figured.margin}"
