"""What two limits say together, told from the text alone: for events too large to be looked through."""

from collections.abc import Iterable, Iterator

from standfast.codes import doubts
from standfast.diagnostic import Label
from standfast.model.rules import Effect, Fault, FigureKind, For, Limit, Occurrence, Until, UntilTotals
from standfast.model.standard import Clause, Event, Kind, Standard
from standfast.proofing.finding import Finding, about
from standfast.proofing.slices import is_time_limit
from standfast.quantity import Comparison
from standfast.values import evolve


def contradictions(standard: Standard, event: Event) -> Iterator[Finding]:
    """A clause that takes longer than it or one around it may: nobody passes it, and the event if it is needed.

    That nobody passes the event is told once.
    """
    around = tuple(limit for limit in standard.always.limits if is_time_limit(limit))
    told = False
    for finding in _in_clause(event, event.clause, around, needed=True):
        if not (told and finding.diagnostic.code is doubts.NOBODY_PASSES):
            yield finding
        told = told or finding.diagnostic.code is doubts.NOBODY_PASSES


def idle_beside(limit: Limit, limits: Iterable[Limit]) -> Limit | None:
    """The limit on the same figure that is always broken before this one; both allow only so much."""
    others = (other for other in limits if other is not limit and other.figure == limit.figure)
    return next((other for other in others if _is_tighter(other, limit)), None)


def outranked(fault: Fault, faults: Iterable[Fault]) -> Fault | None:
    """The graver fault on each such occurrence in the same clause: it acts whenever this one would."""
    if not isinstance(fault.trigger, Occurrence) or fault.effect is Effect.NOTE:
        return None
    each = evolve(fault.trigger, more_than=0)
    graver = (other for other in faults if other.effect.gravity > fault.effect.gravity)
    return next((other for other in graver if other.trigger == each), None)


def _is_tighter(other: Limit, limit: Limit) -> bool:
    """Of two that allow the same the one written first."""
    if limit.test.has_least or other.test.has_least:
        return False
    strict, other_strict = (each.test.comparison is not Comparison.UNDER for each in (limit, other))
    mine = (limit.test.first.base, strict, limit.order)
    return (other.test.first.base, other_strict, other.order) < mine


def _in_clause(event: Event, clause: Clause, around: tuple[Limit, ...], *, needed: bool) -> Iterator[Finding]:
    limits = (*around, *(limit for limit in clause.limits if is_time_limit(limit)))
    for long in _least_times(clause):
        short = next((limit for limit in limits if _is_too_short(limit, long, clause)), None)
        if short is None:
            continue
        also = (Label(long.span, "it takes longer"), Label(short.span, "than this allows"))
        if needed:
            facts = {"name": event.label, "culprit": short.path}
            yield about(doubts.NOBODY_PASSES, event.label, event.clause.span, facts, *also)
        elif clause.goal is not None and not event.carry_on:
            facts = {"words": clause.goal.words, "culprit": short.path}
            yield about(doubts.FORESTALLED, clause.path, clause.goal.span, facts, *also)
        return
    for item in clause.items:
        yield from _in_clause(event, item, limits, needed=needed and clause.kind is not Kind.ONE_OF)


def _least_times(clause: Clause) -> Iterator[Limit | For]:
    """What says how long the clause lasts at least."""
    for limit in clause.limits:
        if limit.figure.kind is FigureKind.TIME and limit.test.has_least:
            yield limit
    if isinstance(clause.goal, For):
        yield clause.goal


def _is_too_short(limit: Limit, long: Limit | For, clause: Clause) -> bool:
    """A goal at an entry comes after the strict expiries of its instant, one by time alone before them."""
    least = long.length.base if isinstance(long, For) else long.test.first.base
    most = (limit.test.second or limit.test.first).base
    by_entry = isinstance(clause.goal, Until | UntilTotals)
    return least > most or (least == most and limit.test.comparison is Comparison.UNDER and by_entry)
