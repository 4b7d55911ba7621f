"""Lines for a terminal: what is safe to print, how wide it is, and where it is folded."""

from collections.abc import Sequence

WIDTH = 80
_KEPT = "\u00a0"
_HIDDEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}


def safe(text: str) -> str:
    """The text with every character that could move or hide output written out as an escape."""
    if text.isascii() and text.isprintable():
        return text
    import unicodedata  # only where it is asked

    return "".join(_escaped(c) if unicodedata.category(c) in _HIDDEN else c for c in text)


def _escaped(character: str) -> str:
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def width(text: str) -> int:
    """Columns of a terminal that a safe text takes: two for a wide character, none for a combining one."""
    if text.isascii():
        return len(text)
    import unicodedata

    return sum(
        0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text
    )


def unbroken(text: str) -> str:
    """The text for `folded`, which will not fold it."""
    return text.replace(" ", _KEPT)


def folded(text: str, indent: int = 0, hanging: int = 4) -> list[str]:
    """The text in lines of at most `WIDTH` columns (a longer word stays whole), later ones further in."""
    text = safe(text)
    if text and text == text.strip() and indent + len(text) <= WIDTH:
        return [" " * indent + text.replace(_KEPT, " ")]  # as it would come out, many times faster
    import textwrap  # only for what does not come out as it is

    lines = textwrap.wrap(
        text,
        width=WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hanging),
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_KEPT, " ") for line in lines]


def table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """The rows with their cells in columns, two blanks between; the last cell is not padded."""
    cells = [[safe(cell) for cell in row] for row in rows]
    widths = [max(width(cell) for cell in column) for column in zip(*cells, strict=True)]
    return [
        "  ".join(cell + " " * (columns - width(cell)) for cell, columns in zip(row, widths, strict=True)).rstrip()
        for row in cells
    ]
