"""Every log of two small editions at once, tried one by one: the fewest entries on which one alone gives GO.

Pairs of positions are walked as `trials.enumeration` walks those of one machine: from each, one microsecond passes
on both sides, or one entry with one value is logged under both. A log can end at any of them.
"""

from collections import deque
from collections.abc import Iterator

from standfast.machine.parts import Machine
from standfast.machine.state import State
from standfast.machine.step import initial
from trials.enumeration import Giver, TooMany, Value, all_values, from_now, givers, logged, passed

Least = tuple[int | None, int | None]
"""The fewest entries of a log that is GO under the old edition alone, and under the new; None: there is none."""


def least_entries(old: Machine, new: Machine, most: int) -> Least:
    """Raises `TooMany` where there are more pairs than `most`."""
    letters = tuple(_letters(old, new))
    first = (from_now(old, initial(old)[0]), from_now(new, initial(new)[0]))
    entered: dict[tuple[State, State], int] = {first: 0}
    queue = deque([first])
    least: list[int | None] = [None, None]
    done: set[tuple[State, State]] = set()
    while queue:
        pair = queue.popleft()
        if pair in done:
            continue
        done.add(pair)
        one, other = pair
        if bool(one.decided) != bool(other.decided):
            side = 0 if one.decided else 1
            least[side] = entered[pair] if least[side] is None else least[side]
        if one.decided is not None and other.decided is not None:
            continue
        for length, letter in ((0, None), *((1, letter) for letter in letters)):
            after = (_after(old, one, letter), _after(new, other, letter))
            count = entered[pair] + length
            if count < entered.get(after, count + 1):
                if len(entered) == most:
                    raise TooMany
                entered[after] = count
                (queue.append if length else queue.appendleft)(after)
    return least[0], least[1]


def _after(machine: Machine, state: State, letter: tuple[str, Value, Giver] | None) -> State:
    if state.decided is not None:
        return state
    done = passed(machine, state, 1) if letter is None else logged(machine, state, *letter)
    return done.state


def _letters(old: Machine, new: Machine) -> Iterator[tuple[str, Value, Giver]]:
    """What can be logged under both editions, with every value that either tells apart."""
    for mark in old.standard.marks:
        other = new.standard.mark(mark.name)
        if other is None:
            continue
        values = [all_values(old, mark), all_values(new, other)]
        ours, theirs = map(tuple, values)
        known = [each for each in ours if each in theirs] if mark.unit is None else dict.fromkeys((*ours, *theirs))
        everyone = dict.fromkeys((*givers(old, mark.name), *givers(new, mark.name)))
        named = any(giver.by is not None for giver in everyone)
        for giver in (giver for giver in everyone if giver.by is not None or not named):
            yield from ((mark.name, value, giver) for value in known)
