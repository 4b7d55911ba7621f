"""The page: text, syntax, model, machine, verdicts.

Each stage returns its value and everything it has to say; the value is None exactly when there is an error
among that.
"""

from standfast.diagnostic import Diagnostic, has_errors
from standfast.doubt import weighed
from standfast.language.reader import read
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.machine.compile import compile_standard
from standfast.model.resolve import resolve
from standfast.model.standard import Standard
from standfast.quantity import Quantity
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import Verdict


def load_standard(source: Source) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    """A standard as meant, from its text."""
    tree, found = read(source)
    if tree is None or has_errors(found):
        return None, found
    standard, more = resolve(tree)
    return (None if has_errors(more) else standard), found + more


def load_log(name: str, data: bytes, standard: Standard) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    """A session log understood by a standard, from the bytes of its file; `name` is what messages call it."""
    raw, found = read_log(name, data)
    if raw is None or has_errors(found):
        return None, found
    log, more = bind(raw, standard)
    return (None if has_errors(more) else log), found + more


def grade(standard: Standard, log: SessionLog, doubt: Quantity | None = None) -> tuple[Verdict, ...]:
    """One verdict a candidate, in the order of the log's candidates.

    `doubt`: by how much each time may be wrong, to either side; None: what the standard says of it.
    """
    machine = compile_standard(standard)
    verdicts = replay(machine, log)
    within = standard.times_within if doubt is None else doubt
    return verdicts if within is None else weighed(machine, log, verdicts, int(within.base))
