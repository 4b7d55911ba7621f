"""The marks that both editions know: the logs that are compared are made of these.

A mark that one edition does not declare is an error in a log of that edition, so no log that has one can be graded
under both. It is told apart which marks came, which went and which changed their kind; where only some values can
be logged under both, only these are compared.
"""

from collections.abc import Iterator

from standfast.machine.parts import Machine
from standfast.machine.values import ANYTHING, Values, classes_between, constants_of
from standfast.model.standard import Mark, Standard
from standfast.values import evolve, frozen


@frozen
class Changed:
    """A mark that both know, of which some or all values can be logged under one edition only.

    `old` and `new` are the choices or names of rounds that only that edition knows. `kind`: nothing can be logged
    of it under both.
    """

    mark: str
    old: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    kind: bool = False


@frozen
class SharedMark:
    """A mark with one value of each class that neither edition tells apart.

    Of a mark that names rounds there is the value None, and `rounds` are the names that both know.
    """

    name: str
    values: tuple[Values, ...]
    rounds: tuple[str, ...] | None = None


@frozen
class MarkChanges:
    """The marks that one edition alone knows, and those of which not the same can be logged."""

    went: tuple[str, ...]
    came: tuple[str, ...]
    changed: tuple[Changed, ...]

    @property
    def any(self) -> bool:
        return bool(self.went or self.came or self.changed)


def mark_changes(old: Standard, new: Standard) -> MarkChanges:
    changed = []
    for mark in old.marks:
        other = new.mark(mark.name)
        if other is not None:
            names, others = _names(old, mark), _names(new, other)
            if not _same_kind(mark, other):
                changed.append(Changed(mark.name, kind=True))
            elif names != others and set(names) != set(others):
                changed.append(Changed(mark.name, _without(names, others), _without(others, names)))
    return MarkChanges(
        tuple(mark.name for mark in old.marks if new.mark(mark.name) is None),
        tuple(mark.name for mark in new.marks if old.mark(mark.name) is None),
        tuple(changed),
    )


def shared_marks(old: Machine, new: Machine) -> tuple[SharedMark, ...]:
    found: list[SharedMark] = []
    for mark in old.standard.marks:
        other = new.standard.mark(mark.name)
        if other is not None and _same_kind(mark, other):
            found += _shared(old, mark, new, other)
    return tuple(found)


def _shared(old: Machine, mark: Mark, new: Machine, other: Mark) -> Iterator[SharedMark]:
    if mark.unit is not None:
        constants = {**constants_of(new, other), **constants_of(old, mark)}
        both = evolve(mark, heading=mark.heading or other.heading)
        yield SharedMark(mark.name, tuple(classes_between(both, constants)))
        return
    names, others = _names(old.standard, mark), _names(new.standard, other)
    known = tuple(name for name in names if name in others)
    if not mark.choices:
        yield SharedMark(mark.name, ((None, ANYTHING),), known if names or others else None)
    elif known:
        yield SharedMark(mark.name, tuple((name, ANYTHING) for name in known))


def _same_kind(mark: Mark, other: Mark) -> bool:
    """Whether something of it can be logged under both."""
    if mark.unit is None or other.unit is None:
        return mark.unit is other.unit and bool(mark.choices) == bool(other.choices)
    return mark.unit.dimension is other.unit.dimension


def _names(standard: Standard, mark: Mark) -> tuple[str, ...]:
    """The words that can be logged as its value."""
    rounds = standard.round_marks().get(mark.name)
    if rounds is None or rounds.rounds is None:
        return mark.choices
    return tuple(each.words for each in rounds.rounds.rounds)


def _without(names: tuple[str, ...], others: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(name for name in names if name not in others)
