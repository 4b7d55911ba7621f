"""From a way through the positions to a log that takes it."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import count

from standfast.log.entry import Entry, SessionLog
from standfast.machine.effort import Effort
from standfast.machine.explore import Node
from standfast.machine.instants import SECOND as SECOND
from standfast.machine.instants import Apart, earliest
from standfast.machine.parts import Gauge, Machine, Phase
from standfast.machine.state import Began, Breached, Completed, Ended, Restarted, Rested, Signal
from standfast.machine.step import end, enter, initial, overhear
from standfast.machine.values import Span
from standfast.machine.wishes import Demand, summed, wishes
from standfast.machine.zone import Guard
from standfast.model.rules import UntilTotals
from standfast.model.standard import Condition, Standard
from standfast.quantity import Quantity, Unit
from standfast.values import evolve

_WITHOUT_END = Effort()
CANDIDATE, OTHER = "C-1", "C-2"


def pinned(node: Node, last: Guard | None) -> Node:
    """The node with one more guard on its last step, for going on from there; the guard must be possible."""
    if last is None:
        return node
    clock, least, most = last
    instant = node.instant.within(clock, least=least, most=most)
    assert instant is not None
    zone = instant.with_clocks({each: each in node.resets for each in node.zone.clocks})
    return evolve(node, zone=zone, guards=(*node.guards, last), instant=instant)


def times(
    machine: Machine,
    node: Node,
    last: Guard | None = None,
    gap: int = 0,
    demand: Demand | None = None,
    effort: Effort = _WITHOUT_END,
) -> tuple[int, ...] | None:
    """The earliest instants at which the steps to this node can happen, in microseconds.

    They solve the differences its guards demand, and at the last step one more guard: the least solution, found
    by raising times until none is too early. None if none was found (only with one more guard, or where rates and
    sums of times were answered for, or one has to be what is demanded at the last step), or the effort is
    spent. With a `gap` an entry comes that much after the step before it, and then at a whole second, wherever
    that is free.
    """
    path = node.path()
    entries = [number for number, step in enumerate(path) if step.move.mark is not None]
    return earliest(len(path), _demanded(path, last), tuple(wishes(machine, path, demand)), entries, gap, effort)


def _demanded(path: Sequence[Node], last: Guard | None) -> list[Apart]:
    set_at: dict[int, int] = {}
    apart: list[Apart] = []
    for number, step in enumerate(path):
        if number:
            apart.append((number - 1, number, step.wait))
        guards = (*step.guards, last) if last is not None and number == len(path) - 1 else step.guards
        for clock, least, most in guards:
            if least is not None:
                apart.append((set_at[clock], number, least))
            if most is not None:
                apart.append((number, set_at[clock], -most))
        for clock in step.resets:
            set_at[clock] = number
    return apart


def log_of(
    machine: Machine,
    node: Node,
    *,
    session: str,
    last: Guard | None = None,
    gap: int = 0,
    demand: Demand | None = None,
    effort: Effort = _WITHOUT_END,
) -> SessionLog | None:
    """A log that takes the way to the node and ends there.

    None if what is asked besides cannot be met, or not with the effort that is left.
    """
    path = node.path()
    instants = times(machine, node, last, gap, demand, effort) if effort.takes(1 + len(path) // 4) else None
    if instants is None:
        return None
    values, graders = _values(machine, path), _graders(path)
    summed(machine, path, values, demand)
    shared = any(step.move.other for step in path)
    entries: list[Entry] = []
    for step, at, value, by in zip(path, instants, values, graders, strict=True):
        if step.move.mark is not None:
            number = len(entries) + 1
            entries.append(
                Entry(
                    number=number,
                    line=number + 1,
                    at=at,
                    mark=step.move.mark,
                    value=value,
                    candidate=OTHER if step.move.other else CANDIDATE if shared else None,
                    by=by,
                )
            )
    end = None
    if node.move.due is not None:
        end = instants[-1] + (node.move.due.phase is Phase.LAST)
    elif node.move.other or node.move.end:
        end = instants[-1]
    standard = machine.standard
    log = SessionLog(
        session=session,
        standard=standard.name,
        edition=standard.edition,
        candidates=(CANDIDATE, OTHER) if shared else (CANDIDATE,),
        conditions=facts_of(standard),
        facts={CANDIDATE: standard.settled},
        entries=tuple(entries),
        end=end,
        grader=None,
        started=None,
        digest="",
    )
    return None if any(step.judged for step in path) and not _takes(machine, path, log) else log


def is_guess(node: Node) -> bool:
    """Whether the way to it rests on answers that no log may bear out together."""
    return any(row.gauge is not Gauge.TOTAL for step in node.path() for row, _ in step.judged)


def _takes(machine: Machine, path: Sequence[Node], log: SessionLog) -> bool:
    """Whether on this log the machine goes the way."""
    wanted = (_gist(signal) for step in path for signal in step.signals)
    told = map(_gist, _told(machine, log))
    return all(next(told, None) == one for one in wanted)


def _told(machine: Machine, log: SessionLog) -> Iterator[Signal]:
    """What the machine signals, entry by entry: whoever has heard enough need not go on."""
    state, signals = initial(machine)
    yield from signals
    for entry in log.entries:
        step = enter if entry.is_for(CANDIDATE) else overhear
        state, signals = step(machine, state, entry)
        yield from signals
    if log.end is not None:
        state, signals = end(machine, state, log.end)
        yield from signals


def _gist(signal: Signal) -> tuple[object, ...]:
    """What a signal tells, without times and figures."""
    match signal:
        case Began(place=place) | Completed(place=place) | Restarted(place=place) | Rested(place=place):
            return type(signal), place
        case Breached(breach=breach, asked=asked):
            return Breached, breach.rule.path, asked is None
        case Ended(event=event, effect=effect):
            return Ended, event, effect
        case _:
            return (type(signal),)


def _graders(path: Sequence[Node]) -> list[str | None]:
    """By whom each step's entry is; one who no longer stands on a roll may give what somebody on none does."""
    found: list[str | None] = []
    known: dict[str, str] = {}
    left_out: set[tuple[str, str]] = set()
    for step in path:
        by, name = None, step.move.by
        if name is not None and name not in known:
            mark = step.move.mark
            taken = {grader for each, grader in (*known.items(), *left_out) if each.split(".")[0] == mark}
            known[name] = next(grader for n in count(1) if (grader := f"G-{n}") not in taken)
        if name is not None:
            by = known[name]
        found.append(by)
        standing = {name for roll in step.position.state.rolls for name in roll}
        left_out |= {(name, known[old]) for name, old in step.names.items() if name not in standing}
        known = {name: known[old] for name, old in step.names.items() if name in standing}
    return found


def facts_of(standard: Standard) -> dict[str, Quantity | bool]:
    """A fact for each condition, an event's own included, that meets it."""
    own = [condition for event in standard.events for condition in event.conditions]
    facts = {condition.name: _fact(condition) for condition in (*standard.conditions, *own)}
    return {name: fact for name, fact in facts.items() if fact is not None}


def _fact(condition: Condition) -> Quantity | bool | None:
    """A fact that meets the condition."""
    demand = condition.demand
    if isinstance(demand, bool):
        return demand
    first = demand.first if demand.around is None else demand.around
    for steps in (Fraction(0), Fraction(1), Fraction(-1), Fraction(-1, 1_000_000)):
        number, unit = first.parts[-1]
        fact = Quantity(((number + steps, unit),)) if len(first.parts) == 1 else first
        if fact.base >= 0 and demand.holds(fact.base):
            return fact
    return None


def _values(machine: Machine, path: Sequence[Node]) -> list[str | Quantity | None]:
    """The values of the entries; where they go into a total, such that it is reached just when the way says so."""
    values = [step.move.value for step in path]
    places = {place.goal_register: place for place in machine.places if isinstance(place.goal, UntilTotals)}
    for register, place in places.items():
        assert register is not None and isinstance(place.goal, UntilTotals)
        wanted, run = place.goal.amount.base, list[tuple[int, Span]]()
        for number, step in enumerate(path):
            if any(isinstance(s, Began | Restarted) and s.place == place.index for s in step.signals):
                _share_out(values, run, wanted, reached=False)
                run.clear()
            for into, reached in step.added:
                if into == register:
                    run.append((number, step.move.span))
                    if reached:
                        _share_out(values, run, wanted, reached=True)
                        run.clear()
        _share_out(values, run, wanted, reached=False)
    return values


def _share_out(
    values: list[str | Quantity | None], run: list[tuple[int, Span]], wanted: Fraction, *, reached: bool
) -> None:
    """Values for the entries of a run, even where they can be, that add up to `wanted` with the last of them.

    Before the last they do not; unless it is to be `reached`, nor with the last.
    """
    rest = wanted
    for position, (number, (least, most)) in enumerate(run):
        value = values[number]
        assert isinstance(value, Quantity)
        later = [span for _, span in run[position + 1 :]]
        finest = value.unit.factor / 1_000_000
        if reached and not later:
            amount = max(rest, least)
            values[number] = Quantity(((Fraction(-(-amount // finest), 1_000_000), value.unit),))
            continue
        up_to = rest - finest if reached else rest - finest - sum(span[0] for span in later)
        high = up_to if most is None else min(most, up_to)
        low = least
        if reached and all(span[1] is not None for span in later):
            low = max(least, rest - sum((span[1] for span in later if span[1] is not None), Fraction(0)))
        share = rest / (len(later) + (1 if reached else 2))
        values[number] = _rounded(min(max(share, low), high), low, high, value.unit)
        rest -= values[number].base  # type: ignore[union-attr]  # just set


def _rounded(amount: Fraction, low: Fraction, high: Fraction, unit: Unit) -> Quantity:
    """The amount in as few decimals as keep it between the two."""
    for places in (1, 10, 100, 10**3, 10**4, 10**5, 10**6):
        rounded = Fraction(round(amount / unit.factor * places), places)
        if low <= rounded * unit.factor <= high:
            return Quantity(((rounded, unit),))
    return Quantity(((Fraction(high / unit.factor * 10**6 // 1, 10**6), unit),))
