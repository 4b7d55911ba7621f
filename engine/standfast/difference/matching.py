"""Which row of an old edition is which of a new one, and which part which.

First by path; what is left by what it says: another label for the same content, the same elsewhere, or, where more
than half of what is said is the same, another label and something altered. Old and new can change places: the
same pairs are found.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from typing import TypeVar

from standfast.difference.facets import facets, renamed
from standfast.difference.stated import DECLARED, Part, Row, Sort
from standfast.model.rules import Fault, Limit
from standfast.values import define, field, frozen

_Thing = TypeVar("_Thing", Part, Row)


@frozen
class Matched:
    """Parts in pairs by the identity of each, and the new names of marks and of clauses, by path, for the old."""

    pairs: tuple[tuple[Part, Part], ...]
    marks: Mapping[str, str]
    clauses: Mapping[str, str]


def matched(old: Part, new: Part) -> Matched:
    """The parts of two editions; the names of marks first, since all else is said with them."""
    declared = pairs_of_rows(old.rows, new.rows, {}, {})
    marks = {one.label: other.label for one, other in declared if one and other and one.sort is Sort.MARK}
    found = _Matching(marks, _around(old) | _around(new))
    found.take(old, new)
    found.take_left()
    clauses = {one.path: other.path for one, other in found.pairs}
    return Matched(tuple(found.pairs), marks, clauses)


@define
class _Matching:
    """`left` are the parts that have no other yet, `around` what each stands in; both by identity, since parts
    are compared by what they say.
    """

    marks: Mapping[str, str]
    around: Mapping[int, Part]
    pairs: list[tuple[Part, Part]] = field(factory=list)
    left: tuple[dict[int, Part], dict[int, Part]] = field(factory=lambda: ({}, {}))
    _other: dict[int, Part] = field(factory=dict)

    def take(self, old: Part, new: Part) -> None:
        """Two parts that are one, and what is in them by label."""
        self.pairs.append((old, new))
        self._other |= {id(old): new, id(new): old}
        for part, left in zip((old, new), self.left, strict=True):
            left.pop(id(part), None)
        there = {(part.sort, part.label): part for part in new.parts if id(part) not in self._other}
        for part in old.parts:
            if id(part) in self._other:
                continue
            other = there.pop((part.sort, part.label), None)
            if other is None:
                self._leave(part, 0)
            else:
                self.take(part, other)
        for part in there.values():
            self._leave(part, 1)

    def _leave(self, part: Part, side: int) -> None:
        self.left[side].update((id(each), each) for each in part.walk() if id(each) not in self._other)

    def take_left(self) -> None:
        for rank in (_is_same, self._is_like):
            while found := _ranked(list(self.left[0].values()), list(self.left[1].values()), rank, self._also):
                for old, new in found:
                    if id(old) not in self._other and id(new) not in self._other:
                        self.take(old, new)

    def _also(self, old: Part, new: Part) -> Hashable:
        """Of pairs that are as much alike those first that have one label, or stand in one place."""
        return old.label != new.label, not self._in_one_place(old, new)

    def _in_one_place(self, old: Part, new: Part) -> bool:
        return self._other.get(id(self.around[id(old)])) is self.around[id(new)]

    def _is_like(self, old: Part, new: Part) -> int:
        """How much of what two parts say is the same, in thousandths; nought up to half of it."""
        if old.sort is not new.sort or not (old.label == new.label or self._in_one_place(old, new)):
            return 0
        ours, theirs = _said(old, self.marks), _said(new, {})
        both = 2000 * (ours & theirs).total() // max(1, ours.total() + theirs.total())
        return both if both > 500 else 0


def _around(test: Part) -> dict[int, Part]:
    return {id(inner): part for part in test.walk() for inner in part.parts}


def _is_same(old: Part, new: Part) -> int:
    return int(old.content == new.content)


def _said(part: Part, marks: Mapping[str, str]) -> Counter[Hashable]:
    """Every rule in a part, whatever its label."""
    return Counter(
        renamed(row.facets, marks, {})
        for inner in part.walk()
        for row in inner.rows
        if row.sort not in (Sort.SETTING, Sort.TOLD)
    )


def _ranked(
    old: Sequence[_Thing],
    new: Sequence[_Thing],
    rank: "Callable[[_Thing, _Thing], int]",
    also: "Callable[[_Thing, _Thing], Hashable]",
) -> list[tuple[_Thing, _Thing]]:
    """The pairs of a rank above nought, the greatest first; equal ones in an order that is the same mirrored."""
    ranked = [
        (-weight, also(one, other), abs(i - j), i + j, sorted((one.path, other.path)), (i, j))
        for i, one in enumerate(old)
        for j, other in enumerate(new)
        if (weight := rank(one, other)) > 0
    ]
    ranked.sort(key=lambda each: each[:-1])
    return [(old[i], new[j]) for *_, (i, j) in ranked]


Pair = tuple[Row | None, Row | None]


def pairs_of_rows(
    old: Iterable[Row], new: Iterable[Row], marks: Mapping[str, str], clauses: Mapping[str, str]
) -> list[Pair]:
    """The rows of a part, old beside new, as written: what came after what is in both and went."""
    ours, theirs = list(old), list(new)
    there = {(row.sort, row.label): row for row in theirs}
    found: list[Pair] = []
    for row in ours:
        other = there.pop((row.sort, label_now(row, marks)), None)
        if other is not None:
            found.append((row, other))
    left = [row for row in ours if not any(row is one for one, _ in found)]

    def rank(one: Row, other: Row) -> int:
        return _alike(one, other, marks, clauses)

    for row, other in _ranked(left, list(there.values()), rank, lambda one, other: 0):
        if any(row is each for each in left) and (other.sort, other.label) in there:
            left = [each for each in left if each is not row]
            found.append((row, there.pop((other.sort, other.label))))
    found += [(row, None) for row in left]
    places = {id(row): place for place, row in enumerate(ours)}
    found.sort(key=lambda pair: places[id(pair[0])])
    return [*found, *((None, row) for row in there.values())]


def label_now(row: Row, marks: Mapping[str, str]) -> str:
    """The label an old row has where marks have other names: one that is not written is made of a mark's."""
    if row.sort in DECLARED:
        return row.label
    named = (facet.value for facet in row.facets if facet.trail and facet.trail[-1] == "mark")
    for mark in dict.fromkeys(each for each in named if isinstance(each, str)):
        if marks.get(mark, mark) != mark and mark in row.label:
            return row.label.replace(mark, marks[mark])
    return row.label


def _alike(one: Row, other: Row, marks: Mapping[str, str], clauses: Mapping[str, str]) -> int:
    """2 of rows with one content under two labels, 1 of rules about the same thing, 0 of others."""
    if one.sort is not other.sort:
        return 0
    same = renamed(one.facets, marks, clauses) == other.facets
    if one.sort in DECLARED:
        return 2 if same and one.told and one.told == other.told else 0
    if one.sort in (Sort.SETTING, Sort.TOLD):
        return 0
    subject = _subject(one, marks, clauses)
    return 2 if same else int(subject is not None and subject == _subject(other, {}, {}))


def _subject(row: Row, marks: Mapping[str, str], clauses: Mapping[str, str]) -> Hashable:
    """What a rule is about; None of one that is about nothing that could be altered."""
    match row.thing:
        case Limit(figure=figure):
            return renamed(facets(figure), marks, clauses)
        case Fault(trigger=trigger):
            return renamed(facets(trigger, "more_than", "length", "or_more", "number"), marks, clauses)
        case _:
            return None
