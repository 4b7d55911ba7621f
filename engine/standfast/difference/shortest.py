"""The shortest log that is GO under one edition alone, where some log is known to be.

Pairs of positions are walked in the order of the entries that lead to them, up to as many as the known log has.
Left out are those from which the side that must be GO needs too many more. How many it needs at least is worked
out beforehand, of that side by itself: all that it can do in a log of both it can do by itself.
"""

from collections import deque
from collections.abc import Iterable, Sequence

from standfast.difference.claims import Claim
from standfast.difference.ground import Ground
from standfast.difference.node import Node
from standfast.difference.product import Product
from standfast.difference.shown import Editions, together
from standfast.difference.side import GO, Side
from standfast.difference.walks import GoWalk, Left, Longer
from standfast.machine.state import State
from standfast.values import define, evolve, field


def shortest(editions: Editions, claims: Sequence[Claim], most: int) -> tuple[Claim, Claim]:
    """Both claims, of the shortest logs where so many pairs of positions settle which these are."""
    if all(claim.shown is None or claim.shortest for claim in claims):
        return claims[0], claims[1]
    ground = together(editions, telling=False)
    longer = [
        None
        if claim.shown is None or claim.shortest
        else Longer(claim, entries_left(ground, side, claim.entries, most))
        for side, claim in enumerate(claims)
    ]
    known = [None if each else claim for each, claim in zip(longer, claims, strict=True)]
    return GoWalk(editions, (longer[0], longer[1])).until(most, (known[0], known[1]))


def entries_left(ground: Ground, side: int, entries: int, most: int) -> Left:
    """How many entries at least lead to GO from each position of one side: so many, where it is that or more.

    INVARIANT: never more than any log needs. Nought is said of all where too much would have to be looked at, or
    where an entry can name a later round: of such entries a walk leaves out those that lead nowhere new.
    """
    if any(mark.rounds for mark in ground.marks):
        return _nought
    ways = _Ways((ground.old, ground.new)[side])
    product = Product(ground, on=True, alone=side)
    ends: set[int] = {GO}

    def goes_on(node: Node) -> bool:
        position = node.position(side)
        if position >= 0 and node.entries >= entries:  # what follows is not looked at
            ends.add(ways.standing(position))
        return position >= 0 and node.entries < entries

    for node in product.nodes(goes_on):
        if product.visited > most:
            return _nought
        if node.parent is not None:
            ways.add(node.parent.position(side), node.position(side), node.entries - node.parent.entries)
    least = ways.least_to(ends)

    def left(position: int) -> int:
        standing = ways.known(position)
        return 0 if standing is None else least.get(standing, entries)

    return left


def _nought(position: int) -> int:
    return 0


@define(eq=False)
class _Ways:
    """The steps that a side takes by itself, from where it stands to where it then stands.

    Positions that differ in what is known of totals, or in who the graders are, are one standing: both depend on
    what the other side knows.
    """

    side: Side
    _numbers: dict[State, int] = field(factory=dict)
    _standings: dict[int, int | None] = field(factory=dict)
    _into: dict[int, dict[int, int]] = field(factory=dict)

    def add(self, before: int, after: int, entries: int) -> None:
        """A step from one position to another, which is an entry or is none."""
        into, standing = self._into.setdefault(self.standing(after), {}), self.standing(before)
        into[standing] = min(entries, into.get(standing, entries))

    def standing(self, position: int) -> int:
        found = self.known(position)
        if found is None:
            found = self._standings[position] = self._numbers[self._state(position)] = len(self._numbers)
        return found

    def known(self, position: int) -> int | None:
        """Its standing, if the side has stood so by itself."""
        if position < 0:
            return position
        if position not in self._standings:
            self._standings[position] = self._numbers.get(self._state(position))
        return self._standings[position]

    def _state(self, position: int) -> State:
        state = self.side.state(position)
        return evolve(state, rolls=()) if state.rolls else state

    def least_to(self, ends: Iterable[int]) -> dict[int, int]:
        """Of each standing from which steps lead to one of these, how many of them are entries at least."""
        least: dict[int, int] = {}
        now, one_more = deque(ends), deque[int]()
        entries = 0
        while now:
            standing = now.popleft()
            if standing not in least:
                least[standing] = entries
                for before, more in self._into.get(standing, {}).items():
                    (one_more if more else now).append(before)
            if not now:
                now, one_more, entries = one_more, now, entries + 1
        return least
