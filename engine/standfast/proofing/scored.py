"""Scores in the boundary book: for each end of a row the log that just gets its points, and one that does not."""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice, pairwise

from attrs import evolve

from standfast.log.entry import SessionLog
from standfast.model.rules import FigureKind, Limit, Score, ScoreRow
from standfast.model.standard import Standard
from standfast.proofing.book import Told
from standfast.proofing.cases import all_attempts, all_reasons, clause_points
from standfast.proofing.checks import Check
from standfast.proofing.edges import edges_of
from standfast.proofing.edits import edited
from standfast.quantity import COUNT, Quantity
from standfast.verdict import Measure, Scored, Verdict, measured

_MOST_TRIED = 400
_SHARES = 16
Grader = Callable[[SessionLog], Verdict]


def ends(score: Score, row: ScoreRow) -> Iterator[tuple[Quantity, Quantity]]:
    """For each end of a row an amount that fits it, and one as near as can be that does not."""
    yield from edges_of(_as_limit(score, row))


def with_figure(
    standard: Standard, score: Score, row: ScoreRow, bases: Iterable[SessionLog], grade: Grader, wanted: Quantity
) -> Iterator[SessionLog]:
    """Logs in which the row's figure may be the amount wanted."""
    for base in bases:
        given = _given(grade(base), score)
        figure = None if given is None else given.figure
        if score.figure is None:
            figure = Measure(COUNT.factor * 0, row.test.first.unit)  # where nothing was logged for it
        yield from islice(edited(standard, _as_limit(score, row), base, figure, wanted), _MOST_TRIED)
        parts = row.figure.parts or (row.figure,)
        marks = [part.mark for part in parts if part.kind is FigureKind.COUNT and part.mark is not None]
        yield from (log for mark in marks for log in _between(base, mark, int(wanted.base)))


def _between(base: SessionLog, mark: str, number: int) -> Iterator[SessionLog]:
    """So many entries more, together at some instant between two that are there."""
    for place, (before, after) in enumerate(pairwise(base.entries), 1):
        for share in range(1, _SHARES):
            at = before.at + (after.at - before.at) * share // _SHARES
            new = [evolve(before, at=at, mark=mark, value=None, by="G-1")] * number
            entries = (*base.entries[:place], *new, *base.entries[place:])
            yield evolve(base, entries=tuple(evolve(e, number=n, line=n + 1) for n, e in enumerate(entries, 1)))


def gets(score: Score, row: ScoreRow, amount: Quantity) -> Check:
    """The row gives its points, for that very amount."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        given = _given(verdict, score)
        if given is None or given.words != row.words or given.figure != measured(amount.base, row.test.first):
            return None
        return Told(what=f"gives {given.points} points", at=None, figure=given.figure)

    return check


def misses(score: Score, row: ScoreRow, amount: Quantity) -> Check:
    """Another row gives its points, or the score fails; of a table for that very amount."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        wanted = measured(amount.base, row.test.first)
        for reason in all_reasons(verdict):
            floor = reason.path == f"{score.path.rpartition('.')[0]}.points"  # it has not the points it would take
            if floor or (reason.path == score.path and reason.figure in (None, wanted)):
                return Told(what="fails", at=reason.at, figure=reason.figure, margin=reason.margin)
        given = _given(verdict, score)
        if given is None or given.words == row.words or (score.figure is not None and not _is(given, amount)):
            return None
        return Told(what=f"gives {given.points} points", at=None, figure=given.figure)

    return check


def _is(given: Scored, amount: Quantity) -> bool:
    return given.figure is not None and given.figure.amount * given.figure.unit.factor == amount.base


def _given(verdict: Verdict, score: Score) -> Scored | None:
    found = (each for attempt in all_attempts(verdict) for each in attempt.scores if each.path == score.path)
    return next(found, None)


def with_points(
    standard: Standard, scores: Iterable[Score], bases: Iterable[SessionLog], grade: Grader, path: str, wanted: int
) -> Iterator[SessionLog]:
    """Logs in which the scores give other points, those first that give the number wanted to the clause.

    Every combination of their rows is tried.
    """
    logs = list(islice(bases, 1))
    for score in scores:
        more = list[SessionLog]()
        for row in score.rows:
            for inside, outside in ends(score, row):
                for amount, given in ((inside, True), (outside, False)):
                    for log in logs:
                        tried = with_figure(standard, score, row, [log], grade, amount)
                        found = (each for each in tried if _is_given(grade(each), score, row, given=given))
                        more += islice(found, 1)
        logs = list({log.entries: log for log in (*logs, *more)}.values())[:_MOST_TRIED]
    yield from sorted(logs, key=lambda log: clause_points(grade(log), path or None) != wanted)


def _is_given(verdict: Verdict, score: Score, row: ScoreRow, *, given: bool) -> bool:
    """Whether the row gave its points, or another one did; where a floor fails the attempt, nobody knows."""
    found = _given(verdict, score)
    if found is None:
        return any(reason.path.endswith(".points") for reason in all_reasons(verdict))
    return (found.words == row.words) is given


def _as_limit(score: Score, row: ScoreRow) -> Limit:
    """The row as if it were a limit, for what is asked of limits only."""
    return Limit(
        path=score.path,
        words=row.words,
        sentence=None,
        order=score.order,
        depth=score.depth,
        span=score.span,
        figure=row.figure,
        test=row.test,
    )
