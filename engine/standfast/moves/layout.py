"""A position without its numbers, and the registers that have them.

What a state holds is of two kinds. The *position* is all but its numbers: locations, flags, what is open, which
clocks run, which values are there, which round is open. The *registers* are the numbers: how many, how much, since
when. A standard has few positions, and with any numbers they make all its states; moves are learned by position.
"""

from collections.abc import Callable, Iterable
from typing import Any

from standfast.machine.parts import Machine
from standfast.machine.state import State
from standfast.values import define, field

DUE = 0
"""The register of the instant before which nothing falls due."""

MEASURED = ("totals", "values", "readings")
"""The rows of a state whose registers are in millionths."""

Register = tuple[str, int, int]
"""The row of a state, the number in it and, where it holds several, the number in that."""


@define(eq=False)
class Layout:
    """Which number of a state is in which register of the list; more of them come as more rows are met."""

    machine: Machine
    numbers: dict[Register, int] = field(factory=dict)
    settled: frozenset[int] = field(init=False)
    scored: bool = field(init=False)

    def __attrs_post_init__(self) -> None:
        """Which round is open is part of the position; so are points where nothing gives or keeps any."""
        rounds = (place.rounds for place in self.machine.places)
        self.settled = frozenset(row.open for row in rounds if row is not None)
        self.scored = self.machine.has_scores or any(event.best is not None for event in self.machine.events)

    def number(self, register: Register) -> int:
        return self.numbers.setdefault(register, len(self.numbers) + DUE + 1)

    def size(self) -> int:
        return len(self.numbers) + DUE + 1

    def position(self, state: State) -> State:
        """The state with nought for every number that a register has."""
        return self.replaced(state, lambda register, number: 0)

    def replaced(self, state: State, by: Callable[[Register, Any], Any]) -> State:
        """The state, each number that a register has replaced."""

        def row(name: str, numbers: Iterable[Any], within: int = -1) -> tuple[Any, ...]:
            key = (lambda n: (name, n, -1)) if within < 0 else (lambda n: (name, within, n))
            return tuple(None if each is None else by(key(n), each) for n, each in enumerate(numbers))

        def rows(name: str, several: Iterable[Iterable[Any]]) -> tuple[tuple[Any, ...], ...]:
            return tuple(row(name, each, n) for n, each in enumerate(several))

        return State(
            now=by(("now", 0, -1), state.now),
            locations=state.locations,
            counters=tuple(
                each if n in self.settled else by(("counters", n, -1), each)
                for n, each in enumerate(state.counters)
            ),
            totals=row("totals", state.totals),
            values=row("values", state.values),
            kept=row("kept", state.kept),
            readings=rows("readings", state.readings),
            bests=rows("bests", state.bests),
            flags=state.flags,
            clocks=row("clocks", state.clocks),
            longest=row("longest", state.longest),
            standings=state.standings,
            open=state.open,
            decided=state.decided,
            rolls=rows("rolls", state.rolls),
            points=row("points", state.points) if self.scored else state.points,
        )
