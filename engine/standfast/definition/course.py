"""How clauses begin, complete, begin again; how attempts open and end; how the test is decided.

Every function acts at the hearing's `now`. `cause` is the entry that made it happen, None where time did.
"""

from standfast.definition.breach import Breach, at_completion, breach_of, of_lowest_grade
from standfast.definition.rounds import (
    close,
    missed_out,
    missed_tries_at,
    misses_in_a_row,
    misses_in_all,
)
from standfast.definition.state import Attempt, Course, Filed, Hearing, Run, Tally, Trial
from standfast.log.entry import Entry
from standfast.model.rules import Closing, Fault, Limit, Misses, RestBound, Score
from standfast.model.standard import Clause, Kind
from standfast.quantity import count
from standfast.verdict import Ending, Moment, Outcome, ReasonKind, Remark, RemarkKind, measured

# --- clauses ---------------------------------------------------------------------------------------------


def begin(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    """Rule 9: a clause's clock runs from here, and its rules wake."""
    clause = run.clause
    run.has_begun = True
    run.tally = Tally(clause.limits, clause.faults, since=hearing.now, run=run)
    _record(hearing, clause, False, cause)
    match clause.kind:
        case Kind.STEP:
            pass
        case Kind.IN_ORDER:
            _place(hearing, run, clause.items[0], cause)
        case Kind.ANY_ORDER | Kind.ONE_OF:  # Rules 19 and 20
            for item in clause.items:
                _place(hearing, run, item, cause)
        case Kind.ROUNDS:
            begin_try(hearing, run, cause)


def _place(hearing: Hearing, parent: Run, item: Clause, cause: Entry | None) -> None:
    """Its turn has come: it waits for its start mark or for the rest before it, or begins."""
    run = Run(item, parent)
    parent.items.append(run)
    if item.rest is not None:
        run.rest_since = hearing.now  # Rule 18: a rest starts when the item before it is done
    if item.start is None and item.rest is None:
        begin(hearing, run, cause)


def begin_by_mark(hearing: Hearing, run: Run, cause: Entry) -> None:
    """A waiting clause's start mark has come."""
    parent = run.parent
    if parent is not None and parent.clause.kind is Kind.ONE_OF:
        parent.items = [run]  # Rule 20: the start mark chooses the item
    end_rest(hearing, run, by_mark=True)
    begin(hearing, run, cause)


def end_rest(hearing: Hearing, run: Run, *, by_mark: bool) -> None:
    """Rule 18; of a rest that a mark ended, rule 23 wants the length."""
    if by_mark and run.rest_since is not None and run.clause.rest is not None and run.parent is not None:
        run.parent.rests.append((run.clause.rest, hearing.now - run.rest_since))
    run.rest_since = None


def complete(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    """Rules 2 and 11: judged first; then done, and what follows it begins. The inner before the outer."""
    assert run.tally is not None
    for breach in at_completion(hearing, run.tally):
        attempt = hearing.attempt
        act(hearing, breach, cause)
        if breach.weight is ReasonKind.MISS or hearing.attempt is not attempt or hearing.over:
            return  # Rule 32: the try was missed instead, or the attempt failed; rule 21: else each is kept
    run.completed_at = hearing.now
    _record(hearing, run.clause, True, cause)
    parent = run.parent
    if parent is None:
        kept = hearing.attempt is not None and len(hearing.attempt.kept) > 0
        end_attempt(hearing, Ending.FAILED if kept else Ending.GO, cause)  # Rule 21
        return
    clause = parent.clause
    if clause.kind in (Kind.IN_ORDER, Kind.ROUNDS) and len(parent.items) < len(clause.items):
        _place(hearing, parent, clause.items[len(parent.items)], cause)
    elif clause.kind is Kind.ROUNDS:
        make_round(hearing, parent, cause)
    elif not any(item.is_owed for item in parent.items):  # Rules 19, 20 and 39
        complete(hearing, parent, cause)


def restart(hearing: Hearing, run: Run, at_once: bool, cause: Entry | None) -> None:
    """Rule 14: back to its beginning, counts, clocks and all inside it; the rest before it is not repeated."""
    fresh = Run(run.clause, run.parent, has_begun=run.has_begun)  # Rule 39
    if run.parent is not None:
        run.parent.items = [fresh if item is run else item for item in run.parent.items]
    elif hearing.attempt is not None:
        hearing.attempt.root = fresh  # Rule 14: a restart of an event stays within its attempt
    if at_once or run.clause.start is None:
        begin(hearing, fresh, cause)


def _record(hearing: Hearing, clause: Clause, completed: bool, cause: Entry | None) -> None:
    if hearing.attempt is not None:
        number = None if cause is None else cause.number
        hearing.attempt.moments.append(Moment(at=hearing.now, path=clause.path, completed=completed, entry=number))


# --- rounds (rule 32) --------------------------------------------------------------------------------------


def begin_try(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    """A try at the open round: its goal counts anew, its items begin anew with the first."""
    run.advanced, run.items, run.rests = [], [], []
    if run.clause.items:
        _place(hearing, run, run.clause.items[0], cause)


def make_round(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    """The goal is reached, or the last item is done."""
    close(run, Closing.MADE)
    _go_on(hearing, run, cause)


def miss_try(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    rounds, number = run.clause.rounds, run.open_round
    assert rounds is not None and number is not None
    if missed_tries_at(run, number) + 1 >= rounds.tries:
        close(run, Closing.MISSED)
    else:
        run.trials.append(Trial(number, Closing.MISSED))
    if not _is_out_by_misses(hearing, run, cause):
        _go_on(hearing, run, cause)


def pass_round(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    close(run, Closing.PASSED)
    _go_on(hearing, run, cause)


def pass_over(hearing: Hearing, run: Run, number: int, cause: Entry) -> None:
    """Rule 33: a later round is named; the rounds before it close as `unmarked` says."""
    assert run.clause.rounds is not None and run.clause.rounds.unmarked is not None
    while run.open_round is not None and run.open_round < number:
        close(run, run.clause.rounds.unmarked)
        if _is_out_by_misses(hearing, run, cause):
            return
    begin_try(hearing, run, cause)


def go_out(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    """Rule 34: the rounds are over, and are judged."""
    run.is_out = True
    complete(hearing, run, cause)


def _is_out_by_misses(hearing: Hearing, run: Run, cause: Entry | None) -> bool:
    """Rule 34: looked at after each miss."""
    fault = missed_out(run)
    if fault is None or not isinstance(fault.trigger, Misses):
        return False
    run.is_out = True
    counted = misses_in_a_row(run) if fault.trigger.in_a_row else misses_in_all(run)
    limit = count(fault.trigger.number)
    left = fault.trigger.number - 1 - counted
    figure, margin = measured(counted, limit), measured(left, limit)
    act(hearing, breach_of(hearing, fault, run, figure=figure, margin=margin), cause)
    return True


def _go_on(hearing: Hearing, run: Run, cause: Entry | None) -> None:
    if run.open_round is None:
        complete(hearing, run, cause)
    else:
        begin_try(hearing, run, cause)


# --- attempts --------------------------------------------------------------------------------------------


def open_attempt(hearing: Hearing, course: Course, cause: Entry | None, *, by_mark: bool) -> bool:
    """Rule 17: an attempt is charged when it opens. Tells whether this woke the limits of `always` (rule 13)."""
    if not hearing.standard.events_in_any_order:
        for earlier in hearing.courses[: hearing.courses.index(course)]:
            if earlier.outcome is None:
                earlier.outcome = Outcome.GO  # Rule 40: a later event begins
    rest_since = course.rest_since
    attempt = _new_attempt(hearing, course)
    if by_mark and rest_since is not None:
        attempt.rest_before = hearing.now - rest_since
    woken = hearing.limits is None
    if woken:
        hearing.limits = Tally(hearing.standard.always.limits, (), since=hearing.now)
    hearing.course, hearing.attempt = course, attempt
    attempt.root = Run(course.event.clause, None)
    begin(hearing, attempt.root, cause)
    return woken


def _new_attempt(hearing: Hearing, course: Course) -> Attempt:
    attempt = Attempt(number=len(course.attempts) + 1, opened_at=hearing.now)
    for filed in hearing.filed:
        if filed.owner is course and filed.reason.entry is not None:
            filed.owner = attempt  # Rule 18: the note of coming too early belongs to the attempt that opens
    course.attempts.append(attempt)
    return attempt


def _stop(hearing: Hearing, breach: Breach, cause: Entry | None) -> None:
    """Rule 44: the event is decided by the attempts there were; one that is open has failed."""
    if breach.between is None:
        end_attempt(hearing, Ending.FAILED, cause, stopped=True)
        return
    breach.between.outcome = Outcome.GO if breach.between.has_go else Outcome.NO_GO
    decide(hearing, cause)
    open_without_mark(hearing, cause)


def end_attempt(
    hearing: Hearing, ending: Ending, cause: Entry | None, *, charged: bool = True, stopped: bool = False
) -> None:
    attempt, course = hearing.attempt, hearing.course
    assert attempt is not None and course is not None
    hearing.attempt = hearing.course = None
    _end(hearing, course, attempt, ending, charged, cause, stopped=stopped)


def _end(
    hearing: Hearing,
    course: Course,
    attempt: Attempt,
    ending: Ending,
    charged: bool,
    cause: Entry | None,
    *,
    stopped: bool = False,
) -> None:
    attempt.ended_at, attempt.ending, attempt.charged = hearing.now, ending, charged
    hearing.last_ended = attempt
    for other in hearing.courses:
        other.heard = []  # Rule 39
    if ending is Ending.GO and course.event.best is None:  # Rule 21
        course.outcome = Outcome.GO
    elif course.spent or stopped:
        course.outcome = Outcome.GO if course.has_go else Outcome.NO_GO  # Rule 40
    decide(hearing, cause)
    open_without_mark(hearing, cause)


def end_bests(hearing: Hearing) -> None:
    """Rule 40: at the end an event with an attempt that ended GO is decided; an open one of it is broken off."""
    held = [] if hearing.over else [each for each in hearing.courses if each.outcome is None and each.has_go]
    for course in held:
        if course is hearing.course and hearing.attempt is not None:
            hearing.attempt.ended_at, hearing.attempt.ending = hearing.now, Ending.HALTED
            hearing.attempt = hearing.course = None
        course.outcome = Outcome.GO
    if held and all(course.outcome is not None for course in hearing.courses):
        decide(hearing, None)


def open_without_mark(hearing: Hearing, cause: Entry | None) -> None:
    """Rule 17: an attempt opens at once where there is no start mark; rule 18: unless a rest has still to pass."""
    if hearing.after_halt():
        return  # Rule 15: after a halt nothing begins by itself
    for course in hearing.can_open():
        rest = course.event.rest_between
        must_rest = course.rest_since is not None and rest is not None and rest.least is not None
        if course.start is None and not must_rest:
            open_attempt(hearing, course, cause, by_mark=False)
            return


# --- the test --------------------------------------------------------------------------------------------


def decide(hearing: Hearing, cause: Entry | None) -> None:
    """Rule 21: GO when every event is, NO-GO from the first that is not."""
    outcomes = [course.outcome for course in hearing.courses]
    if Outcome.NO_GO in outcomes:
        no_go(hearing)
        if not hearing.standard.carry_on or None not in outcomes:
            hearing.over = True
    elif None not in outcomes:
        # Rule 13: `at least N MARK` and `not before D` of `always` are judged when the test would be GO.
        broken: Breach | None = None
        if hearing.limits is not None:
            of_always = at_completion(hearing, hearing.limits)
            broken = of_always[0] if of_always else of_lowest_grade(hearing, hearing.limits)  # Rule 31
        if broken is not None:
            act(hearing, broken, cause)
        else:
            hearing.outcome, hearing.decided_at, hearing.over = Outcome.GO, hearing.now, True


def no_go(hearing: Hearing) -> None:
    """Rule 22: certain from the first that makes it so."""
    if hearing.outcome is None:
        hearing.outcome, hearing.decided_at = Outcome.NO_GO, hearing.now


def end_test(hearing: Hearing, ending: Ending) -> None:
    """Rules 13 and 16: NO-GO, and of the event whose attempt was open too (rule 22)."""
    if hearing.attempt is not None and hearing.course is not None:
        hearing.attempt.ended_at, hearing.attempt.ending = hearing.now, ending
        hearing.course.outcome = Outcome.NO_GO
        hearing.attempt = hearing.course = None
    no_go(hearing)
    hearing.over = True


# --- breaches --------------------------------------------------------------------------------------------


def finds_nothing(hearing: Hearing, breach: Breach) -> bool:
    """Rule 13: with no attempt open a `fail` or `halt` of `always` has nothing to act on."""
    in_always = isinstance(breach.rule, Fault) and breach.run is None
    return in_always and hearing.attempt is None and breach.weight in (ReasonKind.FAIL, ReasonKind.HALT)


def remark(hearing: Hearing, kind: RemarkKind, cause: Entry | None, path: str | None = None) -> None:
    number, line = (None, None) if cause is None else (cause.number, cause.line)
    hearing.remarks.append(Remark(kind=kind, at=hearing.now, entry=number, line=line, path=path))


def failure_is_kept(hearing: Hearing, breach: Breach) -> bool:
    """Rule 21: with `carry on` in the event, but never a limit of `always`."""
    carries_on = hearing.course is not None and hearing.course.event.carry_on
    fails = breach.weight is ReasonKind.FAIL and not breach.ends_test and breach.between is None
    return carries_on and fails


def act(hearing: Hearing, breach: Breach, cause: Entry | None) -> None:
    """What a breach does, and its reason."""
    if breach.between is not None and breach.weight in (ReasonKind.NOTE, ReasonKind.FAIL):
        _act_between(hearing, breach, breach.between, cause)
        return
    attempt = hearing.attempt
    hearing.filed.append(Filed(breach.reason(hearing.now, cause), attempt))  # Rule 23: whose a reason is
    if breach.ends_test:
        end_test(hearing, Ending.FAILED)  # Rule 13
        return
    match breach.weight:
        case ReasonKind.RESTART if attempt is not None and breach.run is not None:  # Rule 14
            attempt.restarts.append(breach.rule.path)
            restart(hearing, breach.run, _at_once(breach.rule), cause)
        case ReasonKind.OUT if breach.run is None or breach.run.rounds_around() is None:
            _stop(hearing, breach, cause)
        case ReasonKind.MISS | ReasonKind.PASS | ReasonKind.OUT if attempt is not None and breach.run is not None:
            rounds = breach.run.rounds_around()
            assert rounds is not None
            does = {ReasonKind.MISS: miss_try, ReasonKind.PASS: pass_round, ReasonKind.OUT: go_out}
            does[breach.weight](hearing, rounds, cause)
        case ReasonKind.FAIL if attempt is not None:
            if failure_is_kept(hearing, breach):
                attempt.kept.append(breach.rule.path)  # Rule 21
            else:
                end_attempt(hearing, Ending.FAILED, cause)
        case ReasonKind.HALT if attempt is not None:  # Rule 15
            end_attempt(hearing, Ending.HALTED, cause, charged=_charged(breach.rule))
        case ReasonKind.DISQUALIFY:  # Rule 16
            end_test(hearing, Ending.DISQUALIFIED)


def _act_between(hearing: Hearing, breach: Breach, course: Course, cause: Entry | None) -> None:
    """Rule 18, last sentence."""
    if breach.weight is ReasonKind.NOTE:
        hearing.filed.append(Filed(breach.reason(hearing.now, cause), course))
        return
    attempt = _new_attempt(hearing, course)
    hearing.filed.append(Filed(breach.reason(hearing.now, cause), attempt))
    _end(hearing, course, attempt, Ending.FAILED, True, cause)


def _at_once(rule: Limit | Fault | RestBound | Score) -> bool:
    return not isinstance(rule, Limit | Score) and rule.at_once


def _charged(rule: Limit | Fault | RestBound | Score) -> bool:
    return not isinstance(rule, Limit | Score) and rule.charged
