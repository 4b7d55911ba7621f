"""Logs that pass one edition, from its machine alone led towards GO: some of them may not pass another edition.

That costs far less than to walk both together. What the other edition makes of such a log is seen when it is
judged.
"""

from collections.abc import Iterator
from itertools import islice

from standfast.difference.marks import shared_marks
from standfast.difference.shown import Edition, Editions, Logged, named
from standfast.log.entry import Entry
from standfast.machine.ahead import left, test_go
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer
from standfast.machine.witness import log_of

_MOST_WAYS = 60
"""Ways to GO that are looked at."""


def passing(editions: Editions, effort: int) -> Iterator[Logged]:
    """Logs of marks and values that both know, and that the old edition's machine takes to GO."""
    machine = editions[0].side.machine
    known, graded = _known(editions), frozenset().union(*(_graded(edition) for edition in editions))
    for deep in (False, True):
        found = False
        explorer = Explorer(machine, effort=Effort(effort // 2))
        for node in islice(filter(test_go, explorer.onward(None, left(machine), deep=deep)), _MOST_WAYS):
            log = log_of(machine, node, session="passing", effort=Effort(effort))
            if log is not None and all((entry.mark, _word(entry)) in known for entry in log.entries):
                found = True
                yield named((log.entries, log.end), graded), log.end
        if found or not explorer.effort.spent:
            return


def _graded(edition: Edition) -> frozenset[str]:
    return edition.standard.once_a_grader


def _known(editions: Editions) -> frozenset[tuple[str, str | None]]:
    """The marks that can be logged under both, each with a word that can be its value (None: none)."""
    shared = shared_marks(*(edition.side.machine for edition in editions))
    found = set[tuple[str, str | None]]()
    for mark in shared:
        found |= {(mark.name, value if isinstance(value, str) else None) for value, _ in mark.values}
        found |= {(mark.name, name) for name in mark.rounds or ()}
    return frozenset(found)


def _word(entry: Entry) -> str | None:
    return entry.value if isinstance(entry.value, str) else None
