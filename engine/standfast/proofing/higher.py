"""Grades above the lowest in the boundary book.

For each limit of theirs a GO that just has the grade, and one that just does not.
"""

from collections.abc import Callable, Iterator

from standfast.log.entry import SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.rules import FigureKind, Limit, Score
from standfast.model.standard import Clause, Grade, Standard
from standfast.proofing.book import Side, Told
from standfast.proofing.checks import Check, kept
from standfast.proofing.edges import edges_of
from standfast.proofing.edits import edited
from standfast.proofing.scored import Grader, with_points
from standfast.quantity import Quantity, count
from standfast.replay import replay
from standfast.values import evolve, frozen
from standfast.verdict import Measure, Outcome, Verdict

Tried = tuple[Side, list[SessionLog], tuple[Check, ...]]
"""A side, the logs that may show it, and what they are to show, the best first."""
InRounds = Callable[[Limit, int], Iterator[SessionLog]]
"""Logs in which a figure of rounds may be so much."""

_SUMS = 3
"""Nearest sums of points that are tried."""


@frozen
class Higher:
    """One grade; `bases` are logs of tests that are GO, `alone` judges as if there were no other grade."""

    standard: Standard
    grade: Grade
    bases: tuple[SessionLog, ...]
    in_rounds: InRounds
    alone: Grader

    @staticmethod
    def of(standard: Standard, grade: Grade, bases: Iterator[SessionLog], in_rounds: InRounds) -> "Higher":
        """One that looks first beside a log to which the grade is given, if one is found."""
        known = tuple(bases)
        found = Higher(standard, grade, known, in_rounds, _judge(standard, grade))
        given = found._with_grade()
        return found if given is None else evolve(found, bases=(given, *known))

    def sides(self, limit: Limit) -> Iterator[Tried]:
        """Both sides of each end of the limit."""
        for inside, outside in edges_of(limit):
            reached, missed = list(self._logs(limit, inside)), list(self._logs(limit, outside))
            yield Side.REACHED, reached, (self._given(limit, nearly=False), self._given(limit, nearly=True))
            yield Side.SHORT, missed, (self._missed(limit, outside), self._missed(limit, None))

    def _with_grade(self) -> SessionLog | None:
        """A log with which all limits are met, brought about one after another."""
        for base in self.bases[:1]:
            log: SessionLog | None = base
            for number, limit in enumerate(self.grade.limits, 1):
                judge = _judge(self.standard, evolve(self.grade, limits=self.grade.limits[:number]))
                if log is None or judge(log).outcome is Outcome.GO:
                    continue
                beside = evolve(self, bases=(log,), alone=judge)
                tried = (each for inside, _ in edges_of(limit) for each in beside._logs(limit, inside))
                log = next((each for each in tried if judge(each).outcome is Outcome.GO), None)
            return log
        return None

    def _logs(self, limit: Limit, wanted: Quantity) -> Iterator[SessionLog]:
        """Logs in which the limit's figure may be so much."""
        parts = limit.figure.all_parts()
        if all(part.kind is FigureKind.POINTS for part in parts):
            paths = [part.path for part in parts]
            own = [
                each for each in self.standard.scores() if any(p is None or _is_in(each[0].path, p) for p in paths)
            ]
            scores, sums = [score for _, score in own], {0}
            for clause, score in own:
                sums = {before + points for before in sums for points in _above_floors(clause, score)}
            holds = limit.test.holds(wanted.base)
            alike = [each for each in sums if limit.test.holds(count(each).base) is holds]
            for each in sorted(alike, key=lambda each: abs(each - wanted.base))[:_SUMS]:
                for base in self.bases:
                    yield from with_points(self.standard, scores, [base], self.alone, each)
        yield from self.in_rounds(limit, int(wanted.base))
        for base in self.bases:
            yield from edited(self.standard, limit, base, _figure(limit, self.alone(base)), wanted)

    def _given(self, limit: Limit, *, nearly: bool) -> Check:
        """The grade is given with nothing to spare; where that cannot be had, it is given."""
        exactly = kept(limit, limit.path)

        def check(verdict: Verdict, log: SessionLog) -> Told | None:
            row = next((row for row in verdict.figures if row.path == limit.path), None)
            if verdict.grade != self.grade.name or row is None:
                return None
            told = Told(what="is kept", at=verdict.decided_at, figure=row.figure, margin=row.margin)
            return told if nearly else exactly(verdict, log)

        return check

    def _missed(self, limit: Limit, amount: Quantity | None) -> Check:
        """A lower grade is given, for the amount just beyond the limit or, without one, for any beyond it."""
        names = [grade.name for grade in self.standard.grades]
        lower = names[names.index(self.grade.name) + 1 :]

        def check(verdict: Verdict, log: SessionLog) -> Told | None:
            if verdict.grade not in lower:
                return None
            for reason in self.alone(log).reasons:
                figure = reason.figure
                if reason.path != limit.path or figure is None:
                    continue
                if amount is None or figure.base == amount.base:
                    what = f"gives the grade {verdict.grade}"
                    return Told(what=what, at=verdict.decided_at, figure=figure, margin=reason.margin)
            return None

        return check


def _above_floors(clause: Clause, score: Score) -> list[int]:
    """The points a score can give in a clause that completes, as far as its own floors tell."""
    floors = [limit.test for limit in clause.limits if limit.figure.kind is FigureKind.POINTS]
    inside = any(item.scores for item in clause.walk() if item is not clause)
    given = [row.points for row in score.rows]
    given += [] if score.otherwise is None else [score.otherwise]
    return [each for each in given if inside or all(test.holds(count(each).base) for test in floors)]


def _judge(standard: Standard, grade: Grade) -> Grader:
    machine = compile_standard(evolve(standard, grades=(grade,)))
    return lambda log: replay(machine, log)[0]


def _figure(limit: Limit, verdict: Verdict) -> Measure | None:
    """The figure of a limit, whether or not it is kept; None where another one was broken."""
    rows = [row.figure for row in verdict.figures if row.path == limit.path]
    rows += [each.figure for each in verdict.reasons if each.path == limit.path and each.figure is not None]
    return next(iter(rows), None)


def _is_in(path: str, around: str) -> bool:
    return f"{path}.".startswith(f"{around}.")
