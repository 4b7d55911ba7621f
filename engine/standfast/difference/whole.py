"""What events by themselves make of a whole test, where nothing but their order ties them together.

As long as both editions pass each event at the same instants, they stand alike where the next one begins. Where no
event by itself is passed at different instants, no log of the whole test is GO under one edition alone. Where one
is, a log of it among the shortest logs that pass the others may be GO under one alone; that is believed only if
both readings bear it out. No log is shorter if this one has no more entries than the ways to part need: before the
first event that is not passed at one instant on both sides all must be passed by both, and after it, as in it, the
side that is GO must pass.
"""

from collections.abc import Iterator, Sequence
from functools import cached_property

from standfast.difference.claims import NONE, Claim, Course
from standfast.difference.conditions import Word
from standfast.difference.likeness import alike, bare_frame
from standfast.difference.node import Node
from standfast.difference.of_one import passing
from standfast.difference.product import Product
from standfast.difference.shown import Editions, Logged, Shown, named, shown
from standfast.difference.side import GO
from standfast.difference.walks import first_way, is_go, lone_go, product_of
from standfast.log.entry import Entry
from standfast.machine.instants import SECOND
from standfast.model.rules import OWN, Effect, Fault, Occurrence, OutOfOrder
from standfast.model.standard import Event, Standard
from standfast.values import evolve, frozen

_EFFORT = 3_000
"""How much is looked at for a log of one event that need not be the shortest."""


@frozen(slots=False)
class EventPart:
    """One event by itself under both editions, and what is known of it; `most`: see `MOST_PAIRS`."""

    editions: Editions
    course: Course
    most: int

    @property
    def starts(self) -> tuple[bool, bool]:
        """Whether it waits for a mark, in the old edition and in the new."""
        old, new = (edition.read.events[0].clause.start is not None for edition in self.editions)
        return old, new

    @cached_property
    def by_both(self) -> Logged | None:
        """The shortest log that passes it on both sides, at one step."""
        if self._alike:
            return self.by_old
        product = product_of(self.editions, on=True)
        return first_way(
            product,
            lambda node: node.old == node.new == GO and _ends(product, node),
            lambda node: (node.old >= 0 and node.new >= 0) or not product.may_end(node),
            self.most,
        )

    @cached_property
    def by_old(self) -> Logged | None:
        return self._by_one(0)

    @cached_property
    def by_new(self) -> Logged | None:
        return self.by_old if self._alike else self._by_one(1)

    @cached_property
    def _alike(self) -> bool:
        return alike(self.editions[0].read, self.editions[1].read)

    def _by_one(self, side: int) -> Logged | None:
        """The shortest log that passes it on one side."""
        product = product_of(self.editions, on=True, alone=side)
        return first_way(
            product,
            lambda node: (node.old, node.new)[side] == GO and _ends(product, node),
            lambda node: (node.old, node.new)[side] >= 0,
            self.most,
        )

    def some_log(self, side: int, *, both: bool) -> Logged | None:
        """A log that passes it on one side, or on `both`; it need not be the shortest."""
        editions = (self.editions[1], self.editions[0]) if side else self.editions
        for log in passing(editions, _EFFORT):
            judged = shown(editions, log)
            if judged is not None and is_go(judged.old) and (is_go(judged.new) or not both):
                return log
        return None


def _ends(product: Product, node: Node) -> bool:
    return node.kind.end or product.may_end(node)


def apart(old: Standard, new: Standard) -> bool:
    """Whether nothing is kept from one event to the next, and no attempt at one tells on another event."""
    events = (*old.events, *new.events)
    return (
        alike_in_events(old, new)
        and bare_frame(old) == bare_frame(new)
        and not (old.grades or old.always.limits)
        and all(map(_keeps_nothing, old.always.faults))
        and all(event.best is None for event in events)
        and not (old.events_in_any_order and any(map(_hurries, events)))
    )


def alike_in_events(old: Standard, new: Standard) -> bool:
    """Whether both have the same events, several of them, in the same order or both in any."""
    labels = [event.label for event in old.events]
    return (
        len(labels) > 1
        and labels == [event.label for event in new.events]
        and old.events_in_any_order == new.events_in_any_order
    )


def _hurries(event: Event) -> bool:
    """Whether it must go on within a time, which an attempt at another event would stop."""
    return event.rest_between is not None and event.rest_between.greatest is not None


def _keeps_nothing(fault: Fault) -> bool:
    """Whether a fault of `always` acts by its entry alone."""
    match fault.trigger:
        case Occurrence(more_than=0, counting=counting):
            return counting == OWN and fault.effect is not Effect.RESTART
        case OutOfOrder():
            return True
        case _:
            return False


def whole_of(editions: Editions, parts: Sequence[EventPart], side: int) -> Claim | None:
    """What follows for one direction of the whole test; None where that is not settled by its events alone."""
    if all(part.course.word is Word.SAME for part in parts):
        return NONE
    lengths = _Lengths(editions, parts, side)
    found = _first_borne_out(editions, lengths, side)
    least = None if found is None else lengths.least()
    return None if found is None else Claim(found, True, least is not None and found.entries <= least)


def some_log(editions: Editions, parts: Sequence[EventPart], side: int) -> Claim | None:
    """A log that shows one direction, though events are tied together otherwise too; None: none was found."""
    found = _first_borne_out(editions, _Lengths(editions, parts, side), side)
    return None if found is None else Claim(found, True, shortest=False)


def _first_borne_out(editions: Editions, lengths: "_Lengths", side: int) -> Shown | None:
    logs = sorted(lengths.logs(), key=lambda log: len(log[0]))
    return next((found for log in logs if (found := lone_go(shown(editions, log), side)) is not None), None)


class _Lengths:
    """The shortest logs that pass each event on both sides, and on the one side."""

    def __init__(self, editions: Editions, parts: Sequence[EventPart], side: int) -> None:
        self.parts = parts
        self.claims = [(part.course.lost, part.course.gained)[side] for part in parts]
        self.others = [(part.course.gained, part.course.lost)[side] for part in parts]
        self.side = side
        whole = [edition.standard for edition in editions]
        self.graded = frozenset().union(*(standard.once_a_grader for standard in whole))
        self.any_order = parts[0].editions[0].read.events_in_any_order

    def logs(self) -> Iterator[Logged]:
        """For each event that has one, its log among those that pass the others."""
        for place, claim in enumerate(self.claims):
            pieces = None if claim.shown is None else self._around(place)
            if claim.shown is None or pieces is None:
                continue
            pieces.insert(place, (claim.shown.old_log.entries, claim.shown.old_log.end))
            order = list(range(len(pieces)))
            if self.any_order:
                order.insert(0, order.pop(place))
            known = [pieces[number] for number in order]
            log = _joined(known, [any(self.parts[number].starts) for number in order])
            yield named(log, self.graded), log[1]

    def _around(self, place: int) -> list[Logged] | None:
        """Logs that pass the other events; None where there is none of one of them."""
        found: list[Logged] = []
        for number, part in enumerate(self.parts):
            if number != place:
                both = number < place and not self.any_order
                log = (part.by_both if both else self._by_one(part)) or part.some_log(self.side, both=both)
                if log is None:
                    return None
                found.append(log)
        return found

    def _by_one(self, part: EventPart) -> Logged | None:
        return part.by_new if self.side else part.by_old

    def least(self) -> int | None:
        """The entries that every log has that is GO on the one side alone; None: not known."""
        if any(claim.word is None or not claim.shortest for claim in (*self.claims, *self.others)):
            return None
        found: list[int] = []
        passes = [_length(self._by_one(part)) for part in self.parts]
        before = passes if self.any_order else [_length(part.by_both) for part in self.parts]
        for place, claims in enumerate(zip(self.claims, self.others, strict=True)):
            for claim, parts_here in zip(claims, (True, False), strict=True):
                if claim.shown is not None:
                    here = claim.entries if parts_here else max(claim.entries, passes[place] or 0)
                    around = [*before[:place], *passes[place + 1 :]]
                    if None in around:
                        return None
                    found.append(here + sum(each for each in around if each is not None))
            if not self.any_order and before[place] is None and place + 1 < len(before):
                return None
        return min(found, default=None)


def _length(log: Logged | None) -> int | None:
    return None if log is None else len(log[0])


def _joined(pieces: Sequence[Logged], starts: Sequence[bool]) -> Logged:
    """The logs one after another; an event that waits for a mark is given a second."""
    entries: list[Entry] = []
    begins, end = 0, None
    for place, ((logged, ends), waits) in enumerate(zip(pieces, starts, strict=True)):
        begins += SECOND if place and waits else 0
        for entry in logged:
            number = len(entries) + 1
            entries.append(evolve(entry, number=number, line=number + 1, at=entry.at + begins))
        end = None if ends is None else ends + begins
        begins = entries[-1].at if end is None else end
    return tuple(entries), end
