"""What can still matter of the rounds behind: positions that no rule will ever tell apart are made alike.

Exploring a ladder of hundreds of rounds stays small by it: of the rounds made so far only that number is kept
from which the limits on it can still be just met or just broken.
"""

from collections.abc import Sequence

from attrs import frozen

from standfast.machine.parts import Gauge, Judged, Machine, Place, RoundsRow
from standfast.model.rules import Limit

_NEVER = -10_000
"""Stands for a number of rounds that has no way left to come near a limit."""


@frozen
class Outlook:
    """The constants that rounds made, missed and the furthest are compared with.

    Of each the numbers one below and one above are kept apart too, which just miss what it just meets.
    """

    made: tuple[int, ...]
    missed: tuple[int, ...]
    furthest: tuple[int, ...]

    @classmethod
    def of(cls, place: Place, rounds: RoundsRow) -> "Outlook":
        return cls(
            _constants(place.judged, rounds.made),
            _constants(place.judged, rounds.missed),
            _constants(place.judged, rounds.furthest),
        )

    def blur(self, rounds: RoundsRow, exact: Sequence[int], counters: list[int]) -> None:
        """Set the counters of the rounds to what can still matter of the exact ones."""
        left = len(rounds.names) - exact[rounds.open]
        counters[rounds.longest] = 0
        counters[rounds.row] = 0 if not _bound(rounds, rounds.row) else counters[rounds.row]
        counters[rounds.misses] = 0 if not _bound(rounds, rounds.misses) else counters[rounds.misses]
        counters[rounds.made] = _of_count(exact[rounds.made], left, self.made)
        counters[rounds.missed] = _of_count(exact[rounds.missed], left, self.missed)
        counters[rounds.furthest] = _of_furthest(exact[rounds.furthest], self.furthest)


def outlooks_of(machine: Machine) -> tuple[tuple[RoundsRow, Outlook], ...]:
    """The rounds of a machine, each with what can matter of it."""
    return tuple(
        (place.rounds, Outlook.of(place, place.rounds)) for place in machine.places if place.rounds is not None
    )


def _constants(limits: Sequence[Judged], counter: int) -> tuple[int, ...]:
    """Each number that a limit on the counter names, with its neighbours."""
    found: set[int] = set()
    for limit in limits:
        rule = limit.breach.rule
        if limit.gauge is Gauge.ROUNDS and limit.register == counter and isinstance(rule, Limit):
            bounds = [each.base for each in (rule.test.first, rule.test.second) if each is not None]
            found |= {int(bound + step) for bound in bounds for step in (-1, 0, 1)}
    return tuple(sorted(found))


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
