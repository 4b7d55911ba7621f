"""How a verdict that was given again differs from the one in the record."""

import json
from collections.abc import Iterator, Mapping
from enum import Enum
from itertools import zip_longest

from standfast.record.entry import Plain
from standfast.values import frozen

_LISTED = 3
_ROOM = 60  # characters of a value in a message
_NOTHING = object()


class State(Enum):
    """What became of a record's verdict when it was graded again."""

    FITS = "fits"
    DIFFERS = "differs"
    NOT_GRADED = "not graded"
    DAMAGED = "damaged"  # the record itself is: what it says is not to be relied on


@frozen
class Change:
    """One place in a verdict's document (`events[0].outcome`) with what was and what is there, as JSON; None
    where there was or is nothing.
    """

    path: str
    then: str | None
    now: str | None


def changes(then: Plain, now: Plain) -> tuple[Change, ...]:
    return tuple(_changes("", then, now))


def told(found: tuple[Change, ...]) -> str:
    """The first of them in words, and how many more there are."""
    said = [f"`{each.path}` was {_short(each.then)} and is {_short(each.now)}" for each in found[:_LISTED]]
    more = len(found) - _LISTED
    return "; ".join(said) + (f"; and {more} more" if more > 0 else "")


def _changes(path: str, then: object, now: object) -> Iterator[Change]:
    if isinstance(then, Mapping) and isinstance(now, Mapping):
        for key in [*then, *(key for key in now if key not in then)]:
            inside = f"{path}.{key}" if path else str(key)
            yield from _changes(inside, then.get(key, _NOTHING), now.get(key, _NOTHING))
    elif isinstance(then, list) and isinstance(now, list):
        for number, (old, new) in enumerate(zip_longest(then, now, fillvalue=_NOTHING)):
            yield from _changes(f"{path}[{number}]", old, new)
    elif then != now:
        yield Change(path, _json(then), _json(now))


def _json(value: object) -> str | None:
    return None if value is _NOTHING else json.dumps(value, ensure_ascii=False)


def _short(value: str | None) -> str:
    if value is None:
        return "not there"
    return f"`{value}`" if len(value) <= _ROOM else f"`{value[:_ROOM]}...`"
