"""What is found once for all kinds of candidate, and how much may be looked at for each.

A kind that is soon decided leaves its share to the others. A log that one kind shows settles a claim: in the
others it is only seen whether a short walk finds a shorter one. Events that mean the same for several kinds are
compared once.
"""

from standfast.difference.claims import Claim, Course
from standfast.difference.whole import EventPart
from standfast.machine.parts import Machine
from standfast.values import define, evolve, field

_LEAST_SHARE = 4
"""One in so many of all pairs of positions may be looked at for a kind, however many there are."""

_MOST_OPEN = 2
"""Kinds that may be left open so: to those after them falls no more than an equal share."""


@define
class Kinds:
    """`most`: see `MOST_PAIRS`; `number`: the kinds for which a walk is needed.

    `others`: what is known of the kinds that are not looked at, where there are any.
    """

    most: int
    number: int
    others: Course | None = None
    parts: dict[object, EventPart] = field(factory=dict)
    """Events by themselves, by what they mean in both editions."""
    machines: dict[tuple[int, str], Machine] = field(factory=dict)
    """Each event by itself, by edition and label."""
    _shown: dict[str, Claim] = field(factory=dict)
    _open: int = 0

    def share(self) -> int:
        """The pairs of positions that may be looked at for the next kind."""
        equal = self.most // max(self.number, 1)
        left_open = self._open >= _MOST_OPEN or (self.others is not None and self.others.left_open)
        return equal if left_open else max(equal, self.most // _LEAST_SHARE)

    def shown(self, what: str) -> Claim | None:
        """The log of another kind that settles a claim, by its name; this kind may have a shorter."""
        claim = self._shown.get(what)
        return None if claim is None else evolve(claim, shortest=False)

    def add(self, course: Course) -> None:
        """The course for one kind."""
        claims = {"lost": course.lost, "gained": course.gained, "told": course.told}
        for what, claim in claims.items():
            if claim.shown is not None:
                self._shown.setdefault(what, claim)
        self._open += any(not claim.decided and what not in self._shown for what, claim in claims.items())

    def add_passing(self, claim: Claim) -> None:
        """Whether some log is GO under one edition for one kind."""
        self._open += not claim.decided
