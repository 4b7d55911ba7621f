"""Rule 23: the figure and margin of every rule that compares a figure with a number, for what ended GO."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from standfast.definition.breach import limit_margin
from standfast.definition.measure import figure_now, is_met, own_points, row_of
from standfast.definition.rounds import misses_in_all, most_misses_in_a_row
from standfast.definition.state import Attempt, Course, Hearing, Run, Tally, micros
from standfast.model.rules import Fault, Limit, Misses, Occurrence, Rest, RestBound, Rule, Silence, UntilTotals
from standfast.model.standard import Grade, bounds
from standfast.quantity import Quantity, count
from standfast.values import frozen
from standfast.verdict import Figured, ReasonKind, Scored, measured


@frozen
class Row:
    """One line, in base units. `second` puts a restart's number after the rule's own."""

    rule: Rule
    figure: Fraction
    margin: Fraction
    limit: Quantity
    second: bool = False

    @property
    def place(self) -> tuple[Fraction, int, bool]:
        """The smallest margin in proportion to its limit first, equal ones as written."""
        return (self.margin / (self.limit.base or 1), self.rule.order, self.second)

    @property
    def figured(self) -> Figured:
        return Figured(
            path=self.rule.path + (".at_most" if self.second else ""),  # Rule 24
            words=self.rule.words,
            figure=measured(self.figure, self.limit),
            margin=measured(self.margin, self.limit),
        )


def figures_of_attempt(hearing: Hearing, course: Course, attempt: Attempt) -> tuple[Figured, ...]:
    """Of the clauses that completed, in the run that completed; a rest between attempts with the one after it."""
    rows: list[Row] = []
    if attempt.rest_before is not None and course.event.rest_between is not None:
        rows += _of_rest(course.event.rest_between, attempt.rest_before)
    for run in attempt.root.completed_runs() if attempt.root is not None else ():
        rows += _of_run(hearing, attempt, run)
    return _sorted(rows)


def figures_of_always(hearing: Hearing) -> tuple[Figured, ...]:
    """A GO lists so those of `always` and of the grade it is given, up to the instant of the GO."""
    rows: list[Row] = []
    for tally in (hearing.limits, hearing.faults):
        if tally is not None and hearing.decided_at is not None:
            rows += _of_tally(hearing, tally, hearing.decided_at)
    grade, tally = grade_given(hearing), hearing.limits
    if grade is not None and tally is not None and hearing.decided_at is not None:
        rows += _of_limits(hearing, tally, grade.limits, hearing.decided_at)
    return _sorted(rows)


def grade_given(hearing: Hearing) -> Grade | None:
    """Rule 31: of a GO, the first grade from the top that is met."""
    tally, at = hearing.limits, hearing.decided_at
    for grade in hearing.standard.grades if tally is not None and at is not None else ():
        assert tally is not None and at is not None
        if all(is_met(limit, figure_now(hearing, tally, limit, at)) for limit in grade.limits):
            return grade
    return None


def scores_of_attempt(hearing: Hearing, attempt: Attempt) -> tuple[Scored, ...]:
    """Rules 23 and 30: of the clauses that completed, in the run that completed."""
    found = []
    for run in attempt.root.completed_runs() if attempt.root is not None else ():
        score = run.clause.score
        if score is not None and run.completed_at is not None:
            (row, figure), points = (
                row_of(hearing, run, run.completed_at),
                own_points(hearing, run, run.completed_at),
            )
            unit = (row or score.rows[0]).test.first if score.rows else None
            assert points is not None
            found.append(
                Scored(
                    path=score.path,
                    words=score.last_words if row is None else row.words,
                    points=points,
                    figure=None if figure is None or unit is None else measured(figure, unit),
                )
            )
    return tuple(found)


def _sorted(rows: Iterable[Row]) -> tuple[Figured, ...]:
    return tuple(row.figured for row in sorted(rows, key=lambda row: row.place))


def _of_run(hearing: Hearing, attempt: Attempt, run: Run) -> Iterator[Row]:
    assert run.tally is not None and run.completed_at is not None
    yield from _of_tally(hearing, run.tally, run.completed_at)
    if isinstance(run.clause.goal, UntilTotals):
        goal, total = run.clause.goal, run.total()
        yield Row(goal, total, total - goal.amount.base, goal.amount)
    for rest, taken in run.rests:
        yield from _of_rest(rest, taken)
    # Rule 18: a rest's fault stands in the clause around it, and so does the number of its restarts.
    between = [bound for item in run.clause.items if item.rest is not None for bound in bounds(item.rest)]
    breached: list[Fault | RestBound] = [*run.clause.faults, *between]
    for rule in breached:
        if ReasonKind(rule.effect.value) is ReasonKind.RESTART and rule.at_most is not None:
            took_place = attempt.restarts.count(rule.path)
            yield Row(rule, Fraction(took_place), Fraction(rule.at_most - took_place), count(rule.at_most), True)


def _of_tally(hearing: Hearing, tally: Tally, until: int) -> Iterator[Row]:
    yield from _of_limits(hearing, tally, tally.limits, until)
    for fault in tally.faults:
        yield from _of_fault(tally, fault, until)


def _of_limits(hearing: Hearing, tally: Tally, limits: Iterable[Limit], until: int) -> Iterator[Row]:
    for limit in limits:
        figure = figure_now(hearing, tally, limit, until)
        if figure is not None:
            yield Row(limit, Fraction(figure), limit_margin(limit, figure), limit.test.first)


def _of_fault(tally: Tally, fault: Fault, until: int) -> Iterator[Row]:
    match fault.trigger:
        case Occurrence(pattern=pattern, more_than=allowed, counting=counting) if allowed > 0:
            fitting = (tally.compared if counting.by_anyone else tally.fitting)(pattern, counting)  # Rule 38
            yield Row(fault, Fraction(fitting), Fraction(allowed - fitting), count(allowed))
        case Misses(number=number, in_a_row=in_a_row) if tally.run is not None:  # Rule 35
            missed = most_misses_in_a_row(tally.run) if in_a_row else misses_in_all(tally.run)
            yield Row(fault, Fraction(missed), Fraction(number - 1 - missed), count(number))
        case Silence(mark=mark, length=length):
            longest = tally.longest_silence(mark, until)
            yield Row(fault, Fraction(longest), length.base - longest, length)


def _of_rest(rest: Rest, taken: int) -> Iterator[Row]:
    for bound in bounds(rest):
        yield Row(bound, Fraction(taken), _rest_margin(rest, bound, taken), bound.length)


def _rest_margin(rest: Rest, bound: RestBound, taken: int) -> Fraction:
    left = taken - micros(bound.length)
    return Fraction(left if bound is rest.least else -left)
