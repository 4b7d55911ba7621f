"""Where candidates stand, as a block of lines for a terminal after each entry of a log that grows."""

from collections.abc import Iterator
from datetime import datetime

from standfast.live.position import Attempts, Does, Doing, MarkNow, Position, Range, Running, Stand, Ticks, Wanted
from standfast.log.entry import Entry, Presence
from standfast.quantity import clock
from standfast.report.amounts import margin_text, when
from standfast.report.lines import folded, unbroken
from standfast.verdict import Outcome, deciding

_BEFORE = (Ticks.REST_TOO_SHORT, Ticks.TOO_EARLY)


def live_text(stand: Stand) -> str:
    """What came last, then each candidate; of those whom it cannot have moved only that they stand as before."""
    lines = folded(_heading(stand))
    for position in stand.positions:
        if stand.is_news_of(position):
            lines += _position(position)
    others = [each.verdict.candidate for each in stand.positions if not stand.is_news_of(each)]
    if others:
        lines += folded(f"as before: {', '.join(others)}", 2)
    return "\n".join(lines) + "\n"


def _heading(stand: Stand) -> str:
    log, corrections, last = stand.log, stand.log.corrections, stand.last
    if log.end is not None:
        what = f"the end at {when(log.end, log.zero)}"
    elif last is None:
        what = "before the first entry"
    else:
        what = f"entry {last.number} (line {last.line}) at {when(last.at, log.zero)}: {_said(last)}"
    if not stand.anew:
        return what
    why = "what was logged is not what it was" if not corrections else f"{len(corrections)} corrections"
    return f"all anew ({'1 correction' if len(corrections) == 1 else why}), up to {what}"


def _said(last: Entry | Presence) -> str:
    if isinstance(last, Presence):
        return f"{last.candidate} {'joins' if last.joins else 'leaves'}"
    return last.mark if last.value is None else f"{last.mark} {last.value}"


def _position(position: Position) -> Iterator[str]:
    verdict, zero = position.verdict, position.verdict.zero
    yield from folded("; ".join([_outcome(position), *map(_attempts, position.attempts)]), 2)
    for wanted in position.owed:
        yield from _row("owed", _wanted(wanted))
    for running in position.clocks:
        yield from _row("clock", _running(running, zero))
    for does in dict.fromkeys(mark.does for mark in position.marks):
        marks = ", ".join(unbroken(_mark(mark)) for mark in position.marks if mark.does == does)
        yield from _row("mark", f"{marks}: {', '.join(map(_does, does))}")
    if verdict.remarks and verdict.remarks[-1].at == position.at:
        yield from _row("remark", verdict.remarks[-1].kind.value)


def _row(head: str, text: str) -> list[str]:
    return folded(f"{head:7}{text}", 6, hanging=9)


def _outcome(position: Position) -> str:
    verdict = position.verdict
    name = f"{verdict.candidate}  "
    if verdict.outcome is Outcome.UNFINISHED:
        return f"{name}undecided"
    at = "" if verdict.decided_at is None else f" at {when(verdict.decided_at, verdict.zero)}"
    why = ", ".join(dict.fromkeys(reason.path for reason in deciding(verdict)))
    grade = "" if verdict.grade is None else f", grade {verdict.grade}"
    return f"{name}{verdict.outcome.value}{at}{grade}{f': {why}' if why else ''}"


def _attempts(each: Attempts) -> str:
    if each.outcome in (Outcome.GO, Outcome.NO_GO):
        return f"{each.event} {each.outcome.value}"
    opened = f"attempt {each.charged} open, " if each.open else ""
    left = "no limit" if each.left is None else f"{each.left} left"
    return unbroken(f"{each.event} {opened}{left}")


def _wanted(wanted: Wanted) -> str:
    so_far = "" if wanted.so_far is None else f", so far {margin_text(wanted.so_far)}"
    return f"{wanted.owed.path}: {wanted.owed.words}{so_far}"


def _running(running: Running, zero: datetime | None) -> str:
    """How long, until when, then the rule and what acts: at that instant, after it, or before it."""
    effect = "" if running.effect is None else running.effect.value
    if running.kind in _BEFORE:
        acts = f"; {effect} if earlier"
    elif not effect:
        acts = ""
    else:
        acts = f"; {effect} {'then' if running.reached else 'after'}"
    left = unbroken(f"{clock(running.left)} left, until {when(running.until, zero)}")
    return f"{left}: {running.path}, {running.words}{acts}"


def _mark(mark: MarkNow) -> str:
    if mark.choices:
        return f"{mark.mark} {' or '.join(mark.choices)}"
    return mark.mark if mark.amounts is None else f"{mark.mark} {_range(mark.amounts)}"


def _range(amounts: Range) -> str:
    least, most = amounts.least, amounts.most
    if least is not None and least == most:
        return str(least)
    ends = []
    if least is not None:
        ends.append(f"{'from' if amounts.with_least else 'over'} {least}")
    if most is not None:
        ends.append(f"{'to' if amounts.with_most else 'under'} {most}")
    return " ".join(ends)


def _does(does: Does) -> str:
    if does.kind is Doing.OPENS:
        return f"opens an attempt at {does.path}"
    return does.kind.value if does.path is None else f"{does.kind.value} {does.path}"
