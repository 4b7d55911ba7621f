"""The texts of two editions beside one another, in canonical layout without comments, with what changed marked."""

from collections.abc import Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from enum import Enum

from standfast.difference.clauses import ChangeKind, ClauseChange, clause_changes
from standfast.language.printer import canonical_lines
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.model.standard import Standard
from standfast.source import Source
from standfast.values import evolve, frozen

_TOLD = ("caution ", "guidance ", "authority ", "standard ")


class Touched(Enum):
    """What became of a line."""

    SAME = "same"
    CHANGED = "changed"
    WORDED = "worded"
    OTHER = "other"  # it reads otherwise and means the same: a unit, a worked case, the edition


@frozen
class TextLine:
    """`number` is that of the line in the file, where it has one of its own."""

    number: int | None
    text: str
    touched: Touched


Beside = tuple[TextLine | None, TextLine | None]
"""A line of the old edition and what stands beside it in the new."""


def side_by_side(old: Standard, new: Standard) -> tuple[Beside, ...]:
    """Every line of both, in order."""
    (ours, old_numbers), (theirs, new_numbers) = _laid_out(old), _laid_out(new)
    changes = clause_changes(ours, theirs)
    texts = [edition.span.source.text.splitlines() for edition in (ours, theirs)]
    marked = [dict(_marked(changes, side)) for side in (0, 1)]
    anchors = {
        change.old.line: change.new.line for change in changes if change.old is not None and change.new is not None
    }
    return tuple(
        (_in_file(one, old_numbers), _in_file(other, new_numbers))
        for one, other in _rows(texts[0], texts[1], marked, anchors)
    )


def _laid_out(standard: Standard) -> tuple[Standard, Sequence[int | None]]:
    """The same standard as its canonical text has it, and for each line of that its line in the file."""
    tree, _ = read(standard.span.source)
    assert tree is not None
    lines = canonical_lines(tree)
    again, _ = read(Source(standard.span.source.name, "".join(f"{text}\n" for text, _ in lines)))
    assert again is not None
    laid_out, _ = resolve(again)
    assert laid_out is not None
    return laid_out, [number for _, number in lines]


def _in_file(line: TextLine | None, numbers: Sequence[int | None]) -> TextLine | None:
    return None if line is None or line.number is None else evolve(line, number=numbers[line.number - 1])


def _marked(changes: Sequence[ClauseChange], side: int) -> Iterator[tuple[int, Touched]]:
    """The lines of one edition that some change is of; graver marks after milder ones."""
    worded = [change for change in changes if change.kind is ChangeKind.WORDED]
    others = [change for change in changes if change.kind is not ChangeKind.WORDED]
    for touched, some in ((Touched.WORDED, worded), (Touched.CHANGED, others)):
        for change in some:
            said = (change.old, change.new)[side]
            if said is not None and (said.told or touched is Touched.CHANGED):
                numbers = [span.line for span in said.spans]
                yield from ((number, touched) for number in numbers)


def _rows(
    old: Sequence[str],
    new: Sequence[str],
    marked: Sequence[Mapping[int, Touched]],
    anchors: Mapping[int, int],
) -> Iterator[Beside]:
    def line(side: int, place: int, *, same: bool) -> TextLine:
        text = (old, new)[side][place]
        usual = Touched.SAME if same else Touched.WORDED if text.strip().startswith(_TOLD) else Touched.OTHER
        return TextLine(place + 1, text, marked[side].get(place + 1, usual))

    for tag, i, i_end, j, j_end in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if tag == "equal":
            for here, there in zip(range(i, i_end), range(j, j_end), strict=True):
                yield line(0, here, same=True), line(1, there, same=True)
            continue
        for left, right in _beside(range(i, i_end), range(j, j_end), old, new, anchors):
            one = None if left is None else line(0, left, same=not old[left])
            other = None if right is None else line(1, right, same=not new[right])
            yield _as_one(one, other)


def _as_one(one: TextLine | None, other: TextLine | None) -> Beside:
    """Two lines beside one another; if one is changed and the other is not it, it is since both differ."""
    if one is not None and other is not None and Touched.CHANGED in (one.touched, other.touched):
        return evolve(one, touched=Touched.CHANGED), evolve(other, touched=Touched.CHANGED)
    return one, other


def _beside(
    here: range, there: range, old: Sequence[str], new: Sequence[str], anchors: Mapping[int, int]
) -> Iterator[tuple[int | None, int | None]]:
    """The lines of a stretch that differs: those that are one clause, or begin alike, beside one another."""
    taken = there.start
    anchored = set(anchors.values())
    for left in here:
        wanted = anchors.get(left + 1)
        right = next(
            (
                place
                for place in range(taken, there.stop)
                if (
                    wanted == place + 1
                    if wanted
                    else place + 1 not in anchored and _begin_alike(old[left], new[place])
                )
            ),
            None,
        )
        if right is None:
            yield left, None
            continue
        yield from ((None, place) for place in range(taken, right))
        yield left, right
        taken = right + 1
    yield from ((None, place) for place in range(taken, there.stop))


def _begin_alike(old: str, new: str) -> bool:
    """Whether two lines stand at one depth and begin with one word."""
    return len(old) - len(old.lstrip()) == len(new) - len(new.lstrip()) and old.split()[:1] == new.split()[:1]
