"""The points that scores can come to where all that must be completed is, whatever is logged.

None stands for points that are not there (rule 30): a limit of a greatest number then holds, and no other.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from standfast.model.rules import FigureKind, Limit
from standfast.model.standard import Clause, Kind, Standard

Points = frozenset[int | None]

_NOT_THERE: Points = frozenset({None})


def asks_for_other_points(standard: Standard) -> bool:
    """Whether a limit that every GO must meet asks for points that nobody can have.

    The standard is meant for one kind of candidate.
    """
    lowest = standard.grades[-1].limits if standard.grades else ()
    clauses = [event.clause for event in standard.events]
    limits = [(limit, clauses) for limit in (*standard.always.limits, *lowest)]
    limits += [(limit, [each]) for clause in clauses for each in _needed(clause) for limit in each.limits]
    return any(not _can_be_met(limit, around) for limit, around in limits)


def _can_be_met(limit: Limit, around: list[Clause]) -> bool:
    """Whether it is on something else than the points of one clause, or some of these pass it."""
    parts = limit.figure.all_parts()
    if limit.misses or len(parts) != 1 or parts[0].kind is not FigureKind.POINTS:
        return True
    path = parts[0].path
    points = _sum(map(_points, around)) if path is None else _of(path, around)
    return any(_passes(limit, each) for each in points)


def _passes(limit: Limit, points: int | None) -> bool:
    return not limit.test.has_least if points is None else limit.test.holds(Fraction(points))


def _of(path: str, around: list[Clause]) -> Points:
    """The points of a clause by its path; they may not be there if it need not be completed."""
    needed = (each for clause in around for each in _needed(clause))
    found = next((_points(each) for each in needed if each.path == path), None)
    if found is not None:
        return found
    inside = (each for clause in around for each in clause.walk())
    return next((_points(each) | _NOT_THERE for each in inside if each.path == path), _NOT_THERE)


def _needed(clause: Clause) -> Iterator[Clause]:
    """The clause, and those inside that are completed whenever it is."""
    yield clause
    if clause.kind in (Kind.IN_ORDER, Kind.ANY_ORDER):
        for item in clause.items:
            if not item.only_if_begun:
                yield from _needed(item)


def _points(clause: Clause) -> Points:
    """Those of a clause that is completed: of its score and of every score inside, as its own limits allow."""
    own = [limit for limit in clause.limits if limit.figure.kind is FigureKind.POINTS and not limit.misses]
    return frozenset(points for points in _given(clause) if all(_passes(limit, points) for limit in own))


def _given(clause: Clause) -> Points:
    score = clause.score
    own: Points = _NOT_THERE
    if score is not None:
        own = frozenset(row.points for row in score.rows)
        own |= frozenset() if score.otherwise is None else {score.otherwise}
    inner: Points
    match clause.kind:
        case Kind.ONE_OF:
            inner = frozenset(points for item in clause.items for points in _points(item))
        case Kind.ROUNDS:
            inner = _sum(_points(item) | _NOT_THERE for item in clause.items)
        case _:
            inner = _sum(
                _points(item) | _NOT_THERE if item.only_if_begun else _points(item) for item in clause.items
            )
    return _sum((own, inner))


def _sum(pieces: Iterable[Points]) -> Points:
    found = _NOT_THERE
    for piece in pieces:
        found = frozenset(_added(one, other) for one in found for other in piece)
    return found


def _added(one: int | None, other: int | None) -> int | None:
    return other if one is None else one if other is None else one + other
