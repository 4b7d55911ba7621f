"""Verdicts and diagnostics as JSON documents.

Plain values in a fixed key order, every key always there, no float: instants are `m:ss.ffffff`, amounts are
decimal strings, or `a/b` where no decimal ends. The schemas lie beside this module.
"""

import json
from collections.abc import Iterable

from standfast.diagnostic import Diagnostic
from standfast.log.entry import Correction, LogPart, Presence
from standfast.quantity import SECOND, decimal
from standfast.report.amounts import exact_clock
from standfast.source import Span
from standfast.values import asdict
from standfast.verdict import (
    AttemptResult,
    CloseCall,
    Doubt,
    EventResult,
    Figured,
    Measure,
    Moment,
    Owed,
    Reason,
    Remark,
    RoundsResult,
    Scored,
    Shift,
    Verdict,
)

Plain = dict[str, object]


def written(document: Plain) -> str:
    """The document as text, with a closing line end; equal documents give equal bytes in UTF-8."""
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def line_of(document: Plain) -> str:
    """The document as one line (JSON Lines)."""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":")) + "\n"


def grade_document(
    verdicts: Iterable[Verdict],
    not_graded: Iterable[str],
    records: Iterable[Plain],
    diagnostics: Iterable[Diagnostic],
) -> Plain:
    """What `grade` found; `not_graded` are names of logs, `records` what was kept. See `grade.schema.json`."""
    return {
        "schema": "grade/1",
        "verdicts": [verdict_document(verdict) for verdict in verdicts],
        "not_graded": list(not_graded),
        "records": list(records),
        "diagnostics": diagnostics_document(diagnostics),
    }


def diagnostics_document(diagnostics: Iterable[Diagnostic]) -> list[Plain]:
    """See `diagnostics.schema.json`."""
    return [
        {
            "code": d.code.number,
            "severity": d.severity.value,
            "title": d.code.title,
            "message": d.message,
            "help": d.help or None,
            "place": None if d.span is None else _place(d.span),
            "also": [{"place": _place(label.span), "text": label.text} for label in d.also],
        }
        for d in diagnostics
    ]


def verdict_document(verdict: Verdict) -> Plain:
    """See `verdict.schema.json`."""
    return {
        "schema": "verdict/1",
        "session": verdict.session,
        "candidate": verdict.candidate,
        "facts": [{"name": name, "stated": stated} for name, stated in verdict.facts],
        "standard": {
            "name": verdict.standard,
            "edition": verdict.edition,
            "digest": verdict.standard_digest,
        },
        "presence": [_presence(presence) for presence in verdict.presence],
        "log": verdict.log or None,
        "joined_logs": [_part(part) for part in verdict.parts],
        "clock_at_zero": None if verdict.zero is None else verdict.zero.isoformat(),
        "log_digest": verdict.log_digest,
        "outcome": verdict.outcome.value,
        "decided_at": instant(verdict.decided_at),
        "reasons": [_reason(reason) for reason in verdict.reasons],
        "figures": [_figured(figured) for figured in verdict.figures],
        "points": verdict.points,
        "grade": verdict.grade,
        "events": [_event(event) for event in verdict.events],
        "remarks": [_remark(remark) for remark in verdict.remarks],
        "owed": [_owed(owed) for owed in verdict.owed],
        "corrections": [_correction(correction) for correction in verdict.corrections],
        "without_corrections": _uncorrected(verdict),
        "doubt": None if verdict.doubt is None else _doubt(verdict.doubt),
    }


def _presence(presence: Presence) -> Plain:
    return {
        "what": "joined" if presence.joins else "left",
        "at": exact_clock(presence.at),
        "entry": presence.number,
        "line": presence.line,
    }


def _part(part: LogPart) -> Plain:
    return {
        "log": part.name or None,
        "digest": part.digest,
        "entries": None if part.last < part.first else {"first": part.first, "last": part.last},
        "zero": exact_clock(part.zero),
    }


def _correction(correction: Correction) -> Plain:
    return {
        "kind": "strike" if correction.after is None else "amend",
        "entry": None if correction.of_end else correction.place,
        "line": correction.line,
        "on_line": correction.on_line,
        "by": correction.by,
        "why": correction.why,
        "before": asdict(correction.before),
        "after": None if correction.after is None else asdict(correction.after),
    }


def _uncorrected(verdict: Verdict) -> Plain | None:
    without = verdict.uncorrected
    if without is None:
        return None
    return {
        "changed": verdict.changed_by_corrections,
        "outcome": None if without.outcome is None else without.outcome.value,
        "decided_at": instant(without.decided_at),
        "points": without.points,
        "grade": without.grade,
    }


def _event(event: EventResult) -> Plain:
    return {
        "label": event.label,
        "title": event.title,
        "outcome": event.outcome.value,
        "attempts": [_attempt(attempt) for attempt in event.attempts],
    }


def _attempt(attempt: AttemptResult) -> Plain:
    return {
        "number": attempt.number,
        "opened_at": exact_clock(attempt.opened_at),
        "ended_at": instant(attempt.ended_at),
        "ending": attempt.ending.value,
        "charged": attempt.charged,
        "reasons": [_reason(reason) for reason in attempt.reasons],
        "figures": [_figured(figured) for figured in attempt.figures],
        "scores": [_scored(scored) for scored in attempt.scores],
        "moments": [_moment(moment) for moment in attempt.moments],
        "best": attempt.best,
        "rounds": [_rounds(rounds) for rounds in attempt.rounds],
    }


def _rounds(rounds: RoundsResult) -> Plain:
    return {
        "path": rounds.path,
        "made": rounds.made,
        "missed": rounds.missed,
        "furthest": rounds.furthest,
        "over": rounds.over,
    }


def _reason(reason: Reason) -> Plain:
    return {
        "kind": reason.kind.value,
        "path": reason.path,
        "words": reason.words,
        "sentence": reason.sentence,
        "at": instant(reason.at),
        "entry": reason.entry,
        "line": reason.line,
        "figure": measure(reason.figure),
        "margin": measure(reason.margin),
        "logged": reason.logged,
        "readings": reason.readings,
        "clock_began": instant(None if reason.deadline is None else reason.deadline.since),
        "round": reason.round,
    }


def _figured(figured: Figured) -> Plain:
    return {
        "path": figured.path,
        "words": figured.words,
        "figure": measure(figured.figure),
        "margin": measure(figured.margin),
    }


def _scored(scored: Scored) -> Plain:
    return {
        "path": scored.path,
        "words": scored.words,
        "points": scored.points,
        "figure": measure(scored.figure),
    }


def _moment(moment: Moment) -> Plain:
    return {
        "at": exact_clock(moment.at),
        "path": moment.path,
        "what": "completed" if moment.completed else "begun",
        "entry": moment.entry,
    }


def _remark(remark: Remark) -> Plain:
    return {
        "kind": remark.kind.value,
        "at": exact_clock(remark.at),
        "entry": remark.entry,
        "line": remark.line,
        "path": remark.path,
    }


def _owed(owed: Owed) -> Plain:
    return {"path": owed.path, "words": owed.words}


def _doubt(doubt: Doubt) -> Plain:
    return {
        "times_within": seconds_document(doubt.within),
        "firmness": doubt.firmness.value,
        "others": [_close_call(other) for other in doubt.others],
    }


def _close_call(other: CloseCall) -> Plain:
    return {
        "outcome": other.outcome.value,
        "grade": other.grade,
        "least": seconds_document(other.least),
        "shifts": [_shift(shift) for shift in other.shifts],
    }


def _shift(shift: Shift) -> Plain:
    return {
        "entry": shift.entry,
        "line": shift.line,
        "at": exact_clock(shift.at),
        "by": seconds_document(shift.by),
    }


def seconds_document(micros: int) -> Plain | None:
    """A length of time, exactly."""
    return measure(Measure(micros, SECOND))


def measure(measured: Measure | None) -> Plain | None:
    """An amount and its unit, exactly."""
    if measured is None:
        return None
    return {"amount": decimal(measured.amount), "unit": measured.unit.name or None}


def instant(micros: int | None) -> str | None:
    """An instant in the one form all documents have."""
    return None if micros is None else exact_clock(micros)


def _place(span: Span) -> Plain:
    end_line, end_column = span.source.place(span.end)
    return {
        "file": span.source.name,
        "line": span.line,
        "column": span.column,
        "end_line": end_line,
        "end_column": end_column,
    }
