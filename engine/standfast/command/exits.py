"""What the command line ends with, named once."""

from collections.abc import Iterable
from enum import IntEnum

from standfast.diagnostic import Diagnostic, Severity
from standfast.verdict import Doubt, Firmness, Outcome, Verdict


class Mistake(Exception):
    """A command that asks for what cannot be; the words say why."""


class Exit(IntEnum):
    NOTHING_TO_OBJECT = 0
    OBJECTION = 1  # a verdict other than GO, a close call, a doubt that is not accepted
    ERROR = 2  # an error was reported, whatever else was
    INTERRUPTED = 130  # stopped from the keyboard
    CLOSED_PIPE = 141  # whoever read the output went away


_EXITS = {Severity.ERROR: Exit.ERROR, Severity.DOUBT: Exit.OBJECTION}


def _stands(doubt: Doubt | None) -> bool:
    return doubt is None or doubt.firmness is Firmness.STANDS


def exit_for(found: Iterable[Diagnostic | Verdict]) -> Exit:
    worst = Exit.NOTHING_TO_OBJECT
    for one in found:
        if isinstance(one, Diagnostic):
            if one.accepted is None:
                worst = max(worst, _EXITS.get(one.severity, Exit.NOTHING_TO_OBJECT))
        elif one.outcome is not Outcome.GO or not _stands(one.doubt):
            worst = max(worst, Exit.OBJECTION)
    return worst
