"""Findings of proof against every log of small standards; and no log is left out on the way through positions."""

from collections.abc import Iterator
from itertools import product
from random import Random

import pytest
from trials.brute_force import Trial, expected, try_one
from trials.enumeration import Enumeration, all_values, givers, seen
from trials.small import small_standard

from standfast.log.entry import Entry
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.state import Began, Breached, Completed, Signal, State
from standfast.machine.step import end, enter, initial, overhear
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source

LAST = 14
"""Microseconds: the last instant at which an entry is tried; by then nothing small has anything left to do."""


def test_findings_agree_with_every_log_of_small_standards() -> None:
    trial = Trial()
    number = 0
    while trial.counts["standards"] < 15:
        try_one(f"law {number}", trial)
        number += 1
    assert not trial.wrong, str(trial.wrong[0])
    assert trial.counts["steps"] > 1000


def test_positions_stand_for_all_logs() -> None:
    for number in range(12):
        _, standard = small_standard(Random(f"every log {number}"))
        machine = compile_standard(standard)
        facts = seen(Enumeration(machine, entries=2))
        begun, done, acted = set[str](), set[str](), set[str]()
        for signal in _signals_of_all_logs(machine, 2):
            match signal:
                case Began(place=place):
                    begun.add(machine.places[place].path)
                case Completed(place=place):
                    done.add(machine.places[place].path)
                case Breached(breach=breach, asked=asked):
                    acted.add(breach.rule.path if asked is None else f"{breach.rule.path}.at_most")
                case _:
                    pass
        assert (facts.began, facts.completed, set(facts.acted)) == (begun, done, acted)


def _signals_of_all_logs(machine: Machine, entries: int) -> Iterator[Signal]:
    """Each log by itself, with an end long after it."""
    state, signals = initial(machine)
    yield from signals
    yield from _signals_after(machine, state, entries)


def _signals_after(machine: Machine, state: State, entries: int) -> Iterator[Signal]:
    yield from end(machine, state, state.now + 1000)[1]
    if not entries or state.decided is not None:
        return
    for mark in machine.standard.marks:
        for value in all_values(machine, mark):
            for giver, at in product(givers(machine, mark.name), range(state.now, LAST)):
                entry = Entry(number=1, line=1, at=at, mark=mark.name, value=value, by=giver.by)
                after, signals = (overhear if giver.other else enter)(machine, state, entry)
                yield from signals
                yield from _signals_after(machine, after, entries - 1)


def test_what_the_logs_of_a_standard_show() -> None:
    standard = _standard(
        """
        start on go
        within 0.003 ms
        step wait
            until tap
            within 0.002 ms
            within 0.004 ms as idle
            restart on slip
        step hold
            for 0.001 ms
        """
    )
    facts = seen(Enumeration(compile_standard(standard)))
    assert set(facts.acted) == {"drill.within", "drill.wait.within", "drill.wait.slip"}
    assert facts.completed == {"drill", "drill.wait", "drill.hold"}
    assert (facts.shortest, facts.longest) == (1, 3)
    assert facts.forever == facts.rounds == facts.put_off == set()
    assert facts.watched == {"drill.wait": 2, "drill.hold": 0}
    assert ("D102", 17, "within 0.004 ms") in set(expected(standard, {"drill": facts}, facts))


def test_a_restart_goes_round_where_no_time_limit_is_around_it() -> None:
    lines = """
        start on go
        step wait
            until tap
            within 0.002 ms
            restart on slip
    """
    facts = seen(Enumeration(compile_standard(_standard(lines))))
    assert (facts.rounds, facts.forever, facts.longest) == ({"drill.wait.slip"}, set(), None)


def test_marks_put_a_silence_off_for_ever() -> None:
    lines = """
        start on go
        no slip for over 0.001 ms
        step wait
            until tap
    """
    facts = seen(Enumeration(compile_standard(_standard(lines))))
    assert (facts.put_off, facts.forever) == ({"drill.wait"}, set())


@pytest.mark.parametrize("figure", ["largest", "smallest", "each", "last", "total"])
@pytest.mark.parametrize("test", ["at most 5 kg", "under 5 kg", "at least 5 kg", "over 5 kg", "exactly 5 kg"])
def test_a_limit_on_amounts_is_kept_and_broken(figure: str, test: str) -> None:
    lines = f"""
        start on go
        within 0.002 ms
        step lift
            until 2 load
            {figure} of load {test} as amount
    """
    standard = _standard(lines, 'load in kg "A load"')
    facts = seen(Enumeration(compile_standard(standard)))
    assert "drill" in facts.passed
    assert "drill.lift.amount" in facts.acted


def _standard(lines: str, *more: str) -> Standard:
    """One event with these lines in it, and the marks `go`, `tap` and `slip`, and `more`."""
    text = 'standard small "Small"\n    edition "1"\n    in force from 2026-01-01\n\nmarks\n'
    text += "".join(f'    {mark} "{mark}"\n' for mark in ("go", "tap", "slip"))
    text += "".join(f"    {mark}\n" for mark in more)
    text += "\nevent drill\n    attempts 1\n"
    text += "".join(f"    {line[8:]}\n" for line in lines.splitlines() if line.strip())
    standard, found = load_standard(Source("small", text))
    assert standard is not None, [d.message for d in found]
    return standard
