"""A part of a model taken apart into what is meant by it: figures, and everything else that decides something.

Left out is what only says how a thing is told or where it stands: sentences, titles, words, paths and places. An
amount is held in its base unit: 1 min is 60 s.
"""

from collections.abc import Iterator, Mapping
from enum import Enum

from standfast.model.rules import Figure, Part, Test
from standfast.quantity import Quantity, Unit
from standfast.values import evolve, field, frozen, names_of

_PLACED = {"span", "order", "depth", "path", "name", "label", "shared"}
_TOLD = _PLACED | {"sentence", "title", "guidance", "words", "last_words", "pace", "paced", "says_breach"}


@frozen
class Facet:
    """One thing a part of a standard says, by the way to it; of a figure `said` is how it is written."""

    trail: tuple[str, ...]
    value: object
    said: str | None = field(default=None, eq=False)


def facets(thing: object, *without: str) -> tuple[Facet, ...]:
    """What is meant by a value of the model, but for the fields named: two that are equal mean the same."""
    return tuple(_facets(thing, (), frozenset(without)))


def _facets(thing: object, trail: tuple[str, ...], without: frozenset[str]) -> Iterator[Facet]:
    match thing:
        case Quantity():
            yield Facet(trail, (thing.dimension.value, thing.base), str(thing))
        case bool() | None | str():
            yield Facet(trail, thing)
        case int():
            yield Facet(trail, thing, str(thing))
        case Unit():
            yield Facet(trail, thing.dimension.value)
        case Enum():
            yield Facet(trail, thing.name)
        case tuple() if trail and trail[-1] == "choices":
            yield Facet(trail, tuple(sorted(thing)))
        case tuple():
            for number, each in enumerate(thing):
                yield from _facets(each, (*trail, str(number)), without)
        case Test() if thing.rounds:
            for number, words in enumerate(thing.rounds):
                yield Facet((*trail, f"round {number}"), words, words)
            yield from _fields(thing, trail, without | {"rounds", "first", "second"})
        case _:
            yield from _fields(thing, trail, without)


def _fields(thing: object, trail: tuple[str, ...], without: frozenset[str]) -> Iterator[Facet]:
    yield Facet(trail, type(thing).__name__)
    left_out = _TOLD | without
    if isinstance(thing, Part):
        left_out -= {"path"}  # that of another clause
    if isinstance(thing, Part | Figure):
        left_out |= {"readings"}  # which its mark states
    for name in names_of(type(thing)) or ():
        if name not in left_out:
            yield from _facets(getattr(thing, name), (*trail, name), without)


def renamed(found: tuple[Facet, ...], marks: Mapping[str, str], clauses: Mapping[str, str]) -> tuple[Facet, ...]:
    """The same where marks, and clauses by their paths, have other names."""
    return tuple(_renamed(each, marks, clauses) for each in found)


def _renamed(facet: Facet, marks: Mapping[str, str], clauses: Mapping[str, str]) -> Facet:
    last = facet.trail[-1] if facet.trail else ""
    names = marks if last == "mark" else clauses if last == "path" else {}
    if isinstance(facet.value, str) and facet.value in names:
        return evolve(facet, value=names[facet.value])
    return facet


def figures_apart(old: tuple[Facet, ...], new: tuple[Facet, ...]) -> tuple[tuple[str, str], ...]:
    """The figures that stand at the same place in both and differ, as each is written."""
    there = {each.trail: each for each in new if each.said is not None}
    pairs = ((each, there.get(each.trail)) for each in old if each.said is not None)
    return tuple(
        (one.said, other.said)
        for one, other in pairs
        if other is not None and one != other and one.said is not None and other.said is not None
    )
