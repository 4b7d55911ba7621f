"""What happened in one attempt as the rows of a picture: each clause, when it was open, and its limits."""

from collections.abc import Iterator

from standfast.model.standard import Clause, Event, Kind, bounds
from standfast.report.brief.spoken import name
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.limits import comes_before, limit_rows, rest_rows, silence_rows
from standfast.report.verdict_page.ticks import ticks
from standfast.report.verdict_page.timeline import Bar, Instant, Look, Row, Timeline
from standfast.report.verdict_page.told import told_of
from standfast.values import define, field
from standfast.verdict import AttemptResult, Ending, EventResult, Moment, Reason, ReasonKind

ENDINGS = {
    Ending.GO: Look.GO,
    Ending.FAILED: Look.FAILED,
    Ending.HALTED: Look.HALTED,
    Ending.DISQUALIFIED: Look.FAILED,
    Ending.OPEN: Look.CUT,
}
_FAILING = {ReasonKind.FAIL, ReasonKind.DISQUALIFY}


def attempt_timeline(judged: Judged, event: EventResult, attempt: AttemptResult) -> Timeline:
    """The attempt from its opening to its end, or to that of the log."""
    until = judged.last_instant if attempt.ended_at is None else attempt.ended_at
    meant = next(each for each in judged.standard.events if each.label == event.label)
    return Timeline(
        name=f"{name(event.label)}, attempt {attempt.number}",
        since=attempt.opened_at,
        until=until,
        ticks=ticks(judged, event.label, attempt),
        rows=tuple(_Course(meant, attempt, until).rows()),
        instants=(*_by_time(event.label, attempt), *decided(judged, attempt)),
        zero=judged.verdict.zero,
    )


def decided(judged: Judged, attempt: AttemptResult) -> Iterator[Instant]:
    """The instant of the verdict, if it is that of the attempt's end."""
    at = judged.verdict.decided_at
    if at is not None and at == attempt.ended_at:
        yield Instant(at, f"decided: {judged.verdict.outcome.value}", is_drawn=True)


def _by_time(event: str, attempt: AttemptResult) -> Iterator[Instant]:
    """What time alone did."""
    instants = sorted(
        {m.at for m in attempt.moments if m.entry is None}
        | {r.at for r in attempt.reasons if r.entry is None and r.at is not None}
    )
    for at in instants:
        told = "; ".join(told_of(event, attempt, at, None))
        yield Instant(at, f"by time alone: {told}", is_drawn=False)


@define
class _Course:
    """The bars of every clause of one attempt."""

    event: Event
    attempt: AttemptResult
    until: int
    open: dict[str, int] = field(factory=dict)
    bars: dict[str, list[Bar]] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        put_back = [each for each in self.attempt.reasons if each.kind in _PUT_BACK]
        for at in sorted({m.at for m in self.attempt.moments} | {r.at for r in put_back if r.at is not None}):
            for reason in (each for each in put_back if each.at == at):
                self.put_back(reason, at)
            for moment in (each for each in self.attempt.moments if each.at == at):
                self.move(moment)
        root = self.event.clause.path
        for path in list(self.open):
            self.close(path, self.until, ENDINGS[self.attempt.ending] if path == root else self.left_open(path))

    def move(self, moment: Moment) -> None:
        if moment.completed:
            self.close(moment.path, moment.at, Look.GO)
        else:
            self.close_inside(moment.path, moment.at)
            self.close(moment.path, moment.at, Look.AGAIN)
            self.open[moment.path] = moment.at

    def put_back(self, reason: Reason, at: int) -> None:
        """What begins anew: the clause with the rule, for a miss all that is inside the rounds."""
        path = reason.path.rpartition(".")[0]
        if reason.kind is ReasonKind.RESTART:
            self.close_inside(path, at)
            self.close(path, at, Look.AGAIN)
            return
        for clause in self.event.clause.walk():
            if clause.kind is Kind.ROUNDS and f"{path}.".startswith(f"{clause.path}."):
                self.close_inside(clause.path, at)

    def close(self, path: str, at: int, look: Look) -> None:
        since = self.open.pop(path, None)
        if since is not None:
            self.bars.setdefault(path, []).append(Bar(since, at, look))

    def close_inside(self, path: str, at: int) -> None:
        """All that is open inside a clause."""
        for each in list(self.open):
            if each.startswith(f"{path}."):
                self.close(each, at, Look.AGAIN)

    def left_open(self, path: str) -> Look:
        by = [r.path for r in self.attempt.reasons if r.at == self.attempt.ended_at and r.kind in _FAILING]
        return Look.FAILED if any(each.startswith(f"{path}.") for each in by) else Look.CUT

    def rows(self) -> Iterator[Row]:
        yield from self.rows_of(self.event.clause, None, 0)

    def rows_of(self, clause: Clause, parent: Clause | None, depth: int) -> Iterator[Row]:
        bars = tuple(self.bars.get(clause.path, ()))
        starts, of = [bar.since for bar in bars], name(clause.label)
        if clause.rest is not None and parent is not None:
            before = comes_before(clause, parent)
            done = [bar.until for bar in self.bars.get(before or "", ()) if bar.look is Look.GO]
            rows = rest_rows(bounds(clause.rest), done, starts, self.attempt.reasons, depth, f"before {of}")
            yield from (row for row in rows if row.extents)
        if bars:
            yield Row(of, depth, of, bars=bars)
            limits = tuple(limit_rows(clause.limits, starts, self.attempt.reasons, depth + 1, of))
            yield from limits
            yield from silence_rows(self.attempt.reasons, limits, clause.path, depth + 1, of)
        for item in clause.items:
            yield from self.rows_of(item, clause, depth + 1)


_PUT_BACK = {ReasonKind.RESTART, ReasonKind.MISS}
