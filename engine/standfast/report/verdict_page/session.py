"""The whole session as a picture: the attempts of each event, the rests between, what was logged outside them."""

from collections.abc import Iterator

from standfast.model.standard import Event, bounds
from standfast.report.brief.spoken import name
from standfast.report.doubt_text import by_words
from standfast.report.verdict_page.course import ENDINGS
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.limits import limit_rows, rest_rows, silence_rows
from standfast.report.verdict_page.ticks import ticks
from standfast.report.verdict_page.timeline import Bar, Instant, Row, Timeline
from standfast.report.verdict_page.told import reason_told
from standfast.verdict import EventResult


def session_timeline(judged: Judged) -> Timeline | None:
    """None where it would show no more than the one attempt that there is."""
    rows = (*_always(judged), *(row for each in judged.verdict.events for row in _rows(judged, each)))
    outside, attempts = ticks(judged, "", None), judged.attempts()
    if not outside and len(attempts) < 2 and not any(row.extents for row in rows):
        return None
    return Timeline(
        name="The whole session",
        since=min([0, *(tick.at for tick in outside), *(attempt.opened_at for _, attempt in attempts)]),
        until=judged.last_instant,
        ticks=outside,
        rows=rows,
        instants=tuple(_instants(judged)),
        zero=judged.verdict.zero,
    )


def _always(judged: Judged) -> Iterator[Row]:
    """The limits of the whole test: they run from the first opening of an attempt."""
    starts = [attempt.opened_at for _, attempt in judged.attempts()][:1]
    reasons = (*judged.verdict.reasons, *(reason for _, each in judged.attempts() for reason in each.reasons))
    limits = tuple(limit_rows(judged.standard.always.limits, starts, reasons, 0, "the whole test"))
    yield from (row for row in limits if row.extents)
    yield from silence_rows(reasons, limits, "always", 0, "the whole test")


def _rows(judged: Judged, event: EventResult) -> Iterator[Row]:
    until, of = judged.last_instant, name(event.label)
    bars = tuple(
        Bar(a.opened_at, until if a.ended_at is None else a.ended_at, ENDINGS[a.ending]) for a in event.attempts
    )
    if not bars:
        return
    yield Row(of, 0, of, bars=bars)
    meant: Event = next(each for each in judged.standard.events if each.label == event.label)
    if meant.rest_between is not None:
        reasons = [reason for attempt in event.attempts for reason in attempt.reasons]
        starts = [bar.until for bar in bars]
        opened = [bar.since for bar in bars[1:]]
        rows = rest_rows(bounds(meant.rest_between), starts, opened, reasons, 1, f"between attempts at {of}")
        yield from (row for row in rows if row.extents)


def _instants(judged: Judged) -> Iterator[Instant]:
    verdict, left = judged.verdict, judged.log.left(judged.verdict.candidate)
    for event, attempt in judged.attempts():
        number = f"{name(event.label)}, attempt {attempt.number}"
        yield Instant(attempt.opened_at, f"{number} is opened", is_drawn=False)
        if attempt.ended_at is not None:
            yield Instant(attempt.ended_at, f"{number} is over: {attempt.ending.value}", is_drawn=False)
    for reason in verdict.reasons:
        if reason.entry is None and reason.at is not None:
            yield Instant(reason.at, f"by time alone: {reason_told(reason)}", is_drawn=False)
    if judged.end is not None:
        hangs = judged.shifts.get(None if left is None else left.number)
        close = "" if hangs is None else f"; close call: {hangs[0].value} {by_words(hangs[1])}"
        what = "the log ends" if left is None else "the candidate leaves"
        yield Instant(judged.end, f"{what}{close}", is_drawn=False)
    if verdict.decided_at is not None:
        yield Instant(verdict.decided_at, f"decided: {verdict.outcome.value}", is_drawn=True)
