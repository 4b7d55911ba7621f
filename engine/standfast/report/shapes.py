"""What a picture is made of, and how much room its words take. All measures are whole units of the picture."""

import unicodedata

from standfast.values import evolve, frozen

TEXT = 14
LINE = 19

_NARROW = frozenset("ijl|!'.,:;\u2018\u2019 ")
_HALF = frozenset('tfrI()[]-/“”"')
_WIDE = frozenset("mwMW@%—…&")


@frozen
class Box:
    """`kind` says how it looks."""

    x: int
    y: int
    width: int
    height: int
    kind: str


@frozen
class Words:
    """One line of text; `y` is its base line."""

    x: int
    y: int
    text: str
    kind: str


@frozen
class Stroke:
    """A line through the points; `kind` says how it looks. An `arrow` has a head at the last."""

    points: tuple[tuple[int, int], ...]
    kind: str = "arrow"


Shape = Box | Words | Stroke


@frozen
class Drawing:
    width: int
    height: int
    shapes: tuple[Shape, ...]


def moved(shapes: tuple[Shape, ...], right: int, down: int) -> tuple[Shape, ...]:
    return tuple(
        evolve(shape, points=tuple((x + right, y + down) for x, y in shape.points))
        if isinstance(shape, Stroke)
        else evolve(shape, x=shape.x + right, y=shape.y + down)
        for shape in shapes
    )


def text_width(text: str, size: int = TEXT, *, bold: bool = False) -> int:
    """At least the room the text takes in any common sans-serif face."""
    thousandths = sum(map(_thousandths, text))
    return -(-thousandths * size * (11 if bold else 10) // 10_000)


def _thousandths(character: str) -> int:
    """The width of a character in thousandths of the size."""
    if character in _NARROW:
        return 370
    if character in _HALF:
        return 460
    if character in _WIDE:
        return 1010
    if unicodedata.combining(character):
        return 0
    if ord(character) > 0xFFFF:
        return 1400
    if unicodedata.east_asian_width(character) in "WF":
        return 1100
    return 800 if character.isupper() or not character.isascii() else 650


def wrapped(text: str, width: int, size: int = TEXT, *, bold: bool = False) -> list[str]:
    """The text in lines that fit the width; a word that does not fit alone is cut."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}".lstrip()
        if text_width(longer, size, bold=bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        line = word
        while text_width(line, size, bold=bold) > width:
            fits = next(
                n for n in range(len(line), 0, -1) if n == 1 or text_width(line[:n], size, bold=bold) <= width
            )
            lines.append(line[:fits])
            line = line[fits:]
    return [*lines, line] if line else lines
