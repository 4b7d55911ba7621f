"""The verdicts of many logs of one standard: those that `replay` gives, by learned moves where they pay."""

from collections.abc import Callable
from functools import partial

from standfast.account import Account
from standfast.log.entry import SessionLog
from standfast.machine.parts import Machine
from standfast.machine.state import State
from standfast.replay import plainly, verdict_on
from standfast.values import define, field
from standfast.verdict import Verdict, of_each_candidate

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from standfast.moves.learned import Learned

PLAIN = 8
"""So many runs through a machine are made the plain way before moves are learned. To learn one takes as long as
some twenty steps, which is won back only where logs are many."""


Run = Callable[[SessionLog, str], tuple[Account, State] | None]
"""By learned moves; None where they will not do."""


@define(eq=False)
class Replays:
    """Of one standard; what was learned with a log serves those after it.

    `plain`: how many runs are made the plain way first. `practices` are by the identity of a candidate's machine;
    `machine` holds those.
    """

    machine: Machine
    plain: int = PLAIN
    practices: "dict[int, _Practice]" = field(factory=dict)

    def verdicts(self, log: SessionLog) -> tuple[Verdict, ...]:
        """Of one log, in the order of its candidates."""
        by_anyone = self.machine.standard.by_anyone if log.corrections else ()
        return of_each_candidate(log, by_anyone, self._verdict)

    def _verdict(self, log: SessionLog, candidate: str) -> Verdict:
        return verdict_on(self.machine, log.while_there(candidate), candidate, self._way)

    def _way(self, machine: Machine, log: SessionLog, candidate: str) -> tuple[Account, State]:
        practice = self.practices.get(id(machine))
        if practice is None:
            practice = self.practices[id(machine)] = _Practice(machine, self.plain)
        return practice.way(log, candidate)


@define(eq=False)
class _Practice:
    """How often a machine was run through plainly, and what was learned of it."""

    machine: Machine
    plain: int
    plainly: int = 0
    learned: "Learned | None" = None
    run: "Run | None" = None

    def way(self, log: SessionLog, candidate: str) -> tuple[Account, State]:
        run = self.run or self._learning()
        went = None if run is None else run(log, candidate)
        if went is None:
            self.plainly += 1
            return plainly(self.machine, log, candidate)
        return went

    def _learning(self) -> "Run | None":
        """How logs are run from now on, if it is time to learn moves."""
        if self.plainly >= self.plain:
            from standfast.moves.learned import Learned  # here, since most commands grade a few logs
            from standfast.moves.run import run

            self.learned = Learned(self.machine)
            self.run = partial(run, self.learned)
        return self.run
