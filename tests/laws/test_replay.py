"""Laws of the replay: what it depends on, and what it does not."""

import pickle
from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

import attrs
import pytest
from attrs import evolve
from plausible_logs import random_log
from trials.pairs import legal_standard

from standfast.later import Later
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.state import Signal, State
from standfast.machine.step import end, enter, initial, overhear
from standfast.machine.step import run as whole_log
from standfast.proofing.happenings import machine_of
from standfast.replay import replay
from standfast.verdict import Outcome, RemarkKind, Verdict

SEEDS = [f"replay {number}" for number in range(20)]
_TIMES = ("at", "decided_at", "opened_at", "ended_at", "since")


def subject(rng: Random) -> tuple[Machine, list[SessionLog]]:
    _, machine, _ = legal_standard(rng)
    return machine, [random_log(rng, machine) for _ in range(5)]


@pytest.mark.parametrize("seed", SEEDS)
def test_twice_is_once(seed: str) -> None:
    machine, logs = subject(Random(seed))
    again = compile_standard(machine.standard)
    assert again == machine
    for log in logs:
        assert replay(machine, log) == replay(machine, log) == replay(again, log)


@pytest.mark.parametrize("seed", SEEDS)
def test_shifting_all_times_changes_only_the_times(seed: str) -> None:
    rng = Random(seed)
    machine, logs = subject(rng)
    assert machine.standard.events[0].clause.start is not None
    for log in logs:
        by = rng.choice((1, 250_000, 3_600_000_000))
        entries = tuple(evolve(entry, at=entry.at + by) for entry in log.entries)
        comings = tuple(evolve(each, at=each.at + by) for each in log.presence)
        end = None if log.end is None else log.end + by
        later = evolve(log, entries=entries, presence=comings, end=end)
        assert replay(machine, later) == _later(replay(machine, log), by)


def _later(value: Any, by: int) -> Any:
    if isinstance(value, tuple | Later):
        return tuple(_later(each, by) for each in value)
    if not attrs.has(type(value)):
        return value
    parts = {a.name: getattr(value, a.name) for a in attrs.fields(type(value))}
    moved = {
        name: part + by if name in _TIMES and part is not None else _later(part, by)
        for name, part in parts.items()
    }
    return evolve(value, **moved)


def own_machines(rng: Random) -> Iterator[tuple[Machine, SessionLog]]:
    """Each log with the machine its candidate is judged by, if all facts that are needed are stated."""
    machine, logs = subject(rng)
    for log in logs:
        own = machine_of(machine, log, "C-1")
        if own is not None:
            yield own, log


@pytest.mark.parametrize("seed", SEEDS)
def test_a_log_may_be_split_anywhere(seed: str) -> None:
    """The position is all that a machine remembers: set down in bytes, it goes on from there."""
    for machine, log in own_machines(Random(seed)):
        entries = log.entries_for("C-1")
        whole = run(machine, initial(machine), entries, log.end)
        for cut in range(len(entries) + 1):
            state, before = run(machine, initial(machine), entries[:cut], None)
            state, after = run(machine, (pickle.loads(pickle.dumps(state)), ()), entries[cut:], log.end)
            assert (state, before + after) == whole


@pytest.mark.parametrize("seed", SEEDS)
def test_a_whole_log_is_its_entries_one_by_one(seed: str) -> None:
    for machine, log in own_machines(Random(seed)):
        step = initial(machine)
        for entry in log.entries:
            one = enter if entry.is_for("C-1") else overhear
            step = then(step, one(machine, step[0], entry))
        if log.end is not None:
            step = then(step, end(machine, step[0], log.end))
        assert step == whole_log(machine, ((entry, entry.is_for("C-1")) for entry in log.entries), log.end)


@pytest.mark.parametrize("seed", SEEDS)
def test_time_may_pass_in_pieces(seed: str) -> None:
    rng = Random(seed)
    for machine, log in own_machines(rng):
        entries = log.entries_for("C-1")
        if any(event.best is not None for event in machine.standard.events):
            continue  # an end decides an event of which the best attempt counts (rule 40)
        step = initial(machine)
        for entry in entries:
            for at in sorted(rng.randrange(step[0].now, entry.at + 1) for _ in range(rng.randrange(4))):
                step = then(step, end(machine, step[0], at))
            step = then(step, enter(machine, step[0], entry))
        assert step == run(machine, initial(machine), entries, None)


def then(
    before: tuple[State, tuple[Signal, ...]], after: tuple[State, tuple[Signal, ...]]
) -> tuple[State, tuple[Signal, ...]]:
    return after[0], before[1] + after[1]


def run(
    machine: Machine, step: tuple[State, tuple[Signal, ...]], entries: Sequence[Entry], until: int | None
) -> tuple[State, tuple[Signal, ...]]:
    for entry in entries:
        step = then(step, enter(machine, step[0], entry))
    return step if until is None else then(step, end(machine, step[0], until))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_candidate_is_judged_by_own_entries_and_those_for_all(seed: str) -> None:
    rng = Random(seed)
    machine, logs = subject(rng)
    for log in logs:
        entries = tuple(evolve(entry, candidate=rng.choice((None, "C-1", "C-2"))) for entry in log.entries)
        both = evolve(log, candidates=("C-1", "C-2"), entries=entries)
        shared = machine.standard.by_anyone
        alone = [
            evolve(
                both,
                candidates=(who,),
                entries=tuple(e for e in entries if e.candidate in (None, who) or e.mark in shared),
            )
            for who in both.candidates
        ]
        assert replay(machine, both) == (*replay(machine, alone[0]), *replay(machine, alone[1]))


@pytest.mark.parametrize("seed", SEEDS)
def test_what_comes_after_the_verdict_changes_nothing(seed: str) -> None:
    machine, logs = subject(Random(seed))
    for log in logs:
        entries = log.entries_for("C-1")
        (whole,) = replay(machine, alone(log, entries, log.end))
        for cut in range(len(entries)):
            (part,) = replay(machine, alone(log, entries[:cut], None))
            if part.outcome in (Outcome.GO, Outcome.NO_GO) and not machine.standard.carry_on:
                assert settled(whole) == settled(part)
                left = [remark for remark in whole.remarks if remark.kind is RemarkKind.AFTER_VERDICT]
                assert [remark.entry for remark in left][-len(entries[cut:]) :] == [
                    e.number for e in entries[cut:]
                ]


def alone(log: SessionLog, entries: tuple[Entry, ...], until: int | None) -> SessionLog:
    return evolve(log, candidates=("C-1",), entries=entries, presence=(), end=until)


def settled(verdict: Verdict) -> Verdict:
    return evolve(verdict, remarks=tuple(r for r in verdict.remarks if r.kind is not RemarkKind.AFTER_VERDICT))
