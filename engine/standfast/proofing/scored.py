"""Scores in the boundary book: for each end of a row the log that just gets its points, and one that does not."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import chain, islice, pairwise, product

from standfast.log.entry import Entry, SessionLog
from standfast.machine.bounds import before_rounding
from standfast.machine.compile import compile_standard
from standfast.model.rules import FigureKind, Limit, Score, ScoreRow
from standfast.model.standard import Clause, Standard
from standfast.proofing.book import Told
from standfast.proofing.cases import all_attempts, all_reasons
from standfast.proofing.checks import Check
from standfast.proofing.edges import edges_of
from standfast.proofing.edits import edited
from standfast.quantity import Quantity, count
from standfast.replay import replay
from standfast.values import evolve, frozen
from standfast.verdict import Measure, Scored, Verdict, measured

_MOST_TRIED = 400
_MOST_COMBINED = 100_000
_MOST_CHOSEN = 40
_SHARES = 16
Grader = Callable[[SessionLog], Verdict]
Entries = tuple[Entry, ...]


def ends(score: Score, row: ScoreRow) -> Iterator[tuple[Quantity, Quantity]]:
    """For each end of a row an amount that fits it, and one as near as can be that does not."""
    for inside, outside in edges_of(as_limit(score, row)):
        if inside.base >= 0 and outside.base >= 0:
            yield inside, outside


def with_figure(
    standard: Standard, score: Score, row: ScoreRow, bases: Iterable[SessionLog], grade: Grader, wanted: Quantity
) -> Iterator[SessionLog]:
    """Logs in which the row's figure may be the amount wanted."""
    for base in bases:
        verdict = grade(base)
        given = _given(verdict, score)
        figure = None if given is None else given.figure
        if score.figure is None:
            figure = Measure(0, row.test.first.unit)  # where nothing was logged for it
        first, last = _window(verdict, base, score.path.rpartition(".")[0])
        inside = evolve(
            base, entries=base.entries[first:last], end=base.end if last == len(base.entries) else None
        )
        own = _counted(row)
        others = {mark for each in score.rows if score.figure is None for mark in _counted(each)} - {*own}
        bare = _without(inside, others)
        for log in (bare, inside, _without(inside, {*others, *own})) if others else (inside,):
            if not log.entries:
                continue
            tried = islice(edited(standard, as_limit(score, row), log, figure, wanted), _MOST_TRIED)
            more = (each for mark in own for each in _between(log, mark, int(wanted.base)))
            yield from (_put_back(base, first, last, each) for each in chain(tried, more))


def _without(log: SessionLog, marks: set[str]) -> SessionLog:
    return evolve(log, entries=tuple(entry for entry in log.entries if entry.mark not in marks))


def _counted(row: ScoreRow) -> list[str]:
    """The marks whose numbers the row asks for."""
    parts = row.figure.parts or (row.figure,)
    return [part.mark for part in parts if part.kind is FigureKind.COUNT and part.mark is not None]


def _window(verdict: Verdict, log: SessionLog, path: str) -> tuple[int, int]:
    """The first of the entries of a clause, from its beginning to its completion, and the one after the last."""
    moments = [moment for attempt in all_attempts(verdict) for moment in attempt.moments if moment.path == path]
    if not moments:
        return 0, len(log.entries)
    begins, ends_at = min(m.at for m in moments), max(m.at for m in moments)
    inside = [number for number, entry in enumerate(log.entries) if begins <= entry.at <= ends_at]
    return (inside[0], inside[-1] + 1) if inside else (0, len(log.entries))


def _put_back(base: SessionLog, first: int, last: int, log: SessionLog) -> SessionLog:
    """The log of the clause among the other entries, those after it as much later as it lasts longer."""
    if (first, last) == (0, len(base.entries)) or not log.entries:
        return log
    later = log.entries[-1].at - base.entries[last - 1].at
    after = (evolve(entry, at=entry.at + later) for entry in base.entries[last:])
    entries = (*base.entries[:first], *log.entries, *after)
    numbered = tuple(evolve(entry, number=n, line=n + 1) for n, entry in enumerate(entries, 1))
    return evolve(base, entries=numbered, end=None if base.end is None else base.end + later)


def _between(base: SessionLog, mark: str, number: int) -> Iterator[SessionLog]:
    """So many entries more, together at some instant between two that are there."""
    for place, (before, after) in enumerate(pairwise(base.entries), 1):
        for share in range(1, _SHARES):
            at = before.at + (after.at - before.at) * share // _SHARES
            new = [evolve(before, at=at, mark=mark, value=None, by="G-1")] * number
            entries = (*base.entries[:place], *new, *base.entries[place:])
            yield evolve(base, entries=tuple(evolve(e, number=n, line=n + 1) for n, e in enumerate(entries, 1)))


def gets(score: Score, row: ScoreRow, amount: Quantity) -> Check:
    """The row gives its points, for that very amount; or the attempt fails with just these, by a floor."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        for reason in all_reasons(verdict):
            if reason.path == _floor(score) and reason.figure == measured(row.points, count(1)):
                return Told(what=f"gives {row.points} points", at=reason.at)
        given = _given(verdict, score)
        if (
            given is None
            or given.words != row.words
            or given.figure != measured(score.rounded(amount.base), row.test.first)
        ):
            return None
        return Told(what=f"gives {given.points} points", at=None, figure=given.figure)

    return check


def _floor(score: Score) -> str:
    """The path of a limit on the points of the clause with the score."""
    return f"{score.path.rpartition('.')[0]}.points"


def misses(score: Score, row: ScoreRow, amount: Quantity) -> Check:
    """Another row gives its points, or the score fails; of a table for that very amount."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        wanted = measured(score.rounded(amount.base), row.test.first)
        for reason in all_reasons(verdict):
            floor = reason.path == _floor(score) and reason.figure != measured(row.points, count(1))
            if floor or (reason.path == score.path and reason.figure in (None, wanted)):
                return Told(what="fails", at=reason.at, figure=reason.figure, margin=reason.margin)
        given = _given(verdict, score)
        if (
            given is None
            or given.words == row.words
            or (score.figure is not None and not _is(given, score.rounded(amount.base)))
        ):
            return None
        return Told(what=f"gives {given.points} points", at=None, figure=given.figure)

    return check


def _is(given: Scored, base: Fraction) -> bool:
    return given.figure is not None and given.figure.base == base


def unrounded(standard: Standard, grade: Grader) -> Grader:
    """Gives verdicts in which the figures of scores are exact."""
    if all(score.rounding is None for _, score in standard.scores()):
        return grade
    events = (evolve(event, clause=_unrounded(event.clause)) for event in standard.events)
    machine = compile_standard(evolve(standard, events=tuple(events)))
    return lambda log: replay(machine, log)[0]


def _unrounded(clause: Clause) -> Clause:
    scores = tuple(evolve(score, rounding=None) for score in clause.scores)
    return evolve(clause, scores=scores, items=tuple(map(_unrounded, clause.items)))


def _given(verdict: Verdict, score: Score) -> Scored | None:
    found = (each for attempt in all_attempts(verdict) for each in attempt.scores if each.path == score.path)
    return next(found, None)


def with_points(
    standard: Standard, scores: Sequence[Score], bases: Iterable[SessionLog], grade: Grader, wanted: int
) -> Iterator[SessionLog]:
    """Logs in which the scores together may give so many points; where no rows do, as nearly so many as can be."""
    choices = [list(_choices(score)) for score in scores]
    together = islice(product(*choices), _MOST_COMBINED)
    nearest = sorted(together, key=lambda chosen: _distance([each.points for each in chosen], wanted))
    exact = unrounded(standard, grade)
    known: dict[tuple[Entries, _Choice], SessionLog | None] = {}
    for base in islice(bases, 1):
        for chosen in nearest[:_MOST_CHOSEN]:
            log: SessionLog | None = base
            for choice in chosen:
                if log is None:
                    break
                key = log.entries, choice
                if key not in known:
                    known[key] = choice.made(standard, log, grade, exact)
                log = known[key]
            if log is not None:
                yield log


def _distance(points: Sequence[int], wanted: int) -> tuple[int, int]:
    """How far off the sum is; of equal ones that comes first of which the least part is greatest, for floors."""
    return abs(sum(points) - wanted), -min(points, default=0)


@frozen
class _Choice:
    """One row of a score that is to give its points (`given`), or, of the last, to be missed for what is left."""

    score: Score
    row: ScoreRow
    points: int
    given: bool

    def made(self, standard: Standard, log: SessionLog, grade: Grader, exact: Grader) -> SessionLog | None:
        """The log changed as little as will do; `exact` gives the figures before they are rounded."""
        if _is_given(grade(log), self.score, self.row, given=self.given):
            return log
        for inside, outside in ends(self.score, self.row):
            amount = inside if self.given else outside
            for tried in with_figure(standard, self.score, self.row, [log], exact, amount):
                if _is_given(grade(tried), self.score, self.row, given=self.given):
                    return tried
        return None


def _choices(score: Score) -> Iterator[_Choice]:
    for row in score.rows:
        yield _Choice(score, row, row.points, True)
    if score.otherwise is not None:
        yield _Choice(score, score.rows[-1], score.otherwise, False)


def _is_given(verdict: Verdict, score: Score, row: ScoreRow, *, given: bool) -> bool:
    """Whether the row gave its points, or `otherwise` did; where a floor fails the attempt, nobody knows."""
    found = _given(verdict, score)
    if found is None:
        return any(reason.path.endswith(".points") for reason in all_reasons(verdict))
    return found.words == (row.words if given else score.last_words)


def as_limit(score: Score, row: ScoreRow) -> Limit:
    """The row as if it were a limit on the figure before it is rounded, for what is asked of limits only."""
    return Limit(
        path=score.path,
        words=row.words,
        sentence=None,
        order=score.order,
        depth=score.depth,
        span=score.span,
        figure=row.figure,
        test=before_rounding(row.test, score.rounding),
    )
