"""A log understood by the standard it was kept under, and the doubt of its times that a call states."""

from standfast.command.exits import Mistake
from standfast.command.files import Opened
from standfast.command.shelf import Shelf
from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.amount import read_amount
from standfast.log.bind import bound
from standfast.log.entry import Header, SessionLog
from standfast.log.findings import Refused
from standfast.log.reader import read_log
from standfast.log.regular import regular_log
from standfast.model.standard import Standard
from standfast.pipeline import Ready
from standfast.quantity import SECOND, Quantity
from standfast.values import frozen


@frozen
class Understood:
    """A log, and the standard it was understood by, ready for more of them."""

    ready: Ready
    header: Header
    log: SessionLog

    @property
    def standard(self) -> Standard:
        return self.ready.standard


def understand(file: Opened, standards: Shelf) -> tuple[Understood | None, tuple[Diagnostic, ...]]:
    """The log of a file, None with an error; then everything found in it and about its standard."""
    regular = regular_log(file.name, file.data)
    if regular is not None:
        header = regular.opening.header
        standard, more = standards.anew().find(header)  # nothing is told here
        ready = None if standard is None or more else standards.ready(standard)
        session = None if ready is None else ready.known.session_log(regular)
        if ready is not None and session is not None:
            return Understood(ready, header, session), ()
    raw, found = read_log(file.name, file.data)
    if raw is None or has_errors(found):
        return None, found
    standard, more = standards.find(raw.header)
    found += more
    if standard is None:
        return None, found
    ready = standards.ready(standard)
    log, more = bound(raw, ready.known.vocabulary)
    found += more
    if log is None or has_errors(more):
        return None, found
    return Understood(ready, raw.header, log), found


def doubt_of_times(within: str | None) -> Quantity | None:
    """By how much each time of a log may be wrong, as --times-within says it."""
    if within is None:
        return None
    doubt = read_amount(within, "--times-within", SECOND)
    if isinstance(doubt, Refused) or doubt.base <= 0 or doubt.base.denominator > 1:
        raise Mistake('--times-within is a time above nought, in whole microseconds, such as "0.3 s"')
    return doubt
