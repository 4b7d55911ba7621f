"""What of a standard bears on who is GO: the rest is left out before two editions are walked together.

Left out are what only tells (notes, the grades above the lowest, `carry on` and `owed at the end fails` of all of
it), what nothing asks for (points), limits that never break first, since one on the same figure, beside or around
them, allows less, limits on a time that is long enough and not too long whatever is logged, or as long as another
does not break, and silences longer than can be. Sums that are too great whenever they are there are so by as much.
A line on a mark that is heard `out of order` gives the mark a use and stays; so does one on a mark that names
rounds, or that asks by whom or for whom an entry is.
"""

from fractions import Fraction
from typing import TypeVar

from standfast.difference.beyond import levelled
from standfast.difference.facets import facets
from standfast.difference.lasting import Lasts, lasts_at_least, lasts_at_most, lasts_by_rate
from standfast.difference.likeness import alike
from standfast.model.rules import (
    OWN,
    Effect,
    Fault,
    Figure,
    FigureKind,
    Limit,
    OutOfOrder,
    Rest,
    RestBound,
    Rule,
    Score,
    Test,
    counted,
    marks_named,
)
from standfast.model.standard import Always, Clause, Event, Standard
from standfast.quantity import Comparison
from standfast.values import evolve, frozen

R = TypeVar("R", Limit, Fault)

_GROWS = (FigureKind.TIME, FigureKind.COUNT, FigureKind.SILENCE, FigureKind.TOTAL, FigureKind.LARGEST)
"""Figures that of a clause around another are never less than of the one inside."""


def bearing(standard: Standard) -> Standard:
    """The standard, meant for one kind of candidate, as far as it bears on who is GO."""
    return _Bearing.of(standard, telling=False).standard(standard)


def acting(standard: Standard) -> Standard:
    """The same as far as it decides who is GO, by which rules and with which grade: nothing that is only noted."""
    return _Bearing.of(standard, telling=True).standard(standard)


def alike_for_go(old: Standard, new: Standard) -> bool:
    """Of what bears on who is GO in each: whether it means the same, whatever its lines are called."""
    return alike(_unnamed(old), _unnamed(new))


@frozen
class _Bearing:
    """What must be known of a standard: marks whose every use may matter, and whether anything asks for points.

    `telling`: the rules that act and the grade are asked for too.
    """

    watched: frozenset[str]
    scored: bool
    telling: bool

    @classmethod
    def of(cls, standard: Standard, *, telling: bool) -> "_Bearing":
        heard = {mark for rule in standard.rules() if _is_heard(rule) for mark in marks_named(rule)}
        rounds = {mark.name for mark in standard.marks if mark.names_round}
        figures = [rule.figure for rule in standard.rules() if isinstance(rule, Limit)]
        figures += [event.best.figure for event in standard.events if event.best is not None]
        return cls(frozenset(heard | rounds), any(map(_asks_for_points, figures)), telling)

    def standard(self, standard: Standard) -> Standard:
        if not self.telling and not standard.facts:
            standard = levelled(standard)
        least = sum((lasts_at_least(event.clause) for event in standard.events), Fraction(0))
        limits = self._limits(standard.always.limits, (), Lasts(least, None))
        always = Always(limits, self._faults(standard.always.faults, Lasts(least, None)))
        ages = tuple(limit for limit in always.limits if limit.figure.kind is FigureKind.TIME)
        events = tuple(self._event(event, ages) for event in standard.events)
        kept = evolve(standard, always=always, events=events)
        if self.telling:
            return kept
        lowest = tuple(grade for grade in standard.grades[-1:] if grade.limits)
        return evolve(kept, grades=lowest, carry_on=False, owed_fails=False)

    def _event(self, event: Event, around: tuple[Limit, ...]) -> Event:
        rest = event.rest_between
        return evolve(
            event,
            clause=self._clause(event.clause, around),
            rest_between=rest if event.clause.start is None else _rest(rest),
        )

    def _clause(self, clause: Clause, around: tuple[Limit, ...]) -> Clause:
        least = max(lasts_at_least(clause), lasts_by_rate(clause))
        lasts = Lasts(least, lasts_at_most(clause), _most_time((*around, *clause.limits)))
        limits = self._limits(clause.limits, around, lasts)
        return evolve(
            clause,
            limits=limits,
            faults=self._faults(clause.faults, lasts),
            rest=clause.rest if clause.start is None else _rest(clause.rest),
            scores=clause.scores if self.scored else tuple(filter(_may_fail, clause.scores)),
            items=tuple(self._clause(item, (*around, *limits)) for item in clause.items),
        )

    def _limits(self, limits: tuple[Limit, ...], around: tuple[Limit, ...], lasts: Lasts) -> tuple[Limit, ...]:
        if self.telling:
            return limits
        limits = tuple(limit for limit in limits if not (self._may_go(limit) and lasts.never_breaks(limit)))
        kept: list[Limit] = []
        for number, limit in enumerate(limits):
            others = (*around, *kept, *limits[number + 1 :])
            if not self._may_go(limit) or not any(_breaks_no_later(other, limit) for other in others):
                kept.append(limit)
        return tuple(kept)

    def _faults(self, faults: tuple[Fault, ...], lasts: Lasts) -> tuple[Fault, ...]:
        return tuple(fault for fault in faults if not self._says_nothing(fault, lasts))

    def _says_nothing(self, fault: Fault, lasts: Lasts) -> bool:
        if fault.effect is Effect.NOTE:
            return isinstance(fault.trigger, OutOfOrder) or self._may_go(fault)
        return not self.telling and self._may_go(fault) and lasts.never_acts(fault)

    def _may_go(self, rule: Rule) -> bool:
        counts = counted(rule)
        return self.watched.isdisjoint(marks_named(rule)) and (counts is None or counts[1] == OWN)


def _is_heard(rule: Rule) -> bool:
    """Whether it acts where a mark has no use."""
    return isinstance(rule, Fault) and isinstance(rule.trigger, OutOfOrder) and rule.effect is not Effect.NOTE


def _asks_for_points(figure: Figure) -> bool:
    return any(part.kind is FigureKind.POINTS for part in figure.all_parts())


def _may_fail(score: Score) -> bool:
    return score.otherwise is None


def _rest(rest: Rest | None) -> Rest | None:
    """A rest that a mark ends, without bounds whose breach is only noted."""
    if rest is None:
        return None
    least, greatest = (_unless_noted(bound) for bound in (rest.least, rest.greatest))
    return None if least is None and greatest is None else Rest(least, greatest)


def _unless_noted(bound: RestBound | None) -> RestBound | None:
    return None if bound is None or bound.effect is Effect.NOTE else bound


def _breaks_no_later(other: Limit, limit: Limit) -> bool:
    """Whether one beside or around it is broken, for as grave an end, whenever it is, or was before."""
    return (
        limit.figure.kind in _GROWS
        and not (limit.misses or other.misses)
        and facets(limit.figure) == facets(other.figure)
        and _is_most(limit.test)
        and _is_most(other.test)
        and other.test.first.base < limit.test.first.base
    )


def _most_time(limits: tuple[Limit, ...]) -> Fraction | None:
    """When one of them is broken at the latest, if all else goes on."""
    times = (limit for limit in limits if limit.figure.kind is FigureKind.TIME and not limit.misses)
    return min((limit.test.first.base for limit in times if _is_most(limit.test)), default=None)


def _is_most(test: Test) -> bool:
    return test.comparison in (Comparison.AT_MOST, Comparison.UNDER) and test.of is None


def _unnamed(standard: Standard) -> Standard:
    """With one path for every limit and fault: what a line is called bears on nothing."""
    always = Always(_nameless(standard.always.limits), _nameless(standard.always.faults))
    events = tuple(evolve(event, clause=_unnamed_clause(event.clause)) for event in standard.events)
    grades = tuple(evolve(grade, name="", limits=_nameless(grade.limits)) for grade in standard.grades)
    return evolve(standard, always=always, events=events, grades=grades)


def _unnamed_clause(clause: Clause) -> Clause:
    return evolve(
        clause,
        limits=_nameless(clause.limits),
        faults=_nameless(clause.faults),
        items=tuple(map(_unnamed_clause, clause.items)),
    )


def _nameless(rules: tuple[R, ...]) -> tuple[R, ...]:
    return tuple(evolve(rule, path="") for rule in rules)
