"""What a step asks of the clocks at its instant."""

from collections.abc import Iterable

from standfast.machine.asking import Question
from standfast.machine.parts import Due, Phase
from standfast.machine.zone import Guard


def before_all(dues: Iterable[Due]) -> list[Guard]:
    """An entry comes before any of these."""
    return [(due.clock, None, due.after - (due.phase is not Phase.LAST)) for due in dues]


def guard_of(question: Question) -> Guard:
    assert question.clock is not None
    if question.answer:
        return question.clock, None, question.length - 1
    return question.clock, question.length, None
