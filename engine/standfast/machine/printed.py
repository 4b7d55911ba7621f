"""A machine as text, for whoever wants to see what a standard compiles to."""

from collections.abc import Iterator

from standfast.machine.parts import Breach, Due, Machine, Place, Watch
from standfast.quantity import SECOND, decimal


def printed(machine: Machine) -> str:
    """Places, clocks, counters and every transition with its guard and effect, one a line."""
    return "\n".join(_lines(machine)) + "\n"


def _lines(machine: Machine) -> Iterator[str]:
    yield f"machine of {machine.standard.name}, edition {machine.standard.edition}"
    yield ""
    yield "places"
    for place in machine.places:
        yield f"    {place.index:>3} {_place(place)}"
    yield "clocks"
    for clock in machine.clocks:
        yield f"    {clock.name}, to {_seconds(clock.bound)}"
    yield "counters"
    for counter in machine.counters:
        yield f"    {counter.name}, to {counter.bound + 1}"
    yield "totals"
    for total in machine.totals:
        yield f"    {total}"
    yield "by time"
    for due in machine.dues:
        yield f"    {_due(machine, due)}"
    for mark, watch in machine.watches.items():
        yield f"on {mark}"
        yield from (f"    {line}" for line in _watch(machine, watch))


def _place(place: Place) -> str:
    inside = f", inside {place.parent}" if place.parent is not None else ""
    return f"{place.path}: {place.kind.value}{inside}, depth {place.depth}"


def _seconds(micros: int) -> str:
    return f"{decimal(micros / SECOND.factor)} s"


def _due(machine: Machine, due: Due) -> str:
    where = " or ".join(sorted(location.name.lower() for location in due.locations))
    clock = f"{machine.clocks[due.clock].name} reaches {_seconds(due.after)}"
    does = due.deed.name.lower().replace("_", " ") if due.breach is None else _breach(due.breach)
    return f"{machine.places[due.place].path} {where}, {clock} ({due.phase.name.lower()}): {does}"


def _breach(breach: Breach) -> str:
    limit = f", at most {breach.at_most}" if breach.at_most is not None else ""
    return f"{breach.effect.value} by {breach.rule.path}{limit}"


def _watch(machine: Machine, watch: Watch) -> Iterator[str]:
    for count in watch.counts:
        yield f"{machine.places[count.place].path} live: count {machine.counters[count.counter].name}"
    for hush in watch.hushes:
        silence = machine.silences[hush.silence]
        yield f"{machine.places[hush.place].path} live: end the silence {silence.rule.path}"
    for strike in watch.strikes:
        guard = f"{machine.places[strike.place].path} live"
        if strike.breach.ends_event:
            guard += " or between its attempts"
        if strike.counter is not None:
            guard += f", {machine.counters[strike.counter].name} over {strike.allowed}"
        if strike.out_of_order:
            guard += ", no other use"
        yield f"{guard}: {_breach(strike.breach)}"
    for use in watch.uses:
        path = machine.places[use.place].path
        yield f"{path} waiting: begin it" if use.begins else f"{path} open: advance its goal"
