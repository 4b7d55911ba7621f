"""A log that is GO under one edition, of marks and values that both know and with every condition met.

A short walk finds the shortest. Where it does not, a proof that nobody can pass is tried first, then a search led
to where GO is likely, then the walk goes on.
"""

from standfast.difference.claims import NONE, UNKNOWN, Claim
from standfast.difference.guided import Turns
from standfast.difference.node import Node
from standfast.difference.shown import Editions, Shown, logged, shown
from standfast.difference.side import GO
from standfast.difference.unpassable import nobody_passes
from standfast.difference.varied import varied
from standfast.difference.walks import is_go, product_of

_FEW_PAIRS = 1_000
"""Positions after which a log that need not be the shortest is preferred to a longer walk."""

_FEW_OF_ALL = 3
"""Or after one in so many of those that may be looked at."""

_EFFORT_A_POSITION = 10
"""How much may be looked at for the proof that nobody passes, for each of them."""

_MOST_TRIED = 20
"""Ways that no log bears out, before a search is given up."""

_MOST_VARIED = 6
"""Of them, how many are tried with other amounts and times."""


def passing_log(editions: Editions, side: int, most: int, known: Shown | None = None) -> Claim:
    """That some log is GO under one edition; `known` is one that is, where there is any.

    Each side is looked at as the old one: what is found does not depend on which edition is which.
    """
    if side:
        found = passing_log((editions[1], editions[0]), 0, most, None if known is None else known.mirrored())
        return found if found.shown is None else Claim(found.shown.mirrored(), True, found.shortest)
    walk = _Walk(editions)
    found = walk.until(min(most // _FEW_OF_ALL, _FEW_PAIRS))
    if found.decided:
        return found
    if known is not None:
        return Claim(known, True, shortest=False)
    if nobody_passes(editions[0].bears, _EFFORT_A_POSITION * most):
        return NONE
    led = _Walk(editions, led=True).until(most)
    return led if led.decided else walk.until(most)


class _Walk:
    """The positions of the old edition alone, nearest first or `led`: what is found so is not called shortest."""

    def __init__(self, editions: Editions, *, led: bool = False) -> None:
        self._editions, self._led, self._failed = editions, led, 0
        self._product = product_of(editions, on=True, alone=0)
        self._nodes = self._product.led(_open, Turns(self._product)) if led else self._product.nodes(_open)

    def until(self, most: int) -> Claim:
        """What is known once so many positions have been looked at, those of earlier calls included."""
        while self._product.visited <= most and self._failed < _MOST_TRIED:
            node = next(self._nodes, None)
            if node is None:
                return UNKNOWN if self._failed else NONE
            if node.old == GO:
                log = self._borne_out(node)
                if log is not None:
                    return Claim(log, True, shortest=not (self._led or self._failed))
                self._failed += 1
        return UNKNOWN

    def _borne_out(self, node: Node) -> Shown | None:
        """A log that takes the way and is GO; of a led walk it may be one near it."""
        way = logged(self._product, node)
        log = None if way is None else shown(self._editions, way)
        if log is not None and is_go(log.old):
            return log
        if way is None or not self._led or self._failed >= _MOST_VARIED:
            return None
        return varied(self._editions, way, lambda old, _: is_go(old))


def _open(node: Node) -> bool:
    return node.old >= 0
