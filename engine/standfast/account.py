"""What the signals of a candidate's run come to: attempts, reasons and figures, as a verdict tells them.

Rule 23 (how a reason is told). The machine has decided; nothing here decides again.
"""

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import partial

from standfast.later import Later
from standfast.log.entry import Entry
from standfast.machine.margins import limit_and_margin, value_test
from standfast.machine.parts import Breach, Gauge, Machine, Row
from standfast.machine.standing import Standings
from standfast.machine.state import (
    Awarded,
    Began,
    Breached,
    Completed,
    Decided,
    Ended,
    Figures,
    Opened,
    Reading,
    Restarted,
    Rested,
    Retried,
    Settled,
    Signal,
    Unused,
)
from standfast.model.rules import (
    Effect,
    Fault,
    Figure,
    FigureKind,
    Limit,
    RestBound,
    Rule,
    Score,
    Silence,
)
from standfast.quantity import Comparison, count
from standfast.values import define, evolve, field
from standfast.verdict import (
    AttemptResult,
    Deadline,
    Ending,
    EventResult,
    Figured,
    Moment,
    Outcome,
    Reason,
    ReasonKind,
    Remark,
    RemarkKind,
    RoundsResult,
    Scored,
    measured,
)

_ONE = count(1)
_KINDS = {effect: ReasonKind(effect.value) for effect in Effect}
_OUTCOMES = {True: Outcome.GO, False: Outcome.NO_GO, None: Outcome.UNFINISHED}
ENDINGS = {
    None: Ending.GO,
    Effect.FAIL: Ending.FAILED,
    Effect.HALT: Ending.HALTED,
    Effect.DISQUALIFY: Ending.DISQUALIFIED,
}


@define
class _Figure:
    """A figure given for a limit: its row in a verdict, and by what it is sorted."""

    row: Figured
    proportion: Fraction
    order: int


def figured(rule: Rule, gauge: Gauge, figure: int | Fraction) -> Figured:
    """A raw figure of a rule (microseconds, a count, base units) as a verdict gives it."""
    return _figure(rule, gauge, figure).row


def _figure(rule: Rule, gauge: Gauge, figure: int | Fraction) -> _Figure:
    path = rule.path
    margin: Fraction | int
    if gauge is Gauge.RESTARTS:
        assert isinstance(rule, Fault | RestBound) and rule.at_most is not None
        path, limit = f"{path}.at_most", count(rule.at_most)
        margin = limit.base - figure
    else:
        limit, margin = limit_and_margin(rule, figure)
    row = Figured(path=path, words=rule.words, figure=measured(figure, limit), margin=measured(margin, limit))
    return _Figure(row, Fraction(margin) / (limit.base or 1), rule.order)


def _narrowest_first(figures: Iterable[_Figure]) -> tuple[Figured, ...]:
    return tuple(f.row for f in sorted(figures, key=lambda f: (f.proportion, f.order)))


@define
class _Gone:
    """How the clauses of an attempt went."""

    machine: Machine
    standings: Standings
    moments: list[Moment] = field(factory=list)
    figures: dict[int, list[_Figure]] = field(factory=dict)
    rests: dict[int, list[_Figure]] = field(factory=dict)
    scores: dict[int, Scored] = field(factory=dict)

    def add(self, signal: Signal) -> None:
        self.standings.add(signal)
        match signal:
            case Began(place=place):
                self.moment(signal, place, False)
            case Completed(place=place, figures=figures, scored=scored):
                self.moment(signal, place, True)
                self.keep(place, figures)
                self.keep_score(place, scored)
            case Rested():
                self.rested(signal)
            case Restarted(place=place):
                self.forget(place)
            case Retried(place=place):
                self.forget_inside(place)

    def moment(self, signal: Signal, place: int, completed: bool) -> None:
        row = self.machine.places[place]
        if row.event >= 0:
            entry = None if signal.entry is None else signal.entry.number
            self.moments.append(Moment(at=signal.at, path=row.path, completed=completed, entry=entry))

    def keep(self, place: int, figures: Figures) -> None:
        rows = self.figures.setdefault(place, [])
        rows += self.rests.pop(place, [])
        rows += [_figure(row.rule, row.gauge, figure) for row, figure in figures]

    def keep_score(self, place: int, given: Awarded | None) -> None:
        if given is None or given.points is None:
            return
        score, figure = given.score, None if given.figure is None else given.score.rounded(given.figure)
        row = None if given.row is None else score.rows[given.row]
        unit = (row or score.rows[0]).test.first if score.rows else None
        self.scores[place] = Scored(
            path=score.path,
            words=score.last_words if row is None else row.words,
            points=given.points,
            figure=None if figure is None or unit is None else measured(figure, unit),
        )

    def rested(self, signal: Rested) -> None:
        """A rest's figures belong to the clause around it when that completes; between attempts to the attempt."""
        parent = self.machine.places[signal.place].parent
        rows = self.figures.setdefault(-1, []) if parent is None else self.rests.setdefault(parent, [])
        rows.append(_figure(signal.bound, Gauge.CLOCK, signal.length))

    def forget(self, place: int) -> None:
        """A clause was put back: the figures of its last run, and of all inside it, count no longer."""
        self.figures.pop(place, None)
        self.forget_inside(place)

    def forget_inside(self, place: int) -> None:
        """What stands in a clause begins anew."""
        self.rests.pop(place, None)
        row = self.machine.places[place]
        for inner in range(row.index + 1, row.end):
            self.figures.pop(inner, None)
            self.rests.pop(inner, None)
            self.scores.pop(inner, None)


@define(eq=False)
class Attempt(ABC):
    """One that is open, with the reasons so far.

    The course it took is gone through when it is first looked at: most who grade many logs never do.
    """

    machine: Machine
    event: int
    number: int
    opened_at: int
    reasons: list[Reason] = field(init=False, factory=list)
    _gone: _Gone | None = field(init=False, default=None)

    @abstractmethod
    def signals(self) -> Iterable[Signal]:
        """Those of its clauses."""

    def gone(self) -> _Gone:
        if self._gone is None:
            self._gone = _Gone(self.machine, Standings(self.machine))
            for signal in self.signals():
                self._gone.add(signal)
        return self._gone

    def moments(self) -> Iterable[Moment]:
        return self.gone().moments

    def figures(self) -> Iterable[Figured]:
        return _narrowest_first(figure for rows in self.gone().figures.values() for figure in rows)

    def rounds(self) -> Iterable[RoundsResult]:
        return (
            RoundsResult(path=of.path, made=of.made, missed=of.missed, furthest=of.furthest, over=of.over)
            for _, of in sorted(self.gone().standings.by_place.items())
        )

    def scores(self) -> tuple[Scored, ...]:
        """As written."""
        return tuple(scored for _, scored in sorted(self.gone().scores.items()))

    def result(self, at: int | None, ending: Ending, charged: bool, best: bool) -> AttemptResult:
        machine, go = self.machine, ending is Ending.GO
        return AttemptResult(
            number=self.number,
            opened_at=self.opened_at,
            ended_at=at,
            ending=ending,
            charged=charged,
            reasons=tuple(self.reasons),
            figures=Later(self.figures) if go else (),
            moments=Later(self.moments),
            best=best,
            rounds=Later(self.rounds) if machine.has_rounds else (),
            scores=self.scores() if go and machine.has_scores else (),
        )


@define(eq=False)
class _Listed(Attempt):
    """`passed` are the signals of its clauses so far."""

    passed: Sequence[Signal] = field(factory=list)

    def signals(self) -> Iterable[Signal]:
        return self.passed

    def result(self, at: int | None, ending: Ending, charged: bool, best: bool) -> AttemptResult:
        """Of one that is still open, as it is now."""
        now: Attempt = self
        if at is None:
            now = _Listed(self.machine, self.event, self.number, self.opened_at, tuple(self.passed))
            now.reasons += self.reasons
        return Attempt.result(now, at, ending, charged, best)


@define
class Account:
    """What the signals of one candidate's run have told so far."""

    machine: Machine
    attempts: list[list[AttemptResult]] = field(init=False)
    standings: list[bool | None] = field(init=False)
    open: Attempt | None = None
    reasons: list[Reason] = field(factory=list)
    unused: Iterable[Unused] = field(factory=list)
    figures: Sequence[Figured] = ()
    grade: str | None = None
    decided_at: int | None = None
    failed: bool = False

    def __attrs_post_init__(self) -> None:
        self.attempts = [[] for _ in self.machine.events]
        self.standings = [None] * len(self.machine.events)

    def outcome(self) -> Outcome:
        if self.decided_at is None:
            return Outcome.UNFINISHED
        return Outcome.NO_GO if self.failed else Outcome.GO

    def event(self, number: int) -> EventResult:
        clause, attempts = self.machine.standard.events[number].clause, self.attempts[number]
        if self.open is not None and self.open.event == number:
            attempts = [*attempts, self.open.result(None, Ending.OPEN, True, False)]
        outcome = _OUTCOMES[self.standings[number]] if attempts else Outcome.NOT_BEGUN
        return EventResult(label=clause.label, title=clause.title, outcome=outcome, attempts=tuple(attempts))

    def add(self, signals: Iterable[Signal]) -> None:
        for signal in signals:
            match signal:
                case Opened(event=event):
                    self.open = _Listed(self.machine, event, self.next_number(event), signal.at)
                case Breached():
                    self.reason(reason_of(signal))
                case Ended(event=event, effect=effect, charged=charged, best=best):
                    self.end(event, signal.at, ENDINGS[effect], charged, best)
                case Settled(event=event, go=go):
                    self.settle(event, signal.at, go)
                case Decided(go=go, figures=figures, grade=grade):
                    self.decide(signal.at, go, figures, grade)
                case Unused():
                    assert isinstance(self.unused, list)
                    self.unused.append(signal)
                case _ if self.open is not None:
                    assert isinstance(self.open, _Listed) and isinstance(self.open.passed, list)
                    self.open.passed.append(signal)

    def next_number(self, event: int) -> int:
        """Of an attempt that opens."""
        return len(self.attempts[event]) + 1

    def reason(self, reason: Reason) -> None:
        (self.reasons if self.open is None else self.open.reasons).append(reason)

    def end(self, event: int, at: int, ending: Ending, charged: bool, best: bool) -> None:
        assert self.open is not None
        attempts = self.attempts[event]
        if best:
            attempts[:] = [evolve(attempt, best=False) for attempt in attempts]
        attempts.append(self.open.result(at, ending, charged, best))
        self.open = None

    def settle(self, event: int, at: int, go: bool) -> None:
        self.standings[event] = go
        if not go:
            self.fail(at)

    def decide(self, at: int, go: bool, figures: Iterable[tuple[Row, int | Fraction]], grade: str | None) -> None:
        self.grade = grade
        if not go:
            self.fail(at)
            return
        self.decided_at = at
        if figures:
            self.figures = Later(lambda: _narrowest_first(_figure(r.rule, r.gauge, f) for r, f in figures))

    def fail(self, at: int) -> None:
        if not self.failed:
            self.failed, self.decided_at = True, at

    def remarks(self) -> Sequence[Remark]:
        unused = tuple(self.unused) if isinstance(self.unused, list) else self.unused
        return Later(partial(map, _remark, unused))

    def points(self, events: Iterable[EventResult]) -> int | None:
        """Those of the whole test, when every event is GO and some score is."""
        if not (self.machine.has_scores and all(self.standings)):
            return None
        counted = ([a for a in event.attempts if a.best] or event.attempts for event in events)
        given = [scored.points for attempts in counted for a in attempts for scored in a.scores]
        return sum(given) if given else None


def reason_of(signal: Breached) -> Reason:
    return reason_given(
        signal.breach, signal.at, signal.entry, signal.figure, signal.asked, signal.readings, signal.round
    )


def reason_given(
    breach: Breach,
    at: int,
    entry: Entry | None,
    figure: Reading,
    asked: int | None,
    readings: int | None,
    round_open: str | None,
) -> Reason:
    """For what a breach told: the parts of its signal."""
    rule = breach.rule
    path, shown, margin, logged = rule.path, None, None, None
    kind = _KINDS[breach.effect]
    if asked is not None:
        assert breach.at_most is not None
        path, kind = f"{path}.at_most", ReasonKind.FAIL
        shown, margin = measured(asked, _ONE), measured(breach.at_most - asked, _ONE)
    elif figure is not None:
        amount = rule.rounded(figure) if isinstance(rule, Score) else figure
        limit, left = limit_and_margin(rule, amount)
        shown, margin = measured(amount, limit), measured(left, limit)
        if value_test(rule) is not None:
            assert entry is not None
            logged = str(entry.value)
    return Reason(
        kind=kind,
        path=path,
        words=rule.last_words if isinstance(rule, Score) else rule.words,
        sentence=rule.sentence,
        at=at,
        entry=None if entry is None else entry.number,
        line=None if entry is None else entry.line,
        figure=shown,
        margin=margin,
        logged=logged,
        deadline=_deadline(rule, at) if entry is None and figure is None else None,
        round=round_open,
        readings=readings,
    )


def _deadline(rule: Rule, at: int) -> Deadline | None:
    """Of a rule that time alone broke at the instant; None where a completion judged it."""
    match rule:
        case Limit(figure=Figure(kind=FigureKind.TIME | FigureKind.SILENCE), test=test):
            length, reached = test.second or test.first, test.comparison is Comparison.UNDER
        case Limit() | Score():
            return None
        case Fault(trigger=Silence(length=length, or_more=reached)):
            pass
        case RestBound(length=length):
            reached = False
        case _:
            raise AssertionError(f"no deadline belongs to {rule.path}")
    return Deadline(at - int(length.base), reached)


def _remark(signal: Unused) -> Remark:
    kind = RemarkKind.UNFIT if signal.unfit else RemarkKind.NO_USE
    if signal.after_verdict:
        kind = RemarkKind.AFTER_VERDICT
    elif signal.breach is not None:
        kind = RemarkKind.NOTHING_OPEN
    return Remark(
        kind=kind,
        at=signal.at,
        entry=None if signal.entry is None else signal.entry.number,
        line=None if signal.entry is None else signal.entry.line,
        path=None if signal.breach is None else signal.breach.rule.path,
    )
