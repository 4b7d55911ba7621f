"""What a grader written by hand for `boat_crew_entry`, edition 3.1, is given and gives; held against the engine.

Two such graders stand beside this file, `readable.py` and `tight.py`: what somebody would write who had this one
standard to grade and no rule language. Both decode nothing: they are given entries that have been read, so that
their time is that of grading alone. Times and lengths are whole millionths of a second and of a metre.
"""

from dataclasses import dataclass, field
from fractions import Fraction

from standfast.log.entry import SessionLog
from standfast.quantity import Dimension, Quantity
from standfast.verdict import Measure, Reason, Verdict

MILLION = 1_000_000

Told = tuple[object, ...]
"""A verdict in plain tuples: outcome, instant, events with their attempts and reasons, reasons of no attempt."""


@dataclass(slots=True)
class LogEntry:
    number: int
    line: int
    at: int
    mark: str
    value: str | int | None


@dataclass(slots=True)
class Log:
    """`conditions`: amounts in millionths of a metre or as counts, yes and no; those that are stated."""

    conditions: dict[str, int | bool]
    entries: list[LogEntry]
    end: int | None


@dataclass(slots=True)
class ReasonGiven:
    """`figure` and `margin` in microseconds, counts or micrometres, as the rule compares them."""

    kind: str
    path: str
    at: int | None
    entry: int | None = None
    line: int | None = None
    figure: int | None = None
    margin: int | None = None


@dataclass(slots=True)
class AttemptGiven:
    number: int
    opened_at: int
    ended_at: int | None = None
    ending: str = "open"
    charged: bool = True
    reasons: list[ReasonGiven] = field(default_factory=list)


@dataclass(slots=True)
class EventGiven:
    label: str
    outcome: str
    attempts: list[AttemptGiven]


@dataclass(slots=True)
class VerdictGiven:
    outcome: str
    decided_at: int | None
    events: list[EventGiven]
    reasons: list[ReasonGiven]

    def told(self) -> Told:
        events = tuple((e.label, e.outcome, tuple(_attempt_told(a) for a in e.attempts)) for e in self.events)
        return self.outcome, self.decided_at, events, tuple(_reason_told(reason) for reason in self.reasons)


def _attempt_told(attempt: AttemptGiven) -> Told:
    a, reasons = attempt, tuple(_reason_told(reason) for reason in attempt.reasons)
    return a.number, a.opened_at, a.ended_at, a.ending, a.charged, reasons


def _reason_told(reason: ReasonGiven) -> Told:
    r = reason
    return r.kind, r.path, r.at, r.entry, r.line, r.figure, r.margin


def log_by_hand(log: SessionLog) -> Log:
    """The log of one candidate, without corrections, as the graders written by hand are given it."""
    stated = {name: fact if isinstance(fact, bool) else _whole(fact) for name, fact in log.conditions.items()}
    entries = [
        LogEntry(e.number, e.line, e.at, e.mark, _whole(e.value) if isinstance(e.value, Quantity) else e.value)
        for e in log.entries
    ]
    return Log(stated, entries, log.end)


def told_by_engine(verdict: Verdict) -> Told:
    """The same of a verdict of the engine's."""
    events = tuple(
        (
            event.label,
            event.outcome.value,
            tuple(
                (
                    a.number,
                    a.opened_at,
                    a.ended_at,
                    a.ending.value,
                    a.charged,
                    tuple(map(_told_by_engine, a.reasons)),
                )
                for a in event.attempts
            ),
        )
        for event in verdict.events
    )
    return verdict.outcome.value, verdict.decided_at, events, tuple(map(_told_by_engine, verdict.reasons))


def _told_by_engine(reason: Reason) -> Told:
    figure, margin = _plain(reason.figure), _plain(reason.margin)
    return reason.kind.value, reason.path, reason.at, reason.entry, reason.line, figure, margin


def _plain(measure: Measure | None) -> int | None:
    if measure is None:
        return None
    base = measure.base
    return _integer(base * MILLION if measure.unit.dimension is Dimension.LENGTH else base)


def _whole(amount: Quantity) -> int:
    return _integer(amount.base * MILLION if amount.dimension is Dimension.LENGTH else amount.base)


def _integer(amount: Fraction | int) -> int:
    if amount.denominator != 1:
        raise ValueError(f"{amount} is no whole number of millionths")
    return amount.numerator
