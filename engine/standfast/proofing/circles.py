"""Ways that can be gone again and again in one attempt, time passing each time.

A lap is a way from one turn (a restart, or the end of a silence) to a later one, at least a microsecond after. All
places after a turn that a lap can lead to are looked for, then those that a lap leads to from these, and so on. There are
finitely many, so in the end none or the same are left: then from each a lap leads back to one of them, for ever.
"""

from collections.abc import Callable, Iterable, Iterator

from attrs import evolve

from standfast.machine.explore import Explorer, Node, Position
from standfast.machine.parts import Deed, Location, Machine
from standfast.machine.state import Breached, Opened, Restarted
from standfast.machine.step import Work
from standfast.model.rules import Effect


def restart_circles(machine: Machine, turns: Iterable[Node]) -> Iterator[tuple[str, Node]]:
    """The restarts by which an attempt can be kept going for ever, by path, each with a way that shows it."""
    by_path: dict[str, list[Node]] = {}
    for node in turns:
        for path in endless_restarts(node):
            by_path.setdefault(path, []).append(node)
    for path, starts in by_path.items():
        way = _goes_on(machine, starts, lambda node, path=path: path in endless_restarts(node), _same_attempt)
        if way is not None:
            yield path, way


def endless_restarts(node: Node) -> set[str]:
    """The restarts without a greatest number that acted in a step."""
    acted = (signal.breach for signal in node.signals if isinstance(signal, Breached))
    return {breach.rule.path for breach in acted if breach.effect is Effect.RESTART and breach.at_most is None}


def silence_circles(machine: Machine, turns: Iterable[Node]) -> Iterator[Node]:
    """Ways that show where marks can put off for ever all that time would do: one for each such position."""
    by_position: dict[Position, list[Node]] = {}
    for node in turns:
        if can_be_put_off(machine, node):
            by_position.setdefault(node.position, []).append(node)
    for position, starts in by_position.items():

        def stays(node: Node, position: Position = position) -> bool:
            restarted = any(isinstance(signal, Restarted) for signal in node.signals)
            return not restarted and _same_attempt(node) and _locations(node.position) == _locations(position)

        def ends_a_silence(node: Node, position: Position = position) -> bool:
            return bool(node.hushed) and node.position == position

        way = _goes_on(machine, starts, ends_a_silence, stays)
        if way is not None:
            yield way


def can_be_put_off(machine: Machine, node: Node) -> bool:
    """Whether a mark has put off what time alone would do there, and marks can put off all of it."""
    if not node.hushed or node.position.state.open is None:
        return False
    dues = list(Work.of(machine, node.position.state).live_dues())
    return bool(dues) and all(due.deed is Deed.SILENCE for due in dues)


def _locations(position: Position) -> tuple[Location, ...]:
    return position.state.locations


def _same_attempt(node: Node) -> bool:
    return node.position.state.open is not None and not any(isinstance(s, Opened) for s in node.signals)


def _goes_on(
    machine: Machine, turns: list[Node], turning: Callable[[Node], bool], stays: Callable[[Node], bool]
) -> Node | None:
    """A shortest of the ways that end at a turn and can be gone on for ever; None if there is none."""
    known = set()
    while turns:
        explorer = Explorer(machine, lapped=True)
        starts = _widest(_at_start(explorer, node) for node in turns)
        places = frozenset((node.position, node.zone) for node in starts)
        if places in known:
            return min(turns, key=lambda node: node.entries)
        known.add(places)
        laps = (node for node in explorer.among(starts, stays) if turning(node))
        turns = [late for node in laps if (late := _late(explorer, node)) is not None]
    return None


def _at_start(explorer: Explorer, node: Node) -> Node:
    """The node as the start of a lap."""
    clock = explorer.lap_clock
    kept = {each: False for each in node.zone.clocks if each < explorer.attempt_clock}
    zone = node.zone.with_clocks(kept | {clock: True}).blurred(explorer.bounds)
    return evolve(node, zone=zone, resets=node.resets | {clock})


def _late(explorer: Explorer, node: Node) -> Node | None:
    """The node where time has passed since the start of the lap; None if none can have."""
    clock = explorer.lap_clock
    zone, instant = node.zone.within(clock, least=1), node.instant.within(clock, least=1)
    if zone is None or instant is None:
        return None
    return evolve(node, zone=zone, instant=instant, guards=(*node.guards, (clock, 1, None)))


def _widest(nodes: Iterable[Node]) -> list[Node]:
    """Without those that lie in others."""
    kept: list[Node] = []
    for node in nodes:
        if not any(other.position == node.position and other.zone.includes(node.zone) for other in kept):
            kept = [o for o in kept if o.position != node.position or not node.zone.includes(o.zone)]
            kept.append(node)
    return kept
