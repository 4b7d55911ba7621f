"""Graders as an exploration tells them apart: by the rolls they stand on, and no further.

An entry asks only the rolls that it can go on. Rolls that one entry can go on together make a panel; what a grader
is on another panel matters to nothing. Of graders alike on a panel no more are kept than the counts that they are
not on yet could still take, and one more.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from standfast.machine.parts import Machine
from standfast.machine.values import value_classes
from standfast.model.rules import Pattern
from standfast.quantity import Quantity
from standfast.values import frozen

Rolls = Sequence[tuple[str, ...]]
Names = Mapping[str, str]
"""Of each grader by the new name, the old one; also of those who are left out and stand on no roll any more."""

NOBODY: Names = {}


@frozen
class Panel:
    """Rolls of one mark, each with what goes on it and one more than its count can tell apart.

    A grader's name is that of the panel, a point and a number; nought is somebody who stands on none of its rolls.
    """

    mark: str
    name: str
    rolls: tuple[tuple[int, Pattern, int], ...]

    @property
    def somebody(self) -> str:
        return f"{self.name}.0"

    def takes(self, value: str | Quantity | None) -> bool:
        return any(pattern.fits(self.mark, value) for _, pattern, _ in self.rolls)

    def kinds(self, rolls: Rolls) -> dict[tuple[int, ...], list[str]]:
        """The graders on any of its rolls, by those they stand on."""
        stands: dict[str, list[int]] = {}
        for number, _, _ in self.rolls:
            for grader in rolls[number]:
                stands.setdefault(grader, []).append(number)
        found: dict[tuple[int, ...], list[str]] = {}
        for grader, on in stands.items():
            found.setdefault(tuple(on), []).append(grader)
        return found


def panels(machine: Machine) -> dict[str, tuple[Panel, ...]]:
    """The panels of every mark of which a count takes one entry a grader, by the mark."""
    return {
        mark.name: joined(mark.name, rolls, (value for value, _ in value_classes(machine, mark)))
        for mark in machine.standard.marks
        if (rolls := dict(rolls_of(machine, mark.name)))
    }


Rolled = tuple[Pattern, int]
"""What goes on a roll, and one more than its count is compared with."""


def joined(mark: str, rolls: Mapping[int, Rolled], values: Iterable[str | Quantity | None]) -> tuple[Panel, ...]:
    """The panels that the rolls of a mark make."""
    groups = [frozenset([number]) for number in rolls]
    for value in values:
        together = {number for number, (pattern, _) in rolls.items() if pattern.fits(mark, value)}
        apart = [each for each in groups if not each & together]
        groups = [*apart, frozenset().union(*(each for each in groups if each & together))]
    return tuple(
        Panel(mark, f"{mark}.{place}", tuple((each, *rolls[each]) for each in sorted(numbers)))
        for place, numbers in enumerate(sorted(map(sorted, filter(None, groups))))
    )


def rolls_of(machine: Machine, mark: str) -> Iterator[tuple[int, Rolled]]:
    """Every roll of a mark."""
    watch = machine.watches[mark]
    for row in watch.counts:
        if row.once is not None:
            yield row.once, (row.pattern, machine.counters[row.counter].bound + 1)
    for use in watch.uses:
        register = machine.places[use.place].goal_register
        if use.once is not None and not use.begins and register is not None:
            yield use.once, (use.pattern, machine.counters[register].bound + 1)


def renamed(found: Iterable[Panel], rolls: Rolls) -> tuple[tuple[tuple[str, ...], ...], Names]:
    """The rolls with graders named by what they stand on, and what those were called."""
    if not any(rolls):
        return tuple(rolls), NOBODY
    names = dict[str, str]()
    named: list[list[str]] = [[] for _ in rolls]
    for panel in found:
        left_out: list[str] = []
        number = 0
        for on, graders in sorted(panel.kinds(rolls).items()):
            enough = 1 + sum(most for roll, _, most in panel.rolls if roll not in on)
            left_out += graders[enough:]
            for grader in graders[:enough]:
                number += 1
                name = f"{panel.name}.{number}"
                names[name] = grader
                for roll in on:
                    named[roll].append(name)
        names |= {f"{panel.name}.{number + place}": grader for place, grader in enumerate(left_out, 1)}
    return tuple(map(tuple, named)), names


def givers(found: Iterable[Panel], rolls: Rolls, value: str | Quantity | None) -> Iterator[str | None]:
    """Who can give an entry of a mark with these panels: one of each kind, and somebody who stands on no roll."""
    panel = next((panel for panel in found if panel.takes(value)), None)
    if panel is None:
        yield None
        return
    yield from (graders[0] for graders in panel.kinds(rolls).values())
    yield panel.somebody
