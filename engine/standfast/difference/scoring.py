"""Scores of which one gives no more points than another, whatever is logged."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from itertools import pairwise

from standfast.difference.facets import facets
from standfast.model.rules import Figure, FigureKind, Limit, Score, ScoreRow
from standfast.model.standard import Standard
from standfast.quantity import Comparison

Fits = Callable[[ScoreRow], bool]
"""Whether a row fits what was logged."""


def points_only_help(standard: Standard) -> bool:
    """Whether nothing is asked of points but that there are enough when all else is done."""
    lowest = standard.grades[-1].limits if standard.grades else ()
    at_the_end = [limit for limit in (*standard.always.limits, *lowest) if _is_on_points(limit.figure)]
    others = [rule.figure for event in standard.events for rule in event.rules() if isinstance(rule, Limit)]
    others += [row.figure for _, score in standard.scores() for row in score.rows]
    best = any(event.best is not None for event in standard.events)
    return not best and all(map(_asks_for_enough, at_the_end)) and not any(map(_is_on_points, others))


def _asks_for_enough(limit: Limit) -> bool:
    only = all(part.kind is FigureKind.POINTS for part in limit.figure.all_parts())
    return only and limit.test.comparison in (Comparison.AT_LEAST, Comparison.OVER)


def _is_on_points(figure: Figure) -> bool:
    return any(part.kind is FigureKind.POINTS for part in figure.all_parts())


def gives_no_more(old: Score, new: Score) -> bool:
    """Whether the new score gives no more points than the old, and fails what the old fails and nothing else.

    Both are meant for one kind of candidate.
    """
    if facets(old, "rows", "otherwise") != facets(new, "rows", "otherwise"):
        return False
    rows = (*old.rows, *new.rows)
    if old.figure is None:
        if [facets(row, "points") for row in old.rows] != [facets(row, "points") for row in new.rows]:
            return False
        given = [(one.points, other.points) for one, other in zip(old.rows, new.rows, strict=True)]
        return all(_no_more(*each) for each in (*given, (old.otherwise, new.otherwise)))
    if any(row.test.of is not None or row.test.comparison is Comparison.WITHIN for row in rows):
        return False
    return all(_no_more(_given(old, fits), _given(new, fits)) for fits in _cases(rows))


def _no_more(old: int | None, new: int | None) -> bool:
    """Of points; None: the attempt fails."""
    return (old is None) == (new is None) and (old is None or new is None or new <= old)


def _given(score: Score, fits: Fits) -> int | None:
    return next((row.points for row in score.rows if fits(row)), score.otherwise)


def _cases(rows: tuple[ScoreRow, ...]) -> Iterator[Fits]:
    """All that the rows can tell apart: every amount, and that there is none, whichever rows fit it then."""
    ends = sorted({Fraction(0), *(end.base for row in rows for end in row.test.ends())})
    for amount in (*ends, *((low + high) / 2 for low, high in pairwise(ends)), ends[-1] + 1):
        yield partial(_fits, amount)
    yield lambda row: False
    yield lambda row: row.test.comparison in (Comparison.AT_MOST, Comparison.UNDER)


def _fits(amount: Fraction, row: ScoreRow) -> bool:
    return row.test.holds(amount)
