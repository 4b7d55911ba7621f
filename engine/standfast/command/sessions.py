"""A log understood by the standard it was kept under, and the doubt of its times that a call states."""

from attrs import frozen

from standfast.command.exits import Mistake
from standfast.command.files import Opened
from standfast.command.shelf import Shelf
from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.amount import read_amount
from standfast.log.bind import bind
from standfast.log.entry import Header, SessionLog
from standfast.log.findings import Refused
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.quantity import SECOND, Quantity


@frozen
class Understood:
    standard: Standard
    header: Header
    log: SessionLog


def understand(file: Opened, standards: Shelf) -> tuple[Understood | None, tuple[Diagnostic, ...]]:
    """The log of a file, None with an error; then everything found in it and about its standard."""
    raw, found = read_log(file.name, file.data)
    if raw is None or has_errors(found):
        return None, found
    standard, more = standards.find(raw.header)
    found += more
    if standard is None:
        return None, found
    log, more = bind(raw, standard)
    found += more
    if log is None or has_errors(more):
        return None, found
    return Understood(standard, raw.header, log), found


def doubt_of_times(within: str | None) -> Quantity | None:
    """By how much each time of a log may be wrong, as --times-within says it."""
    if within is None:
        return None
    doubt = read_amount(within, "--times-within", SECOND)
    if isinstance(doubt, Refused) or doubt.base <= 0 or doubt.base.denominator > 1:
        raise Mistake('--times-within is a time above nought, in whole microseconds, such as "0.3 s"')
    return doubt
