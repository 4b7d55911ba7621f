"""The entries of two graders for one candidate, matched by mark and order."""

from collections.abc import Sequence

from standfast.log.entry import Entry
from standfast.values import frozen


@frozen
class Pair:
    """What both graders logged, or one of them alone (the other is None)."""

    first: Entry | None
    second: Entry | None

    @property
    def mark(self) -> str:
        return self._either.mark

    @property
    def at(self) -> int:
        """The time by which it is placed among the others."""
        return self._either.at

    @property
    def apart(self) -> int | None:
        """How much later the second has it, in microseconds; None where only one has it."""
        return None if self.first is None or self.second is None else self.second.at - self.first.at

    @property
    def same_value(self) -> bool:
        return self.first is None or self.second is None or self.first.value == self.second.value

    @property
    def _either(self) -> Entry:
        either = self.second if self.first is None else self.first
        assert either is not None
        return either


def pairs(first: Sequence[Entry], second: Sequence[Entry]) -> tuple[Pair, ...]:
    """The entries of each mark matched in their order, all in the order of the first grader's times.

    Where one grader has more of a mark than the other, those are left alone without which the times of the rest
    are the least apart in all.
    """
    found: list[Pair] = []
    for mark in dict.fromkeys(entry.mark for entry in (*first, *second)):
        mine = [entry for entry in first if entry.mark == mark]
        theirs = [entry for entry in second if entry.mark == mark]
        if len(mine) <= len(theirs):
            chosen = _chosen([e.at for e in mine], [e.at for e in theirs])
            found += [Pair(entry, theirs[place]) for entry, place in zip(mine, chosen, strict=True)]
            found += [Pair(None, entry) for place, entry in enumerate(theirs) if place not in set(chosen)]
        else:
            chosen = _chosen([e.at for e in theirs], [e.at for e in mine])
            found += [Pair(mine[place], entry) for entry, place in zip(theirs, chosen, strict=True)]
            found += [Pair(entry, None) for place, entry in enumerate(mine) if place not in set(chosen)]
    return tuple(sorted(found, key=lambda pair: pair.at))


def _chosen(few: Sequence[int], many: Sequence[int]) -> list[int]:
    """For each time of the few its place among the many, rising, with the least sum of differences; of equal
    sums the one with the earlier places.
    """
    spare = len(many) - len(few)
    # least[k]: the least sum for the times so far with the last of them at place k past its own number.
    least = [0] * (spare + 1)
    choices: list[list[int]] = []
    for number, time in enumerate(few):
        best, choice = 0, []
        for skipped in range(spare + 1):
            best = skipped if least[skipped] < least[best] else best
            choice.append(best)
        choices.append(choice)
        least = [least[choice[k]] + abs(many[number + k] - time) for k in range(spare + 1)]
    skipped = min(range(spare + 1), key=least.__getitem__)
    places = []
    for number in range(len(few) - 1, -1, -1):
        places.append(number + skipped)
        skipped = choices[number][skipped]
    return places[::-1]
