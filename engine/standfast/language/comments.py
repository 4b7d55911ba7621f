"""Where each comment belongs.

A comment belongs above the next line, unless it is indented as the lines of a block that ends there: then it is
the block's own, below its last line.
"""

from collections.abc import Mapping, Sequence

from standfast.language.places import Place
from standfast.language.rows import Row, Scanned
from standfast.values import frozen

_WITHOUT_OWN_COMMENTS = (Place.STANDARD, Place.LOG)


@frozen
class Comments:
    """Comments by the number of the line they belong to; those of `below` by the head line of their block."""

    above: Mapping[int, tuple[str, ...]]
    beside: Mapping[int, str]
    below: Mapping[int, tuple[str, ...]]
    end: tuple[str, ...]


def comments_of(scanned: Sequence[Scanned], rows: Sequence[Row]) -> Comments:
    above: dict[int, tuple[str, ...]] = {}
    beside: dict[int, str] = {}
    below: dict[int, tuple[str, ...]] = {}
    waiting: list[tuple[int, str]] = []
    at = 0  # the index of the next row
    for line in scanned:
        if line.comment is not None and not line.text:
            waiting.append((line.indent, line.comment))
            continue
        if waiting:
            above[line.number] = _below_or_rest(waiting, rows, at, below)
            waiting = []
        if line.comment is not None:
            beside[line.number] = line.comment
        at += 1
    return Comments(above, beside, below, _below_or_rest(waiting, rows, at, below))


def _below_or_rest(
    waiting: list[tuple[int, str]], rows: Sequence[Row], at: int, below: dict[int, tuple[str, ...]]
) -> tuple[str, ...]:
    """Give each comment before row `at` to the block ending there that is indented like it; return the others."""
    ending = _ending(rows, at)
    rest: list[str] = []
    for indent, comment in waiting:
        while ending and ending[0][0] > indent:
            ending.pop(0)
        if ending:
            below[ending[0][1]] = (*below.get(ending[0][1], ()), comment)
        else:
            rest.append(comment)
    return tuple(rest)


def _ending(rows: Sequence[Row], at: int) -> list[tuple[int, int]]:
    """The blocks that end before row `at`, innermost first: the indentation of their lines, their head's line."""
    if at == 0:
        return []
    still_open = set()
    if at < len(rows):
        head = rows[at].parent
        while head >= 0:
            still_open.add(head)
            head = rows[head].parent
    ending = []
    inside, head = rows[at - 1], rows[at - 1].parent
    while head >= 0 and head not in still_open:
        if inside.place not in _WITHOUT_OWN_COMMENTS:
            ending.append((inside.indent, rows[head].number))
        inside, head = rows[head], rows[head].parent
    return ending
