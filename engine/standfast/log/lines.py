"""A log's bytes as lines of text, each bounded before anything reads it.

Accepted: UTF-8 with or without its byte order mark, line ends LF or CR LF, blank lines at the end, a last line
without a line end. Refused, line by line: bytes that are not UTF-8, lines longer than `LINE_LIMIT` bytes. The
source that comes out has every line in its place; of a line too long it has only the beginning.
"""

from standfast.codes import log as codes
from standfast.log.findings import Refused
from standfast.source import Source, Span
from standfast.values import frozen

LINE_LIMIT = 64 * 1024
LINES_LIMIT = 1_000_000

BYTE_ORDER_MARK = b"\xef\xbb\xbf"


@frozen
class TextLine:
    """One line without its line end. `refused` says why it cannot be read, with offsets into `text`."""

    source: Source
    number: int
    start: int
    text: str
    ended: bool
    refused: Refused | None

    def span(self, start: int = 0, end: int | None = None) -> Span:
        """The span of a stretch of this line, by offsets into its text."""
        return self.source.span(self.start + start, self.start + (len(self.text) if end is None else end))


def split_lines(name: str, data: bytes, *, returns: bool = False) -> tuple[Source, tuple[TextLine, ...] | Refused]:
    """The lines of a log, those that are blank at its end left out; with `returns` each keeps its CR."""
    read: list[tuple[str, bool, Refused | None]] = []
    position = len(BYTE_ORDER_MARK) if data.startswith(BYTE_ORDER_MARK) else 0
    if data.count(b"\n") > LINES_LIMIT:
        return Source(name, ""), Refused(codes.TOO_MANY_LINES, {"limit": str(LINES_LIMIT)})
    while position < len(data):
        line_end = data.find(b"\n", position)
        stop = len(data) if line_end < 0 else line_end
        text, refused = _decoded(data, position, stop, returns)
        read.append((text, line_end >= 0, refused))
        position = stop + 1
    while read and not read[-1][0].strip(" \t\r") and read[-1][2] is None:
        read.pop()
    if not read:
        return Source(name, ""), Refused(codes.EMPTY)
    source = Source(name, "\n".join(text for text, _, _ in read))
    lines: list[TextLine] = []
    start = 0
    for number, (text, ended, refused) in enumerate(read, 1):
        lines.append(TextLine(source, number, start, text, ended, refused))
        start += len(text) + 1
    return source, tuple(lines)


def _decoded(data: bytes, start: int, stop: int, returns: bool) -> tuple[str, Refused | None]:
    if not returns and data[stop - 1 : stop] == b"\r" and stop > start:
        stop -= 1
    if stop - start > LINE_LIMIT:
        beginning = data[start : start + 60].decode("utf-8", "replace")
        return beginning, Refused(codes.LINE_TOO_LONG, {"length": str(stop - start), "limit": str(LINE_LIMIT)})
    line = data[start:stop]
    try:
        return line.decode("utf-8"), None
    except UnicodeDecodeError as error:
        column = len(line[: error.start].decode("utf-8"))
        facts = {"byte": str(error.start + 1), "value": f"0x{line[error.start]:02X}"}
        cut = stop == len(data) and error.reason == "unexpected end of data"
        refused = Refused(codes.CUT_OFF) if cut else Refused(codes.NOT_UTF8, facts, column, column + 1)
        return line.decode("utf-8", "replace"), refused
