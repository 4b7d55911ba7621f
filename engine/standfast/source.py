"""Text and places in it.

A `Source` is a named text; a `Span` is a stretch of it that keeps the text with it, so that any later stage
can quote what the author wrote. Lines and columns count from 1; columns count characters.
"""

from bisect import bisect_right
from functools import cached_property

from standfast.values import field, frozen


@frozen(slots=False)
class Source:
    """A text and the name it is known by (a path as given, or `standard input`)."""

    name: str
    text: str = field(repr=False)

    @cached_property
    def _starts(self) -> list[int]:
        starts = [0]
        position = self.text.find("\n")
        while position >= 0:
            starts.append(position + 1)
            position = self.text.find("\n", position + 1)
        return starts

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column of a character offset (0 for the first character)."""
        line = bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1

    def line(self, number: int) -> str:
        """The text of one line without its line end; empty past the last line."""
        if not 1 <= number <= len(self._starts):
            return ""
        start = self._starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start : len(self.text) if end < 0 else end].rstrip("\r")

    def span(self, start: int, end: int) -> "Span":
        return Span(self, start, end)

    def whole_line(self, number: int) -> "Span":
        """The span of one line's text, without its indentation and line end."""
        text = self.line(number)
        start = self._starts[min(number, len(self._starts)) - 1]
        return Span(self, start + len(text) - len(text.lstrip()), start + len(text.rstrip()))


@frozen
class Span:
    """Characters `start` (included) to `end` (excluded) of a source, by offset."""

    source: Source = field(repr=False, eq=False)
    start: int
    end: int

    @property
    def line(self) -> int:
        return self.source.place(self.start)[0]

    @property
    def column(self) -> int:
        return self.source.place(self.start)[1]

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    def to(self, other: "Span") -> "Span":
        """The span from the beginning of this one to the end of the other."""
        return Span(self.source, self.start, max(self.end, other.end))

    def __repr__(self) -> str:
        return f"<{self.source.name}:{self.line}:{self.column} {self.text[:60]!r}>"
