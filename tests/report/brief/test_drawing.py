"""The picture: everything in its box, nothing left out, and what is too small taken out to be drawn by itself."""

from random import Random

from plausible import random_standard

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.brief.drawing import pictures
from standfast.report.brief.sketch import Piece, Short, pieces
from standfast.report.shapes import Box, Drawing, Stroke, Words, text_width, wrapped
from standfast.source import Source


def boxes(drawing: Drawing) -> list[Box]:
    return [shape for shape in drawing.shapes if isinstance(shape, Box)]


def holds(box: Box, left: int, top: int, right: int, bottom: int) -> bool:
    return box.x <= left and box.y <= top and right <= box.x + box.width and bottom <= box.y + box.height


def check(drawing: Drawing) -> None:
    whole = Box(0, 0, drawing.width, drawing.height, "whole")
    found = boxes(drawing)
    for number, box in enumerate(found):
        assert holds(whole, box.x, box.y, box.x + box.width, box.y + box.height)
        for other in found[number + 1 :]:
            apart = (
                other.x >= box.x + box.width
                or box.x >= other.x + other.width
                or other.y >= box.y + box.height
                or box.y >= other.y + other.height
            )
            assert apart or holds(box, other.x, other.y, other.x + other.width, other.y + other.height)
    for shape in drawing.shapes:
        if isinstance(shape, Words):
            size, bold = (16, True) if shape.kind == "name" else (14, shape.kind == "joined")
            right = shape.x + text_width(shape.text, size, bold=bold)
            inside = [box for box in found if holds(box, shape.x, shape.y - 10, shape.x, shape.y)]
            assert inside and all(holds(box, shape.x, shape.y - 10, right, shape.y + 3) for box in inside)
        if isinstance(shape, Stroke):
            assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in shape.points)


def words(drawing: Drawing) -> str:
    return "".join(shape.text for shape in drawing.shapes if isinstance(shape, Words)).replace(" ", "")


def test_every_construct(harbour: Standard) -> None:
    for piece in pieces(harbour):
        for drawn, drawing in pictures(piece):
            check(drawing)
            assert drawing.width > 300 and drawing.height > 60
            for short in (*drawn.pauses, *drawn.rules, *drawn.ends):
                assert short.text.replace(" ", "") in words(drawing)
                assert short.leads is None or short.leads.replace(" ", "") in words(drawing)


def test_random_standards() -> None:
    made = 0
    for seed in range(20):
        standard, _ = load_standard(Source("x.standard", random_standard(Random(seed))))
        for piece in pieces(standard) if standard is not None else ():
            for _, drawing in pictures(piece):
                check(drawing)
                made += 1
    assert made > 35


def test_one_after_another_is_drawn_with_arrows() -> None:
    inner = tuple(Piece(f"Step {number}", rules=(Short("until done"),)) for number in range(7))
    arrows = {}
    for in_order in (False, True):
        ((_, drawing),) = pictures(Piece("All", joined="x", in_order=in_order, pieces=inner))
        check(drawing)
        arrows[in_order] = sum(isinstance(shape, Stroke) for shape in drawing.shapes)
    assert arrows == {False: 0, True: 6}


def test_a_picture_too_small_to_read_is_taken_apart() -> None:
    leaf = tuple(Piece(f"Leaf {number}", rules=(Short("until done"),) * 9) for number in range(6))
    groups = tuple(
        Piece(f"Group {number}", joined="x", pieces=leaf, pauses=(Short("pause"),)) for number in range(6)
    )
    drawn = pictures(Piece("All", joined="x", in_order=True, pieces=groups))
    assert [piece.name for piece, _ in drawn] == ["All", *(group.name for group in groups)]
    assert "6parts,drawninapictureofitsown" in words(drawn[0][1]) and "Leaf" not in words(drawn[0][1])
    for _, drawing in drawn:
        check(drawing)


def test_words_are_folded_to_their_room_and_none_is_lost() -> None:
    text = "a candidate answers ASUPERCALIFRAGILISTICWORDTHATISLONG \u6f22\u5b57\u6f22\u5b57\u6f22\u5b57 and more"
    for room in (40, 100, 300):
        lines = wrapped(text, room)
        assert all(text_width(line) <= room or len(line) == 1 for line in lines)
        assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert wrapped("", 100) == []
