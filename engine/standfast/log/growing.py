"""Which lines of a log that is still being written are whole.

A line is whole with its line end. The last one needs none if it is a whole JSON object, since no longer line
begins with one; a row of a table may always go on. A line end in a quoted cell ends no row.
"""

from collections.abc import Iterator

from standfast.log.findings import Refused
from standfast.log.lines import split_lines
from standfast.log.members import members_of
from standfast.log.reader import is_sheet


def whole_lines(name: str, data: bytes, start: int = 0) -> list[int]:
    """Where each whole line ends that ends after `start`, as numbers of bytes from the beginning."""
    found = list(_line_ends(data, start, cells=is_sheet(name, data)))
    last = found[-1] if found else start
    if last < len(data) and not is_sheet(name, data) and _is_object(name, data[last:]):
        found.append(len(data))
    return found


def _line_ends(data: bytes, start: int, *, cells: bool) -> Iterator[int]:
    row = start
    line_end = data.find(b"\n", start)
    while line_end >= 0:
        if not cells or data.count(b'"', row, line_end) % 2 == 0:
            row = line_end + 1
            yield row
        line_end = data.find(b"\n", line_end + 1)


def _is_object(name: str, tail: bytes) -> bool:
    _, lines = split_lines(name, tail)
    if isinstance(lines, Refused) or len(lines) != 1 or lines[0].refused is not None:
        return False
    return not isinstance(members_of(lines[0]), Refused)
