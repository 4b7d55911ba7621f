"""What events by themselves make of a whole test, where nothing but their order ties them together.

As long as both editions pass each event at the same instants, they stand alike where the next one begins. A log
that is GO under one alone therefore has an event that this one passes and the other does not at that instant: it
is no shorter than the shortest such log of that event, with the shortest logs that pass the events before it under
both and those after it. That log, if it is borne out, is the shortest; and where no event has such a log, there is
none of the whole test.
"""

from collections.abc import Iterator, Sequence

from attrs import evolve, frozen

from standfast.difference.claims import NONE, Claim, Course
from standfast.difference.likeness import bare_frame
from standfast.difference.shown import Editions, Logged, shown
from standfast.difference.side import GO
from standfast.difference.walks import Sides, first_way, lone_go, product_of, sides_of
from standfast.log.entry import Entry
from standfast.machine.instants import SECOND
from standfast.model.rules import OWN, Effect, Fault, Occurrence, OutOfOrder
from standfast.model.standard import Standard


@frozen
class EventPart:
    """One event by itself under both editions, and what is known of it."""

    editions: Editions
    course: Course

    @property
    def starts(self) -> tuple[bool, bool]:
        """Whether it waits for a mark, in the old edition and in the new."""
        old, new = (edition.read.events[0].clause.start is not None for edition in self.editions)
        return old, new


def apart(old: Standard, new: Standard) -> bool:
    """Whether the events of both follow one another with nothing kept from one to the next."""
    labels = [event.label for event in old.events]
    return (
        len(labels) > 1
        and labels == [event.label for event in new.events]
        and bare_frame(old) == bare_frame(new)
        and not (old.events_in_any_order or old.grades or old.always.limits)
        and all(map(_keeps_nothing, old.always.faults))
        and all(event.best is None for event in (*old.events, *new.events))
    )


def _keeps_nothing(fault: Fault) -> bool:
    """Whether a fault of `always` acts by its entry alone."""
    match fault.trigger:
        case Occurrence(more_than=0, counting=counting):
            return counting == OWN and fault.effect is not Effect.RESTART
        case OutOfOrder():
            return True
        case _:
            return False


def whole_of(editions: Editions, parts: Sequence[EventPart], side: int, most: int) -> Claim | None:
    """What follows for one direction of the whole test; None where that is not settled by its events alone."""
    claims = [(part.course.lost, part.course.gained)[side] for part in parts]
    if all(claim.word is False for claim in claims):
        return NONE
    logs = sorted(_logs(parts, claims, side, most), key=lambda log: len(log[0]))
    for number, log in enumerate(logs):
        found = lone_go(shown(editions, log), side)
        if found is not None:
            tried = len(logs) == sum(claim.shown is not None for claim in claims)
            settled = tried and all(claim.word is not None and claim.shortest for claim in claims)
            return Claim(found, True, number == 0 and settled)
    return None


def _logs(parts: Sequence[EventPart], claims: Sequence[Claim], side: int, most: int) -> Iterator[Logged]:
    """For each event that has one, its log among those that pass the others."""
    parted = [place for place, claim in enumerate(claims) if claim.shown is not None]
    pairs = [sides_of(part.editions) for part in parts]
    before = [_passed(pair, (0, 1), most) for pair in pairs[: parted[-1]]] if parted else []
    after = (
        {place: _passed(pairs[place], (side,), most) for place in range(parted[0] + 1, len(parts))}
        if parted
        else {}
    )
    for place in parted:
        log = claims[place].shown
        assert log is not None
        pieces = [
            *before[:place],
            (log.old_log.entries, log.old_log.end),
            *(after[n] for n in range(place + 1, len(parts))),
        ]
        known = [piece for piece in pieces if piece is not None]
        if len(known) == len(parts):
            yield _joined(known, [any(part.starts) for part in parts])


def _passed(sides: Sides, which: tuple[int, ...], most: int) -> Logged | None:
    """The shortest log that passes an event on these sides, on both at one step."""
    product = product_of(sides, on=True)
    return first_way(
        product,
        lambda node: (
            all((node.old, node.new)[side] == GO for side in which)
            and (node.kind.end or product.may_end(node) is not None)
        ),
        lambda node: (
            all((node.old, node.new)[side] >= 0 for side in which)
            or (len(which) > 1 and product.may_end(node) is None)
        ),
        most,
    )


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
