"""Sights held against the logs they stand for: machine and definition must both see what is claimed."""

from collections.abc import Generator, Iterator

from attrs import evolve

from standfast.definition import judge
from standfast.log.entry import SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.witness import log_of, times
from standfast.model.standard import Event, Standard
from standfast.proofing.sights import Sight, Survey
from standfast.replay import replay
from standfast.verdict import Ending, Reason, Verdict

FOR_EVER = 10**15
"""Microseconds beyond everything that any standard here waits for."""


def unkept(standard: Standard, event: Event, survey: Survey) -> Iterator[str]:
    """What the sights of an event explored alone claim and their logs do not show."""
    alone = evolve(standard, conditions=(), events=(evolve(event, conditions=()),), owed_fails=False)
    for path, sight in survey.broken.items():
        verdict = yield from _verdict(alone, sight)
        if not any(reason.path == path and reason.at == _last(sight) for reason in _reasons(verdict)):
            yield f"{path} does not act at {_last(sight)} in {_log(sight)}"
    clauses = [clause.path for clause in event.clause.walk()]
    for completed, sights in ((False, survey.began), (True, survey.completed)):
        for path, sight in ((path, sights[path]) for path in clauses if path in sights):
            verdict = yield from _verdict(alone, sight)
            moments = {(m.path, m.completed, m.at) for a in verdict.events[0].attempts for m in a.moments}
            if (path, completed, _last(sight)) not in moments:
                yield f"{path} does not {'end' if completed else 'begin'} at {_last(sight)} in {_log(sight)}"
    for path, sight in survey.endless.items():
        verdict = yield from _verdict(alone, sight, end=_last(sight) + FOR_EVER)
        waiting = verdict.events[0].attempts[-1].ending is Ending.OPEN
        if not waiting or not {path, f"{path}.goal", f"{path}.start"} & {thing.path for thing in verdict.owed}:
            yield f"{path} does not wait for ever after {_log(sight)}"
    for path, sight in survey.circles.items():
        verdict = yield from _verdict(alone, sight)
        if verdict.events[0].attempts[-1].ending is not Ending.OPEN:
            yield f"the attempt in which {path} goes round is over after {_log(sight)}"
    for passing in (survey.go, survey.quickest):
        if passing is not None:
            length = survey.shortest if passing is survey.quickest else None
            yield from _passes(alone, passing, length, exact=not survey.rough)


def _passes(alone: Standard, sight: Sight, length: int | None, *, exact: bool) -> Iterator[str]:
    """A GO at the end of the log; of the quickest that takes just so long or, where that is a bound, no less."""
    verdict = yield from _verdict(alone, sight)
    attempt = verdict.events[0].attempts[-1]
    if attempt.ending is not Ending.GO or attempt.ended_at is None:
        yield f"no GO at the end of {_log(sight)}"
        return
    taken = attempt.ended_at - attempt.opened_at
    if length is not None and (taken < length or (exact and taken > length)):
        yield f"a GO after {taken}, not {length}, in {_log(sight)}"


def _verdict(alone: Standard, sight: Sight, end: int | None = None) -> Generator[str, None, Verdict]:
    """The definition's verdict, and a complaint if the machine's is another."""
    log = _log(sight)
    if end is not None:
        log = evolve(log, end=end)
    [by_machine, *_], [by_definition, *_] = replay(compile_standard(alone), log), judge(alone, log)
    if by_machine != by_definition:
        yield f"the definition differs on {log}"
    return by_definition


def _log(sight: Sight) -> SessionLog:
    log = log_of(sight.machine, sight.node, session="sight", last=sight.last, demand=sight.demand)
    assert log is not None
    return log


def _last(sight: Sight) -> int:
    """The instant of the last step: the entry's, or the deadline's, at or just before the end."""
    instants = times(sight.machine, sight.node, sight.last, demand=sight.demand)
    assert instants is not None
    return instants[-1]


def _reasons(verdict: Verdict) -> Iterator[Reason]:
    yield from verdict.reasons
    for event in verdict.events:
        for attempt in event.attempts:
            yield from attempt.reasons
