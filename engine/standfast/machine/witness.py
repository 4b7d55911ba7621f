"""From a way through the positions to a log that takes it."""

from collections.abc import Sequence
from fractions import Fraction

from standfast.log.entry import Entry, SessionLog
from standfast.machine.explore import Guard, Node
from standfast.machine.parts import Machine, Phase
from standfast.machine.state import Began, Completed, Restarted
from standfast.machine.values import Span
from standfast.model.rules import UntilTotals
from standfast.model.standard import Condition
from standfast.quantity import Quantity


def times(node: Node, last: Guard | None = None) -> tuple[int, ...] | None:
    """The earliest instants at which the steps to this node can happen, in microseconds.

    They solve the differences its guards demand, and at the last step one more guard: the least solution, found
    by raising times until none is too early. None if there is no solution (only with one more guard).
    """
    path = node.path()
    set_at: dict[int, int] = {}
    apart: list[tuple[int, int, int]] = []  # (one step, another, least distance from one to the other)
    for number, step in enumerate(path):
        if number:
            apart.append((number - 1, number, 0))
        guards = (*step.guards, last) if last is not None and step is node else step.guards
        for clock, least, most in guards:
            if least is not None:
                apart.append((set_at[clock], number, least))
            if most is not None:
                apart.append((number, set_at[clock], -most))
        for clock in step.resets:
            set_at[clock] = number
    instants = [0] * len(path)
    for _ in range(len(path) + 1):
        changed = False
        for one, other, distance in apart:
            if instants[one] + distance > instants[other]:
                instants[other], changed = instants[one] + distance, True
        if not changed:
            return tuple(instants)
    return None


def log_of(machine: Machine, node: Node, *, session: str, last: Guard | None = None) -> SessionLog | None:
    """A log that takes the way to the node and ends there; None if the last guard cannot be met."""
    instants = times(node, last)
    if instants is None:
        return None
    path = node.path()
    values = _values(machine, path)
    entries: list[Entry] = []
    for step, at, value in zip(path, instants, values, strict=True):
        if step.move.mark is not None:
            number = len(entries) + 1
            entries.append(Entry(number=number, line=number + 1, at=at, mark=step.move.mark, value=value))
    end = None
    if node.move.due is not None:
        end = instants[-1] + (node.move.due.phase is Phase.LAST)
    standard = machine.standard
    own = [condition for event in standard.events for condition in event.conditions]
    return SessionLog(
        session=session,
        standard=standard.name,
        edition=standard.edition,
        candidates=("C-1",),
        conditions={c.name: fact for c in (*standard.conditions, *own) if (fact := _fact(c)) is not None},
        entries=tuple(entries),
        end=end,
        grader=None,
        started=None,
        digest="",
    )


def _fact(condition: Condition) -> Quantity | bool | None:
    """A fact that meets the condition."""
    demand = condition.demand
    if isinstance(demand, bool):
        return demand
    first = demand.first
    for steps in (Fraction(0), Fraction(1), Fraction(-1), Fraction(-1, 1_000_000)):
        number, unit = first.parts[-1]
        fact = Quantity(((number + steps, unit),)) if len(first.parts) == 1 else first
        if fact.base >= 0 and demand.holds(fact.base):
            return fact
    return None


def _values(machine: Machine, path: Sequence[Node]) -> list[str | Quantity | None]:
    """The values of the entries; where they go into a total, such that it is reached when the way says so."""
    values = [step.move.value for step in path]
    places = {place.goal_register: place for place in machine.places if isinstance(place.goal, UntilTotals)}
    for register, place in places.items():
        assert register is not None and isinstance(place.goal, UntilTotals)
        wanted, run = place.goal.amount.base, list[int]()
        for number, step in enumerate(path[1:], start=1):
            before, after = path[number - 1].position, step.position
            completed = any(isinstance(s, Completed) and s.place == place.index for s in step.signals)
            if before.sums[register] != after.sums[register] or completed:
                run.append(number)
            if any(isinstance(s, Began | Restarted) and s.place == place.index for s in step.signals):
                run.clear()
            if completed:
                _share_out(values, [(n, path[n].move.span) for n in run], wanted)
                run.clear()
    return values


def _share_out(values: list[str | Quantity | None], run: list[tuple[int, Span]], wanted: Fraction) -> None:
    """Values for the entries of a run that add up to `wanted` with the last of them and not before."""
    total = Fraction(0)
    for position, (number, (least, most)) in enumerate(run):
        value = values[number]
        assert isinstance(value, Quantity)
        later_most = [span[1] for _, span in run[position + 1 :]]
        if position == len(run) - 1:
            amount = max(wanted - total, least)
        elif None in later_most:
            amount = least
        else:
            needed = wanted - total - sum((m for m in later_most if m is not None), Fraction(0))
            amount = max(least, needed if most is None else min(most, needed))
        unit = value.unit
        steps = -(-amount / unit.factor * 1_000_000 // 1)
        values[number] = Quantity(((Fraction(steps, 1_000_000), unit),))
        total += values[number].base  # type: ignore[union-attr]  # just set
