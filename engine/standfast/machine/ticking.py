"""Which clocks of a machine run against a length, at a position: what time will bring, and what is too early."""

from collections.abc import Iterator

from standfast.machine.kinds import Deed, Location, Phase
from standfast.machine.parts import LIVE, Breach, Due, Machine
from standfast.machine.state import State
from standfast.machine.step import Work
from standfast.model.rules import Rule
from standfast.values import frozen


@frozen
class Ticking:
    """A clock that began at `since` and has a length to run, both in microseconds.

    `deed` is what time does then; None where something would come too early before it. `breach` is what would act:
    when the length is reached (`reached`) or only when it is passed; or, without a deed, what comes before it.
    """

    rule: Rule
    deed: Deed | None
    since: int
    length: int
    breach: Breach | None
    reached: bool = False


def ticking(machine: Machine, state: State) -> tuple[Ticking, ...]:
    """The next to run out first; of those at one instant in written order."""
    found = [*_dues(machine, state), *_too_early(machine, state)]
    return tuple(sorted(found, key=lambda each: (each.since + each.length, each.rule.order)))


def _dues(machine: Machine, state: State) -> Iterator[Ticking]:
    for due in Work.of(machine, state).live_dues():
        rule, since = _rule(machine, due), state.clocks[due.clock]
        kept = due.breach is not None and state.flags[due.breach.kept]
        if rule is None or since is None or kept:
            continue
        yield Ticking(rule, due.deed, since, due.after, due.breach, reached=due.phase is not Phase.LAST)


def _rule(machine: Machine, due: Due) -> Rule | None:
    """What the clock belongs to."""
    place = machine.places[due.place]
    match due.deed:
        case Deed.COMPLETE | Deed.TOO_FEW:
            return place.goal
        case Deed.BEGIN:
            return None if place.rest is None or place.rest.least is None else place.rest.least.rule
        case _:
            return None if due.breach is None else due.breach.rule


def _too_early(machine: Machine, state: State) -> Iterator[Ticking]:
    """Of each limit `not before` and each rest that a mark ends, what is still to pass."""
    if state.decided is not None:
        return
    for place in machine.places:
        location = state.locations[place.index]
        rows = [(row.breach, row.clock, row.length) for row in place.not_before if location in LIVE]
        rest = place.rest
        if rest is not None and rest.least is not None and location is Location.WAITING:
            rows.append((rest.least, rest.clock, rest.least_length))
        for breach, clock, length in rows:
            since = state.clocks[clock]
            if since is not None and state.now - since < length and not state.flags[breach.kept]:
                yield Ticking(breach.rule, None, since, length, breach)
