"""What a step asks of the clocks at its instant."""

from collections.abc import Iterable, Sequence

from standfast.machine.asking import Question
from standfast.machine.parts import Due, Phase
from standfast.machine.zone import Zone

Guard = tuple[int, int | None, int | None]
"""A clock with the least and the greatest value it may have (None: any)."""


def before_all(dues: Iterable[Due]) -> list[Guard]:
    """An entry comes before any of these."""
    return [(due.clock, None, due.after - (due.phase is not Phase.LAST)) for due in dues]


def narrowed(zone: Zone, guards: Sequence[Guard]) -> Zone | None:
    """The part of the zone in which all guards hold; None if there is none."""
    part: Zone | None = zone
    for clock, least, most in guards:
        part = None if part is None else part.within(clock, least=least, most=most)
    return part


def guard_of(question: Question) -> Guard:
    assert question.clock is not None
    if question.answer:
        return question.clock, None, question.length - 1
    return question.clock, question.length, None
