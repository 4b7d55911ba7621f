"""Logs changed by a little, so that a figure lies where it is wanted: just within a limit, or just beyond it.

What is wanted of a figure is asked of one entry at a time: another value, a later time, one entry more or less.
Nothing here is believed: whoever asks for a log grades it.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

from standfast.log.entry import Entry, SessionLog
from standfast.model.rules import FigureKind, Limit, Part
from standfast.model.standard import Mark, Standard
from standfast.proofing.edges import step
from standfast.quantity import Quantity, Unit
from standfast.values import evolve
from standfast.verdict import Measure

_VALUES = frozenset(
    {
        FigureKind.TOTAL,
        FigureKind.LARGEST,
        FigureKind.SMALLEST,
        FigureKind.EACH,
        FigureKind.LAST,
        FigureKind.READING,
    }
)


_MOST_ADDED = 6


def edited(
    standard: Standard, limit: Limit, base: SessionLog, figure: Measure | None, wanted: Quantity
) -> Iterator[SessionLog]:
    """Logs in which the limit's figure may be `wanted`; `figure` is what it is in the log as it stands."""
    parts = limit.figure.parts or (Part(limit.figure.kind, limit.figure.mark, None),)
    missing = None if figure is None else wanted.base - figure.base
    if missing == 0:
        yield base
    for part in parts:
        if part.kind in _VALUES:
            assert part.mark is not None
            yield from _valued(standard, base, part.mark, missing, wanted, alone=len(parts) == 1)
        elif part.kind is FigureKind.COUNT and missing is not None:
            yield from _counted(base, _declared(standard, part.mark), int(missing))
    values = [part.mark for part in parts if part.kind in _VALUES and part.mark is not None]
    for mark in values if len(values) > 1 else ():
        yield _with_all_in_one(base, values, mark, wanted)
    if any(part.kind is FigureKind.TIME for part in parts) and missing is not None:
        yield from _delayed(base, int(missing))
    if limit.figure.kind is FigureKind.RATE:
        yield from _paced(base, _declared(standard, limit.figure.mark), wanted)


def _declared(standard: Standard, name: str | None) -> Mark:
    mark = standard.mark(name or "")
    assert mark is not None
    return mark


def _valued(
    standard: Standard, base: SessionLog, mark: str, missing: Fraction | None, wanted: Quantity, *, alone: bool
) -> Iterator[SessionLog]:
    """One entry, or each, with another value; or one more entry."""
    places = [number for number, entry in enumerate(base.entries) if entry.mark == mark]
    declared = _declared(standard, mark)
    assert declared.unit is not None
    if alone:
        for number in reversed(places):
            yield _with_value(base, (number,), wanted)
        yield _with_value(base, places, wanted)
    for number in reversed(places):
        value = base.entries[number].value
        if missing is not None and isinstance(value, Quantity) and value.base + missing >= 0:
            yield _with_value(base, (number,), _amount(value.base + missing, value.unit))
    more = wanted if alone else None
    if missing is not None and missing > 0:
        more = _amount(missing, declared.unit)
    for each in dict.fromkeys((more, wanted if alone else None)):
        if each is not None:
            yield from (_inserted(base, number, mark, each) for number in range(1, len(base.entries) + 1))
    for many in range(2, _MOST_ADDED + 1) if missing is not None and missing > 0 else ():
        shares = [Fraction((missing or 0) // many)] * (many - 1)
        shares.append((missing or Fraction(0)) - sum(shares))
        for number in range(1, len(base.entries) + 1):
            log = base
            for share in shares:
                log = _inserted(log, number, mark, _amount(share, declared.unit))
            yield log


def _amount(amount: Fraction, unit: Unit) -> Quantity:
    return Quantity(((amount / unit.factor, unit),))


def _with_value(base: SessionLog, numbers: Iterable[int], value: Quantity) -> SessionLog:
    changed = set(numbers)
    entries = (evolve(e, value=value) if n in changed else e for n, e in enumerate(base.entries))
    return evolve(base, entries=tuple(entries))


def _with_all_in_one(base: SessionLog, marks: Iterable[str], mark: str, value: Quantity) -> SessionLog:
    """The whole of a sum in the last entry of one mark, nothing in the others."""
    places = {each: [n for n, entry in enumerate(base.entries) if entry.mark == each] for each in marks}
    nothing = [number for each in places.values() for number in each]
    return _with_value(_with_value(base, nothing, _amount(Fraction(0), value.unit)), places[mark][-1:], value)


def _inserted(base: SessionLog, number: int, mark: str, value: str | Quantity | None) -> SessionLog:
    """One more entry, at the instant of the one before it."""
    before = base.entries[number - 1]
    new = Entry(number=0, line=0, at=before.at, mark=mark, value=value, candidate=before.candidate, by="G-1")
    return _numbered(base, [*base.entries[:number], new, *base.entries[number:]])


def _one_more(base: SessionLog, number: int, mark: Mark) -> SessionLog:
    """One more entry of the mark, with the value of the first there is; else with one that it may have."""
    value: str | Quantity | None = mark.choices[0] if mark.choices else None
    if mark.unit is not None:
        value = _amount(mark.unit.factor, mark.unit)
    alike = next((entry.value for entry in base.entries if entry.mark == mark.name), value)
    return _inserted(base, number, mark.name, alike)


def _numbered(base: SessionLog, entries: Iterable[Entry]) -> SessionLog:
    counted = (evolve(entry, number=n, line=n + 1) for n, entry in enumerate(entries, 1))
    return evolve(base, entries=tuple(counted))


def _counted(base: SessionLog, mark: Mark, missing: int) -> Iterator[SessionLog]:
    """So many entries more, or less, in one place."""
    if missing > 0:
        for number in range(1, len(base.entries) + 1):
            log = base
            for _ in range(missing):
                log = _one_more(log, number, mark)
            yield log
    places = [number for number, entry in enumerate(base.entries) if entry.mark == mark.name]
    for first in range(len(places) + missing + 1 if missing < 0 else 0):
        left_out = set(places[first : first - missing])
        yield _numbered(base, [entry for n, entry in enumerate(base.entries) if n not in left_out])


def _delayed(base: SessionLog, by: int) -> Iterator[SessionLog]:
    """Everything from one entry on so much later; or earlier, where there is room."""
    for first in reversed(range(1, len(base.entries) + 1)):
        yield from _moved(base, first, by)


def _moved(base: SessionLog, first: int, by: int) -> Iterator[SessionLog]:
    entries = [evolve(e, at=e.at + by) if n >= first else e for n, e in enumerate(base.entries)]
    in_order = all(one.at <= other.at for one, other in pairwise(entries))
    end = None if base.end is None else base.end + by
    if in_order and (end is None or end >= entries[-1].at):
        yield evolve(base, entries=tuple(entries), end=end)


def _paced(base: SessionLog, mark: Mark, wanted: Quantity) -> Iterator[SessionLog]:
    """The last entry of the mark moved, or two more of them put in, so that they come at that rate."""
    places = [number for number, entry in enumerate(base.entries) if entry.mark == mark.name]
    if not wanted.base:
        return
    for first in range(len(places) - 1):
        for last in range(first + 1, len(places)):
            takes = (last - first) / wanted.base
            lasts = base.entries[places[last]].at - base.entries[places[first]].at
            for micros in _beside(takes):
                yield from _moved(base, places[last], micros - lasts)
    for number in range(1, len(base.entries) + 1):
        for micros in _beside(1 / wanted.base):
            two = _one_more(_one_more(base, number, mark), number + 1, mark)
            yield from _moved(two, number + 1, micros)


def _beside(micros: Fraction) -> Iterator[int]:
    """The whole microseconds next to an instant, itself first where it is one."""
    yield from dict.fromkeys((int(-(-micros // 1)), int(micros // 1), int(micros // 1) + 1, int(micros // 1) - 1))


def by_one_again(log: SessionLog, mark: str) -> Iterator[SessionLog]:
    """The log with its last entry, if it is one of the mark, by the grader of an earlier one."""
    *before, last = log.entries
    earlier = next((entry.by for entry in before if entry.mark == mark), None)
    if last.mark == mark and earlier is not None:
        yield evolve(log, entries=(*before, evolve(last, by=earlier)))


def without_last(log: SessionLog) -> SessionLog:
    return evolve(log, entries=log.entries[:-1])


def shortened(log: SessionLog) -> Iterator[SessionLog]:
    """The log with its last step just not taken: a microsecond less, less of a total, or one mark less."""
    if log.end is not None and log.end > log.entries[-1].at:
        yield evolve(log, end=log.end - 1)
        return
    last = log.entries[-1].value
    less = step(last, -1) if isinstance(last, Quantity) else None
    if less is not None:
        yield _with_value(log, (len(log.entries) - 1,), less)
    yield without_last(log)
