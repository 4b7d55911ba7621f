"""How much of a test is still to be done at a node, as a guide for a search that makes for GO."""

from collections.abc import Callable, Sequence

from standfast.machine.explore import Node
from standfast.machine.parts import LIMITS, LIVE, Location, Machine, Place
from standfast.machine.state import Decided, State
from standfast.model.rules import Until
from standfast.model.standard import Kind


def test_go(node: Node) -> bool:
    """Whether the test is decided GO here."""
    return any(isinstance(signal, Decided) and signal.go for signal in node.signals)


def left_from(machine: Machine) -> Callable[[State], int]:
    """How many steps at least, more or less, a test needs from a position to its GO: a guide, not a bound."""
    places = machine.places
    whole = {place.index: 0 for place in places}
    for place in reversed(places):
        own = _before(place) + (place.rest is not None and place.start is None)
        whole[place.index] = (
            own
            + _own(place)
            + _rounds_left(place, 0)
            + _joined(place, [whole[child] for child in place.children if places[child].waiting.begun is None])
        )

    def of(place: Place, state: State) -> int:
        location = state.locations[place.index]
        if location is Location.DONE:
            return 0
        if location not in LIVE:
            begun, counter = place.waiting.begun, place.waiting.counter
            if begun is not None and not state.flags[begun]:
                return 0
            return whole[place.index] - (
                0 if counter is None else min(_before(place) - 1, state.counters[counter])
            )
        used = 0
        if isinstance(place.goal, Until) and place.goal_register is not None:
            used = state.counters[place.goal_register]
        used += sum(min(row.number, state.counters[row.counter]) for row in place.at_least)
        used += sum(1 for register in place.readings if state.readings[register])
        inner = [of(places[child], state) for child in place.children]
        chosen = [c for c in place.children if state.locations[c] in (*LIVE, Location.DONE)]
        if place.kind is Kind.ONE_OF and chosen:
            inner = [of(places[chosen[0]], state)]
        if place.rounds is not None:
            return _own(place) - used + _rounds_left(place, state.counters[place.rounds.open])
        return _own(place) - used + _joined(place, inner)

    def rest(state: State) -> int:
        owed = sum(max(0, row.number - state.counters[row.counter]) for row in places[LIMITS].at_least)
        pending = [number for number, standing in enumerate(state.standings) if standing is None]
        # of an event with a best attempt only the log's end is left
        return owed + sum(1 if state.bests[n] else of(places[machine.events[n].place], state) for n in pending)

    return rest


def left(machine: Machine) -> Callable[[Node], int]:
    """What is left from a node on."""
    rest = left_from(machine)
    return lambda node: rest(node.position.state)


def _rounds_left(place: Place, number: int) -> int:
    """The rounds after the open one; an entry that names a later one leaves fewer."""
    return 0 if place.rounds is None else max(0, len(place.rounds.names) - 1 - number)


def _before(place: Place) -> int:
    """The entries a place waits for before it begins."""
    return 0 if place.start is None else 1 + place.start.more_than


def _own(place: Place) -> int:
    number = place.goal.number if isinstance(place.goal, Until) else int(place.goal is not None)
    return number + sum(row.number for row in place.at_least) + len(place.readings)


def _joined(place: Place, inner: Sequence[int]) -> int:
    return min(inner, default=0) if place.kind is Kind.ONE_OF else sum(inner)
