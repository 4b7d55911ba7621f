"""Ways that can be gone again and again in one attempt, time passing each time.

A lap is a way from one turn (a restart, or the end of a silence) to a later one, on which every clock that is not
set has run past all that it is compared with. All that a lap can lead to is looked for, then what a lap leads to
from there, and so on. There is finitely much of it, so in the end nothing or the same is left: then laps go on for
ever.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import partial

from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer, Node, Position
from standfast.machine.parts import Deed, Machine
from standfast.machine.state import Breached, Opened, Restarted
from standfast.machine.step import Work
from standfast.model.rules import Effect
from standfast.values import evolve


def restart_circles(machine: Machine, turns: Iterable[Node], effort: Effort) -> Iterator[tuple[str, Node]]:
    """The restarts by which an attempt can be kept going for ever, by path, each with a way that shows it.

    Some may be missing when the effort is spent.
    """
    by_path: dict[str, list[Node]] = {}
    for node in turns:
        for path in endless_restarts(node):
            by_path.setdefault(path, []).append(node)
    for path, starts in by_path.items():
        ways = _going_on(machine, starts, partial(_restarts_by, path), _same_attempt, effort)
        if ways:
            yield path, ways[0]


def _restarts_by(path: str, node: Node) -> bool:
    return path in endless_restarts(node)


def endless_restarts(node: Node) -> set[str]:
    """The restarts without a greatest number that acted in a step."""
    acted = (signal.breach for signal in node.signals if isinstance(signal, Breached))
    return {breach.rule.path for breach in acted if breach.effect is Effect.RESTART and breach.at_most is None}


def silence_circles(machine: Machine, turns: Iterable[Node], effort: Effort) -> list[Node]:
    """Ways to where marks can put off for ever all that time would do, while every clause stays as it is.

    Some may be missing when the effort is spent.
    """
    starts = [node for node in turns if can_be_put_off(machine, node)]
    return _going_on(machine, starts, lambda node: bool(node.hushed), _nothing_begins_or_ends, effort)


def can_be_put_off(machine: Machine, node: Node) -> bool:
    """Whether a mark has put off what time alone would do there, and marks can put off all of it."""
    if not node.hushed or node.position.state.open is None:
        return False
    dues = list(Work.of(machine, node.position.state).live_dues())
    return bool(dues) and all(due.deed is Deed.SILENCE for due in dues)


def _same_attempt(node: Node) -> bool:
    return node.position.state.open is not None and not any(isinstance(s, Opened) for s in node.signals)


def _nothing_begins_or_ends(node: Node) -> bool:
    same = node.parent is not None and node.position.state.locations == node.parent.position.state.locations
    return same and _same_attempt(node) and not any(isinstance(s, Restarted) for s in node.signals)


def _going_on(
    machine: Machine,
    turns: list[Node],
    turning: Callable[[Node], bool],
    stays: Callable[[Node], bool],
    effort: Effort,
) -> list[Node]:
    """Ways that end at a turn from which they can be gone on for ever, those of the fewest entries first."""
    known = set()
    while turns:
        explorer = Explorer(machine, lapped=True, effort=effort)
        starts = _widest(_at_start(explorer, node) for node in turns)
        places = frozenset((node.position, node.zone) for node in starts)
        if places in known:
            return sorted(turns, key=lambda node: node.entries)
        known.add(places)
        ways = (node for node in explorer.among(starts, stays) if turning(node))
        turns = [lap for node in ways if (lap := _lap(explorer, node)) is not None]
        if effort.spent:
            return []
    return []


def _at_start(explorer: Explorer, node: Node) -> Node:
    """The node as the start of a lap."""
    clock = explorer.lap_clock
    kept = {each: False for each in node.zone.clocks if each < explorer.attempt_clock}
    zone = node.zone.with_clocks(kept | {clock: True}).blurred(explorer.bounds)
    return evolve(node, zone=zone, resets=node.resets | {clock})


def _lap(explorer: Explorer, node: Node) -> Node | None:
    """The node where a lap is over; None if it cannot be."""
    clock = explorer.lap_clock
    over = explorer.bounds[clock]
    zone, instant = node.zone.within(clock, least=over), node.instant.within(clock, least=over)
    if zone is None or instant is None:
        return None
    return evolve(node, zone=zone, instant=instant, guards=(*node.guards, (clock, over, None)))


def _widest(nodes: Iterable[Node]) -> list[Node]:
    """Without those that lie in others."""
    kept: dict[Position, list[Node]] = {}
    for node in nodes:
        here = kept.setdefault(node.position, [])
        if not any(other.zone.includes(node.zone) for other in here):
            here[:] = [other for other in here if not node.zone.includes(other.zone)]
            here.append(node)
    return [node for here in kept.values() for node in here]
