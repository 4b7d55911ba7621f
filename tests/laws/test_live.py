"""Laws of where candidates stand live: what grading the log so far gives, and what time then brings first."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from random import Random

import pytest
from attrs import evolve
from environment import ROOT
from plausible_logs import random_log
from shipped import folders, logs
from trials.pairs import legal_standard

from standfast.command.shelf import Shelf, shelf
from standfast.live.follow import Follower
from standfast.live.position import Position, Ticks
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.machine.candidate import for_candidate
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.step import end, run
from standfast.model.candidate import unstated
from standfast.model.standard import Standard
from standfast.pipeline import load_log
from standfast.replay import heard, replay

SEEDS = [f"live {number}" for number in range(12)]
SHIPPED = [log for folder in folders(ROOT) for log in logs(folder)]
BEFORE = (Ticks.REST_TOO_SHORT, Ticks.TOO_EARLY)
"""Clocks that nothing comes of when they run out."""


@cache
def _shelf(folder: Path) -> Shelf:
    return shelf([str(folder)])


def standard_of(log: Path) -> Standard:
    raw, _ = read_log(log.name, log.read_bytes())
    assert raw is not None
    standard, _ = _shelf(log.parent.parent).find(raw.header)
    assert standard is not None
    return standard


def prefixes(log: Path, standard: Standard) -> Iterator[SessionLog]:
    """The log after each of its lines, but where it names no candidate yet."""
    lines = log.read_bytes().splitlines(keepends=True)
    for number in range(1, len(lines) + 1):
        so_far, found = load_log(log.name, b"".join(lines[:number]), standard)
        if so_far is not None:
            yield so_far
        else:
            assert [one.code.title for one in found] == ["no candidate"]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_live_is_offline_on_every_prefix(path: Path) -> None:
    standard = standard_of(path)
    machine, follower = compile_standard(standard), Follower(standard)
    checked = 0
    for so_far in prefixes(path, standard):
        verdicts = tuple(position.verdict for position in follower.stand(so_far).positions)
        assert verdicts == replay(machine, so_far)
        checked += len(verdicts)
    assert checked > 1


@pytest.mark.parametrize("seed", SEEDS)
def test_live_is_offline_on_every_prefix_of_random_logs(seed: str) -> None:
    rng = Random(seed)
    _, machine, _ = legal_standard(rng)
    for _ in range(2):
        log, follower = _shared(rng, random_log(rng, machine)), Follower(machine.standard)
        for so_far in _parts(log):
            positions = follower.stand(so_far).positions
            assert tuple(position.verdict for position in positions) == replay(machine, so_far)


def _shared(rng: Random, log: SessionLog) -> SessionLog:
    """The log with its entries dealt out to two candidates and to both."""
    entries = tuple(evolve(entry, candidate=rng.choice((None, "C-1", "C-2"))) for entry in log.entries)
    facts = {name: facts for facts in log.facts.values() for name in ("C-1", "C-2")}
    return evolve(log, candidates=("C-1", "C-2"), entries=entries, facts=facts)


def _parts(log: SessionLog) -> Iterator[SessionLog]:
    """The log after its header, and after each line below it."""
    numbers = sorted([*(e.number for e in log.entries), *(each.number for each in log.presence)])
    for last in (0, *numbers):
        entries = tuple(entry for entry in log.entries if entry.number <= last)
        presence = tuple(each for each in log.presence if each.number <= last)
        yield evolve(log, entries=entries, presence=presence, end=None)
    yield log


@pytest.mark.parametrize("seed", SEEDS)
def test_where_one_stands_does_not_hang_on_how_the_log_came(seed: str) -> None:
    """At once, entry by entry, or begun anew after each: the same position."""
    rng = Random(seed)
    _, machine, _ = legal_standard(rng)
    log = _shared(rng, random_log(rng, machine))
    follower = Follower(machine.standard)
    for so_far in _parts(log):
        assert follower.stand(so_far).positions == Follower(machine.standard).stand(so_far).positions


@pytest.mark.parametrize("seed", SEEDS)
def test_shifting_all_times_shifts_the_standing(seed: str) -> None:
    rng = Random(seed)
    _, machine, _ = legal_standard(rng)
    log = _shared(rng, random_log(rng, machine))
    by = rng.choice((1, 250_000, 3_600_000_000))
    for so_far in list(_parts(log))[1:]:
        later = evolve(
            so_far,
            entries=tuple(evolve(entry, at=entry.at + by) for entry in so_far.entries),
            presence=tuple(evolve(each, at=each.at + by) for each in so_far.presence),
            end=None if so_far.end is None else so_far.end + by,
        )
        now = Follower(machine.standard).stand(so_far).positions
        then = Follower(machine.standard).stand(later).positions
        assert tuple(map(_without_times, now)) == tuple(map(_without_times, then))


def _without_times(position: Position) -> tuple[object, ...]:
    clocks = tuple(evolve(clock, since=0, until=0) for clock in position.clocks)
    return position.owed, clocks, position.attempts, position.marks, position.verdict.outcome


@pytest.mark.parametrize("seed", SEEDS)
def test_the_first_clock_to_run_out_is_the_first_thing_time_brings(seed: str) -> None:
    rng = Random(seed)
    _, machine, _ = legal_standard(rng)
    for _ in range(3):
        log = evolve(random_log(rng, machine), candidates=("C-1",), presence=())
        if unstated(machine.standard, log.facts.get("C-1", {})) or any(e.best for e in machine.standard.events):
            continue  # an end decides an event of which the best attempt counts (rule 40)
        own, follower = for_candidate(machine, log.facts.get("C-1", {})), Follower(machine.standard)
        for so_far in list(_parts(log))[:-1]:
            (position,) = follower.stand(so_far).positions
            first = min((c.until + (not c.reached) for c in position.clocks if c.kind not in BEFORE), default=None)
            if first is None:
                assert not _changes(own, so_far, position.at + 10**12)
            else:
                assert not _changes(own, so_far, first - 1)
                assert _changes(own, so_far, first)


def _changes(machine: Machine, log: SessionLog, until: int) -> bool:
    """Whether anything becomes of the position by that instant, if nothing more is logged."""
    state, _ = run(machine, ((e, e.is_for("C-1")) for e in heard(machine, log, "C-1")), None)
    after, signals = end(machine, state, max(state.now, until))
    return bool(signals) or evolve(after, now=state.now) != state
