"""Which figures of two machines are the same, whatever they are, and which answers about them can stand together.

Everything is by pairs of things that figures are read from. A pair is in step when both sides have done the same
to it since it last began anew.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from standfast.difference.doings import BEST, CLOCK, ENTRIES, GOAL, KEPT, RESET, SET, Answer, Key, Part, Source
from standfast.difference.side import Outcome, Side, Sums
from standfast.machine.parts import LIVE, Gauge, Machine
from standfast.model.rules import PickWord, Test, UntilTotals
from standfast.quantity import Comparison
from standfast.values import define, field, frozen

_BITS = 3
_OLD_FRESH, _NEW_FRESH = 2, 4
_BOTH_FRESH = _OLD_FRESH | _NEW_FRESH

Sources = tuple[Source, ...]


@frozen
class Pair:
    """The same thing on both sides; with the totals that are read from it, by their registers."""

    keys: tuple[Key, Key]
    totals: tuple[int, int] | None


@define(eq=False)
class Figures:
    """The pairs of two sides; `summed` are those with totals.

    A set of them is a number with three bits for each pair: in step, and whether nothing has been taken since it
    began anew on the old side and on the new. What has taken nothing on both sides is in step, whenever it began.
    """

    old: Side
    new: Side
    pairs: tuple[Pair, ...] = field(init=False)
    summed: int = field(init=False)
    _numbers: dict[tuple[Key, Key], int] = field(init=False)
    _in_use: dict[tuple[int, int], int] = field(factory=dict)
    _together: dict[tuple[Test, bool, Test, bool], bool] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self.pairs = tuple(_pairs(self.old.machine, self.new.machine))
        self.summed = sum(1 << _BITS * n for n, pair in enumerate(self.pairs) if pair.totals is not None)
        self._numbers = {pair.keys: number for number, pair in enumerate(self.pairs)}

    def after(
        self, before: int, live: int, done: tuple[Outcome | None, Outcome | None], old: int, new: int
    ) -> int:
        """The pairs in step after a step to these positions; `live` those in use on both sides before it."""
        if old < 0 or new < 0:
            return 0
        used = self._used(0, old), self._used(1, new)
        found, both, either = 0, used[0] & used[1], used[0] | used[1]
        for number, pair in enumerate(self.pairs if either else ()):
            place = _BITS * number
            if both >> place & 1:
                found |= self._standing(number, pair, before, live, done) << place
            elif either >> place & 1:  # what the other side begins later is in step if nothing is taken till then
                alone = _NEW_FRESH if used[1] >> place & 1 else _OLD_FRESH
                found |= (self._fresh(number, pair, before, done) & alone) << place
        return found

    def _standing(
        self, number: int, pair: Pair, before: int, live: int, done: tuple[Outcome | None, Outcome | None]
    ) -> int:
        """The bits of one pair after the step."""
        kept = self._is_kept(number, pair, before, live, done)
        if pair.keys[0][0] not in (ENTRIES, GOAL):
            return int(kept)
        fresh = self._fresh(number, pair, before, done)
        return int(kept or fresh == _BOTH_FRESH) | fresh

    def _fresh(
        self,
        number: int,
        pair: Pair,
        before: int,
        done: tuple[Outcome | None, Outcome | None],
    ) -> int:
        """Of these bits those of the sides on which nothing has been taken."""
        if pair.keys[0][0] not in (ENTRIES, GOAL):
            return 0
        was = before >> _BITS * number
        fresh = [
            ops[-1] == RESET if ops else bool(was >> side & 1)
            for side, ops in enumerate(self._done(pair, done), 1)
        ]
        return (_OLD_FRESH if fresh[0] else 0) | (_NEW_FRESH if fresh[1] else 0)

    @staticmethod
    def _done(pair: Pair, done: tuple[Outcome | None, Outcome | None]) -> tuple[Sources, Sources]:
        ours, theirs = (
            () if each is None else each.done.get(key, ()) for each, key in zip(done, pair.keys, strict=True)
        )
        return ours, theirs

    def _is_kept(
        self, number: int, pair: Pair, before: int, live: int, done: tuple[Outcome | None, Outcome | None]
    ) -> bool:
        ours, theirs = self._done(pair, done)
        was = bool(before >> _BITS * number & 1)
        if pair.keys[0][0] not in (KEPT, BEST):
            return ours == theirs and (was or RESET in ours)
        if not ours or not theirs:
            return was and not ours and not theirs
        one, other = ours[-1], theirs[-1]
        if isinstance(one, str) or isinstance(other, str):
            return one == other == SET and self._same_kept(pair, done)
        return self._same_source(one, other, before, live, done)

    def _same_source(
        self, one: Key, other: Key, before: int, live: int, done: tuple[Outcome | None, Outcome | None]
    ) -> bool:
        """Whether two things were in step when they were read in this step."""
        number = self._numbers.get((one, other))
        if number is None:
            return False
        pair = self.pairs[number]
        ours, theirs = self._done(pair, done)
        if one[0] in (KEPT, BEST):
            fresh = bool(ours) and bool(theirs)
            return self._is_kept(number, pair, before, live, done) if fresh else bool(before >> _BITS * number & 1)
        if before >> _BITS * number & 1:
            return ours == theirs
        return not live >> _BITS * number & 1 and ours == theirs and ours[:1] == (RESET,) and RESET not in ours[1:]

    def _same_kept(self, pair: Pair, done: tuple[Outcome | None, Outcome | None]) -> bool:
        values = [
            side.state(each.after).kept[key[1]] if each is not None and each.after >= 0 else None
            for side, each, key in zip((self.old, self.new), done, pair.keys, strict=True)
        ]
        return values[0] == values[1]

    def live(self, old: int, new: int) -> int:
        """The pairs that are in use on both sides."""
        if old < 0 or new < 0 or not self.pairs:
            return 0
        return self._used(0, old) & self._used(1, new)

    def _used(self, number: int, position: int) -> int:
        """The pairs that are in use on one side."""
        known = self._in_use.get((number, position))
        if known is None:
            side = (self.old, self.new)[number]
            known = self._in_use[number, position] = sum(
                1 << _BITS * place
                for place, pair in enumerate(self.pairs)
                if _is_live(side, position, pair.keys[number])
            )
        return known

    def agree(self, done: tuple[Outcome, Outcome], before: int, live: int) -> bool:
        """Whether what was answered on both sides about the same figure can be true of one amount."""
        ours, theirs = (each.answers for each in done)
        for one in ours:
            for other in theirs:
                if self._same(one, other, before, live, done) and not self._possible(one, other):
                    return False
        return True

    def _possible(self, one: Answer, other: Answer) -> bool:
        """Whether one amount can give both answers."""
        if one.test is None or other.test is None:
            return one.holds == other.holds
        key = one.test, one.holds, other.test, other.holds
        if key not in self._together:
            self._together[key] = _one_amount(*key)
        return self._together[key]

    def _same(self, one: Answer, other: Answer, before: int, live: int, done: tuple[Outcome, Outcome]) -> bool:
        if len(one.parts) != len(other.parts) or (one.test is None) != (other.test is None):
            return False
        left: list[Part] = list(other.parts)
        for what, key in one.parts:
            twin = next(
                (
                    each
                    for each in left
                    if each[0] == what
                    and (
                        each[1] == key
                        if isinstance(key, Fraction) or isinstance(each[1], Fraction)
                        else self._same_source(key, each[1], before, live, done)
                    )
                ),
                None,
            )
            if twin is None:
                return False
            left.remove(twin)
        return True

    def joined(self, in_step: int, old: Sums, new: Sums) -> tuple[Sums, Sums] | None:
        """What is known of totals in step, known on both sides; None if no total can be both."""
        sums = list(old), list(new)
        for number, pair in enumerate(self.pairs):
            if in_step >> _BITS * number & 1 and pair.totals is not None:
                ends = [
                    (*side[register], machine.totals[register].bound + 1)
                    for side, machine, register in zip(
                        sums, (self.old.machine, self.new.machine), pair.totals, strict=True
                    )
                ]
                low = max(end[0] for end in ends)
                highs = [high for _, high, past in ends if high < past]
                high = min(highs, default=None)
                if high is not None and low > high:
                    return None
                for side, register, (_, _, past) in zip(sums, pair.totals, ends, strict=True):
                    side[register] = min(low, past), past if high is None else min(high, past)
        return tuple(sums[0]), tuple(sums[1])


def _is_live(side: Side, position: int, key: Key) -> bool:
    state, (kind, number, _) = side.state(position), key
    match kind:
        case "entries" | "goal":
            return state.locations[number] in LIVE
        case "clock":
            return state.clocks[number] is not None
        case "kept":
            return state.kept[number] is not None
        case _:
            return bool(state.bests[number])


# --- answers ---------------------------------------------------------------------------------------------------


def _one_amount(one: Test, holds: bool, other: Test, other_holds: bool) -> bool:
    amounts = sorted({Fraction(0), *_ends(one), *_ends(other)})
    between = [(low + high) / 2 for low, high in pairwise(amounts)]
    return any(
        one.holds(amount) == holds and other.holds(amount) == other_holds
        for amount in (*amounts, *between, amounts[-1] + 1)
    )


def _ends(test: Test) -> Iterator[Fraction]:
    yield from (end.base for end in test.ends())
    if test.comparison is Comparison.WITHIN and test.around is not None:
        yield test.around.base


# --- pairs -----------------------------------------------------------------------------------------------------


def _pairs(old: Machine, new: Machine) -> Iterator[Pair]:
    """Things of one kind and mark, by the same name first, then in the order they stand in."""
    ours, theirs = list(_things(old)), list(_things(new))
    for same_name in (True, False):
        for kind, name, key, total in tuple(ours):
            twin = next((each for each in theirs if each[0] == kind and (each[1] == name or not same_name)), None)
            if twin is not None:
                theirs.remove(twin)
                ours.remove((kind, name, key, total))
                both = None if total is None or twin[3] is None else (total, twin[3])
                yield Pair((key, twin[2]), both)


Thing = tuple[tuple[object, ...], str, Key, int | None]


def _things(machine: Machine) -> Iterator[Thing]:
    """What figures that are not known exactly are read from: its kind, a name, its key and its total."""
    dials = [dial for row in machine.sums for dial in row]
    dials += [keeping.dial for place in machine.places for keeping in place.keepings]
    looked_back = {
        (place.index, row.mark)
        for gauge, register in dials
        if gauge in (Gauge.VALUE, Gauge.READING)
        for row in ((machine.values if gauge is Gauge.VALUE else machine.readings)[register],)
        for place in (machine.places[row.place],)
    }
    means = {
        (row.place, row.mark)
        for row in machine.readings
        if any(pick is PickWord.MEAN for _, pick in row.readings.picks)
    }
    totals = {(row.place, row.mark): n for n, row in enumerate(machine.totals) if row.mark is not None}
    rates = {(row.place, row.mark) for row in machine.rates}
    for index, mark in sorted({*looked_back, *means, *totals, *rates}):
        path = machine.places[index].path
        yield (ENTRIES, mark), path, (ENTRIES, index, mark), totals.get((index, mark))
    timed = {register for gauge, register in dials if gauge is Gauge.CLOCK}
    for place in machine.places:
        if place.clock in timed:
            yield (CLOCK,), place.path, (CLOCK, place.clock, ""), None
        if isinstance(place.goal, UntilTotals):
            mark = place.goal.mark
            yield (GOAL, mark), place.path, (GOAL, place.index, mark), place.goal_register
    for number, name in enumerate(machine.kept):
        yield (KEPT,), name, (KEPT, number, ""), None
    for number, event in enumerate(machine.events):
        if event.best is not None:
            yield (BEST,), machine.places[event.place].path, (BEST, number, ""), None
