"""Two editions held against each other clause by clause: what was changed, to what, and which way it points."""

from collections.abc import Iterator, Mapping
from enum import Enum

from standfast.difference.facets import figures_apart, renamed
from standfast.difference.matching import Matched, label_now, matched, pairs_of_rows
from standfast.difference.pointing import Points, points_of_part, points_of_rows
from standfast.difference.stated import Part, Row, Sort, stated
from standfast.model.standard import Standard
from standfast.source import Span
from standfast.values import field, frozen

_HEARD_IN_ORDER = (Sort.LIMIT, Sort.FAULT)
"""Of equals among these the first written acts; the order of other rows of one sort means nothing."""


class ChangeKind(Enum):
    ADDED = "added"
    REMOVED = "removed"
    MOVED = "moved"
    RENAMED = "renamed"
    ALTERED = "altered"
    WORDED = "worded"  # it is told in other words, and means what it meant


@frozen
class Said:
    """A line of one edition: what it says, in canonical words, and its text; of a whole part its first line.

    `spans` are all lines of it, the first line first.
    """

    path: str
    words: str
    told: str
    spans: tuple[Span, ...] = field(eq=False, repr=False)

    @property
    def line(self) -> int:
        """The line of the file on which it begins."""
        return self.spans[0].line


@frozen
class ClauseChange:
    """One change. `old` is None of what came, `new` of what went. `figures` are those that differ, old and new."""

    kind: ChangeKind
    old: Said | None
    new: Said | None
    figures: tuple[tuple[str, str], ...] = ()
    points: Points = Points.NEITHER

    @property
    def path(self) -> str:
        """That of the new edition, if it is in it."""
        there = self.old if self.new is None else self.new
        assert there is not None
        return there.path

    def mirrored(self) -> "ClauseChange":
        """The same change as one back to the old edition."""
        back = {ChangeKind.ADDED: ChangeKind.REMOVED, ChangeKind.REMOVED: ChangeKind.ADDED}
        figures = tuple((new, old) for old, new in self.figures)
        return ClauseChange(back.get(self.kind, self.kind), self.new, self.old, figures, self.points.mirrored)


def clause_changes(old: Standard, new: Standard) -> tuple[ClauseChange, ...]:
    """All changes, in the order of the old edition; what came stands after what is beside it.

    Name, edition, date and worked cases of a standard are not compared.
    """
    ours, theirs = stated(old), stated(new)
    found = matched(ours, theirs)
    return tuple(_changes(ours, theirs, found))


def _changes(ours: Part, theirs: Part, found: Matched) -> Iterator[ClauseChange]:
    other = {id(old): new for old, new in found.pairs}
    places = {id(part): place for place, part in enumerate(ours.walk())}
    paired = {*other, *(id(new) for _, new in found.pairs)}
    around = {id(inner): part for test in (ours, theirs) for part in test.walk() for inner in part.parts}
    for old, new in sorted(found.pairs, key=lambda pair: places[id(pair[0])]):
        if old is not ours:
            yield from _of_place(old, new, other.get(id(around[id(old)])) is not around[id(new)])
        yield from _of_rows(old, new, found)
        yield from _of_order(old, new, other)
        yield from (_gone(part, old, paired) for part in old.parts if id(part) not in paired)
        yield from (_gone(part, new, paired).mirrored() for part in new.parts if id(part) not in paired)


def _of_place(old: Part, new: Part, moved: bool) -> Iterator[ClauseChange]:
    said = (_of_part(old), _of_part(new))
    if moved:
        yield ClauseChange(ChangeKind.MOVED, *said)
    if old.label != new.label:
        yield ClauseChange(ChangeKind.RENAMED, *said)


def _of_rows(old: Part, new: Part, found: Matched) -> Iterator[ClauseChange]:
    pairs = pairs_of_rows(old.rows, new.rows, found.marks, found.clauses)
    for one, other in pairs:
        if one is None or other is None:
            kind = ChangeKind.ADDED if one is None else ChangeKind.REMOVED
            yield ClauseChange(kind, _of_row(one), _of_row(other), (), points_of_rows(one, other))
            continue
        said = (_of_row(one), _of_row(other))
        meant = renamed(one.facets, found.marks, found.clauses)
        if meant != other.facets:
            figures = figures_apart(meant, other.facets)
            yield ClauseChange(ChangeKind.ALTERED, *said, figures, points_of_rows(one, other))
        elif label_now(one, found.marks) != other.label:
            yield ClauseChange(ChangeKind.RENAMED, *said)
        if one.told != other.told:
            yield ClauseChange(ChangeKind.WORDED, *said)
    for sort in _HEARD_IN_ORDER:
        both = [(one, other) for one, other in pairs if one and other and one.sort is sort]
        now = sorted(both, key=lambda pair: new.rows.index(pair[1]))
        if now != both:
            yield _order(old, new, [one.words for one, _ in both], [other.words for _, other in now])


def _of_order(old: Part, new: Part, other: Mapping[int, Part]) -> Iterator[ClauseChange]:
    """Parts of one sort that are in both and follow one another otherwise."""
    for sort in dict.fromkeys(part.sort for part in old.parts):
        places = {id(part): place for place, part in enumerate(new.parts)}
        both = [
            (part, there)
            for part in old.parts
            if part.sort is sort and (there := other.get(id(part))) is not None and id(there) in places
        ]
        now = sorted(both, key=lambda pair: places[id(pair[1])])
        if now != both:
            yield _order(old, new, [one.label for one, _ in both], [there.label for _, there in now])


def _order(old: Part, new: Part, was: list[str], now: list[str]) -> ClauseChange:
    before, after = (", then ".join(each) for each in (was, now))
    return ClauseChange(
        ChangeKind.MOVED, Said(old.path, before, "", (old.span,)), Said(new.path, after, "", (new.span,))
    )


def _gone(part: Part, around: Part, paired: set[int]) -> ClauseChange:
    """A part that is removed, with all in it that is not elsewhere now."""
    inside = [inner for inner in part.walk() if id(inner) not in paired]
    spans = tuple(span for inner in inside for span in (inner.span, *(row.span for row in inner.rows)))
    said = Said(part.path, part.words, _title(part), spans)
    return ClauseChange(ChangeKind.REMOVED, said, None, (), points_of_part(part, around, came=False))


def _of_part(part: Part) -> Said:
    return Said(part.path, part.words, _title(part), (part.span,))


def _title(part: Part) -> str:
    return next((row.told for row in part.rows if row.told), "")


def _of_row(row: Row | None) -> Said | None:
    return None if row is None else Said(row.path, row.words, row.told, (row.span,))
