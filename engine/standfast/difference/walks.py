"""Walks through both machines for one aim: a log that is GO under one edition alone, or for other reasons."""

from collections.abc import Callable
from typing import Final

from standfast.difference.claims import NONE, UNKNOWN, Claim
from standfast.difference.node import NOTHING_TOLD, Node
from standfast.difference.product import Product
from standfast.difference.shown import Editions, Logged, Shown, logged, shown, together
from standfast.difference.side import GO, NO_GO
from standfast.values import define, evolve, frozen
from standfast.verdict import Outcome, Verdict

_MOST_TRIED: Final = 20
"""Ways that no log bears out, before what they should show is given up."""


def product_of(
    editions: Editions, *, telling: bool = False, on: bool = False, alone: int | None = None
) -> Product:
    """A walk through the two machines, with every condition met."""
    return Product(together(editions, telling=telling), on, alone)


Left = Callable[[int], int]
"""Of a position of one side, how many entries at least lead from it to GO."""


@frozen(eq=False)
class Longer:
    """A log that is GO under one edition alone, so that only shorter ones are looked for."""

    claim: Claim
    left: Left

    def allows(self, node: Node, side: int) -> bool:
        """Whether a shorter one may go by way of the node."""
        return node.entries + self.left(node.position(side)) < self.claim.entries


@define
class _Sought:
    """What is known so far of one direction; `least`: the entries of the first way that no log bore out."""

    editions: Editions
    side: int
    longer: Longer | None
    known: Claim | None = None
    log: Shown | None = None
    failed: int = 0
    least: int | None = None

    @property
    def open(self) -> bool:
        return self.known is None and self.log is None and self.failed < _MOST_TRIED

    def may_follow(self, node: Node) -> bool:
        """Whether what is looked for may end at the node or go by way of it."""
        return (
            self.open
            and may_part(node, self.side)
            and (self.longer is None or self.longer.allows(node, self.side))
        )

    def take(self, product: Product, node: Node) -> None:
        self.log = _borne_out(self.editions, logged(product, node), self.side)
        if self.log is None:
            self.failed += 1
            self.least = node.entries if self.least is None else self.least

    def claim(self, *, finished: bool) -> Claim:
        if self.known is not None:
            return self.known
        if self.log is not None:
            return Claim(self.log, True, self.least is None or self.least == self.log.entries)
        if self.longer is not None:
            return evolve(self.longer.claim, shortest=finished and not self.failed)
        return NONE if finished and not self.failed else UNKNOWN


class GoWalk:
    """A walk that looks for a log that is GO under the old edition alone, and for one under the new alone.

    Where a `longer` one is known, one that is shorter is looked for.
    """

    def __init__(self, editions: Editions, longer: tuple[Longer | None, Longer | None] = (None, None)) -> None:
        self._product = product_of(editions)
        self._lost, self._gained = (_Sought(editions, side, each) for side, each in enumerate(longer))
        self._nodes = self._product.nodes(self._goes_on)

    def until(self, most: int, known: tuple[Claim | None, Claim | None] = (None, None)) -> tuple[Claim, Claim]:
        """Both claims once so many pairs of positions have been looked at, those of earlier calls included.

        What is known of one of the two is not looked for any more.
        """
        lost, gained = self._lost, self._gained
        lost.known, gained.known = known[0] or lost.known, known[1] or gained.known
        finished = not (lost.open or gained.open)
        while not finished and self._product.visited <= most:
            node = next(self._nodes, None)
            if node is None:
                finished = True
                break
            sought = lost if node.old == GO else gained
            if sought.may_follow(node) and only_one_goes(self._product, node):
                sought.take(self._product, node)
                finished = not (lost.open or gained.open)
        return lost.claim(finished=finished), gained.claim(finished=finished)

    def _goes_on(self, node: Node) -> bool:
        """Nothing follows where what could still be found is known, or cannot come about any more."""
        return self._lost.may_follow(node) or self._gained.may_follow(node)


def may_part(node: Node, side: int) -> bool:
    """Whether this side may be GO alone, now or later."""
    return node.position(side) != NO_GO and node.position(1 - side) != GO


def only_one_goes(product: Product, node: Node) -> bool:
    """Whether one side alone is GO where the log ends here."""
    return (node.old == GO) != (node.new == GO) and (node.kind.end or product.may_end(node))


def _borne_out(editions: Editions, way: Logged | None, side: int) -> Shown | None:
    return None if way is None else lone_go(shown(editions, way), side)


def lone_go(log: Shown | None, side: int) -> Shown | None:
    """The log if one edition alone gives GO on it."""
    if log is None or not is_go((log.old, log.new)[side]) or is_go((log.new, log.old)[side]):
        return None
    return log


def is_go(verdict: Verdict) -> bool:
    return verdict.outcome is Outcome.GO


def first_way(
    product: Product, reached: Callable[[Node], bool], goes_on: Callable[[Node], bool], most: int
) -> Logged | None:
    """The shortest log that reaches something; None if none was found."""
    for node in product.nodes(goes_on):
        if product.visited > most:
            return None
        way = logged(product, node) if reached(node) else None
        if way is not None:
            return way
    return None


def by_reasons(editions: Editions, most: int) -> Claim:
    """Whether some log is decided alike under both, and other rules acted."""
    product = product_of(editions, telling=True)
    failed = 0

    def told(node: Node) -> bool:
        return node.old == node.new and node.old < 0 and node.told != NOTHING_TOLD

    for node in product.nodes(lambda node: GO not in (node.old, node.new)):
        if product.visited > most or failed >= _MOST_TRIED:
            return UNKNOWN
        if told(node):
            way = logged(product, node)
            log = None if way is None else shown(editions, way)
            if log is not None and log.old.outcome == log.new.outcome and acts(log.old) != acts(log.new):
                return Claim(log, True, not failed)
            failed += 1
    return UNKNOWN if failed else NONE


def acts(verdict: Verdict) -> tuple[str, ...]:
    """The paths of the rules graver than a note that acted, as the verdict has them, and its grade."""
    reasons = [reason for event in verdict.events for attempt in event.attempts for reason in attempt.reasons]
    reasons += verdict.reasons
    found = [reason for reason in reasons if reason.kind.value not in ("note", "owed", "unmet", "not stated")]
    found.sort(key=lambda reason: -1 if reason.at is None else reason.at)
    return *(reason.path for reason in found), *(() if verdict.grade is None else (f"grades.{verdict.grade}",))
