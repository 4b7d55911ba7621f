"""Logs in which rounds go otherwise: so many of them made, so many missed, so far.

Each round is made or missed by one kind of entry; rounds that take more than that are left as they are. Nothing
here is believed: whoever asks for a log grades it.
"""

from collections.abc import Iterator

from attrs import evolve

from standfast.log.entry import Entry, SessionLog
from standfast.model.rules import Effect, Fault, FigureKind, Misses, Occurrence, Pattern, Until
from standfast.model.standard import Clause, Standard
from standfast.quantity import Quantity

_SECOND = 1_000_000
_MOST = 60
"""Rounds of which every number made is tried."""

Ways = tuple[bool, ...]
"""For each round that is tried in turn whether it is made, else it is missed."""


def tried(
    standard: Standard, path: str, base: SessionLog, kind: FigureKind, wanted: int | None
) -> Iterator[SessionLog]:
    """The log with the rounds at a path made and missed in other ways, with the figure `wanted` (None: any)."""
    walked = (clause for event in standard.events for clause in event.clause.walk())
    clause = next(clause for clause in walked if clause.path == path)
    make, miss = _make(clause), _miss(clause)
    if clause.rounds is None or make is None or miss is None or len(clause.rounds.rounds) > _MOST:
        return
    places = [number for number, entry in enumerate(base.entries) if entry.mark in (make.mark, miss.mark)]
    for way in dict.fromkeys(_ways(len(clause.rounds.rounds))):
        if places and (wanted is None or _figure(way, kind) == wanted):
            marks = list(_marks(clause, way, make, miss))
            yield _replaced(base, places[0], places[-1], marks)


def _make(clause: Clause) -> Pattern | None:
    goal = clause.goal
    return goal.pattern if isinstance(goal, Until) and goal.number == 1 else None


def _miss(clause: Clause) -> Pattern | None:
    for fault in clause.faults:
        match fault:
            case Fault(effect=Effect.MISS, trigger=Occurrence(pattern=pattern, more_than=0)):
                return pattern
    return None


def _ways(rounds: int) -> Iterator[Ways]:
    """Those made first, last or evenly among the missed; and one alone, with none made after it."""
    for made in range(rounds + 1):
        missed = rounds - made
        yield (True,) * made + (False,) * missed
        yield tuple((n + 1) * made // rounds > n * made // rounds for n in range(rounds))
        yield (False,) * missed + (True,) * made
        yield (False,) * (made - 1) + (True,) * (made > 0) + (False,) * missed


def _figure(way: Ways, kind: FigureKind) -> int:
    match kind:
        case FigureKind.MADE:
            return way.count(True)
        case FigureKind.MISSED:
            return way.count(False)
        case _:
            return max((number for number, made in enumerate(way, 1) if made), default=0)


def _marks(clause: Clause, way: Ways, make: Pattern, miss: Pattern) -> Iterator[Pattern]:
    """What is to be logged, up to where misses end the rounds."""
    assert clause.rounds is not None
    ends = [fault.trigger for fault in clause.faults if isinstance(fault.trigger, Misses)]
    row = misses = 0
    for made in way:
        for _ in range(1 if made else clause.rounds.tries):
            yield make if made else miss
            row, misses = (0, misses) if made else (row + 1, misses + 1)
            if any((row if end.in_a_row else misses) >= end.number for end in ends):
                return


def _replaced(base: SessionLog, first: int, last: int, marks: list[Pattern]) -> SessionLog:
    """These marks, a second apart, for the entries from the first to the last; what follows is moved along."""
    before = base.entries[first]
    new = [
        evolve(before, at=before.at + n * _SECOND, mark=each.mark, value=_value(base, each))
        for n, each in enumerate(marks)
    ]
    by = before.at + (len(new) - 1) * _SECOND - base.entries[last].at
    after = [evolve(entry, at=entry.at + by) for entry in base.entries[last + 1 :]]
    entries: list[Entry] = [*base.entries[:first], *new, *after]
    numbered = tuple(evolve(entry, number=n, line=n + 1) for n, entry in enumerate(entries, 1))
    return evolve(base, entries=numbered, end=None if base.end is None else base.end + by)


def _value(base: SessionLog, pattern: Pattern) -> str | Quantity | None:
    """One that fits: that of an entry there is, else none, which is the open round where the mark names one."""
    fitting = (entry.value for entry in base.entries if pattern.fits(entry.mark, entry.value))
    return next((value for value in fitting if isinstance(value, Quantity) or pattern.choices), None)
