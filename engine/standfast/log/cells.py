"""Cells of comma-separated values (RFC 4180), and how one is kept from being run as a formula.

A spreadsheet runs a cell that begins with `=`, `+`, `-` or `@`, perhaps after blanks. So wherever a cell begins,
or could be taken to begin by a program that splits at another separator, an apostrophe is put before such a
character on the way out. On the way in one apostrophe in such a place is taken away. Where apostrophes stand there
already, one is added and one taken away, so what was written always comes back.
"""

import re

from standfast.codes import sheets as codes
from standfast.log.findings import Refused, shown
from standfast.log.lines import LINE_LIMIT
from standfast.values import frozen

SEPARATORS = (",", ";", "\t")
_OPENS = "=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20"
_BEGINNING = re.compile(f"(^|[,;\t\r\n\"|])('*)(?=[ \u00a0]*[{_OPENS}])")
_QUOTED_IF = re.compile(r'[,;\t"\r\n]|^\s|\s$')


def neutral(text: str) -> str:
    """The text so that no spreadsheet runs any of it."""
    return _BEGINNING.sub(r"\1'\2", text)


def as_it_was(text: str) -> str:
    """What `neutral` was given; a text that never was given to it and has no such apostrophe stays."""
    return _BEGINNING.sub(lambda found: found[1] + found[2][1:], text)


def quoted(text: str, inner: str | None = None) -> str:
    """A cell with that text, in quotes where it, or the text `inner` in it, needs them for any separator."""
    needed = _QUOTED_IF.search(text) or (inner is not None and _QUOTED_IF.search(inner))
    return '"' + text.replace('"', '""') + '"' if needed else text


_TOLD = 3  # cells too many that are told of


@frozen
class Cell:
    """What a cell holds, its quotes undone, and from where to where that stands in the text it was read from."""

    text: str
    start: int
    end: int
    quoted: bool

    @property
    def stripped(self) -> str:
        return self.text.strip()

    @property
    def exact(self) -> str:
        """The text without the blanks a cell is padded with; in quotes none is padding."""
        return self.text if self.quoted else self.stripped


def row_at(text: str, start: int, separator: str, wanted: int) -> tuple[list[Cell], int] | Refused:
    """The cells of the row that begins at `start`, and where its line end, or the text, stands.

    Of the cells after those `wanted` only some that hold anything are given. Offsets, those of a refusal too, are
    into the whole text. A row is read up to `LINE_LIMIT` characters.
    """
    cells: list[Cell] = []
    position, limit, line_end = start, start + LINE_LIMIT, -1
    while True:
        if len(cells) >= wanted:
            line_end = _line_end(text, position) if line_end < position else line_end
            left = len(text[position:line_end].lstrip(f"{separator} \t\r"))
            if not left or len(cells) > wanted + _TOLD:
                return cells, line_end
            position = line_end - left
        opens = _past_blanks(text, position)
        if text[opens : opens + 1] == '"':
            closes = _closing(text, opens + 1, limit)
            if closes is None:
                return Refused(codes.QUOTE_NOT_CLOSED, {"limit": str(LINE_LIMIT)}, opens, opens + 1)
            cells.append(Cell(text[opens + 1 : closes].replace('""', '"'), opens + 1, closes, True))
            position = _past_blanks(text, closes + 1)
            line_end = _line_end(text, position) if line_end < position else line_end
            stop = _next(text, position, line_end, separator)
            if text[position:stop].strip():
                facts = {"text": shown(text[position:stop].strip())}
                return Refused(codes.AFTER_QUOTE, facts, position, stop)
        else:
            line_end = _line_end(text, position) if line_end < position else line_end
            stop = _next(text, position, line_end, separator)
            cells.append(_unquoted(text, position, stop))
        if text[stop : stop + 1] != separator:
            return cells, stop
        position = stop + 1


def _unquoted(text: str, start: int, stop: int) -> Cell:
    whole = text[start:stop]
    start += len(whole) - len(whole.lstrip())
    return Cell(whole, start, max(start, stop - len(whole) + len(whole.rstrip())), False)


def _past_blanks(text: str, position: int) -> int:
    while text[position : position + 1] == " ":
        position += 1
    return position


def _closing(text: str, position: int, limit: int) -> int | None:
    """Where the quote stands that closes a cell whose text begins at `position`; doubled ones are passed over."""
    while True:
        position = text.find('"', position, limit)
        if position < 0:
            return None
        if text[position + 1 : position + 2] != '"':
            return position
        position += 2


def _line_end(text: str, position: int) -> int:
    found = text.find("\n", position)
    return len(text) if found < 0 else found


def _next(text: str, position: int, line_end: int, separator: str) -> int:
    """Where the cell ends that goes on at `position`: at the separator, or with its line."""
    found = text.find(separator, position, line_end)
    return line_end if found < 0 else found
