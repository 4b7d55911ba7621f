"""What two editions have in common as meant: values with nothing left in them that no verdict depends on.

Left out are places in the text, words, sentences, titles, guidance, and the numbers that only say where a line
stands. Amounts are in base units: 1 min is 60 s. What stays is compared by plain equality.
"""

from collections.abc import Mapping
from enum import Enum
from functools import cache

from standfast.model.rules import OnlyFor, Rule, ScoreRow
from standfast.model.standard import Event, Grade, Standard
from standfast.quantity import Quantity, Unit
from standfast.values import names_of

_TOLD = {"span", "sentence", "title", "guidance", "order", "depth", "last_words", "pace", "paced", "acceptances"}
"""Fields that say how something is told or found, and decide nothing."""


_PLAIN = frozenset({str, int, bool, type(None)})


def bare(thing: object) -> object:
    """A part of a model without what decides nothing; two that are equal mean the same."""
    kind: type = type(thing)
    if kind in _PLAIN:
        return thing
    kept = _kept(kind)
    if kept is not None:
        return kind.__name__, *[(name, bare(getattr(thing, name))) for name in kept]
    match thing:
        case tuple():
            return tuple(map(bare, thing))
        case Quantity():
            return thing.dimension.value, thing.base
        case Unit():
            return thing.dimension.value
        case Enum():
            return thing.value
        case Event():
            return bare_event(thing)
        case Mapping():
            return tuple(sorted((key, bare(value)) for key, value in thing.items()))
        case _:
            return thing


@cache
def _kept(kind: type) -> tuple[str, ...] | None:
    """The fields of a class of values that decide something; None of what is looked at in another way."""
    names = None if issubclass(kind, Quantity | Unit | Event) else names_of(kind)
    if names is None:
        return None
    worded = issubclass(kind, Rule | OnlyFor | ScoreRow)
    return tuple(name for name in names if name not in _TOLD and not (worded and name == "words"))


def bare_event(event: Event) -> object:
    """An event but for its own conditions, which make the whole session VOID."""
    best = None if event.best is None else (bare(event.best.figure), event.best.least)
    return bare(event.clause), event.attempts, bare(event.rest_between), event.carry_on, best


def bare_frame(standard: Standard) -> object:
    """What holds around the events: `always`, the grades, and the header's lines that decide."""
    lines = (standard.carry_on, standard.events_in_any_order, standard.owed_fails)
    readings = tuple((mark.name, bare(mark.readings)) for mark in standard.marks if mark.readings is not None)
    return bare(standard.always), tuple(_grade(grade) for grade in standard.grades), lines, readings


def _grade(grade: Grade) -> object:
    return grade.name, bare(grade.limits)


def alike(old: Standard, new: Standard) -> bool:
    """Whether two editions mean the same for every log, by their models alone; conditions are left aside."""
    return bare_frame(old) == bare_frame(new) and bare(old.events) == bare(new.events)
