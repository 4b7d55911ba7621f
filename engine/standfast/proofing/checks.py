"""What a graded log must show to be a page of the boundary book, and how the page tells it.

A check says what a verdict shows of one clause; None if it is not that.
"""

from collections.abc import Callable
from fractions import Fraction

from standfast.log.entry import SessionLog
from standfast.machine.parts import Machine
from standfast.model.rules import Fault, FigureKind, Limit, Rule, Silence
from standfast.model.standard import Condition, Event, Fact
from standfast.proofing.book import Told
from standfast.proofing.cases import VERBS, all_attempts, all_reasons
from standfast.proofing.edges import FINEST
from standfast.proofing.happenings import figures_of, signals
from standfast.quantity import SECOND, Comparison, Dimension, Quantity
from standfast.verdict import Measure, Outcome, Reason, ReasonKind, Verdict, measured

ON_VALUES = frozenset(
    {
        FigureKind.TOTAL,
        FigureKind.LARGEST,
        FigureKind.SMALLEST,
        FigureKind.EACH,
        FigureKind.LAST,
        FigureKind.READING,
        FigureKind.SUM,
    }
)
_NEAR = Fraction(1, 1000)
"""So much of a rate's bound is near it: only whole microseconds can be logged."""
Check = Callable[[Verdict, SessionLog], Told | None]


def acted(path: str) -> Check:
    """The clause acts, and with that the log ends."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        for reason in reversed(all_reasons(verdict)):
            if reason.path == path and reason.kind is not ReasonKind.OWED and _last(reason, log):
                verb = VERBS[reason.kind]
                return Told(what=verb, at=reason.at, figure=reason.figure, margin=reason.margin)
        return None

    return check


def _last(reason: Reason, log: SessionLog) -> bool:
    if reason.entry is not None:
        return reason.entry == len(log.entries)
    return reason.at is not None and (not log.entries or reason.at >= log.entries[-1].at)


def just_broken(rule: Limit, amount: Quantity) -> Check:
    """The limit acts by the amount just beyond it, and with that the log ends; a rate comes as near as may be."""
    acts = acted(rule.path)

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        told = acts(verdict, log)
        if told is None or told.figure is None or told.margin is None:
            return told
        if rule.figure.kind is not FigureKind.RATE:
            return told if told.figure.base == amount.base else None
        beyond = -told.margin.base
        return told if 0 <= beyond < rule.test.first.base * _NEAR else None

    return check


def idle(path: str) -> Check:
    """The clause never acts."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        if any(reason.path == path for reason in all_reasons(verdict)):
            return None
        return Told(what="does not act", at=None)

    return check


def kept(rule: Rule, path: str) -> Check:
    """An attempt ends GO (in `always` the test) with the figure at the limit and nothing to spare."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        rows = [(verdict.decided_at, row) for row in verdict.figures]
        rows += [(attempt.ended_at, row) for attempt in all_attempts(verdict) for row in attempt.figures]
        for at, row in rows:
            if row.path == path and _nothing_to_spare(rule, row.margin):
                return Told(what="is kept", at=at, figure=row.figure, margin=row.margin)
        return None

    return check


def kept_so_far(machine: Machine, rule: Rule, path: str) -> Check:
    """The clause around it completes with the figure at the limit, whatever becomes of the attempt."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        for signal in signals(machine, log, verdict.candidate):
            for row in figures_of(signal):
                if row.path == path and _nothing_to_spare(rule, row.margin):
                    return Told(what="is kept", at=signal.at, figure=row.figure, margin=row.margin)
        return None

    return check


def _nothing_to_spare(rule: Rule, margin: Measure) -> bool:
    """A margin of nought; one microsecond of a time that must stay under its limit, of a value the least there is.

    A rate can only come as near as whole microseconds let it.
    """
    if isinstance(rule, Limit) and rule.figure.kind is FigureKind.RATE:
        bounds = (rule.test.first, rule.test.second or rule.test.first)
        return 0 <= margin.base < min(bound.base for bound in bounds) * _NEAR
    if isinstance(rule, Limit) and rule.figure.step is not None:
        most = Fraction(0) if all(rule.test.holds(end.base) for end in rule.test.ends()) else rule.figure.step.base
        return 0 <= margin.base <= most
    if isinstance(rule, Limit) and rule.test.first.dimension is Dimension.COUNT:
        return margin.amount == 0
    if isinstance(rule, Limit) and rule.test.comparison is Comparison.OVER:
        return margin.amount == FINEST
    least = margin.unit == SECOND or (isinstance(rule, Limit) and rule.figure.kind in ON_VALUES)
    return margin.amount == (FINEST if least and strict(rule) else 0)


def strict(rule: Rule) -> bool:
    """Whether a time that reaches its limit breaks it."""
    match rule:
        case Limit(figure=figure, test=test):
            return figure.kind is not FigureKind.COUNT and test.comparison is Comparison.UNDER
        case Fault(trigger=Silence(or_more=or_more)):
            return or_more
        case _:
            return False


def _last_instant(log: SessionLog) -> int:
    return log.end if log.end is not None else log.entries[-1].at


def happens(path: str, *, completed: bool) -> Check:
    """The clause begins, or is completed, with the last thing in the log."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        for attempt in all_attempts(verdict):
            for moment in attempt.moments:
                if moment.path == path and moment.completed is completed and moment.at == _last_instant(log):
                    return Told(what="is completed" if completed else "begins", at=moment.at)
        return None

    return check


def lacking(rule: Rule, path: str, *, completed: bool) -> Check:
    """The clause does not begin, or is not completed, by the end of the log."""
    there = happens(path, completed=completed)

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        if there(verdict, log) is not None:
            return None
        is_owed = any(owed.path == rule.path for owed in verdict.owed)
        is_owed = is_owed or any(r.kind is ReasonKind.OWED and r.path == rule.path for r in verdict.reasons)
        what = "is owed" if is_owed else "is not completed" if completed else "does not begin"
        return Told(what=what, at=_last_instant(log))

    return check


def passed(label: str) -> Check:
    """The event ends GO; the figure is how long its attempt lasts."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        event = next(event for event in verdict.events if event.label == label)
        if event.outcome is not Outcome.GO:
            return None
        attempt = next((attempt for attempt in event.attempts if attempt.best), event.attempts[-1])
        assert attempt.ended_at is not None
        lasts = Measure(attempt.ended_at - attempt.opened_at, SECOND)
        return Told(what="ends GO", at=attempt.ended_at, figure=lasts)

    return check


def used_up(event: Event, outcome: Outcome) -> Check:
    """Every attempt at the event is used, and it ends so."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        found = next(each for each in verdict.events if each.label == event.label)
        charged = [attempt for attempt in found.attempts if attempt.charged]
        if found.outcome is not outcome or len(charged) != event.attempts:
            return None
        return Told(what=f"attempt {len(charged)} ends {outcome.value}", at=charged[-1].ended_at)

    return check


def decided_go(least: int | None) -> Check:
    """The test ends GO; the figure is how long it lasts from its first opening: `least`, if that is given."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        if verdict.outcome is not Outcome.GO or verdict.decided_at is None:
            return None
        lasts = verdict.decided_at - min(attempt.opened_at for attempt in all_attempts(verdict))
        if least not in (None, lasts):
            return None
        return Told(what="ends GO", at=verdict.decided_at, figure=Measure(lasts, SECOND))

    return check


def condition_holds(condition: Condition, fact: Quantity | bool) -> Check:
    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        if any(reason.path == condition.path for reason in verdict.reasons):
            return None
        if isinstance(fact, bool) or isinstance(condition.demand, bool):
            return Told(what="holds", at=None)
        first, margin = condition.demand.first, condition.demand.margin(fact.base)
        return Told(what="holds", at=None, figure=measured(fact.base, first), margin=measured(margin, first))

    return check


def condition_fails(condition: Condition) -> Check:
    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        for reason in verdict.reasons:
            if reason.path == condition.path and reason.kind is ReasonKind.UNMET:
                return Told(what=VERBS[reason.kind], at=None, figure=reason.figure, margin=reason.margin)
        return None

    return check


def stated(fact: Fact, *, there: bool) -> Check:
    """Whether the verdict is made with the fact stated, or VOID for want of it."""

    def check(verdict: Verdict, log: SessionLog) -> Told | None:
        wanting = any(r.path == fact.path and r.kind is ReasonKind.NOT_STATED for r in verdict.reasons)
        if wanting is there:
            return None
        return Told(what="is stated" if there else VERBS[ReasonKind.NOT_STATED], at=None)

    return check
