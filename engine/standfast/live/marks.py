"""Which marks matter at a position of a machine, and what each would do."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from standfast.account import reason_of
from standfast.live.position import Does, Doing, MarkNow, Range
from standfast.machine.parts import FAULTS, Machine
from standfast.machine.state import Began, Breached, Closed, Completed, Opened, Signal, State
from standfast.machine.trying import Tried, tried
from standfast.machine.values import Span, value_classes
from standfast.model.rules import Closing
from standfast.model.standard import Mark
from standfast.quantity import Unit
from standfast.verdict import Measure


def marks_now(machine: Machine, state: State) -> Iterator[MarkNow]:
    """As the standard declares them; a mark of which values do different things comes once for each."""
    if state.decided is not None:
        return
    for mark in machine.standard.marks:
        found = [(each, _done(machine, each.signals)) for each in tried(machine, state, mark)]
        if mark.unit is None:
            yield from _by_choice(mark, found)
        else:
            yield from _by_amount(mark, mark.unit, [span for _, span in value_classes(machine, mark)], found)


_Found = Sequence[tuple[Tried, tuple[Does, ...]]]


def _by_choice(mark: Mark, found: _Found) -> Iterator[MarkNow]:
    for does in dict.fromkeys(each for _, each in found):
        values = tuple(one.value[0] for one, each in found if each == does)
        choices = tuple(value for value in values if isinstance(value, str))
        yield MarkNow(mark=mark.name, choices=() if len(choices) == len(mark.choices) else choices, does=does)


def _by_amount(mark: Mark, unit: Unit, classes: Sequence[Span], found: _Found) -> Iterator[MarkNow]:
    """Classes that lie side by side and do the same are one range."""
    done = {each.span: does for each, does in found}
    for does, run in groupby(range(len(classes)), lambda number: done.get(classes[number])):
        numbers = list(run)
        if does is not None:
            yield MarkNow(mark=mark.name, amounts=_range(unit, classes, numbers[0], numbers[-1]), does=does)


def _range(unit: Unit, classes: Sequence[Span], first: int, last: int) -> Range | None:
    """From one class to another; None for all. A class of more than one value lies between two of one."""
    if first == 0 and last == len(classes) - 1:
        return None
    (low, _), (_, high) = classes[first], classes[last]
    with_least, with_most = _is_one(classes[first]), _is_one(classes[last])
    if not with_least:
        low = classes[first - 1][0]
    if not with_most and last + 1 < len(classes):
        high = classes[last + 1][0]
    return Range(
        least=None if first == 0 and not with_least else Measure(low, unit),
        with_least=with_least,
        most=None if high is None else Measure(high, unit),
        with_most=with_most,
    )


def _is_one(span: Span) -> bool:
    return span[0] == span[1]


def _done(machine: Machine, signals: Sequence[Signal]) -> tuple[Does, ...]:
    """What an entry would break and, of what else comes of it, the first thing; or else that it counts."""
    broken = [_broken(signal) for signal in signals if isinstance(signal, Breached)]
    moves = (_move(machine, signal) for signal in signals)
    first = next((move for move in moves if move is not None), None)
    found = [*broken, *(() if first is None else (first,))]
    return tuple(found) or (Does(Doing.COUNTS, None),)


def _broken(signal: Breached) -> Does:
    reason = reason_of(signal)
    return Does(reason.kind, reason.path)


def _move(machine: Machine, signal: Signal) -> Does | None:
    match signal:
        case Opened(event=event):
            return Does(Doing.OPENS, machine.standard.events[event].label)
        case Began(place=place) if place > FAULTS:
            return Does(Doing.BEGINS, machine.places[place].path)
        case Completed(place=place):
            return Does(Doing.COMPLETES, machine.places[place].path)
        case Closed(place=place, ended=Closing.MADE, round=number):
            rounds = machine.places[place].rounds
            assert rounds is not None
            return Does(Doing.ROUND, f"{machine.places[place].path} {rounds.names[number]}")
        case _:
            return None
