"""Editions of which one, line by line, only asks for more, so that no log is GO under it alone.

Both machines go the same way as long as no line acts that differs. If every such line acts in the new edition at
the latest when it does in the old, and if the test cannot be GO any more once it has acted there, then a log that
is GO under the new edition is GO under the old. A line has that power where it disqualifies, stands as a limit in
`always`, or fails the only attempt at an event; not where another attempt follows, for who fails sooner begins
sooner, and may pass. Nor, where a step lasts `for` a time, has a limit that is judged at its completion: the step
then waits. Attempts may be fewer in the new edition: one that passes there passes in the old at the same instant.

Where nothing can fail in the old edition, all of that may be otherwise: see `onward`.

A halt that gives its charge back may become one that does not, or a failure, however many attempts there are: who
passes with fewer left passes with more. Where there may be any number of them neither is more than the other.

Where all that is asked of points is that there are enough at the end, a score may give fewer.

A line that came can give a mark a use, which matters where the mark is heard `out of order` or names a round: then
it may not come.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from standfast.difference.facets import facets
from standfast.difference.likeness import bare, bare_frame
from standfast.difference.onward import only_goes_on
from standfast.difference.scoring import gives_no_more, points_only_help
from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Score,
    Silence,
    Test,
    marks_named,
)
from standfast.model.standard import Always, Clause, Event, Standard, bounds
from standfast.quantity import Comparison
from standfast.values import evolve, frozen

R = TypeVar("R", Limit, Fault)

_OF_ROUNDS = (FigureKind.MADE, FigureKind.MISSED, FigureKind.FURTHEST)


def asks_no_less(old: Standard, new: Standard) -> bool:
    """Whether the lines alone show that no log is GO under the new edition and not under the old."""
    if only_goes_on(old, new):
        return True
    bare_of_rules = evolve(old, always=Always()), evolve(new, always=Always())
    if len(old.events) != len(new.events) or bare_frame(bare_of_rules[0]) != bare_frame(bare_of_rules[1]):
        return False
    watched = frozenset(mark for standard in (old, new) for mark in _watched(standard))
    once = {event.label for event in new.events if _is_tried_once(event, new.always)}
    only = len(once) == len(new.events)
    helped = points_only_help(old) and points_only_help(new)
    places = [
        _Place(
            ends=False,
            fails=event.label in once,
            spends=event.label in once or _only_spends(event, new),
            any_number=event.attempts is None,
            points_help=helped,
            waits=False,
            watched=watched,
        )
        for event in new.events
    ]
    always = _Place(
        ends=True,
        fails=only,
        spends=all(place.spends for place in places),
        any_number=all(place.any_number for place in places),
        points_help=helped,
        waits=False,
        watched=watched,
    )
    return (
        always.limits(old.always.limits, new.always.limits)
        and always.faults(old.always.faults, new.always.faults)
        and all(_event(*each) for each in zip(old.events, new.events, places, strict=True))
    )


def _watched(standard: Standard) -> Iterator[str]:
    """The marks of which another use may matter: those heard `out of order`, and those that name rounds."""
    yield from (mark.name for mark in standard.marks if mark.names_round)
    for rule in standard.rules():
        if isinstance(rule, Fault) and isinstance(rule.trigger, OutOfOrder):
            yield rule.trigger.pattern.mark


def _is_tried_once(event: Event, always: Always) -> bool:
    """Whether a failure settles it: no other attempt follows, nor a halt that gives back one that carries on."""
    faults = (*always.faults, *(fault for clause in event.clause.walk() for fault in clause.faults))
    given_back = any(fault.effect is Effect.HALT and not fault.charged for fault in faults)
    rests = (bound for clause in event.clause.walk() if clause.rest is not None for bound in bounds(clause.rest))
    given_back |= any(bound.effect is Effect.HALT and not bound.charged for bound in rests)
    return event.attempts == 1 and event.best is None and not (event.carry_on and given_back)


def _only_spends(event: Event, standard: Standard) -> bool:
    """Whether it is all one how an attempt at it is broken off, but for the charge.

    After a halt nothing begins by itself, and where an event carries on a failure breaks nothing off.
    """
    starts = all(each.clause.start is not None for each in standard.events)
    return starts and event.best is None and not event.carry_on


def _event(old: Event, new: Event, place: "_Place") -> bool:
    same = all(
        bare(one) == bare(other)
        for one, other in (
            (old.rest_between, new.rest_between),
            (old.carry_on, new.carry_on),
            (old.best, new.best),
        )
    )
    return (
        same
        and (old.attempts == new.attempts or (new.best is None and _no_more(old.attempts, new.attempts)))
        and _clause(old.clause, new.clause, place)
    )


def _no_more(old: int | None, new: int | None) -> bool:
    """Whether there are no more attempts in the new edition; None: any number."""
    return old is None or (new is not None and new <= old)


def _clause(old: Clause, new: Clause, place: "_Place") -> bool:
    heads = [bare(evolve(each, limits=(), faults=(), scores=(), items=())) for each in (old, new)]
    place = evolve(place, waits=isinstance(old.goal, For))
    return (
        heads[0] == heads[1]
        and len(old.items) == len(new.items)
        and place.scores(old.scores, new.scores)
        and place.limits(old.limits, new.limits)
        and place.faults(old.faults, new.faults)
        and all(_clause(*pair, place) for pair in zip(old.items, new.items, strict=True))
    )


@frozen
class _Place:
    """Where lines stand. `ends`: a limit ends the test; `fails`: what fails the attempt leaves no other.

    `spends`: a failure is to it what a halt is that gives no charge back, or worse; `any_number`: of attempts
    there may be. `points_help`: nothing is asked of points but that there are enough. `waits`: it is a step that
    waits past its time for what is judged then. A line more may name no mark that is `watched`.
    """

    ends: bool
    fails: bool
    spends: bool
    any_number: bool
    points_help: bool
    waits: bool
    watched: frozenset[str]

    def scores(self, old: Sequence[Score], new: Sequence[Score]) -> bool:
        if len(old) != len(new):
            return False
        return all(
            bare(one) == bare(other) or (self.points_help and gives_no_more(one, other))
            for one, other in zip(old, new, strict=True)
        )

    def limits(self, old: Sequence[Limit], new: Sequence[Limit]) -> bool:
        return self._in_turn(old, new, self._asks_more, self._is_final)

    def faults(self, old: Sequence[Fault], new: Sequence[Fault]) -> bool:
        return self._in_turn(old, new, self._acts_no_later, lambda fault: self._is_fatal(fault.effect))

    def _in_turn(
        self, old: Sequence[R], new: Sequence[R], no_less: Callable[[R, R], bool], final: Callable[[R], bool]
    ) -> bool:
        """Whether for each of the old one of the new asks no less, in the same order, and others are final."""
        left = list(old)
        for rule in new:
            if left and (bare(left[0]) == bare(rule) or no_less(left[0], rule)):
                left.pop(0)
            elif not (self.watched.isdisjoint(marks_named(rule)) and final(rule)):
                return False
        return not left

    def _is_final(self, limit: Limit) -> bool:
        return (self.ends or self.fails) and not limit.misses and not (self.waits and limit.judged_late)

    def _asks_more(self, old: Limit, new: Limit) -> bool:
        return (
            self._is_final(old)
            and self._is_final(new)
            and old.figure.kind not in _OF_ROUNDS
            and facets(old, "test") == facets(new, "test")
            and _inside(new.test, old.test)
        )

    def _is_fatal(self, effect: Effect) -> bool:
        return effect is Effect.DISQUALIFY or (effect is Effect.FAIL and self.fails)

    def _breaks_off(self, old: Fault, new: Fault) -> bool:
        """Whether both break an attempt off by the same entry, and the new gives back no charge the old keeps.

        Who has fewer attempts left, and passes, passes with more at the same instant.
        """
        broken_off = {old.effect, new.effect} <= {Effect.HALT, Effect.FAIL}
        gives_back = old.effect is Effect.HALT and not old.charged
        same = facets(old, "effect", "charged") == facets(new, "effect", "charged")
        return self.spends and broken_off and same and (gives_back or self.any_number)

    def _acts_no_later(self, old: Fault, new: Fault) -> bool:
        if self._breaks_off(old, new):
            return True
        if facets(old, *_OWN) != facets(new, *_OWN):
            return False
        if old.effect is new.effect is Effect.RESTART:
            fewer = new.at_most is not None and (old.at_most is None or new.at_most < old.at_most)
            return self.fails and fewer and facets(old.trigger) == facets(new.trigger)
        milder = old.effect.gravity <= new.effect.gravity
        if self.ends and isinstance(old.trigger, Silence) and facets(old.trigger) != facets(new.trigger):
            return False  # it can run out sooner while no attempt is open, and acts on none
        return self._is_fatal(new.effect) and milder and _sooner(old.trigger, new.trigger)


_OWN = ("trigger", "effect", "at_most")


def _sooner(old: object, new: object) -> bool:
    """Whether the new trigger acts whenever the old one does, or has acted before."""
    match old, new:
        case Occurrence(), Occurrence():
            same = facets(old, "more_than") == facets(new, "more_than")
            return same and new.more_than <= old.more_than
        case Silence(), Silence():
            longer = (old.length.base, not old.or_more), (new.length.base, not new.or_more)
            return old.mark == new.mark and longer[1] <= longer[0]
        case _:
            return facets(old) == facets(new)


def _inside(new: Test, old: Test) -> bool:
    """Whether what passes the new test passes the old."""
    if (old.of, old.heading) != (new.of, new.heading) or old.first.dimension is not new.first.dimension:
        return False
    if Comparison.WITHIN in (old.comparison, new.comparison):
        rest = facets(old, "first") == facets(new, "first")
        return rest and new.first.base <= old.first.base
    if old.has_least:
        least = [(each.first.base, each.comparison is Comparison.OVER) for each in (old, new)]
        if not new.has_least or least[1] < least[0]:
            return False
    if old.has_most:
        most = [((e.second or e.first).base, e.comparison is not Comparison.UNDER) for e in (old, new)]
        if not new.has_most or most[1] > most[0]:
            return False
    return True
