"""The page: text, syntax, model, machine, verdicts.

Each stage returns its value and everything it has to say; the value is None exactly when there is an error
among that.
"""

from functools import cached_property

from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.bind import bound
from standfast.log.entry import SessionLog
from standfast.log.known import Known
from standfast.log.reader import read_log
from standfast.log.regular import regular_log
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.standard import Standard
from standfast.moves.replayed import Replays
from standfast.quantity import Quantity
from standfast.source import Source
from standfast.values import frozen
from standfast.verdict import Verdict


def load_standard(source: Source) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    """A standard as meant, from its text."""
    from standfast.language.reader import read  # here, since most commands that grade need no parser
    from standfast.model.resolve import resolve

    tree, found = read(source)
    if tree is None or has_errors(found):
        return None, found
    standard, more = resolve(tree)
    return (None if has_errors(more) else standard), found + more


@frozen(slots=False, eq=False)
class Ready:
    """A standard made ready for logs: its machine, and what they say again and again, each worked out once."""

    standard: Standard

    @cached_property
    def machine(self) -> Machine:
        return compile_standard(self.standard)

    @cached_property
    def replays(self) -> Replays:
        return Replays(self.machine)

    @cached_property
    def known(self) -> Known:
        return Known(self.standard)

    def log(self, name: str, data: bytes) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
        """A session log understood, from the bytes of its file; `name` is what messages call it."""
        regular = regular_log(name, data)
        log = None if regular is None else self.known.session_log(regular)
        if log is not None:
            return log, ()
        raw, found = read_log(name, data)
        if raw is None or has_errors(found):
            return None, found
        log, more = bound(raw, self.known.vocabulary)
        return (None if has_errors(more) else log), found + more

    def grade(self, log: SessionLog, doubt: Quantity | None = None) -> tuple[Verdict, ...]:
        """One verdict a candidate, in the order of the log's candidates.

        `doubt`: by how much each time may be wrong, to either side; None: what the standard says of it.
        """
        verdicts = self.replays.verdicts(log)
        within = self.standard.times_within if doubt is None else doubt
        if within is None:
            return verdicts
        from standfast.doubt import weighed  # here, since most standards state no doubt

        return weighed(self.machine, log, verdicts, int(within.base))


def load_log(name: str, data: bytes, standard: Standard) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    """One log, as `Ready` reads many."""
    return Ready(standard).log(name, data)


def grade(standard: Standard, log: SessionLog, doubt: Quantity | None = None) -> tuple[Verdict, ...]:
    """The verdicts of one log, as `Ready` gives those of many."""
    return Ready(standard).grade(log, doubt)
