"""What happens in a log, signal by signal, and the figures that come with it."""

from collections.abc import Iterator

from standfast.account import figured
from standfast.log.entry import SessionLog
from standfast.machine.candidate import for_candidate
from standfast.machine.parts import Gauge, Machine
from standfast.machine.state import Completed, Decided, Rested, Signal
from standfast.machine.step import end, enter, initial, overhear
from standfast.model.candidate import unstated
from standfast.replay import heard
from standfast.verdict import Figured


def signals(machine: Machine, log: SessionLog, candidate: str) -> Iterator[Signal]:
    """Everything that happens in a log, in order; nothing where a fact of the candidate is wanting."""
    own = machine_of(machine, log, candidate)
    if own is not None:
        yield from _signals(own, log, candidate)


def machine_of(machine: Machine, log: SessionLog, candidate: str) -> Machine | None:
    """The machine a candidate is judged by, whose places the signals name; None where a fact is wanting."""
    facts = log.facts.get(candidate, {})
    return None if unstated(machine.standard, facts) else for_candidate(machine, facts)


def _signals(machine: Machine, log: SessionLog, candidate: str) -> Iterator[Signal]:
    state, told = initial(machine)
    yield from told
    for entry in heard(machine, log, candidate):
        step = enter if entry.is_for(candidate) else overhear
        state, told = step(machine, state, entry)
        yield from told
    if log.end is not None:
        yield from end(machine, state, log.end)[1]


def figures_of(signal: Signal) -> Iterator[Figured]:
    """The figures given with one signal."""
    match signal:
        case Completed(figures=figures) | Decided(figures=figures):
            yield from (figured(row.rule, row.gauge, figure) for row, figure in figures)
        case Rested(bound=bound, length=length):
            yield figured(bound, Gauge.CLOCK, length)
