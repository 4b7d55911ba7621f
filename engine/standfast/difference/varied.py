"""A log near one that did not show what it should: other amounts where some are measured, and later entries.

A way through both machines does not say what amounts make a figure that is only kept, or how long a clause must
last for a sum of times. Amounts that the standards name are tried, and seconds more; whether a log shows anything
is seen when it is judged.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence

from standfast.difference.shown import Edition, Editions, Logged, Shown, shown
from standfast.log.entry import Entry
from standfast.machine.instants import SECOND
from standfast.machine.witness import CANDIDATE
from standfast.model.rules import Figure, Limit, Score, Test
from standfast.model.standard import Standard
from standfast.quantity import Dimension, Quantity, spoken_in
from standfast.replay import replay
from standfast.values import evolve
from standfast.verdict import Verdict

_LATER = (SECOND, 2 * SECOND, 5 * SECOND)
"""How much later an entry and all after it are tried."""


_MOST_TIMES = 3
"""Times that one edition alone names, of which an entry is tried later by each."""

Wanted = Callable[[Verdict, Verdict], bool]
"""Whether the verdicts of the old and of the new edition are what a log should show."""


def varied(editions: Editions, way: Logged, wanted: Wanted) -> Shown | None:
    """A log near the way that shows what is wanted; None if none was found."""
    for log in (*_with_other_amounts(editions, way), *_later(way, (*_LATER, *_times_apart(editions)))):
        if wanted(*(_replayed(edition, log) for edition in editions)):
            found = shown(editions, log)
            if found is not None and wanted(found.old, found.new):
                return found
    return None


def _replayed(edition: Edition, log: Logged) -> Verdict:
    verdicts = replay(edition.machine, edition.session(*log))
    return next(each for each in verdicts if each.candidate == CANDIDATE)


def _with_other_amounts(editions: Editions, way: Logged) -> Iterator[Logged]:
    """All entries of a mark with one amount, then each entry by itself."""
    entries, end = way
    measured = [number for number, entry in enumerate(entries) if isinstance(entry.value, Quantity)]
    for mark in dict.fromkeys(entries[number].mark for number in measured):
        places = [number for number in measured if entries[number].mark == mark]
        amounts = tuple(dict.fromkeys(_amounts(editions, mark)))
        for chosen in ([places] if len(places) > 1 else []) + [[place] for place in places]:
            for amount in amounts:
                yield _with(entries, chosen, amount), end


def _with(entries: tuple[Entry, ...], chosen: Iterable[int], amount: Quantity) -> tuple[Entry, ...]:
    places = frozenset(chosen)
    return tuple(evolve(e, value=amount) if number in places else e for number, e in enumerate(entries))


def _amounts(editions: Editions, mark: str) -> Iterator[Quantity]:
    """Those that either edition compares a figure of the mark with, or each part of a sum's."""
    for standard in (edition.read for edition in editions):
        declared = standard.mark(mark)
        for figure, test in _tests(standard):
            named = {figure.mark, *(part.mark for part in figure.parts)}
            if mark in named and declared is not None and declared.unit is not None:
                ends = [end for end in test.ends() if end.dimension is declared.unit.dimension]
                yield from ends
                for share in (spoken_in(end.base / (len(figure.parts) or 1), declared.unit) for end in ends):
                    if share not in ends and (share.base / declared.unit.factor * 10**6).denominator == 1:
                        yield share


def _times_apart(editions: Editions) -> Iterator[int]:
    """More than the times that one edition alone names, in microseconds."""
    old, new = (
        {end.base for _, test in _tests(edition.read) for end in test.ends() if end.dimension is Dimension.TIME}
        for edition in editions
    )
    yield from (int(time) + SECOND for time in sorted(old ^ new)[:_MOST_TIMES])


def _tests(standard: Standard) -> Iterator[tuple[Figure, Test]]:
    for rule in standard.rules():
        if isinstance(rule, Limit):
            yield rule.figure, rule.test
        elif isinstance(rule, Score):
            yield from ((row.figure, row.test) for row in rule.rows)


def _later(way: Logged, more_by: Sequence[int]) -> Iterator[Logged]:
    entries, end = way
    for place in range(1, len(entries) + (end is not None)):
        for more in more_by:
            shifted = tuple(
                evolve(e, at=e.at + more) if number >= place else e for number, e in enumerate(entries)
            )
            yield shifted, None if end is None else end + more
