"""Verdicts weighed against the doubt of the times they rest on: which stand, and which are close calls.

Rule 43. Only what a verdict says, its outcome and its grade, is asked after; what would be said otherwise is told
with the nearest times for it, and each such answer is borne out by replaying them.
"""

from collections.abc import Iterable

from standfast.log.entry import Presence, SessionLog
from standfast.machine.candidate import for_candidate
from standfast.machine.nearest import Nearest, nearest
from standfast.machine.parts import Machine
from standfast.machine.shifting import Timeline, Way
from standfast.machine.whole import Undecided
from standfast.replay import heard, replay, still_owed
from standfast.values import evolve
from standfast.verdict import CloseCall, Doubt, Firmness, Outcome, Shift, Verdict

Said = tuple[Outcome, str | None]


def weighed(machine: Machine, log: SessionLog, verdicts: Iterable[Verdict], within: int) -> tuple[Verdict, ...]:
    """The verdicts, each with what is said of it when every time may be wrong by `within` microseconds."""
    return tuple(evolve(verdict, doubt=_doubt(machine, log, verdict, within)) for verdict in verdicts)


def _doubt(machine: Machine, log: SessionLog, verdict: Verdict, within: int) -> Doubt:
    if verdict.outcome is Outcome.VOID:
        return Doubt(within=within, firmness=Firmness.STANDS)
    timeline = timeline_of(machine, log, verdict.candidate)
    known: set[Said] = {(verdict.outcome, verdict.grade)}
    others: list[CloseCall] = []
    try:
        while (found := nearest(timeline, within, lambda way: _said(timeline, way) in known)) is not None:
            outcome, grade = _borne_out(machine, log, verdict.candidate, timeline, found)
            shifts = _shifts(timeline, found, log.left(verdict.candidate))
            others.append(CloseCall(outcome=outcome, grade=grade, least=found.least, shifts=shifts))
            known.add((outcome, grade))
    except Undecided:
        return Doubt(within=within, firmness=Firmness.NOT_DECIDED)
    firmness = Firmness.CLOSE_CALL if others else Firmness.STANDS
    return Doubt(within=within, firmness=firmness, others=tuple(others))


def _borne_out(machine: Machine, log: SessionLog, candidate: str, timeline: Timeline, found: Nearest) -> Said:
    """What the verdict is when the times found are replayed; Undecided if it is not what they were found for."""
    (moved,) = replay(machine, moved_log(timeline, log, candidate, found.times))
    if (moved.outcome, moved.grade) != _said(timeline, found.way):
        raise Undecided
    return moved.outcome, moved.grade


def timeline_of(machine: Machine, log: SessionLog, candidate: str) -> Timeline:
    """What the verdict of one candidate, of whom all is stated, hangs on."""
    own = for_candidate(machine, log.facts.get(candidate, {}))
    log = log.while_there(candidate)
    entries = tuple((entry, entry.is_for(candidate)) for entry in heard(own, log, candidate))
    return Timeline(machine=own, entries=entries, end=log.end)


def moved_log(timeline: Timeline, log: SessionLog, candidate: str, times: tuple[int, ...]) -> SessionLog:
    """What one candidate's verdict hangs on, at other times; all later by as much as one is before the zero."""
    later = max(0, -min(times, default=0))
    entries = tuple(evolve(entry, at=at + later) for (entry, _), at in zip(timeline.entries, times, strict=False))
    end = None if timeline.end is None else times[-1] + later
    alone = evolve(log, candidates=(candidate,), presence=(), corrections=(), uncorrected=None)
    return evolve(alone, entries=entries, end=end)


def _said(timeline: Timeline, way: Way) -> Said:
    """The outcome and grade at the end of a way (rule 22)."""
    state, standard = way.state, timeline.machine.standard
    if state.decided is False or False in state.standings:
        return Outcome.NO_GO, None
    if state.decided:
        return Outcome.GO, way.grade
    fails = standard.owed_fails and timeline.end is not None and any(still_owed(timeline.machine, state))
    return (Outcome.NO_GO if fails else Outcome.UNFINISHED), None


def _shifts(timeline: Timeline, found: Nearest, left: Presence | None) -> tuple[Shift, ...]:
    places = [(entry.number, entry.line) for entry, _ in timeline.entries]
    places += [] if left is None else [(left.number, left.line)]
    return tuple(
        Shift(
            entry=places[n][0] if n < len(places) else None,
            line=places[n][1] if n < len(places) else None,
            at=at,
            by=time - at,
        )
        for n, (at, time) in enumerate(zip(timeline.times, found.times, strict=True))
        if time != at
    )
