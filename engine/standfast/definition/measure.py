"""Rules 28 and 29: what a figure is, when a limit on it can no longer be met, and whether it is met."""

from collections.abc import Iterator
from fractions import Fraction

from standfast.definition.rounds import figure as figure_of_rounds
from standfast.definition.state import Attempt, Course, Hearing, Run, Tally
from standfast.log.entry import Entry
from standfast.model.rules import Figure, FigureKind, Limit, Part, Pattern, Score, ScoreRow, Test
from standfast.quantity import Comparison, Quantity
from standfast.verdict import Ending, Outcome

Amount = Fraction | int

_UP_TO = (Comparison.AT_MOST, Comparison.UNDER)


def figure_now(hearing: Hearing, tally: Tally, limit: Limit, until: int) -> Amount | None:
    """The figure of a limit in its clause up to an instant; None where it is not there."""
    figure = limit.figure
    match figure.kind:
        case FigureKind.SILENCE:
            return tally.longest_silence(figure.mark or "", until)  # Rule 12
        case FigureKind.EACH:
            # The one that lies least on the candidate's side, the first of equals.
            return min(tally.values(figure.mark or ""), key=lambda value: margin(limit.test, value), default=None)
        case FigureKind.COUNT if figure.counting.by_anyone and least_and_most(limit.test)[0] is None:
            return tally.compared(Pattern(figure.mark or ""), figure.counting)  # Rule 38
        case _:
            return amount_of(hearing, tally, figure, until)


def amount_of(hearing: Hearing, tally: Tally, figure: Figure, until: int) -> Amount | None:
    """Rule 28, of a figure that needs no test to be one."""
    match figure.kind:
        case FigureKind.SUM:
            parts = [_part(hearing, tally, part, until) for part in figure.parts]
            return None if None in parts else sum((Fraction(p) for p in parts if p is not None), Fraction(0))
        case FigureKind.COUNT:
            return tally.fitting(Pattern(figure.mark or ""), figure.counting)  # Rule 10
        case FigureKind.POINTS:
            return _points(hearing, tally, until)
        case _:
            return _of_tally(hearing, tally, figure.kind, figure.mark, until)


def _of_tally(hearing: Hearing, tally: Tally, kind: FigureKind, mark: str | None, until: int) -> Amount | None:
    name = mark or ""
    match kind:
        case FigureKind.TIME:
            return until - tally.since  # Rule 9
        case FigureKind.COUNT:
            return tally.counted(name)  # Rule 10
        case FigureKind.TOTAL:
            return sum(tally.values(name), Fraction(0))
        case FigureKind.LARGEST:
            return max(tally.values(name), default=None)
        case FigureKind.SMALLEST:
            return min(tally.values(name), default=None)
        case FigureKind.LAST:
            values = tally.values(name)
            return values[-1] if values else None
        case FigureKind.RATE:
            return tally.rate(name)
        case FigureKind.MADE | FigureKind.MISSED | FigureKind.FURTHEST:
            assert tally.run is not None
            return figure_of_rounds(tally.run, kind)  # Rule 35
        case FigureKind.READING:
            return _reading(hearing, tally, name)
        case FigureKind.SILENCE | FigureKind.EACH | FigureKind.POINTS | FigureKind.SUM:
            raise AssertionError(f"no part of a sum: {kind.value}")


def _reading(hearing: Hearing, tally: Tally, mark: str) -> Fraction | None:
    """Rule 41: the one reading that several make."""
    declared, values = hearing.standard.mark(mark), tally.values(mark)
    assert declared is not None and declared.readings is not None
    pick = next((word.value for number, word in declared.readings.picks if number == len(values)), None)
    if len(values) == 1:
        one = values[0]
    elif not values or pick is None:
        return None
    elif pick == "first":
        one = values[0]
    elif pick == "middle":
        # As many lie below it as above.
        one = next(
            value
            for value in values
            if sum(other < value for other in values) <= len(values) // 2
            and sum(other > value for other in values) <= len(values) // 2
        )
    elif pick == "mean":
        one = Fraction(sum(values, Fraction(0)), len(values))
    else:
        one = max(values) if pick in ("longer", "larger") else min(values)
    rounding = declared.readings.rounding
    return one if rounding is None else rounding.of(one)


def _part(hearing: Hearing, tally: Tally, part: Part, until: int) -> Amount | None:
    """A clause inside has its figure when it is completed, in the run that completed."""
    if part.path is None:
        if part.kind is FigureKind.POINTS:
            return _points(hearing, tally, until)
        return _of_tally(hearing, tally, part.kind, part.mark, until)
    for run in _completed(hearing, tally):
        if run.clause.path == part.path and run.tally is not None and run.completed_at is not None:
            if part.kind is FigureKind.POINTS:
                return points_of(hearing, run, run.completed_at)
            return _of_tally(hearing, run.tally, part.kind, part.mark, run.completed_at)
    return None


def _completed(hearing: Hearing, tally: Tally) -> Iterator[Run]:
    """Those completed inside the clause; inside `always` those of the attempts that ended GO."""
    if tally.run is not None:
        yield from tally.run.completed_runs()
        return
    for course in hearing.courses:
        best = best_attempt(hearing, course)
        for attempt in course.attempts:
            counts = attempt.ending is Ending.GO if best is None else attempt is best  # Rule 40
            if counts and attempt.root is not None:
                yield from attempt.root.completed_runs()


def best_attempt(hearing: Hearing, course: Course) -> Attempt | None:
    """Rule 40: the attempt whose figures count, where the event takes the best; of equals the earlier."""
    best = course.event.best
    if best is None:
        return None
    found: tuple[Fraction | None, Attempt] | None = None
    for attempt in course.attempts:
        if attempt.ending is not Ending.GO or attempt.root is None or attempt.root.tally is None:
            continue
        tally, until = attempt.root.tally, attempt.root.completed_at
        assert until is not None
        figure = amount_of(hearing, tally, best.figure, until)
        amount = None if figure is None else Fraction(figure)
        if amount is not None:
            amount = -amount if best.least else amount
        if found is None or (amount is not None and (found[0] is None or amount > found[0])):
            found = amount, attempt
    return None if found is None else found[1]


# --- points ----------------------------------------------------------------------------------------------


def row_of(hearing: Hearing, run: Run, until: int) -> tuple[ScoreRow | None, Amount | None]:
    """Rule 30: the first row that its figure fits, and that figure; None for what is left to `otherwise`."""
    score, tally = run.clause.score, run.tally
    assert score is not None and tally is not None
    for row in score.rows:
        figure = _as_scored(score, amount_of(hearing, tally, row.figure, until))
        if figure is not None and row.test.holds(figure):
            return row, figure
    return None, None if score.figure is None else _as_scored(
        score, amount_of(hearing, tally, score.figure, until)
    )


def _as_scored(score: Score, figure: Amount | None) -> Fraction | None:
    """Rule 42."""
    return None if figure is None else score.rounded(figure)


def own_points(hearing: Hearing, run: Run, until: int) -> int | None:
    """Rule 30: of its own score; None where it fails."""
    row, _ = row_of(hearing, run, until)
    if row is not None:
        return row.points
    return None if run.clause.score is None else run.clause.score.otherwise


def points_of(hearing: Hearing, run: Run, until: int) -> int | None:
    """Rule 30: of its own score and those inside it, in the runs that completed; `run` is taken to complete."""
    given = []
    for each in (run, *(inner for item in run.items for inner in item.completed_runs())):
        if each.clause.score is not None:
            at = each.completed_at
            given.append(own_points(hearing, each, until if at is None else at))
    return None if None in given else sum(points for points in given if points is not None)


def _points(hearing: Hearing, tally: Tally, until: int) -> int | None:
    """Of a clause, or in `always` of the attempts that ended GO."""
    if tally.run is not None:
        return points_of(hearing, tally.run, until)
    return points_of_test(hearing)


def points_of_test(hearing: Hearing) -> int | None:
    given = []
    for course in hearing.courses:
        best = best_attempt(hearing, course)
        for attempt in course.attempts:
            if best is not None and (attempt is not best or course.outcome is not Outcome.GO):
                continue  # Rule 40
            if attempt.ending is Ending.GO and attempt.root is not None and attempt.ended_at is not None:
                given.append(points_of(hearing, attempt.root, attempt.ended_at))
    return None if None in given else sum(points for points in given if points is not None)


def is_met(limit: Limit, amount: Amount | None) -> bool:
    """Rule 28: a figure that is not there is no more than anything, and no less than nothing.

    Rule 41: but a reading that is not there is nothing at all.
    """
    if amount is None:
        kinds = [limit.figure.kind, *(part.kind for part in limit.figure.parts)]
        return FigureKind.READING not in kinds and limit.test.comparison in _UP_TO
    return limit.test.holds(Fraction(amount))


def is_lost(hearing: Hearing, tally: Tally, limit: Limit, entry: Entry) -> Amount | None:
    """Rule 29: the figure with which a limit on values can no longer be met once this entry was shown, or None."""
    test, figure, mark = limit.test, limit.figure.kind, limit.figure.mark
    if mark != entry.mark or not isinstance(entry.value, Quantity):
        return None
    values = tally.values(mark)
    low, high = test.first.base, (test.second or test.first).base
    match figure:
        case FigureKind.EACH:
            return None if test.holds(entry.value.base) else entry.value.base
        case FigureKind.TOTAL | FigureKind.LARGEST:
            reached = sum(values, Fraction(0)) if figure is FigureKind.TOTAL else max(values)
            if test.comparison in (Comparison.AT_LEAST, Comparison.OVER):
                return None
            too_much = reached >= high if test.comparison is Comparison.UNDER else reached > high
            return reached if too_much else None
        case FigureKind.SMALLEST:
            if test.comparison in _UP_TO:
                return None
            too_little = min(values) <= low if test.comparison is Comparison.OVER else min(values) < low
            return min(values) if too_little else None
        case _:
            return None


def is_judged_late(limit: Limit) -> bool:
    """Rule 29: whether a limit has something to judge when its clause would complete, time aside."""
    comparison = limit.test.comparison
    match limit.figure.kind:
        case FigureKind.TIME | FigureKind.SILENCE | FigureKind.EACH:
            return False
        case FigureKind.COUNT | FigureKind.TOTAL | FigureKind.LARGEST:
            return comparison not in _UP_TO
        case FigureKind.SMALLEST:
            return comparison not in (Comparison.AT_LEAST, Comparison.OVER)
        case _:
            return True


def least_and_most(test: Test) -> tuple[Fraction | None, Fraction | None]:
    """The bounds of a test on whole numbers: the least that passes, the greatest that does."""
    first = test.first.base
    match test.comparison:
        case Comparison.AT_LEAST:
            return first, None
        case Comparison.OVER:
            return first + 1, None
        case Comparison.AT_MOST:
            return None, first
        case Comparison.UNDER:
            return None, first - 1
        case Comparison.EXACTLY:
            return first, first
        case Comparison.FROM_TO | Comparison.WITHIN:  # no fact is a whole number
            return first, test.second.base if test.second is not None else first


def margin(test: Test, figure: Amount) -> Fraction:
    """Rule 23: how far the figure lies on the candidate's side, in base units, negative when broken."""
    first, amount = test.first.base, Fraction(figure)
    match test.comparison:
        case Comparison.AT_LEAST | Comparison.OVER:
            return amount - first
        case Comparison.AT_MOST | Comparison.UNDER:
            return first - amount
        case Comparison.EXACTLY:
            return -abs(amount - first)
        case Comparison.FROM_TO:
            second = first if test.second is None else test.second.base
            return min(amount - first, second - amount)
        case Comparison.WITHIN:
            assert test.around is not None
            off = amount - test.around.base
            if test.heading:  # Rule 36: the short way round
                off = (off + 180) % 360 - 180
            return first - abs(off)
