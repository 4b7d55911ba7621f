"""Machine and log to verdicts: run the entries through, fold what happened into reasons and figures.

The machine decides; here is only rule 22 (what the end of a log means) and rule 23 (how a reason is told).
"""

from collections.abc import Callable, Iterable, Iterator

from standfast.account import Account
from standfast.log.entry import Entry, SessionLog
from standfast.machine.candidate import for_candidate
from standfast.machine.parts import LIVE, Location, Machine, Place
from standfast.machine.state import State
from standfast.machine.step import run
from standfast.model.candidate import known_conditions, unstated
from standfast.model.rules import Rule, Test
from standfast.model.standard import Condition
from standfast.quantity import Quantity
from standfast.verdict import (
    Outcome,
    Owed,
    Reason,
    ReasonKind,
    Verdict,
    judged,
    measured,
    of_each_candidate,
    unjudged,
)


def replay(machine: Machine, log: SessionLog) -> tuple[Verdict, ...]:
    """The verdicts of one log, in the order of its candidates, each by what is the candidate's of it (rule 45)."""
    by_anyone = machine.standard.by_anyone
    return of_each_candidate(log, by_anyone, lambda part, each: verdict_on(machine, part.while_there(each), each))


Way = Callable[[Machine, SessionLog, str], tuple[Account, State]]
"""How a candidate's entries are run through the candidate's machine: what it told, and where it stands then."""


def plainly(machine: Machine, log: SessionLog, candidate: str) -> tuple[Account, State]:
    """One step after another."""
    account = Account(machine)
    entries = ((entry, entry.is_for(candidate)) for entry in heard(machine, log, candidate))
    state, signals = run(machine, entries, log.end)
    account.add(signals)
    return account, state


def verdict_on(machine: Machine, log: SessionLog, candidate: str, way: Way = plainly) -> Verdict:
    """Rule 36: by the machine for this candidate, if what it needs is stated. What corrections did is not told."""
    standard, facts = machine.standard, log.facts.get(candidate, {})
    wanting = unstated(standard, facts)
    if not wanting:
        account, state = way(for_candidate(machine, facts), log, candidate)
        return verdict_from(account, state, log, candidate)
    wanted = (
        Reason(kind=ReasonKind.NOT_STATED, path=fact.path, words=fact.words, sentence=fact.title, at=None)
        for fact in wanting
    )
    unmet = _unmet_conditions(known_conditions(standard, facts), log)
    return unjudged(standard, log, candidate, (*wanted, *unmet))


def verdict_from(account: Account, state: State, log: SessionLog, candidate: str) -> Verdict:
    """Rule 22: what the candidate's run comes to, as far as the log goes."""
    machine = account.machine
    own = [condition for event in machine.standard.events for condition in event.conditions]
    conditions = tuple(_unmet_conditions((*machine.standard.conditions, *own), log))
    outcome, decided_at, reasons = account.outcome(), account.decided_at, tuple(account.reasons)
    owed = tuple(still_owed(machine, state)) if outcome is Outcome.UNFINISHED and not conditions else ()
    if owed and log.end is not None and machine.standard.owed_fails:
        outcome, decided_at = Outcome.NO_GO, log.end
        reasons += tuple(_owed_reason(thing, log.end) for thing in owed)
        owed = ()
    if conditions:
        outcome, decided_at = Outcome.VOID, None
    events = tuple([account.event(number) for number in range(len(machine.events))])
    return judged(
        machine.standard,
        log,
        candidate,
        outcome=outcome,
        decided_at=decided_at,
        events=events,
        reasons=(*conditions, *reasons),
        figures=() if conditions else account.figures,
        remarks=account.remarks(),
        owed=owed,
        points=None if conditions else account.points(events),
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
