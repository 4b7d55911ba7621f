"""The points that scores can come to where all that must be completed is, whatever is logged.

None stands for points that are not there (rule 30): a limit of a greatest number then holds, and no other.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cached_property

from standfast.model.rules import FigureKind, Limit
from standfast.model.standard import Clause, Kind, Standard
from standfast.values import frozen

Points = frozenset[int | None]

_NOT_THERE: Points = frozenset({None})


def asks_for_other_points(standard: Standard) -> bool:
    """Whether a limit that every GO must meet asks for points that nobody can have.

    The standard is meant for one kind of candidate.
    """
    return _Reachable(standard).too_many_asked


@frozen(slots=False)
class _Reachable:
    """The points of a test that is GO: those of a clause meet each limit that every GO meets on them."""

    standard: Standard

    @cached_property
    def events(self) -> list[Clause]:
        return [event.clause for event in self.standard.events]

    @cached_property
    def limits(self) -> list[tuple[str | None, Limit]]:
        """The limits on points that every GO meets, each with the clause, by its path; None: of all events."""
        lowest = self.standard.grades[-1].limits if self.standard.grades else ()
        limits: list[tuple[str | None, Limit]] = [(None, each) for each in (*self.standard.always.limits, *lowest)]
        limits += [(c.path, limit) for event in self.events for c in _needed(event) for limit in c.limits]
        return [
            (parts[0].path or own, limit)
            for own, limit in limits
            if len(parts := limit.figure.all_parts()) == 1
            and parts[0].kind is FigureKind.POINTS
            and not limit.misses
        ]

    @property
    def too_many_asked(self) -> bool:
        return not all(any(_passes(limit, each) for each in self._of(path)) for path, limit in self.limits)

    def _of(self, path: str | None) -> Points:
        """The points of a clause by its path; they may not be there if it need not be completed."""
        if path is None:
            return _sum(map(self._points, self.events))
        needed = (each for event in self.events for each in _needed(event))
        found = next((self._points(each) for each in needed if each.path == path), None)
        if found is not None:
            return found
        inside = (each for event in self.events for each in event.walk())
        return next((self._points(each) | _NOT_THERE for each in inside if each.path == path), _NOT_THERE)

    def _points(self, clause: Clause) -> Points:
        """Those of a clause that is completed, as far as the limits on them allow."""
        held = [limit for path, limit in self.limits if path == clause.path]
        return frozenset(points for points in self._given(clause) if all(_passes(limit, points) for limit in held))

    def _given(self, clause: Clause) -> Points:
        """Of its score and of every score inside."""
        score = clause.score
        own: Points = _NOT_THERE
        if score is not None:
            own = frozenset(row.points for row in score.rows)
            own |= frozenset() if score.otherwise is None else {score.otherwise}
        each = [
            self._points(item) | (_NOT_THERE if item.only_if_begun or clause.kind is Kind.ROUNDS else frozenset())
            for item in clause.items
        ]
        if clause.kind is Kind.ONE_OF:
            return _sum((own, frozenset().union(*each)))
        return _sum((own, *each))


def _passes(limit: Limit, points: int | None) -> bool:
    return not limit.test.has_least if points is None else limit.test.holds(Fraction(points))


def _needed(clause: Clause) -> Iterator[Clause]:
    """The clause, and those inside that are completed whenever it is."""
    yield clause
    if clause.kind in (Kind.IN_ORDER, Kind.ANY_ORDER):
        for item in clause.items:
            if not item.only_if_begun:
                yield from _needed(item)


def _sum(pieces: Iterable[Points]) -> Points:
    found = _NOT_THERE
    for piece in pieces:
        found = frozenset(_added(one, other) for one in found for other in piece)
    return found


def _added(one: int | None, other: int | None) -> int | None:
    return other if one is None else one if other is None else one + other
