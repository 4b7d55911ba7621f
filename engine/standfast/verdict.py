"""The verdict and its reasons: values only.

Whatever decides lives in the replay (and, a second time, in the definition); a verdict is what they found,
complete enough that a page or a protest needs nothing else.
"""

from collections.abc import Callable, Collection, Sequence
from datetime import datetime
from enum import Enum
from fractions import Fraction

from standfast.log.entry import Correction, LogPart, Presence, SessionLog
from standfast.model.standard import Standard
from standfast.quantity import SECOND, Dimension, Quantity, Unit, decimal
from standfast.values import evolve, field, frozen


class Outcome(Enum):
    """A candidate's verdict, and what became of an event."""

    GO = "GO"
    NO_GO = "NO-GO"
    UNFINISHED = "UNFINISHED"
    VOID = "VOID"
    NOT_BEGUN = "NOT BEGUN"  # of an event only


class Ending(Enum):
    """What became of an attempt."""

    GO = "GO"
    FAILED = "failed"
    HALTED = "halted"
    DISQUALIFIED = "disqualified"
    OPEN = "open"  # at the end of the log


class ReasonKind(Enum):
    NOTE = "note"
    PASS = "pass"
    RESTART = "restart"
    MISS = "miss"
    OUT = "out"
    FAIL = "fail"
    HALT = "halt"
    DISQUALIFY = "disqualify"
    UNMET = "unmet"  # a condition that was stated and does not hold
    NOT_STATED = "not stated"  # a condition the log says nothing of
    OWED = "owed"


@frozen
class Measure:
    """An exact amount (it may be negative), `base` in the base unit of its dimension, spoken in a stated unit."""

    base: Fraction | int
    unit: Unit

    @property
    def amount(self) -> Fraction:
        """In its unit."""
        return Fraction(self.base) / self.unit.factor

    def __str__(self) -> str:
        return f"{decimal(self.amount)} {self.unit.name}".rstrip()


def measured(base: Fraction | int, limit: Quantity) -> Measure:
    """An amount in base units, in the unit the limit is written in; times always in seconds."""
    unit = SECOND if limit.dimension is Dimension.TIME else limit.unit
    return Measure(base, unit)


def spoken(amount: Fraction, unit: Unit) -> Measure:
    """An amount of a unit."""
    return Measure(amount * unit.factor, unit)


@frozen
class Deadline:
    """A time limit, silence or rest that ran out: the instant its clock began, and whether to reach the limit
    breaks it (`under`, `or more`) or only to pass it.
    """

    since: int
    reached: bool


@frozen(kw_only=True)
class Reason:
    """Why something happened.

    `entry` is the number of the entry that decided and `line` its line in the log; both are None where time
    decided. Where a `deadline` did, `at` is that instant. `at` is None only for a condition. `figure` and
    `margin` are None where the thing never came or nothing was measured. `logged` is the amount as the log has
    it, where one amount of the log was compared. `round` is the round that was open, in words, where the rule
    stands in rounds.
    `readings` is how many readings of a watch there were where none of them counts.
    """

    kind: ReasonKind
    path: str
    words: str
    sentence: str | None
    at: int | None
    entry: int | None = None
    line: int | None = None
    figure: Measure | None = None
    margin: Measure | None = None
    logged: str | None = None
    deadline: Deadline | None = None
    round: str | None = None
    readings: int | None = None


@frozen(kw_only=True)
class Figured:
    """A limit of a completed attempt with its measured figure; `margin` 0 is a tie, negative is broken."""

    path: str
    words: str
    figure: Measure
    margin: Measure


@frozen(kw_only=True)
class Scored:
    """The points of a clause's own score, by the row that gave them; `path` is the score's.

    `figure` is what the row was tried on, None where it was not there and for the `otherwise` of several figures.
    """

    path: str
    words: str
    points: int
    figure: Measure | None


class RemarkKind(Enum):
    NO_USE = "no use"  # no clause could use the mark when it was logged
    UNFIT = "value does not fit"  # one could have, with another value
    NOTHING_OPEN = "nothing open"  # an `always` fault found no attempt to act on; `path` says which
    AFTER_VERDICT = "after the verdict"


@frozen(kw_only=True)
class Remark:
    kind: RemarkKind
    at: int
    entry: int | None
    line: int | None
    path: str | None = None


@frozen(kw_only=True)
class Moment:
    """A clause began (or began again), or was completed."""

    at: int
    path: str
    completed: bool
    entry: int | None


@frozen(kw_only=True)
class Owed:
    """What the candidate had still to do: a goal, a start or rest waited for, or an event not begun."""

    path: str
    words: str


@frozen(kw_only=True)
class RoundsResult:
    """How far the rounds of a clause went: how many were made and missed, and the greatest made, in words.

    `over` is False where the attempt or the log ended with a round open.
    """

    path: str
    made: int
    missed: int
    furthest: str | None
    over: bool


@frozen(kw_only=True)
class AttemptResult:
    """One attempt. Times in microseconds; `figures`, the narrowest first, and `scores`, as written, only of an
    attempt that ended GO. Where the event takes the best of its attempts, `best` is the one that counts.

    `rounds` are those of each clause that has any and has begun, in written order, however the attempt ended.
    """

    number: int
    opened_at: int
    ended_at: int | None
    ending: Ending
    charged: bool
    reasons: tuple[Reason, ...]
    figures: Sequence[Figured]
    moments: Sequence[Moment]
    best: bool = False
    rounds: Sequence[RoundsResult] = ()
    scores: tuple[Scored, ...] = ()


@frozen(kw_only=True)
class EventResult:
    label: str
    title: str | None
    outcome: Outcome
    attempts: tuple[AttemptResult, ...]


class Firmness(Enum):
    """Whether an outcome and its grade hold however each time of the log is wrong within its doubt."""

    STANDS = "stands"
    CLOSE_CALL = "close call"
    NOT_DECIDED = "not decided"  # it would have taken too long to find out


@frozen(kw_only=True)
class Shift:
    """A time of the log that would be later by so many microseconds (negative: earlier); `entry` None: the end."""

    entry: int | None
    line: int | None
    at: int
    by: int


@frozen(kw_only=True)
class CloseCall:
    """What a verdict could be as well: `least` is the least doubt, in microseconds, with which it could.

    `shifts` are the times that would have to be others for it; none of them too many.
    """

    outcome: Outcome
    grade: str | None
    least: int
    shifts: tuple[Shift, ...]


@frozen(kw_only=True)
class Doubt:
    """What is said of a verdict when each time of its log may be wrong by `within` microseconds, to either side.

    `others` are the verdicts it could be, the nearest first; of a close call only.
    """

    within: int
    firmness: Firmness
    others: tuple[CloseCall, ...] = ()


@frozen(kw_only=True)
class Uncorrected:
    """What the log gives without its corrections; `outcome` None: no verdict, since it is refused without them or
    does not name the candidate.
    """

    outcome: Outcome | None
    decided_at: int | None = None
    points: int | None = None
    grade: str | None = None


@frozen(kw_only=True)
class Verdict:
    """What one log says of one candidate under one edition.

    `reasons` are those that belong to no attempt: conditions, what acted while no attempt was open, what is
    owed at an end that fails it. `figures` are those of `always`, of a GO only. `decided_at` is the instant from
    which a GO or NO-GO was certain, else None. `points` are those of the whole test, where there are scores and
    every event is GO; `grade` is the one a GO was given. `log` is the name of the log's file, empty where it is
    in none; `zero` what the log's clock showed at the session's zero, None where it gives no times of a clock.
    `facts` are those stated of the candidate, as logged. `corrections` are those of the log that touch the
    candidate; `uncorrected` is None where there are none. `doubt` is None where no doubt of times is stated.
    `presence` says where in the log the candidate joined and left; empty for one who was there throughout.
    `parts` are the logs that were joined for it; empty for one log.
    """

    log: str = field(default="", eq=False)
    zero: datetime | None = None
    facts: tuple[tuple[str, str], ...] = ()
    session: str
    candidate: str
    standard: str
    edition: str
    standard_digest: str
    log_digest: str
    outcome: Outcome
    decided_at: int | None
    events: tuple[EventResult, ...]
    reasons: tuple[Reason, ...]
    figures: Sequence[Figured]
    remarks: Sequence[Remark]
    owed: tuple[Owed, ...]
    points: int | None = None
    grade: str | None = None
    corrections: tuple[Correction, ...] = ()
    uncorrected: Uncorrected | None = None
    doubt: Doubt | None = None
    presence: tuple[Presence, ...] = ()
    parts: tuple[LogPart, ...] = ()

    @property
    def changed_by_corrections(self) -> bool:
        """Whether without them the outcome, the points or the grade would be another (rule 25)."""
        other, now = self.uncorrected, (self.outcome, self.points, self.grade)
        return other is not None and (other.outcome, other.points, other.grade) != now


OF_CONDITIONS = frozenset({ReasonKind.UNMET, ReasonKind.NOT_STATED})
_DECIDING = {ReasonKind.FAIL, ReasonKind.DISQUALIFY, ReasonKind.HALT, ReasonKind.OWED}
_ENDED_WITHOUT_GO = {Ending.FAILED, Ending.HALTED, Ending.DISQUALIFIED}


def deciding(verdict: Verdict) -> tuple[Reason, ...]:
    """The reasons a NO-GO or VOID rests on, as written; empty for GO and UNFINISHED.

    Of a NO-GO: what acted at the instant that decided, and, where failures were kept until an attempt's last
    item, all that had failed the attempt that ended then. Where nothing did: what said that no other attempt
    follows.
    """
    if verdict.outcome is Outcome.VOID:
        return tuple(reason for reason in verdict.reasons if reason.kind in OF_CONDITIONS)
    if verdict.outcome is not Outcome.NO_GO:
        return ()
    acted: list[Reason] = []
    for attempt in (attempt for event in verdict.events for attempt in event.attempts):
        if attempt.ended_at == verdict.decided_at and attempt.ending in _ENDED_WITHOUT_GO:
            acted += attempt.reasons
    acted += [reason for reason in verdict.reasons if reason.at == verdict.decided_at]
    found = [reason for reason in acted if reason.kind in _DECIDING]
    return tuple(found or [reason for reason in acted if reason.kind is ReasonKind.OUT])


def resting_on(verdict: Verdict) -> tuple[Reason | Owed, ...]:
    """What decided; of what is not decided what failed attempts at events still open, else what is owed first."""
    decided = deciding(verdict)
    if decided or verdict.outcome is not Outcome.UNFINISHED:
        return decided
    failed = (
        reason
        for event in verdict.events
        if event.outcome is Outcome.UNFINISHED
        for attempt in event.attempts
        for reason in attempt.reasons
        if reason.kind is not ReasonKind.NOTE
    )
    return tuple(failed) or verdict.owed[:1]


def judged(
    standard: Standard,
    log: SessionLog,
    candidate: str,
    *,
    outcome: Outcome,
    events: tuple[EventResult, ...],
    reasons: tuple[Reason, ...],
    decided_at: int | None = None,
    figures: Sequence[Figured] = (),
    remarks: Sequence[Remark] = (),
    owed: tuple[Owed, ...] = (),
    points: int | None = None,
    grade: str | None = None,
) -> Verdict:
    """A verdict with the names and digests that every one bears; what corrections did is not told."""
    return Verdict(
        log=log.name,
        zero=log.zero,
        facts=log.facts_stated(candidate),
        session=log.session,
        candidate=candidate,
        standard=standard.name,
        edition=standard.edition,
        standard_digest=standard.digest,
        log_digest=log.digest,
        outcome=outcome,
        decided_at=decided_at,
        events=events,
        reasons=reasons,
        figures=figures,
        remarks=remarks,
        owed=owed,
        points=points,
        grade=grade,
        presence=log.presence_of(candidate),
        parts=log.parts,
    )


def unjudged(standard: Standard, log: SessionLog, candidate: str, reasons: tuple[Reason, ...]) -> Verdict:
    """VOID, with nothing judged."""
    return judged(
        standard,
        log,
        candidate,
        outcome=Outcome.VOID,
        events=tuple(
            EventResult(label=event.label, title=event.clause.title, outcome=Outcome.NOT_BEGUN, attempts=())
            for event in standard.events
        ),
        reasons=reasons,
    )


def of_each_candidate(
    log: SessionLog, by_anyone: Collection[str], judge: Callable[[SessionLog, str], Verdict]
) -> tuple[Verdict, ...]:
    """The verdicts that `judge` gives, each with the log's corrections that touch it and what it was without them.

    Rules 25 and 45. `by_anyone` are the marks of which others' entries count.
    """
    verdicts = [judge(log, each) for each in log.candidates]
    if not log.corrections:
        return tuple(verdicts)
    return tuple(_with_corrections(verdict, log, by_anyone, judge) for verdict in verdicts)


def _with_corrections(
    verdict: Verdict, log: SessionLog, by_anyone: Collection[str], judge: Callable[[SessionLog, str], Verdict]
) -> Verdict:
    touching = tuple(each for each in log.corrections if each.touches(verdict.candidate, by_anyone))
    if not touching:
        return verdict
    without = Uncorrected(outcome=None)
    if log.uncorrected is not None and verdict.candidate in log.uncorrected.candidates:
        other = judge(log.uncorrected, verdict.candidate)
        without = Uncorrected(
            outcome=other.outcome, decided_at=other.decided_at, points=other.points, grade=other.grade
        )
    return evolve(verdict, corrections=touching, uncorrected=without)
