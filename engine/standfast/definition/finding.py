"""The verdict, put together from a hearing: conditions, reasons, what is owed (rules 22 to 24)."""

from collections.abc import Iterator

from standfast.definition.figures import (
    figures_of_always,
    figures_of_attempt,
    grade_given,
    scores_of_attempt,
)
from standfast.definition.measure import best_attempt, margin, points_of_test
from standfast.definition.rounds import results, round_words
from standfast.definition.state import Attempt, Course, Hearing, Run
from standfast.log.entry import SessionLog
from standfast.model.rules import Rule
from standfast.model.standard import Condition, Standard
from standfast.quantity import Quantity
from standfast.verdict import (
    AttemptResult,
    Ending,
    EventResult,
    Outcome,
    Owed,
    Reason,
    ReasonKind,
    Verdict,
    judged,
    measured,
)


def find(hearing: Hearing, log: SessionLog, candidate: str) -> Verdict:
    standard = hearing.standard
    conditions = tuple(_conditions(standard, log))
    reasons = conditions + tuple(f.reason for f in hearing.filed if not isinstance(f.owner, Attempt))
    outcome, decided_at = hearing.outcome, hearing.decided_at
    owed: tuple[Owed, ...] = ()
    # Rule 22.
    if conditions:
        outcome, decided_at = Outcome.VOID, None
    elif outcome is None:
        outcome, owed = Outcome.UNFINISHED, tuple(_owed(hearing))
        if standard.owed_fails and log.end is not None and owed:
            outcome, decided_at = Outcome.NO_GO, log.end
            reasons += tuple(_owed_at_end(each, log.end) for each in owed)
            owed = ()
    grade = grade_given(hearing) if outcome is Outcome.GO else None
    return judged(
        standard,
        log,
        candidate,
        outcome=outcome,
        decided_at=decided_at,
        events=tuple(_event(hearing, course) for course in hearing.courses),
        reasons=reasons,
        figures=figures_of_always(hearing) if outcome is Outcome.GO else (),
        remarks=tuple(hearing.remarks),
        owed=owed,
        points=_points(hearing) if not conditions else None,
        grade=None if grade is None else grade.name,
    )


def _points(hearing: Hearing) -> int | None:
    """Rule 23: of the whole test, when every event is GO and some score is."""
    scored = any(
        attempt.ending is Ending.GO and scores_of_attempt(hearing, attempt) for attempt in _attempts(hearing)
    )
    every = all(course.outcome is Outcome.GO for course in hearing.courses)
    return points_of_test(hearing) if scored and every else None


def _attempts(hearing: Hearing) -> Iterator[Attempt]:
    for course in hearing.courses:
        yield from course.attempts


# --- conditions ------------------------------------------------------------------------------------------


def _conditions(standard: Standard, log: SessionLog) -> Iterator[Reason]:
    """Rule 22: each condition unmet or not stated, an event's own included."""
    yield from unmet(standard.conditions, log)
    for event in standard.events:
        yield from unmet(event.conditions, log)


def unmet(conditions: tuple[Condition, ...], log: SessionLog) -> Iterator[Reason]:
    """A reason for each that is not stated or does not hold."""
    for condition in conditions:
        stated = log.conditions.get(condition.name)
        if stated is None:
            yield _condition(condition, ReasonKind.NOT_STATED)
        elif not _is_met(condition, stated):
            yield _condition(condition, ReasonKind.UNMET, stated)


def _is_met(condition: Condition, stated: Quantity | bool) -> bool:
    if isinstance(condition.demand, bool) or isinstance(stated, bool):
        return condition.demand is stated
    return condition.demand.holds(stated.base)


def _condition(condition: Condition, kind: ReasonKind, stated: Quantity | bool | None = None) -> Reason:
    figure = nearness = logged = None
    if isinstance(stated, Quantity) and not isinstance(condition.demand, bool):
        figure, logged = measured(stated.base, condition.demand.first), str(stated)
        nearness = measured(margin(condition.demand, stated.base), condition.demand.first)  # Rule 23
    return Reason(
        kind=kind,
        path=condition.path,
        words=condition.words,
        sentence=condition.sentence,
        at=None,
        figure=figure,
        margin=nearness,
        logged=logged,
    )


# --- events ----------------------------------------------------------------------------------------------


def _event(hearing: Hearing, course: Course) -> EventResult:
    outcome = course.outcome
    if outcome is None:  # Rule 22
        outcome = Outcome.UNFINISHED if course.attempts else Outcome.NOT_BEGUN
    return EventResult(
        label=course.event.label,
        title=course.event.clause.title,
        outcome=outcome,
        attempts=tuple(_attempt(hearing, course, attempt) for attempt in course.attempts),
    )


def _attempt(hearing: Hearing, course: Course, attempt: Attempt) -> AttemptResult:
    return AttemptResult(
        number=attempt.number,
        opened_at=attempt.opened_at,
        ended_at=attempt.ended_at,
        ending=attempt.ending,
        charged=attempt.charged,
        reasons=tuple(filed.reason for filed in hearing.filed if filed.owner is attempt),  # Rule 23
        figures=figures_of_attempt(hearing, course, attempt) if attempt.ending is Ending.GO else (),
        moments=tuple(attempt.moments),
        best=attempt is best_attempt(hearing, course),
        rounds=tuple(results(attempt.root)),  # Rule 35
        scores=scores_of_attempt(hearing, attempt) if attempt.ending is Ending.GO else (),
    )


# --- what is owed ----------------------------------------------------------------------------------------


def _owed(hearing: Hearing) -> Iterator[Owed]:
    """Rule 22."""
    if hearing.root is not None:
        open_or_waiting = [*hearing.root.open_runs(), *hearing.root.waiting_runs()]
        for run in sorted(open_or_waiting, key=lambda each: each.clause.order):
            yield from _owed_of_clause(run)
    for course in hearing.courses:
        if course.outcome is None and course is not hearing.course:
            yield _owed_of_event(hearing, course)


def _owed_of_clause(run: Run) -> Iterator[Owed]:
    if run.is_open:
        words = round_words(run)
        if words is not None:
            yield Owed(path=run.clause.path, words=words)  # Rule 35
        elif run.clause.goal is not None:
            yield _owed_rule(run.clause.goal)
    elif run.clause.start is not None:
        if run.is_owed:  # Rule 39
            yield _owed_rule(run.clause.start)
    elif run.clause.rest is not None and run.clause.rest.least is not None:
        yield _owed_rule(run.clause.rest.least)


def _owed_of_event(hearing: Hearing, course: Course) -> Owed:
    rest, best = course.event.rest_between, course.event.best
    if best is not None and course.has_go:
        return _owed_rule(best)  # Rule 40
    if course in hearing.can_open():
        if course.start is not None:
            return _owed_rule(course.start)
        if course.rest_since is not None and rest is not None and rest.least is not None:
            return _owed_rule(rest.least)
    return Owed(path=course.event.label, words="event")


def _owed_rule(rule: Rule) -> Owed:
    return Owed(path=rule.path, words=rule.words)


def _owed_at_end(owed: Owed, end: int) -> Reason:
    return Reason(kind=ReasonKind.OWED, path=owed.path, words=owed.words, sentence=None, at=end)
