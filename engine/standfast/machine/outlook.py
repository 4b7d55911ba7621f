"""What can still matter of the rounds behind: positions that no rule will ever tell apart are made alike.

Exploring a ladder of hundreds of rounds stays small by it: of the rounds made so far only that number is kept
from which the limits on it can still be just met or just broken.
"""

from collections.abc import Iterator, Sequence
from math import ceil, floor

from standfast.machine.parts import Dial, Gauge, Machine, Place, RoundsRow
from standfast.model.rules import Test
from standfast.values import frozen

_NEVER = -10_000
"""Stands for a number of rounds that has no way left to come near a limit."""


@frozen
class Outlook:
    """The constants that rounds made, missed and the furthest are compared with.

    Of each the numbers one below and one above are kept apart too, which just miss what it just meets. `row` and
    `misses`: whether misses in a row, or in all, end the rounds.
    """

    made: tuple[int, ...]
    missed: tuple[int, ...]
    furthest: tuple[int, ...]
    row: bool
    misses: bool

    @classmethod
    def of(cls, machine: Machine, place: Place, rounds: RoundsRow) -> "Outlook":
        counters = rounds.made, rounds.missed, rounds.furthest
        made, missed, furthest = (_constants(machine, place, each) for each in counters)
        return cls(made, missed, furthest, _bound(rounds, rounds.row), _bound(rounds, rounds.misses))

    def blur(self, rounds: RoundsRow, exact: Sequence[int], counters: list[int]) -> None:
        """Set the counters of the rounds to what can still matter of the exact ones."""
        left = len(rounds.names) - exact[rounds.open]
        counters[rounds.longest] = 0
        if not self.row:
            counters[rounds.row] = 0
        if not self.misses:
            counters[rounds.misses] = 0
        counters[rounds.made] = _of_count(exact[rounds.made], left, self.made)
        counters[rounds.missed] = _of_count(exact[rounds.missed], left, self.missed)
        counters[rounds.furthest] = _of_furthest(exact[rounds.furthest], self.furthest)

    def of_kept(self, rounds: RoundsRow, counter: int, number: int) -> int:
        """What can still matter of a figure that was kept when the rounds were over."""
        if counter == rounds.furthest:
            return _of_furthest(number, self.furthest)
        return _of_count(number, 0, self.made if counter == rounds.made else self.missed)


def outlooks_of(machine: Machine) -> tuple[tuple[Place, RoundsRow, Outlook], ...]:
    """The places of a machine with rounds, each with what can matter of them."""
    return tuple(
        (place, place.rounds, Outlook.of(machine, place, place.rounds))
        for place in machine.places
        if place.rounds is not None
    )


def _constants(machine: Machine, place: Place, counter: int) -> tuple[int, ...]:
    """Each number that the counter is held against, here or where it is looked back at, with its neighbours.

    Where it is added to something, every number up to the greatest.
    """
    dials: set[Dial] = {(Gauge.ROUNDS, counter)}
    dials |= {(Gauge.KEPT, keeping.register) for keeping in place.keepings if keeping.dial in dials}
    found: set[int] = set()
    for test, gauge, register in _tested(machine):
        added = machine.sums[register] if gauge is Gauge.SUM else ((gauge, register),)
        if dials.isdisjoint(added):
            continue
        bounds = [each.base for each in (test.first, test.second) if each is not None]
        if len(added) > 1:
            found |= set(range(ceil(max(bounds)) + 1))
        found |= {number for bound in bounds for number in range(floor(bound) - 1, ceil(bound) + 2)}
    return tuple(sorted(found))


def _tested(machine: Machine) -> Iterator[tuple[Test, Gauge, int]]:
    """Every test on a figure that is held when something completes, and where the figure is read."""
    for place in machine.places:
        yield from ((limit.test, limit.gauge, limit.register) for limit in place.judged)
        if place.scale is not None:
            yield from ((rung.test, rung.gauge, rung.register) for rung in place.scale.rungs)
    for grade in machine.grades:
        yield from ((limit.test, limit.gauge, limit.register) for limit in grade.limits)


def _bound(rounds: RoundsRow, counter: int) -> bool:
    return any(out.counter == counter for out in rounds.outs)


def _of_count(number: int, left: int, constants: Sequence[int]) -> int:
    """A number that grows by one for some of the rounds that are left."""
    if not constants:
        return 0
    if number > constants[-1]:
        return constants[-1] + 1
    if number + left < constants[0]:
        return _NEVER
    return number


def _of_furthest(number: int, constants: Sequence[int]) -> int:
    """A number that is only ever replaced by a greater one."""
    below = [constant for constant in constants if constant <= number]
    if not below:
        return 0
    return number if below[-1] == number else below[-1] + 1
