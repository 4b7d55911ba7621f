"""How far the limits of time reach: of those of a clause each time it was open, of a rest from what it follows."""

from collections.abc import Iterable, Iterator, Sequence

from standfast.model.rules import FigureKind, Limit, RestBound, Rule
from standfast.model.standard import Clause, Kind
from standfast.report.verdict_page.timeline import Extent, Row
from standfast.verdict import Reason, ReasonKind


def limit_rows(
    limits: Iterable[Limit], starts: Sequence[int], reasons: Sequence[Reason], depth: int, of: str
) -> Iterator[Row]:
    """Of the limits on how long a clause takes; `starts` are the instants it began at."""
    for limit in limits:
        if limit.figure.kind is FigureKind.TIME and limit.test.of is None:
            lengths = [int(each.base) for each in (limit.test.first, limit.test.second) if each is not None]
            yield Row(
                limit.words, depth, f"{limit.words}, of {of}", extents=_extents(limit, lengths, starts, reasons)
            )


def rest_rows(
    bounds: Iterable[RestBound],
    starts: Sequence[int],
    ends: Iterable[int],
    reasons: Sequence[Reason],
    depth: int,
    where: str,
) -> Iterator[Row]:
    """Of a rest that began at `starts`, wherever a begin of what it is before (`ends`) or a breach follows."""
    followed = max(ends, default=-1)
    for bound in bounds:
        last = max([followed, *(reason.at or 0 for reason in reasons if reason.path == bound.path)])
        began = [since for since in starts if since <= last]
        extents = _extents(bound, [int(bound.length.base)], began, reasons)
        yield Row(bound.words, depth, f"{bound.words}, {where}", extents=extents)


def silence_rows(reasons: Iterable[Reason], known: Iterable[Row], path: str, depth: int, of: str) -> Iterator[Row]:
    """Of what ran out under rules of a clause that have no row: silences, of which only a broken one is drawn."""
    shown = {row.words for row in known}
    for reason in reasons:
        own = reason.path.rpartition(".")[0] == path
        if own and reason.deadline is not None and reason.at is not None and reason.words not in shown:
            extent = _extent(reason.deadline.since, (reason.at,), reason)
            yield Row(reason.words, depth, f"{reason.words}, of {of}", extents=(extent,))


def comes_before(clause: Clause, parent: Clause) -> str | None:
    """The path of what is done before a clause begins: the one before it, or in rounds the end of the round."""
    number = [item.path for item in parent.items].index(clause.path)
    if number:
        return parent.items[number - 1].path
    return parent.items[-1].path if parent.kind is Kind.ROUNDS else None


def _extents(
    rule: Rule, lengths: Sequence[int], starts: Sequence[int], reasons: Sequence[Reason]
) -> tuple[Extent, ...]:
    broken = {_clock(reason, starts): reason for reason in reasons if reason.path == rule.path}
    return tuple(
        _extent(since, tuple(since + length for length in lengths), broken.get(since))
        for since in dict.fromkeys(starts)
    )


def _extent(since: int, ends: tuple[int, ...], reason: Reason | None) -> Extent:
    return Extent(since, ends) if reason is None else Extent(since, ends, reason.at, _is_noted(reason))


def _is_noted(reason: Reason) -> bool:
    return reason.kind is ReasonKind.NOTE


def _clock(reason: Reason, starts: Sequence[int]) -> int | None:
    """The start a broken rule was measured from: as it says itself, or the last before."""
    if reason.deadline is not None:
        return reason.deadline.since
    at = reason.at or 0
    return max(
        (since for since in starts if since < at), default=max((s for s in starts if s == at), default=None)
    )
