"""Where each candidate stands after each entry of a log that grows.

One candidate's run goes on from where it was as long as the log does: the machine takes the new entries and no
others. Where anything before them has changed, by a correction or else, it is begun anew. The verdict is what
grading the log so far gives, by the same machine and the same account.
"""

from collections.abc import Iterator

from standfast.account import Account
from standfast.live.marks import marks_now
from standfast.live.position import Attempts, Position, Running, Stand, Ticks, Wanted
from standfast.log.entry import Entry, SessionLog
from standfast.machine.candidate import for_candidate
from standfast.machine.compile import compile_standard
from standfast.machine.kinds import Deed
from standfast.machine.parts import LIVE, Machine, Place
from standfast.machine.state import State
from standfast.machine.step import Step, end, enter, initial, overhear
from standfast.machine.ticking import Ticking, ticking
from standfast.model.candidate import unstated
from standfast.model.rules import RestBound, Until, UntilTotals
from standfast.model.standard import Standard
from standfast.quantity import count
from standfast.replay import still_owed, verdict_from, verdict_on
from standfast.values import define, field
from standfast.verdict import Measure, Verdict, measured, of_each_candidate


@define
class Follower:
    """Follows one log under one standard; the log it is given is always the whole of it so far."""

    standard: Standard
    _machine: Machine = field(init=False)
    _log: SessionLog | None = None
    _runs: dict[str, "_Run"] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self._machine = compile_standard(self.standard)

    def continues(self, log: SessionLog) -> bool:
        """Whether the log says all that the one before said, in the same order, and perhaps more."""
        before = self._log
        if before is None:
            return False
        known, names = len(before.entries), before.candidates
        return (
            before.end in (None, log.end)
            and log.entries[:known] == before.entries
            and (before.end is None or len(log.entries) == known)
            and log.presence[: len(before.presence)] == before.presence
            and log.candidates[: len(names)] == names
            and all(log.facts.get(name) == before.facts.get(name) for name in names)
            and log.corrections == before.corrections
        )

    def stand(self, log: SessionLog) -> Stand:
        """Of each candidate, in the order of the log's."""
        anew = self._log is not None and not self.continues(log)
        self._log = log
        runs = {each: self._run(log, each) for each in log.candidates}
        self._runs = {candidate: run for candidate, run in runs.items() if run is not None}

        def judge(asked: SessionLog, candidate: str) -> Verdict:
            part, run = asked.while_there(candidate), self._runs.get(candidate)
            if asked is not log or run is None:
                return verdict_on(self._machine, part, candidate)
            return run.verdict(part)

        verdicts = of_each_candidate(log, self.standard.by_anyone, judge)
        return Stand(log=log, positions=tuple(map(self._position, verdicts)), anew=anew)

    def _run(self, log: SessionLog, candidate: str) -> "_Run | None":
        """The candidate's, with all of the log heard; None where what is needed to judge is not stated."""
        facts = log.facts.get(candidate, {})
        if unstated(self.standard, facts):
            return None
        part, own = log.while_there(candidate), for_candidate(self._machine, facts)
        run = self._runs.get(candidate)
        if run is None or run.machine is not own or not run.goes_on(part):
            run = _Run(own, candidate)
        run.hear(part)
        return run

    def _position(self, verdict: Verdict) -> Position:
        run = self._runs.get(verdict.candidate)
        return Position(verdict=verdict, at=0) if run is None else run.position(verdict)


@define
class _Run:
    """One candidate's run, by what is the candidate's of the log. The entries `taken` of that are behind it, and
    the `end` if it has one; those of others that count here wait until time has passed to them (rule 38).
    """

    machine: Machine
    candidate: str
    account: Account = field(init=False)
    state: State = field(init=False)
    taken: tuple[Entry, ...] = ()
    end: int | None = None
    waiting: list[Entry] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        self.account = Account(self.machine)
        self._go(initial(self.machine))

    def goes_on(self, part: SessionLog) -> bool:
        """Whether what is the candidate's of the log begins with all that was heard."""
        known = len(self.taken)
        return part.entries[:known] == self.taken and (
            self.end is None or (part.end == self.end and len(part.entries) == known)
        )

    def hear(self, part: SessionLog) -> None:
        """What there is more than was taken."""
        for entry in part.entries[len(self.taken) :]:
            if entry.is_for(self.candidate):
                self._overhear()
                self._go(enter(self.machine, self.state, entry))
            elif entry.mark in self.machine.standard.by_anyone:
                self.waiting.append(entry)
        self.taken = part.entries
        if part.end is not None and self.end is None:
            self.end = part.end
            self._overhear()
            self._go(end(self.machine, self.state, part.end))

    def verdict(self, part: SessionLog) -> Verdict:
        return verdict_from(self.account, self.state, part, self.candidate)

    def position(self, verdict: Verdict) -> Position:
        over = self.end is not None or self.state.decided is not None
        return Position(
            verdict=verdict,
            at=self.state.now,
            owed=() if self.end is not None else tuple(self._wanted()),
            clocks=()
            if over
            else tuple(_running(each, self.state.now) for each in ticking(self.machine, self.state)),
            attempts=tuple(self._attempts(verdict)),
            marks=() if over else tuple(marks_now(self.machine, self.state)),
        )

    def _go(self, step: Step) -> None:
        self.state, signals = step
        self.account.add(signals)

    def _overhear(self) -> None:
        for entry in self.waiting:
            self._go(overhear(self.machine, self.state, entry))
        self.waiting = []

    def _wanted(self) -> Iterator[Wanted]:
        so_far = dict(self._goals())
        return (Wanted(owed, so_far.get(owed.path)) for owed in still_owed(self.machine, self.state))

    def _goals(self) -> Iterator[tuple[str, Measure]]:
        """Of each goal in play that counts or adds up, by the path it is owed by: what there is of it."""
        for place in self.machine.places:
            register = place.goal_register
            if register is None or self.state.locations[place.index] not in LIVE:
                continue
            if isinstance(place.goal, Until) and place.goal.number > 1:
                yield _owed_path(place), measured(self.state.counters[register], count(1))
            elif isinstance(place.goal, UntilTotals):
                yield _owed_path(place), measured(self.state.totals[register], place.goal.amount)

    def _attempts(self, verdict: Verdict) -> Iterator[Attempts]:
        for number, event in enumerate(self.machine.events):
            charged = self.state.counters[event.charged]
            left = None if event.attempts is None else max(0, event.attempts - charged)
            over = self.state.standings[number] is not None or self.state.decided is not None
            yield Attempts(
                event=verdict.events[number].label,
                charged=charged,
                left=0 if over else left,
                open=self.state.open == number,
                outcome=verdict.events[number].outcome,
            )


def _owed_path(place: Place) -> str:
    assert place.goal is not None
    return place.path if place.rounds is not None else place.goal.path


_KINDS = {
    Deed.COMPLETE: Ticks.HOLD,
    Deed.TOO_FEW: Ticks.HOLD,
    Deed.BEGIN: Ticks.REST,
    Deed.SILENCE: Ticks.SILENCE,
    Deed.OVERSTAY: Ticks.REST_TOO_LONG,
}


def _running(each: Ticking, now: int) -> Running:
    rule = each.rule
    if each.deed is None:
        kind = Ticks.REST_TOO_SHORT if isinstance(rule, RestBound) else Ticks.TOO_EARLY
    else:
        kind = _KINDS.get(each.deed, Ticks.LIMIT)
    until = each.since + each.length
    return Running(
        kind=kind,
        path=rule.path,
        words=rule.words,
        since=each.since,
        until=until,
        left=until - now,
        effect=None if each.breach is None else each.breach.effect,
        reached=each.reached,
    )
