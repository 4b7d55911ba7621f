"""Where candidates stand, as a JSON document for each entry of a log that grows. See `live.schema.json`."""

from collections.abc import Iterable

from standfast.diagnostic import Diagnostic
from standfast.live.position import Attempts, Does, MarkNow, Position, Range, Running, Stand, Wanted
from standfast.log.entry import Entry, Presence
from standfast.report.amounts import exact_clock
from standfast.report.documents import Plain, diagnostics_document, instant, measure, seconds_document
from standfast.verdict import deciding


def live_document(stand: Stand | None, diagnostics: Iterable[Diagnostic]) -> Plain:
    """Without a stand only what was found wrong with the log so far."""
    log = None if stand is None else stand.log
    last = None if stand is None else stand.last
    return {
        "schema": "live/1",
        "entry": None if last is None else last.number,
        "line": None if last is None else last.line,
        "at": None if last is None else exact_clock(last.at),
        "mark": last.mark if isinstance(last, Entry) else None,
        "joins_or_leaves": last.candidate if isinstance(last, Presence) else None,
        "end": None if log is None else instant(log.end),
        "anew": stand is not None and stand.anew,
        "candidates": [] if stand is None else [_position(position) for position in stand.positions],
        "diagnostics": diagnostics_document(diagnostics),
    }


def _position(position: Position) -> Plain:
    verdict = position.verdict
    return {
        "candidate": verdict.candidate,
        "at": exact_clock(position.at),
        "outcome": verdict.outcome.value,
        "decided_at": instant(verdict.decided_at),
        "because": list(dict.fromkeys(reason.path for reason in deciding(verdict))),
        "points": verdict.points,
        "grade": verdict.grade,
        "owed": [_wanted(wanted) for wanted in position.owed],
        "clocks": [_running(running) for running in position.clocks],
        "attempts": [_attempts(each) for each in position.attempts],
        "marks": [_mark(mark) for mark in position.marks],
    }


def _wanted(wanted: Wanted) -> Plain:
    return {"path": wanted.owed.path, "words": wanted.owed.words, "so_far": measure(wanted.so_far)}


def _running(running: Running) -> Plain:
    return {
        "kind": running.kind.value,
        "path": running.path,
        "words": running.words,
        "since": exact_clock(running.since),
        "until": exact_clock(running.until),
        "left": seconds_document(running.left),
        "effect": None if running.effect is None else running.effect.value,
        "acts_when_reached": running.reached,
    }


def _attempts(each: Attempts) -> Plain:
    return {
        "event": each.event,
        "outcome": each.outcome.value,
        "charged": each.charged,
        "open": each.open,
        "left": each.left,
    }


def _mark(mark: MarkNow) -> Plain:
    return {
        "mark": mark.mark,
        "choices": list(mark.choices),
        "amounts": None if mark.amounts is None else _range(mark.amounts),
        "does": [_does(does) for does in mark.does],
    }


def _range(amounts: Range) -> Plain:
    return {
        "least": measure(amounts.least),
        "with_least": amounts.with_least,
        "most": measure(amounts.most),
        "with_most": amounts.with_most,
    }


def _does(does: Does) -> Plain:
    return {"what": does.kind.value, "path": does.path}
