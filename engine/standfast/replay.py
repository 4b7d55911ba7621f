"""Machine and log to verdicts: run the entries through, fold what happened into reasons and figures.

The machine decides; here is only rule 22 (what the end of a log means) and rule 23 (how a reason is told).
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from standfast.log.entry import Entry, SessionLog
from standfast.machine.candidate import for_candidate
from standfast.machine.margins import limit_and_margin, value_test
from standfast.machine.parts import LIVE, Gauge, Location, Machine, Place
from standfast.machine.standing import Standing, Standings
from standfast.machine.state import (
    Awarded,
    Began,
    Breached,
    Completed,
    Decided,
    Ended,
    Figures,
    Opened,
    Restarted,
    Rested,
    Retried,
    Settled,
    Signal,
    State,
    Unused,
)
from standfast.machine.step import run
from standfast.model.candidate import known_conditions, unstated
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
    Test,
)
from standfast.model.standard import Condition
from standfast.quantity import Comparison, Quantity, count
from standfast.values import define, evolve, field
from standfast.verdict import (
    AttemptResult,
    Deadline,
    Ending,
    EventResult,
    Figured,
    Moment,
    Outcome,
    Owed,
    Reason,
    ReasonKind,
    Remark,
    RemarkKind,
    RoundsResult,
    Scored,
    Verdict,
    measured,
    of_each_candidate,
    unjudged,
)

_KINDS = {effect: ReasonKind(effect.value) for effect in Effect}
_ENDINGS = {
    None: Ending.GO,
    Effect.FAIL: Ending.FAILED,
    Effect.HALT: Ending.HALTED,
    Effect.DISQUALIFY: Ending.DISQUALIFIED,
}


def replay(machine: Machine, log: SessionLog) -> tuple[Verdict, ...]:
    """The verdicts of one log, in the order of its candidates, each by what is the candidate's of it (rule 45)."""
    by_anyone = machine.standard.by_anyone
    return of_each_candidate(log, by_anyone, lambda part, each: verdict_on(machine, part.while_there(each), each))


def verdict_on(machine: Machine, log: SessionLog, candidate: str) -> Verdict:
    """Rule 36: by the machine for this candidate, if what it needs is stated. What corrections did is not told."""
    standard, facts = machine.standard, log.facts.get(candidate, {})
    wanting = unstated(standard, facts)
    if not wanting:
        own = for_candidate(machine, facts)
        account = Account(own)
        entries = ((entry, entry.is_for(candidate)) for entry in heard(own, log, candidate))
        state, signals = run(own, entries, log.end)
        account.add(signals)
        return verdict_from(account, state, log, candidate)
    wanted = (
        Reason(kind=ReasonKind.NOT_STATED, path=fact.path, words=fact.words, sentence=fact.title, at=None)
        for fact in wanting
    )
    unmet = _unmet_conditions(known_conditions(standard, facts), log)
    return evolve(unjudged(standard, log, candidate), reasons=(*wanted, *unmet))


def verdict_from(account: "Account", state: State, log: SessionLog, candidate: str) -> Verdict:
    """Rule 22: what the candidate's run comes to, as far as the log goes."""
    machine = account.machine
    own = (condition for event in machine.standard.events for condition in event.conditions)
    conditions = tuple(_unmet_conditions((*machine.standard.conditions, *own), log))
    owed = tuple(still_owed(machine, state)) if not conditions else ()
    outcome, decided_at, reasons = account.outcome(), account.decided_at, tuple(account.reasons)
    if outcome is not Outcome.UNFINISHED:
        owed = ()
    elif owed and log.end is not None and machine.standard.owed_fails:
        outcome, decided_at = Outcome.NO_GO, log.end
        reasons += tuple(_owed_reason(thing, log.end) for thing in owed)
        owed = ()
    if conditions:
        outcome, decided_at = Outcome.VOID, None
    return evolve(
        unjudged(machine.standard, log, candidate),
        outcome=outcome,
        decided_at=decided_at,
        events=tuple(account.event(number) for number in range(len(machine.events))),
        reasons=(*conditions, *reasons),
        figures=() if conditions else account.figures,
        remarks=tuple(account.remarks),
        owed=owed,
        points=None if conditions else account.points(),
        grade=None if conditions else account.grade,
    )


def heard(machine: Machine, log: SessionLog, candidate: str) -> tuple[Entry, ...]:
    """The candidate's own entries, those for all, and those of others that count here, in file order (rule 38).

    Others' entries after the last through which time passes for the candidate are not heard.
    """
    marks = machine.standard.by_anyone
    entries = [entry for entry in log.entries if entry.is_for(candidate) or entry.mark in marks]
    while log.end is None and entries and not entries[-1].is_for(candidate):
        entries.pop()
    return tuple(entries)


# --- rule 22: conditions and what is owed ------------------------------------------------------------------


def _unmet_conditions(conditions: Iterable[Condition], log: SessionLog) -> Iterator[Reason]:
    for condition in conditions:
        stated = log.conditions.get(condition.name)
        if stated is None:
            yield _condition_reason(condition, ReasonKind.NOT_STATED, None)
        elif isinstance(condition.demand, bool):
            if stated is not condition.demand:
                yield _condition_reason(condition, ReasonKind.UNMET, None)
        elif not (isinstance(stated, Quantity) and condition.demand.holds(stated.base)):
            yield _condition_reason(condition, ReasonKind.UNMET, stated)


def _condition_reason(condition: Condition, kind: ReasonKind, stated: Quantity | bool | None) -> Reason:
    figure = margin = logged = None
    if isinstance(stated, Quantity) and isinstance(condition.demand, Test):
        logged = str(stated)
        figure = measured(stated.base, condition.demand.first)
        margin = measured(condition.demand.margin(stated.base), condition.demand.first)
    return Reason(
        kind=kind,
        path=condition.path,
        words=condition.words,
        sentence=condition.sentence,
        at=None,
        figure=figure,
        margin=margin,
        logged=logged,
    )


def still_owed(machine: Machine, state: State) -> Iterator[Owed]:
    if state.decided is not None:
        return
    if state.open is not None:
        root = machine.places[machine.events[state.open].place]
        for place in machine.places[root.index : root.end]:
            yield from _owed_at(place, state)
    for number, event in enumerate(machine.events):
        if state.standings[number] is None and number != state.open:
            place = machine.places[event.place]
            best = machine.standard.events[number].best
            if best is not None and state.bests[number]:
                yield Owed(path=best.path, words=best.words)
            elif state.locations[place.index] is Location.ASLEEP:
                yield Owed(path=place.path, words="event")
            else:
                yield from _owed_at(place, state)


def _owed_at(place: Place, state: State) -> Iterator[Owed]:
    location = state.locations[place.index]
    rule: Rule | None = None
    begun = place.waiting.begun
    if location is Location.WAITING and (begun is None or state.flags[begun]):
        rule = place.start
    elif location is Location.RESTING:
        assert place.rest is not None and place.rest.least is not None
        rule = place.rest.least.rule
    elif location in LIVE and place.rounds is not None:
        yield Owed(path=place.path, words=place.rounds.names[state.counters[place.rounds.open]])
    elif location in LIVE:
        rule = place.goal
    if rule is not None:
        yield Owed(path=rule.path, words=rule.words)


def _owed_reason(thing: Owed, at: int) -> Reason:
    return Reason(kind=ReasonKind.OWED, path=thing.path, words=thing.words, sentence=None, at=at)


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
    amount = Fraction(figure)
    path = rule.path
    if gauge is Gauge.RESTARTS:
        assert isinstance(rule, Fault | RestBound) and rule.at_most is not None
        path, limit = f"{path}.at_most", count(rule.at_most)
        margin = limit.base - amount
    else:
        limit, margin = limit_and_margin(rule, amount)
    row = Figured(path=path, words=rule.words, figure=measured(amount, limit), margin=measured(margin, limit))
    return _Figure(row, margin / (limit.base or 1), rule.order)


def _narrowest_first(figures: Iterable[_Figure]) -> tuple[Figured, ...]:
    return tuple(f.row for f in sorted(figures, key=lambda f: (f.proportion, f.order)))


@define
class _Attempt:
    number: int
    opened_at: int
    rounds: Standings
    ended_at: int | None = None
    ending: Ending = Ending.OPEN
    charged: bool = True
    best: bool = False
    reasons: list[Reason] = field(factory=list)
    figures: dict[int, list[_Figure]] = field(factory=dict)
    moments: list[Moment] = field(factory=list)
    rests: dict[int, list[_Figure]] = field(factory=dict)
    scores: dict[int, Scored] = field(factory=dict)

    def result(self) -> AttemptResult:
        rows = [figure for rows in self.figures.values() for figure in rows]
        return AttemptResult(
            number=self.number,
            opened_at=self.opened_at,
            ended_at=self.ended_at,
            ending=self.ending,
            charged=self.charged,
            reasons=tuple(self.reasons),
            figures=_narrowest_first(rows) if self.ending is Ending.GO else (),
            moments=tuple(self.moments),
            best=self.best,
            rounds=tuple(_rounds(each) for _, each in sorted(self.rounds.by_place.items())),
            scores=self.scored() if self.ending is Ending.GO else (),
        )

    def scored(self) -> tuple[Scored, ...]:
        """As written."""
        return tuple(scored for _, scored in sorted(self.scores.items()))


def _rounds(gone: Standing) -> RoundsResult:
    return RoundsResult(path=gone.path, made=gone.made, missed=gone.missed, furthest=gone.furthest, over=gone.over)


@define
class Account:
    """What the signals of one candidate's run have told so far."""

    machine: Machine
    attempts: list[list[_Attempt]] = field(init=False)
    standings: list[bool | None] = field(init=False)
    open: _Attempt | None = None
    reasons: list[Reason] = field(factory=list)
    remarks: list[Remark] = field(factory=list)
    figures: tuple[Figured, ...] = ()
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
        clause = self.machine.standard.events[number].clause
        outcome = {True: Outcome.GO, False: Outcome.NO_GO, None: Outcome.UNFINISHED}[self.standings[number]]
        if not self.attempts[number]:
            outcome = Outcome.NOT_BEGUN
        attempts = tuple(attempt.result() for attempt in self.attempts[number])
        return EventResult(label=clause.label, title=clause.title, outcome=outcome, attempts=attempts)

    def add(self, signals: Iterable[Signal]) -> None:
        for signal in signals:
            if self.open is not None:
                self.open.rounds.add(signal)
            match signal:
                case Opened(event=event):
                    self.open = _Attempt(len(self.attempts[event]) + 1, signal.at, Standings(self.machine))
                    self.attempts[event].append(self.open)
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
                case Breached():
                    (self.reasons if self.open is None else self.open.reasons).append(reason_of(signal))
                case Ended(event=event, effect=effect, charged=charged, best=best):
                    assert self.open is not None
                    for attempt in self.attempts[event] if best else ():
                        attempt.best = attempt is self.open
                    self.open.ended_at, self.open.ending = signal.at, _ENDINGS[effect]
                    self.open.charged = charged
                    self.open = None
                case Settled(event=event, go=go):
                    self.standings[event] = go
                    if not go:
                        self.fail(signal.at)
                case Decided(go=go, figures=figures, grade=grade):
                    self.grade = grade
                    if go:
                        self.decided_at = signal.at
                        self.figures = _narrowest_first(_figure(r.rule, r.gauge, f) for r, f in figures)
                    else:
                        self.fail(signal.at)
                case Unused():
                    self.remarks.append(_remark(signal))

    def fail(self, at: int) -> None:
        if not self.failed:
            self.failed, self.decided_at = True, at

    def moment(self, signal: Signal, place: int, completed: bool) -> None:
        row = self.machine.places[place]
        if self.open is not None and row.event >= 0:
            entry = None if signal.entry is None else signal.entry.number
            self.open.moments.append(Moment(at=signal.at, path=row.path, completed=completed, entry=entry))

    def keep(self, place: int, figures: Figures) -> None:
        assert self.open is not None
        rows = self.open.figures.setdefault(place, [])
        rows += self.open.rests.pop(place, [])
        rows += [_figure(row.rule, row.gauge, figure) for row, figure in figures]

    def keep_score(self, place: int, given: Awarded | None) -> None:
        assert self.open is not None
        if given is None or given.points is None:
            return
        score, figure = given.score, None if given.figure is None else given.score.rounded(given.figure)
        row = None if given.row is None else score.rows[given.row]
        unit = (row or score.rows[0]).test.first if score.rows else None
        self.open.scores[place] = Scored(
            path=score.path,
            words=score.last_words if row is None else row.words,
            points=given.points,
            figure=None if figure is None or unit is None else measured(figure, unit),
        )

    def points(self) -> int | None:
        """Those of the whole test, when every event is GO and some score is."""
        counted = ([a for a in attempts if a.best] or attempts for attempts in self.attempts)
        every = [a for attempts in counted for a in attempts if a.ending is Ending.GO]
        given = [scored.points for attempt in every for scored in attempt.scored()]
        return sum(given) if given and all(self.standings) else None

    def rested(self, signal: Rested) -> None:
        """A rest's figures belong to the clause around it when that completes; between attempts to the attempt."""
        assert self.open is not None
        parent = self.machine.places[signal.place].parent
        rows = self.open.figures.setdefault(-1, []) if parent is None else self.open.rests.setdefault(parent, [])
        rows.append(_figure(signal.bound, Gauge.CLOCK, signal.length))

    def forget(self, place: int) -> None:
        """A clause was put back: the figures of its last run, and of all inside it, count no longer."""
        assert self.open is not None
        self.open.figures.pop(place, None)
        self.forget_inside(place)

    def forget_inside(self, place: int) -> None:
        """What stands in a clause begins anew."""
        assert self.open is not None
        self.open.rests.pop(place, None)
        row = self.machine.places[place]
        for inner in range(row.index + 1, row.end):
            self.open.figures.pop(inner, None)
            self.open.rests.pop(inner, None)
            self.open.scores.pop(inner, None)


def reason_of(signal: Breached) -> Reason:
    breach, rule = signal.breach, signal.breach.rule
    path, figure, margin, logged = rule.path, None, None, None
    kind = _KINDS[breach.effect]
    if signal.asked is not None:
        assert breach.at_most is not None
        path, kind = f"{path}.at_most", ReasonKind.FAIL
        figure, margin = (measured(each, count(1)) for each in (signal.asked, breach.at_most - signal.asked))
    elif signal.figure is not None:
        amount = rule.rounded(signal.figure) if isinstance(rule, Score) else Fraction(signal.figure)
        limit, left = limit_and_margin(rule, amount)
        figure, margin = measured(amount, limit), measured(left, limit)
        if value_test(rule) is not None:
            assert signal.entry is not None
            logged = str(signal.entry.value)
    entry = signal.entry
    return Reason(
        kind=kind,
        path=path,
        words=rule.last_words if isinstance(rule, Score) else rule.words,
        sentence=rule.sentence,
        at=signal.at,
        entry=None if entry is None else entry.number,
        line=None if entry is None else entry.line,
        figure=figure,
        margin=margin,
        logged=logged,
        deadline=_deadline(rule, signal.at) if entry is None and signal.figure is None else None,
        round=signal.round,
        readings=signal.readings,
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
