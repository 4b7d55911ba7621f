"""What each mark would do if it were logged now: found by the machine's own step, one for each class of values."""

from collections.abc import Iterator

from standfast.log.entry import Entry
from standfast.machine.parts import FAULTS, Machine
from standfast.machine.state import Began, Signal, State, Unused
from standfast.machine.step import enter
from standfast.machine.values import Span, Values, value_classes
from standfast.model.standard import Mark
from standfast.values import frozen

_SOMEBODY = ""
"""A grader on no roll: no log has such a name."""


@frozen
class Tried:
    """A mark with one value of a class of them (`span`), and what its entry would tell and leave behind."""

    mark: Mark
    value: Values
    signals: tuple[Signal, ...]
    state: State

    @property
    def span(self) -> Span:
        return self.value[1]


def tried(machine: Machine, state: State, mark: Mark) -> Iterator[Tried]:
    """The classes of the mark's values in order; those that nothing could use or act on now are left out."""
    for value in value_classes(machine, mark):
        entry = Entry(number=0, line=0, at=state.now, mark=mark.name, value=value[0], by=_SOMEBODY)
        after, signals = enter(machine, state, entry)
        told = tuple(signal for signal in signals if not _is_idle(signal))
        unused = [signal for signal in signals if isinstance(signal, Unused)]
        if told or not unused:
            yield Tried(mark, value, told, after)


def _is_idle(signal: Signal) -> bool:
    """Whether it tells that nothing came of the entry, or that the faults of the whole test are looked for now."""
    return isinstance(signal, Unused) or (isinstance(signal, Began) and signal.place == FAULTS)
