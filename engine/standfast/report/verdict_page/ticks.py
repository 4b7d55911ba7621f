"""The entries of a log as ticks of a picture: what each was, what it did, how it was corrected."""

from collections.abc import Iterator

from standfast.log.entry import Correction, Entry
from standfast.report.doubt_text import by_words
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.timeline import AMENDED, MOVED, STRUCK, Look, Tick
from standfast.report.verdict_page.told import reason_told, told_of
from standfast.report.verdict_words import remark_what
from standfast.verdict import AttemptResult, ReasonKind

_LOOKS = {
    ReasonKind.DISQUALIFY: Look.FAILED,
    ReasonKind.FAIL: Look.FAILED,
    ReasonKind.HALT: Look.HALTED,
    ReasonKind.OUT: Look.AGAIN,
    ReasonKind.MISS: Look.AGAIN,
    ReasonKind.RESTART: Look.AGAIN,
}


def ticks(judged: Judged, event: str, attempt: AttemptResult | None) -> tuple[Tick, ...]:
    """Those of the attempt (of None, of no attempt), in the order of the log, struck ones among them."""
    now = [_tick(judged, entry, event, attempt) for entry in judged.entries_in(attempt)]
    before = [_gone(judged, entry) for entry in judged.replaced_in(attempt)]
    return tuple(sorted((*now, *before), key=lambda tick: (tick.at, tick.number)))


def _tick(judged: Judged, entry: Entry, event: str, attempt: AttemptResult | None) -> Tick:
    verdict, correction = judged.verdict, judged.corrections.get(entry.number)
    acted = [r for r in (verdict.reasons if attempt is None else attempt.reasons) if r.entry == entry.number]
    remarks = [remark for remark in verdict.remarks if remark.entry == entry.number]
    looks = [_LOOKS[reason.kind] for reason in acted if reason.kind in _LOOKS]
    if attempt is None:
        told = tuple(reason_told(reason) for reason in acted)
    else:
        told = tuple(told_of(event, attempt, entry.at, entry.number))
    hangs = judged.shifts.get(entry.number)
    close = () if hangs is None else (f"close call: {hangs[0].value} {by_words(hangs[1])}",)
    return Tick(
        at=entry.at,
        number=entry.number,
        mark=_mark(entry),
        look=looks[0] if looks else Look.CUT if remarks else Look.PLAIN,
        told=(*told, *(remark_what(remark) for remark in remarks), *close),
        note="; ".join(_noted(entry, correction)),
        corrected="" if correction is None else AMENDED,
        shifted=None if hangs is None else entry.at + hangs[1].by,
    )


def _gone(judged: Judged, entry: Entry) -> Tick:
    correction = judged.corrections[entry.number]
    how = STRUCK if correction.after is None else MOVED
    note = f"{how}; {_by(correction)}"
    return Tick(at=entry.at, number=entry.number, mark=_mark(entry), look=Look.CUT, note=note, corrected=how)


def _mark(entry: Entry) -> str:
    return entry.mark if entry.value is None else f"{entry.mark} {entry.value}"


def _noted(entry: Entry, correction: Correction | None) -> Iterator[str]:
    if entry.by is not None:
        yield f"by {entry.by}"
    if entry.note is not None:
        yield entry.note
    if correction is not None:
        yield f"{AMENDED}; {_by(correction)}"


def _by(correction: Correction) -> str:
    return f"corrected by {correction.by}: {correction.why}"
