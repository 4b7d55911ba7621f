"""What falls due with time alone, and in which order (rule 1).

Everything in play is asked, every time, for the instant at which it falls due; the least under the order of rule 1
comes next. Nothing is remembered from one time to the next.
"""

from collections.abc import Iterator
from enum import IntEnum

from standfast.definition.breach import Breach, breach_of, is_kept, unmet
from standfast.definition.measure import least_and_most
from standfast.definition.state import Course, Hearing, Run, Tally, micros
from standfast.model.rules import Fault, FigureKind, For, Limit, Rule, Silence
from standfast.quantity import Comparison
from standfast.values import frozen
from standfast.verdict import Deadline


class Phase(IntEnum):
    """Rule 1: the order of things at one instant."""

    COMPLETIONS = 0
    STRICT_EXPIRIES = 1
    ENTRIES = 2
    OTHER_EXPIRIES = 3


@frozen(eq=False)
class LastsLongEnough:
    """A `for` completes."""

    run: Run


@frozen(eq=False)
class RestIsOver:
    """A rest that needs no mark is over, and what comes after it begins."""

    before: Run | Course


@frozen(eq=False)
class TimeIsUp:
    """A time limit is broken."""

    breach: Breach


@frozen(eq=False)
class SilenceIsUp:
    breach: Breach
    tally: Tally
    mark: str


@frozen(eq=False)
class RestIsTooLong:
    breach: Breach
    before: Run | Course


Deed = LastsLongEnough | RestIsOver | TimeIsUp | SilenceIsUp | RestIsTooLong


@frozen(eq=False)
class Due:
    at: int
    phase: Phase
    gravity: int
    rule: Rule
    deed: Deed

    @property
    def place(self) -> tuple[int, int, int, int, int]:
        """Rules 1 and 4: the instant, the phase, the graver, the deeper, the first written."""
        return (self.at, self.phase, -self.gravity, -self.rule.depth, self.rule.order)


def next_due(hearing: Hearing) -> Due | None:
    return min(_everything_due(hearing), key=lambda due: due.place, default=None)


def _everything_due(hearing: Hearing) -> Iterator[Due]:
    for tally in hearing.tallies():
        yield from _time_limits(hearing, tally)
        yield from _silences(hearing, tally)
    if hearing.root is not None:
        for run in hearing.root.open_runs():
            yield from _for(hearing, run)
        for run in hearing.root.waiting_runs():
            yield from _rest(hearing, run)
    for course in hearing.courses:
        yield from _rest_between(hearing, course)


def _completion(at: int, rule: Rule, deed: Deed) -> Due:
    return Due(at, Phase.COMPLETIONS, 0, rule, deed)  # Rule 1: gravity has no part in completions


def _expiry(at: int, strict: bool, breach: Breach, deed: Deed) -> Due:
    phase = Phase.STRICT_EXPIRIES if strict else Phase.OTHER_EXPIRIES
    return Due(at, phase, breach.gravity, breach.rule, deed)


def _time_limits(hearing: Hearing, tally: Tally) -> Iterator[Due]:
    """Rules 1 and 9: `within D` and `under D`; `not before D` is judged at completion (rule 11)."""
    for limit in tally.limits:
        if limit.figure.kind is not FigureKind.TIME or is_kept(hearing.attempt, limit):
            continue
        _, most = least_and_most(limit.test)
        strict = limit.test.comparison is Comparison.UNDER
        if strict:
            most = limit.test.first.base
        if most is not None:
            breach = breach_of(hearing, limit, tally.run, deadline=Deadline(tally.since, strict))
            yield _expiry(tally.since + int(most), strict, breach, TimeIsUp(breach))


def _silences(hearing: Hearing, tally: Tally) -> Iterator[Due]:
    """Rule 12: a silence acts once, and again only after its next mark.

    One whose failure was kept (rule 21) falls due all the same and then does nothing.
    """
    for limit in tally.limits:
        if limit.figure.kind is FigureKind.SILENCE:
            length, strict = micros(limit.test.first), limit.test.comparison is Comparison.UNDER
            yield from _silence(hearing, tally, limit, limit.figure.mark or "", length, strict)
    for fault in tally.faults:
        match fault.trigger:
            case Silence(mark=mark, length=length_written, or_more=strict):
                yield from _silence(hearing, tally, fault, mark, micros(length_written), strict)


def _silence(
    hearing: Hearing, tally: Tally, rule: Limit | Fault, mark: str, length: int, strict: bool
) -> Iterator[Due]:
    has_acted = (rule.path, tally.counted(mark)) in tally.silences_acted
    if not has_acted:
        since = tally.silent_since(mark)
        breach = breach_of(hearing, rule, tally.run, deadline=Deadline(since, strict))
        yield _expiry(since + length, strict, breach, SilenceIsUp(breach, tally, mark))


def _for(hearing: Hearing, run: Run) -> Iterator[Due]:
    """Rules 1 and 2."""
    goal = run.clause.goal
    if isinstance(goal, For) and run.tally is not None:
        at = run.tally.since + micros(goal.length)
        too_few = unmet(hearing, run.tally, at)
        if not too_few:
            yield _completion(at, goal, LastsLongEnough(run))
        else:  # Rule 2: it stays open for the entries of its last instant
            yield _expiry(at, False, too_few[0], LastsLongEnough(run))


def _rest(hearing: Hearing, run: Run) -> Iterator[Due]:
    """Rule 18: a rest between items."""
    rest = run.clause.rest
    if rest is None or run.rest_since is None:
        return
    if run.clause.start is None and rest.least is not None:
        yield _completion(run.rest_since + micros(rest.least.length), rest.least, RestIsOver(run))
    if rest.greatest is not None and not run.rest_was_too_long and not is_kept(hearing.attempt, rest.greatest):
        breach = breach_of(hearing, rest.greatest, run.parent, deadline=Deadline(run.rest_since, False))
        at = run.rest_since + micros(rest.greatest.length)
        yield _expiry(at, False, breach, RestIsTooLong(breach, run))


def _rest_between(hearing: Hearing, course: Course) -> Iterator[Due]:
    """Rule 18: the rest between attempts."""
    rest, since, last = course.event.rest_between, course.rest_since, course.last
    if rest is None or since is None or last is None:
        return
    # Rule 15: after a halt nothing begins by itself.
    by_itself = course.start is None and course in hearing.can_open() and not hearing.after_halt()
    if by_itself and rest.least is not None:
        yield _completion(since + micros(rest.least.length), rest.least, RestIsOver(course))
    if rest.greatest is not None and not last.rest_after_was_too_long:
        breach = breach_of(hearing, rest.greatest, None, between=course, deadline=Deadline(since, False))
        at = since + micros(rest.greatest.length)
        yield _expiry(at, False, breach, RestIsTooLong(breach, course))
