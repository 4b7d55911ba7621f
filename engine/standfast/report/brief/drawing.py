"""Where everything of a picture stands: pieces in boxes, boxes in rows, arrows where one comes after another."""

from collections.abc import Iterable
from itertools import pairwise

from attrs import evolve

from standfast.model.rules import Effect
from standfast.report.brief.shapes import LINE, Arrow, Box, Drawing, Shape, Words, moved, text_width, wrapped
from standfast.report.brief.sketch import Piece, Short

_PAD = 12
_GAP = 28
_LEAST = 190  # of a box without boxes in it
_HEADING = 16
_PAGE = (680, 860)  # the room on a printed page; a picture is made as wide as lets it be shown largest there
_WIDTHS = (680, 900, 1150, 1400, 1700)
_LOOKS = {
    None: "go",
    Effect.NOTE: "note",
    Effect.RESTART: "restart",
    Effect.FAIL: "fail",
    Effect.HALT: "halt",
    Effect.DISQUALIFY: "fail",
}


def drawn(piece: Piece) -> Drawing:
    """The whole picture of one piece, drawn for a printed page."""
    least = _least(piece)
    options = [_drawn(piece, max(width, least)) for width in _WIDTHS]
    return min(options, key=lambda each: max(each.width * _PAGE[1], each.height * _PAGE[0]))


def _drawn(piece: Piece, width: int) -> Drawing:
    box, shapes, height = _boxed(piece, width)
    return Drawing(width + 2, height + 2, moved((box, *shapes), 1, 1))


def _least(piece: Piece) -> int:
    """The least width the piece can be drawn in."""
    return max((_least(inner) for inner in piece.pieces), default=_LEAST - 2 * _PAD) + 2 * _PAD


def _boxed(piece: Piece, width: int) -> tuple[Box, tuple[Shape, ...], int]:
    """The piece at the origin: its box, what stands in and above that, and how high all of it is."""
    above, top = _pauses(piece.pauses, width)
    inside, down = _inside(piece, width - 2 * _PAD)
    box = Box(0, top, width, down + 2 * _PAD, "group" if piece.pieces else "step")
    return box, (*above, *moved(inside, _PAD, top + _PAD)), top + box.height


def _pauses(pauses: tuple[Short, ...], width: int) -> tuple[tuple[Shape, ...], int]:
    """The pauses before a piece in a box of their own, and the room they take above it."""
    if not pauses:
        return (), 0
    lines, down = _rules(pauses, width - 2 * _PAD)
    below = down + _PAD
    arrow = Arrow(((width // 2, below), (width // 2, below + _GAP)))
    return (Box(0, 0, width, below, "pause"), *moved(lines, _PAD, _PAD // 2), arrow), below + _GAP


def _inside(piece: Piece, width: int) -> tuple[tuple[Shape, ...], int]:
    shapes: list[Shape] = []
    down = 0
    for line in wrapped(piece.name, width, _HEADING, bold=True):
        down += LINE
        shapes.append(Words(0, down - 4, line, "name"))
    for text, kind in ((piece.title, "title"), (piece.joined, "joined")):
        for line in wrapped(text or "", width):
            down += LINE
            shapes.append(Words(0, down - 4, line, kind))
    rules, high = _rules(piece.rules, width)
    shapes += moved(rules, 0, down + 4)
    down += high + (4 if piece.rules else 0)
    if piece.pieces:
        inner, high = _grid(piece, width)
        shapes += moved(inner, 0, down + _PAD)
        down += high + _PAD
    ends, high = _rules(piece.ends, width)
    shapes += moved(ends, 0, down + 4)
    return tuple(shapes), down + high + (4 if piece.ends else 0)


def _rules(rules: Iterable[Short], width: int) -> tuple[tuple[Shape, ...], int]:
    """Each rule with, below it, a label that says where its breach leads."""
    shapes: list[Shape] = []
    down = 0
    for rule in rules:
        down += 3
        for number, line in enumerate(wrapped(rule.text, width - 10)):
            down += LINE
            shapes.append(Words(10 if number else 0, down - 4, line, "rule"))
        if rule.leads is not None:
            look = _LOOKS[rule.effect]
            lines = wrapped(rule.leads, width - 26)
            wide = max(text_width(line) for line in lines) + 16
            shapes.append(Box(10, down, wide, LINE * len(lines) + 2, look))
            for line in lines:
                down += LINE
                shapes.append(Words(18, down - 4, line, f"{look}-words"))
            down += 5
    return tuple(shapes), down


def _grid(piece: Piece, width: int) -> tuple[tuple[Shape, ...], int]:
    """The inner pieces in rows of equal cells, and arrows between those that follow one another."""
    number = len(piece.pieces)
    least = max(_least(inner) for inner in piece.pieces)
    most = max(1, min(number, (width + _GAP) // (least + _GAP)))
    columns = -(-number // -(-number // most))
    cell = (width - _GAP * (columns - 1)) // columns
    shapes: list[Shape] = []
    tops: list[int] = []
    down = 0
    for first in range(0, number, columns):
        row = piece.pieces[first : first + columns]
        boxed = [_boxed(inner, cell) for inner in row]
        high = max(height for _, _, height in boxed)
        for column, (box, inside, height) in enumerate(boxed):
            tops.append(down)
            box = evolve(box, height=box.height + high - height)
            shapes += moved((box, *inside), column * (cell + _GAP), down)
        down += high + _GAP
    down -= _GAP
    if piece.in_order:
        lefts = [(place % columns) * (cell + _GAP) for place in range(number)]
        shapes += [_between(a, b, cell) for a, b in pairwise(zip(lefts, tops, strict=True))]
    return tuple(shapes), down


def _between(one: tuple[int, int], other: tuple[int, int], cell: int) -> Arrow:
    """From a cell to the one after it: across the gap, or down through the gap between two rows."""
    if one[1] == other[1]:
        level = one[1] + _PAD + LINE // 2
        return Arrow(((one[0] + cell, level), (other[0], level)))
    middle, gap = cell // 2, other[1] - _GAP
    return Arrow(
        (
            (one[0] + middle, gap),
            (one[0] + middle, gap + _GAP // 2),
            (other[0] + middle, gap + _GAP // 2),
            (other[0] + middle, other[1]),
        )
    )
