"""A log that is GO under the old edition alone, looked for where it is likely: no way need be the shortest.

Pairs of positions are taken up by turns: those at which the editions have parted, and those at which they have
not, each nearest to the old edition's GO first; now and then the one that fewest entries lead to, or at which the
new edition has fewest attempts left.
"""

from heapq import heappop, heappush
from itertools import count

from standfast.difference.claims import NONE, Claim
from standfast.difference.node import Node
from standfast.difference.of_one import passing
from standfast.difference.product import Product
from standfast.difference.shown import Editions, Shown, logged, shown
from standfast.difference.side import GO, Side
from standfast.difference.varied import varied
from standfast.difference.walks import is_go, lone_go, may_part, only_one_goes, product_of
from standfast.machine.ahead import left_from
from standfast.machine.parts import Location
from standfast.verdict import Verdict

_MOST_WAYS = 40
"""Ways that no log bears out, before the search is given up."""

_MOST_VARIED = 6
"""Of them, how many are tried with other amounts and times."""

_TIMES_MOST = 2
"""How many times the pairs of positions of a walk are looked at here."""

_EFFORT_A_PAIR = 10
"""How much may be looked at of the old edition alone for each pair of positions of a walk."""

_MOST_EFFORT = 15_000

_PARTED, _TOGETHER, _NEAREST, _SPENT = 0, 1, 2, 3
_TURNS = (_PARTED, _TOGETHER, _SPENT, _PARTED, _TOGETHER, _PARTED, _NEAREST, _SPENT)
_OF_ATTEMPTS = 10
"""An attempt that the new edition has left weighs as much as so many entries before, twice."""

_MANY = 9
"""Attempts without limit are taken for so many."""

_OF_STEPS = 3
"""A step that is still to be taken weighs as much as so many entries before."""


def lone_log(editions: Editions, side: int, most: int) -> Claim | None:
    """That some log is GO under one edition alone, shown by one, or that none is; None if neither was found.

    Each side is looked at as the old one: what is found does not depend on which edition is which.
    """
    if side:
        found = lone_log((editions[1], editions[0]), 0, most)
        if found is None or found.shown is None:
            return found
        return Claim(found.shown.mirrored(), True, shortest=False)
    log = _of_one(editions, min(_EFFORT_A_PAIR * most, _MOST_EFFORT))
    if log is not None:
        return Claim(log, True, shortest=False)
    product = product_of(editions)
    ways = 0
    for node in product.led(lambda node: may_part(node, 0), Turns(product)):
        if product.visited > _TIMES_MOST * most or ways > _MOST_WAYS:
            return None
        if node.old == GO and only_one_goes(product, node):
            ways += 1
            way = logged(product, node)
            log = None if way is None else lone_go(shown(editions, way), 0)
            if log is None and way is not None and ways <= _MOST_VARIED:
                log = varied(editions, way, _only_old)
            if log is not None:
                return Claim(log, True, shortest=False)
    return None if ways else NONE  # all that can lead to one has been seen


def reaches_go(editions: Editions, side: int, most: int) -> bool | None:
    """Whether one edition, led by itself and by the marks that both know, comes to GO; False: it cannot.

    None: so many positions do not settle it. Where sums are compared, a way to GO need not be one a log takes.
    """
    if side:
        return reaches_go((editions[1], editions[0]), 0, most)
    product = product_of(editions, on=True, alone=0)
    for node in product.led(lambda node: node.old >= 0, Turns(product)):
        if node.old == GO:
            return True
        if product.visited > most:
            return None
    return False


def _of_one(editions: Editions, effort: int) -> Shown | None:
    """A log that passes the old edition, led by it alone, and is not GO under the new."""
    for number, way in enumerate(passing(editions, effort)):
        log = lone_go(shown(editions, way), 0)
        if log is None and number < _MOST_VARIED:
            log = varied(editions, way, _only_old)
        if log is not None:
            return log
    return None


def _only_old(old: Verdict, new: Verdict) -> bool:
    return is_go(old) and not is_go(new)


class Turns:
    """The pairs of positions in four orders, each taken from one of them in turn.

    One of them is by the attempts that are left: few of the new edition, which must not come to GO.

    Where the old edition is walked alone, all have parted.
    """

    def __init__(self, product: Product) -> None:
        self._sides = product.old, product.new
        self._left_from = left_from(product.old.machine)
        self._heaps: tuple[list[tuple[int, int, Node]], ...] = ([], [], [], [])
        self._numbers, self._turn = count(), 0
        self._taken = set[int]()
        self._left: dict[int, int] = {}
        self._stands: dict[tuple[int, int], object] = {}

    def add(self, node: Node) -> None:
        number = next(self._numbers)
        rank = node.entries + _OF_STEPS * self._steps_left(node.old)
        heappush(self._heaps[_PARTED if self._parted(node) else _TOGETHER], (rank, number, node))
        heappush(self._heaps[_NEAREST], (node.entries, number, node))
        spared = self._attempts_left(0, node.old) - 2 * self._attempts_left(1, node.new)
        heappush(self._heaps[_SPENT], (node.entries - _OF_ATTEMPTS * spared, number, node))

    def next(self) -> Node | None:
        while any(self._heaps):
            heap = self._heaps[_TURNS[self._turn % len(_TURNS)]]
            self._turn += 1
            while heap:
                _, number, node = heappop(heap)
                if number not in self._taken:
                    self._taken.add(number)
                    return node
        return None

    def _steps_left(self, position: int) -> int:
        if position < 0:
            return 0
        if position not in self._left:
            self._left[position] = self._left_from(self._sides[0].state(position))
        return self._left[position]

    def _attempts_left(self, number: int, position: int) -> int:
        if position < 0:
            return 0
        state = self._sides[number].state(position)
        pending = zip(self._sides[number].machine.events, state.standings, strict=True)
        return sum(
            (_MANY if event.attempts is None else event.attempts) - state.counters[event.charged]
            for event, standing in pending
            if standing is None
        )

    def _parted(self, node: Node) -> bool:
        if node.old < 0 or node.new < 0:
            return True
        return self._standing(0, node.old) != self._standing(1, node.new)

    def _standing(self, number: int, position: int) -> object:
        key = number, position
        if key not in self._stands:
            self._stands[key] = _standing(self._sides[number], position)
        return self._stands[key]


def _standing(side: Side, position: int) -> object:
    """Where the clauses stand, by their paths."""
    state = side.state(position)
    awake = ((place.path, state.locations[place.index]) for place in side.machine.places)
    return state.open, state.standings, frozenset(each for each in awake if each[1] is not Location.ASLEEP)
