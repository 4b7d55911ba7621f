"""What the command line ends with, by what was found."""

from collections.abc import Iterable

from standfast.command.exits import Exit
from standfast.diagnostic import Diagnostic, Severity
from standfast.verdict import Doubt, Firmness, Outcome, Verdict

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
