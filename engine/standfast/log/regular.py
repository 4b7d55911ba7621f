"""The short way through a regular log: its header, and its entries as stretches of text, not looked into.

Regular is a log of JSON Lines that names its candidates in the header, whose entries each begin with `"at"` and an
elapsed time, and whose end, if it has one, is its last line. Nothing is ever found wrong here: whatever is not
regular, right or wrong, is left to `read_log`, which then reads the whole log and says all there is to say.
"""

import re
from hashlib import sha256

from standfast.log.corrections import CORRECTIONS
from standfast.log.entry import RawLog
from standfast.log.findings import Findings, Refused
from standfast.log.header import Opening, read_header
from standfast.log.lines import LINE_LIMIT, LINES_LIMIT, TextLine
from standfast.log.members import members_of
from standfast.log.reader import is_sheet
from standfast.log.times import Elapsed, read_time
from standfast.source import Source
from standfast.values import frozen

_ENTRY = re.compile(r'^\{"at": ?"([0-9:]++)(?:\.([0-9]++))?"(,.*+)\n', re.MULTILINE)
_END = re.compile(r'\{"end": ?"([0-9:]++)(?:\.([0-9]++))?"\}\n')
_KEPT = 4096

Row = tuple[str, str, str]
"""Of an entry the time before and after its point, and its tail: what stands behind the time in its line."""


class Irregular(Exception):
    """Something that is left to the careful way."""


@frozen(eq=False)
class RegularLog:
    """`opening` is the log without its entries."""

    opening: RawLog
    rows: list[Row]


class _Times(dict[str, int]):
    """Microseconds by how they are written, read as everywhere; the first `_KEPT` are kept."""

    def __init__(self, before: str) -> None:
        self._before = before

    def __missing__(self, text: str) -> int:
        time = read_time(self._before + text)
        if not isinstance(time, Elapsed):
            raise Irregular
        if len(self) < _KEPT:
            self[text] = time.microseconds
        return time.microseconds


WHOLE = _Times("")
"""What stands before the point of a time."""
PART = _Times("0:00.")
"""What stands behind it; nothing where there is no point."""
PART[""] = 0


def regular_log(name: str, data: bytes) -> RegularLog | None:
    """The log if it is regular, with nothing wrong with it so far."""
    first = data.find(b"\n")
    if not 0 < first <= LINE_LIMIT or b"\r" in data or is_sheet(name, data):
        return None
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        return None
    text = text if text.endswith("\n") else text + "\n"
    count, first = text.count("\n"), text.index("\n")
    if count > LINES_LIMIT:
        return None
    last = text.rfind("\n", 0, len(text) - 1) + 1
    ended = _END.match(text, last) if last else None
    rows: list[Row] = _ENTRY.findall(text, first + 1, last if ended else len(text))
    # Each row is a line from its beginning to its end, so with as many rows as lines nothing is passed over.
    if len(rows) != count - (2 if ended else 1):
        return None
    line = TextLine(Source(name, text[:-1]), 1, 0, text[:first], ended=True, refused=None)
    opening = _opening(line)
    if opening is None or opening.header is None or not opening.candidates:
        return None
    try:
        end = None if ended is None else WHOLE[ended[1]] + PART[ended[2] or ""]
    except Irregular:
        return None
    return RegularLog(
        RawLog(
            source=line.source,
            header=opening.header,
            conditions=opening.conditions,
            facts=opening.facts,
            entries=(),
            end=end,
            zero=None,
            digest=sha256(data).hexdigest(),
        ),
        rows,
    )


def _opening(line: TextLine) -> Opening | None:
    """What a line says that is a header, and nothing else, with nothing wrong with it."""
    members = members_of(line)
    if isinstance(members, Refused):
        return None
    keys = {member.key for member in members}
    if keys.isdisjoint(("session", "standard")) or not keys.isdisjoint(CORRECTIONS):
        return None
    findings = Findings()
    opening = read_header(line, members, findings)
    return None if findings.count else opening
