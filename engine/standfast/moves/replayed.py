"""The verdicts of many logs of one standard: the same as `replay` gives, by learned moves where those pay."""

from standfast.account import Account
from standfast.log.entry import SessionLog
from standfast.machine.parts import Machine
from standfast.machine.state import State
from standfast.moves.known import Unlearnable
from standfast.moves.learned import Learned
from standfast.moves.run import run
from standfast.replay import plainly, verdict_on
from standfast.values import define
from standfast.verdict import Verdict, of_each_candidate

PLAIN = 8
"""So many logs of a machine are replayed the plain way before moves are learned: learning one takes as long as some
twenty steps, and a class of a few candidates never wins that back."""


def replayed(machine: Machine, log: SessionLog) -> tuple[Verdict, ...]:
    """The verdicts of one log, in the order of its candidates."""
    return of_each_candidate(
        log,
        machine.standard.by_anyone if log.corrections else (),
        lambda part, each: verdict_on(machine, part.while_there(each), each, _practised),
    )


@define(eq=False)
class _Practice:
    """What this process has seen of a machine."""

    logs: int = 0
    learned: Learned | None = None


def _practised(machine: Machine, log: SessionLog, candidate: str) -> tuple[Account, State]:
    practice = machine.beside.setdefault("practice", _Practice())
    assert isinstance(practice, _Practice)
    practice.logs += 1
    if practice.logs <= PLAIN:
        return plainly(machine, log, candidate)
    if practice.learned is None:
        practice.learned = Learned(machine)
    try:
        return run(practice.learned, log, candidate)
    except Unlearnable:
        return plainly(machine, log, candidate)
