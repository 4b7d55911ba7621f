"""Entries that name another round than the open one, as far as exploring must look at them."""

from collections.abc import Callable, Hashable, Iterator

from standfast.machine.parts import Machine, Place
from standfast.machine.rounds import rounds_of
from standfast.machine.state import State
from standfast.machine.step import Work
from standfast.machine.zone import Zone
from standfast.values import define, field


def strays(machine: Machine, mark: str, place: Place, state: State) -> Iterator[str]:
    """A round that may not be named now, before the open one and after it, where naming one is a fault."""
    if any(strike.out_of_order for strike in machine.watches[mark].strikes):
        rounds = rounds_of(place)
        number = state.counters[rounds.open]
        yield from rounds.names[number - 1 : number]
        if rounds.unmarked is None:
            yield from rounds.names[number + 1 : number + 2]


@define
class GoneOver:
    """The positions from which later rounds have been named, with the clocks that still ran there.

    What an entry does that names a later round is settled by the position in which that round is open and all
    before it are closed, and by the clocks that still run there. So those before need not be gone through again,
    and a ladder takes as many steps as it has rounds. Of two clauses with rounds each is gone through by itself.
    """

    _known: dict[Hashable, list[Zone]] = field(factory=dict)

    def names(
        self, work: Work, place: Place, zone: Callable[[], Zone], position: Callable[[], Hashable]
    ) -> Iterator[str]:
        """The later rounds that an entry may name from here, up to one from where it was gone through before.

        `zone` and `position` are asked for those of the work with rounds closed.
        """
        rounds = rounds_of(place)
        if rounds.unmarked is None:
            return
        for child in place.children:
            work.put_to_sleep(work.machine.places[child])
        kept = zone()
        while work.counters[rounds.open] < len(rounds.names) - 1:
            work.close_round(place, rounds.unmarked)
            name = rounds.names[work.counters[rounds.open]]
            if any(work.reached(out) for out in rounds.outs):
                yield name
                return
            known = self._known.setdefault((place.index, position()), [])
            if any(other.includes(kept) for other in known):
                return
            known.append(kept)
            yield name
