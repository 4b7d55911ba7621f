"""Where everything of a picture stands: pieces in boxes, boxes in rows, arrows where one comes after another."""

from itertools import pairwise

from standfast.model.rules import Effect
from standfast.report.brief.sketch import Piece, Short
from standfast.report.shapes import LINE, Box, Drawing, Shape, Stroke, Words, moved, text_width, wrapped
from standfast.values import evolve

_PAD = 12
_GAP = 28
_LEAST = 190  # of a box without boxes in it
_COLUMN = 330  # of rules, the least where there are several
_INDENT = 10
_LABEL = 8
_HEADING = 16
_PAGE = (680, 770)  # the room on a printed page; a picture is made as wide as lets it be shown largest there
_SMALLEST = 57  # per cent of its size that a picture may be printed at: text of 6 points
_WIDTHS = (680, 900, 1150, 1400, 1700)
_LOOKS = {
    None: "go",
    Effect.NOTE: "note",
    Effect.PASS: "note",
    Effect.RESTART: "restart",
    Effect.MISS: "restart",
    Effect.OUT: "restart",
    Effect.FAIL: "fail",
    Effect.HALT: "halt",
    Effect.DISQUALIFY: "fail",
}


def pictures(piece: Piece) -> tuple[tuple[Piece, Drawing], ...]:
    """The piece drawn for a printed page.

    Where it would be too small to read there, the innermost groups are taken out and drawn by themselves after it.
    """
    whole = _largest(piece)
    if _fits(whole) or not any(inner.pieces for inner in piece.pieces):
        return ((piece, whole),)
    smaller, taken = _without_innermost(piece)
    return (*pictures(smaller), *((group, _largest(group)) for group in taken))


def _fits(drawing: Drawing) -> bool:
    return drawing.width * _SMALLEST <= _PAGE[0] * 100 and drawing.height * _SMALLEST <= _PAGE[1] * 100


def _without_innermost(piece: Piece) -> tuple[Piece, list[Piece]]:
    """The piece with a mere mention of each group in it that holds no groups, and those groups."""
    inner: list[Piece] = []
    taken: list[Piece] = []
    for each in piece.pieces:
        if any(within.pieces for within in each.pieces):
            smaller, more = _without_innermost(each)
            inner.append(smaller)
            taken += more
        elif each.pieces:
            mention = f"{len(each.pieces)} parts" if len(each.pieces) > 1 else "one part"
            inner.append(
                Piece(each.name, each.title, each.pauses, (Short(f"{mention}, drawn in a picture of its own"),))
            )
            taken.append(evolve(each, pauses=()))
        else:
            inner.append(each)
    return evolve(piece, pieces=tuple(inner)), taken


def _largest(piece: Piece) -> Drawing:
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
    arrow = Stroke(((width // 2, below), (width // 2, below + _GAP)))
    return (Box(0, 0, width, below, "pause"), *moved(lines, _PAD, _PAD // 2), arrow), below + _GAP


def _inside(piece: Piece, width: int) -> tuple[tuple[Shape, ...], int]:
    shapes: list[Shape] = []
    down = 0
    for line in wrapped(piece.name, width, _HEADING, bold=True):
        down += LINE
        shapes.append(Words(0, down - 4, line, "name"))
    for text, kind in ((piece.title, "title"), (piece.joined, "joined")):
        for line in wrapped(text or "", width, bold=kind == "joined"):
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


def _rules(rules: tuple[Short, ...], width: int) -> tuple[tuple[Shape, ...], int]:
    """The rules in as many columns as there is room for, read down each."""
    columns = max(1, min(len(rules), (width + _PAD) // (_COLUMN + _PAD)))
    wide = (width - _PAD * (columns - 1)) // columns
    each = -(-len(rules) // columns)
    shapes: list[Shape] = []
    deepest = 0
    for column in range(columns):
        down = 0
        for rule in rules[column * each : (column + 1) * each]:
            drawn_rule, high = _rule(rule, wide)
            shapes += moved(drawn_rule, column * (wide + _PAD), down)
            down += high
        deepest = max(deepest, down)
    return tuple(shapes), deepest


def _rule(rule: Short, width: int) -> tuple[tuple[Shape, ...], int]:
    """The rule and, beside it or else below it, a label that says where its breach leads."""
    shapes: list[Shape] = []
    lines = wrapped(rule.text, width - _INDENT)
    down = 3
    for number, line in enumerate(lines):
        down += LINE
        shapes.append(Words(_INDENT if number else 0, down - 4, line, "rule"))
    if rule.leads is None:
        return tuple(shapes), down
    look = _LOOKS[rule.effect]
    left = text_width(lines[-1]) + (_INDENT if len(lines) > 1 else 0) + 8
    if left + text_width(rule.leads) + 2 * _LABEL <= width:
        label = [rule.leads]
        down -= LINE
    else:
        left = _INDENT
        label = wrapped(rule.leads, width - _INDENT - 2 * _LABEL)
    wide = max(map(text_width, label)) + 2 * _LABEL
    shapes.append(Box(left, down, wide, LINE * len(label) + 1, look))
    shapes += [
        Words(left + _LABEL, down + LINE * number - 4, line, f"{look}-words")
        for number, line in enumerate(label, 1)
    ]
    return tuple(shapes), down + LINE * len(label) + 4


def _grid(piece: Piece, width: int) -> tuple[tuple[Shape, ...], int]:
    """The inner pieces in rows, and arrows between those that follow one another."""
    number = len(piece.pieces)
    least = max(_least(inner) for inner in piece.pieces)
    most = max(1, min(number, (width + _GAP) // (least + _GAP)))
    columns = -(-number // -(-number // most))
    shapes: list[Shape] = []
    cells: list[Box] = []
    down = 0
    for first in range(0, number, columns):
        row = piece.pieces[first : first + columns]
        widths = _shared(row, width - _GAP * (columns - 1), columns)
        boxed = [_boxed(inner, wide) for inner, wide in zip(row, widths, strict=True)]
        high = max(height for _, _, height in boxed)
        left = 0
        for wide, (box, inside, height) in zip(widths, boxed, strict=True):
            if high <= 2 * height:
                box = evolve(box, height=box.height + high - height)
            shapes += moved((box, *inside), left, down)
            cells.append(Box(left, down, wide, high, "cell"))
            left += wide + _GAP
        down += high + _GAP
    if piece.in_order:
        shapes += [_between(one, other) for one, other in pairwise(cells)]
    return tuple(shapes), down - _GAP


def _shared(row: tuple[Piece, ...], width: int, columns: int) -> list[int]:
    """The width of a row's cells: the least each needs, and of what is left more to what holds more.

    A row that is not full has cells as wide as a full one has.
    """
    if len(row) < columns:
        return [width // columns] * len(row)
    weights = [_weight(inner) for inner in row]
    leasts = [_least(inner) for inner in row]
    left = width - sum(leasts)
    return [least + left * weight // sum(weights) for least, weight in zip(leasts, weights, strict=True)]


def _weight(piece: Piece) -> int:
    return min(4, sum(_weight(inner) for inner in piece.pieces)) or 1


def _between(one: Box, other: Box) -> Stroke:
    """From a cell to the one after it: across the gap, or down through the gap between two rows."""
    if one.y == other.y:
        level = one.y + _PAD + LINE // 2
        return Stroke(((one.x + one.width, level), (other.x, level)))
    gap, down, up = other.y - _GAP, one.x + one.width // 2, other.x + other.width // 2
    return Stroke(((down, gap), (down, gap + _GAP // 2), (up, gap + _GAP // 2), (up, other.y)))
