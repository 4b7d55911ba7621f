"""A log kept as a table of cells: header lines, a head row that names columns, then a row for each entry.

It says the same as JSON Lines, key by key: a filled cell is a key with its value, an empty one is not there. The
end is a row with the mark `end`. Accepted is what a spreadsheet makes of it: any of three separators, cells padded
or in quotes, empty cells and rows at the end, and in a file of semicolons a comma for the decimal point.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator, Sequence

from standfast.codes import log as log_codes
from standfast.codes import sheets as codes
from standfast.log.blanks import Row, left_blank
from standfast.log.cells import SEPARATORS, Cell, as_it_was, row_at
from standfast.log.corrections import CORRECTIONS, PRESENCE
from standfast.log.fields import KEYS_OTHERWISE, listed, near
from standfast.log.findings import Findings, Refused, shown
from standfast.log.lines import TextLine
from standfast.log.members import Member, Number, Value
from standfast.source import Span

COLUMNS = ("at", "mark", "value", "candidate", "by", "note", *PRESENCE, *CORRECTIONS, "seen_by")
NEEDED = ("at", "mark")
NOTHING = "-"
"""In an amendment's cell of a value: that there is none."""
_AS_WRITTEN = ("candidate", "by", "note", *PRESENCE, "seen_by")
_MOST_COLUMNS = 100  # that a head row is read for
_DECIMAL = re.compile(r"(?<![0-9,])([0-9]+),([0-9]+)(?![0-9,])")
_TIME = re.compile(r"([0-9]+:[0-9:]+),([0-9]+)")
_WHOLE_TIME = re.compile(r"[0-9]+:[0-9]{2}(:[0-9]{2})?")
_HOURS = re.compile(r"[0-9]{1,2}:[0-9]{2}:00")


class Sheet:
    """The lines of a table: those above it, its columns (None: of no name) and where its rows begin.

    `by_candidate`: its header says that the rows of each candidate stand together.
    """

    def __init__(self, lines: tuple[TextLine, ...], findings: Findings) -> None:
        self.lines = lines
        first = next((n for n, line in enumerate(lines) if not _is_above(line)), len(lines))
        self.above = [line for line in lines[:first] if line.text.strip(" \t\r,;")]
        self.separator = _separator(lines[first].text) if first < len(lines) else None
        self._first = first + 1
        self._starts = [line.start for line in lines]
        self.columns: list[str | None] = []
        self.head: Span | None = None
        self.by_candidate = False
        if self.separator is None:
            place = lines[-1] if first == len(lines) else lines[first]
            found = "only header lines" if first == len(lines) else f"found `{shown(place.text.strip())}`"
            refused = place.refused or Refused(codes.NO_HEAD_ROW, {"found": found})
            findings.add(refused.code, place.span(refused.start, refused.end), refused.facts)
        else:
            self._read_head(lines[first], self.separator, findings)

    def _read_head(self, line: TextLine, separator: str, findings: Findings) -> None:
        before = findings.count
        read = line.refused or row_at(line.text, 0, separator, _MOST_COLUMNS)
        if isinstance(read, Refused):
            findings.add(read.code, line.span(read.start, read.end), read.facts)
            return
        for cell in read[0]:
            name, place = cell.stripped.lower(), line.span(cell.start, cell.end)
            if not name:
                self.columns.append(None)
            elif name not in COLUMNS:
                meant = [key for key in KEYS_OTHERWISE.get(name, ()) if key in COLUMNS]
                nearby = {"near": meant[0]} if meant else near(name, COLUMNS, findings)
                findings.add(codes.UNKNOWN_COLUMN, place, {"name": shown(name), "known": listed(COLUMNS)} | nearby)
            elif name in self.columns:
                findings.add(codes.COLUMN_TWICE, place, {"name": name})
            else:
                self.columns.append(name)
        if findings.count == before:
            for name in NEEDED:
                if name not in self.columns:
                    findings.add(codes.MISSING_COLUMN, line.span(), {"name": name})
        self.head = line.span() if findings.count == before else None

    def rows(self, findings: Findings) -> Iterator[Row]:
        """The rows below the head as the members of entries, corrections and the end; none below a bad head.

        A blank row is told of only where another follows. A quote that is not closed ends the reading.
        """
        if self.head is None or self.separator is None:
            return
        times = _Times()
        blank: list[TextLine] = []
        for line, read in self._records(self.separator):
            if not isinstance(read, Refused) and not any(cell.stripped for cell in read):
                blank.append(line)
                continue
            for each in blank:
                yield each, Refused(log_codes.BLANK_LINE)
            blank.clear()
            as_printed = False if isinstance(read, Refused) else left_blank(self._by_column(read))
            if as_printed is True:
                continue
            read = as_printed or read
            members = read if isinstance(read, Refused) else self._members(line, read, times, findings)
            yield line, members
        times.report(findings)

    def _by_column(self, cells: Sequence[Cell]) -> dict[str, Cell]:
        return {column: cell for column, cell in zip(self.columns, cells, strict=False) if column is not None}

    def _records(self, separator: str) -> Iterator[tuple[TextLine, list[Cell] | Refused]]:
        """Each row as one line, which may go over several, with its cells by offsets into it."""
        number = self._first
        while number < len(self.lines):
            line = self.lines[number]
            source = line.source
            read = line.refused or row_at(source.text, line.start, separator, len(self.columns))
            if isinstance(read, Refused):
                if line.refused is None:
                    read = Refused(read.code, read.facts, read.start - line.start, _less(read.end, line.start))
                yield line, read
                if read.code is codes.QUOTE_NOT_CLOSED:
                    return
                number += 1
                continue
            cells, stop = read
            after = bisect_right(self._starts, stop, lo=number)
            parts = self.lines[number:after]
            text = source.text[line.start : stop]
            whole = TextLine(source, line.number, line.start, text, parts[-1].ended, None)
            bad = next((each for each in parts if each.refused), None)
            if bad is not None and bad.refused is not None:
                yield bad, bad.refused
            elif not whole.ended and len(cells) < len(self.columns) and text.strip():
                facts = {"count": str(len(cells)), "wanted": str(len(self.columns))}
                yield whole, Refused(codes.ROW_CUT_OFF, facts)
            else:
                at = line.start
                yield whole, [Cell(c.text, c.start - at, c.end - at, c.quoted) for c in cells]
            number = after

    def _members(
        self, line: TextLine, cells: Sequence[Cell], times: "_Times", findings: Findings
    ) -> tuple[Member, ...]:
        members: list[Member] = []
        for place, cell in enumerate(cells):
            if not cell.stripped:
                continue
            column = self.columns[place] if place < len(self.columns) else None
            if column is None:
                facts = {"text": shown(cell.stripped)}
                findings.add(codes.CELL_TOO_MANY, line.span(cell.start, cell.end), facts)
                continue
            value = self._value(column, cell)
            if column == "at":
                times.take(value, line.span(cell.start, cell.end))
            members.append(Member(column, cell.start, cell.end, value, cell.start, cell.end))
        return _as_entry(members)

    def _value(self, column: str, cell: Cell) -> str:
        if column in _AS_WRITTEN:
            return as_it_was(cell.exact)
        text = as_it_was(cell.stripped)
        if self.separator == ";" and column == "at":
            found = _TIME.fullmatch(text)
            return text if found is None else f"{found[1]}.{found[2]}"
        return self.amount(text) if column == "value" else text

    def amount(self, text: str) -> str:
        """An amount with a point for its decimal comma, in a file of semicolons.

        A comma before three digits may stand between thousands too: it is left, and the amount so refused.
        """
        if self.separator != ";":
            return text
        return _DECIMAL.sub(
            lambda found: found[0] if _thousands(*found.groups()) else f"{found[1]}.{found[2]}", text
        )


def _thousands(whole: str, decimals: str) -> bool:
    return len(decimals) == 3 and len(whole) <= 3 and not whole.startswith("0")


def _is_above(line: TextLine) -> bool:
    """Whether it is a header line, or blank."""
    text = line.text.strip(" \t\r,;")
    return line.refused is None and (not text or text.startswith(("#", '"#')))


def _separator(head: str) -> str | None:
    """The one at which the head row splits into the most columns that are known; None where there are none."""

    def known(separator: str) -> int:
        return sum(cell.strip(' "\t\r').lower() in COLUMNS for cell in head.split(separator))

    best = max(SEPARATORS, key=known)
    return best if known(best) else None


def _less(offset: int | None, start: int) -> int | None:
    return None if offset is None else offset - start


def _as_entry(members: list[Member]) -> tuple[Member, ...]:
    """The members with the keys an object of JSON Lines would have."""
    by_column = {member.key: member for member in members}
    corrects = [by_column[key] for key in CORRECTIONS if key in by_column]
    found = []
    for member in members:
        value: Value = member.value
        if member in corrects and isinstance(value, str) and value.isdecimal() and value.isascii():
            value = Number(value)
        if member.key == "value" and value == NOTHING and "amend" in by_column:
            value = None
        found.append(_with(member, member.key, value))
    mark = by_column.get("mark")
    if corrects or mark is None or mark.value != "end":
        return tuple(found)
    renamed = [_with(m, "end", m.value) if m.key == "at" else m for m in found if m.key != "mark"]
    return (*renamed, *([] if "at" in by_column else [_with(mark, "end", "")]))


def _with(member: Member, key: str, value: Value) -> Member:
    return Member(key, member.key_start, member.key_end, value, member.start, member.end)


class _Times:
    """The times of a table, to see whether a spreadsheet took minutes for hours and seconds for minutes."""

    def __init__(self) -> None:
        self._first: tuple[str, Span] | None = None
        self._lines: list[int] = []  # of those like hours
        self._whole = 0
        self._two_digits = 0
        self._others = 0

    def take(self, text: str, span: Span) -> None:
        if not _WHOLE_TIME.fullmatch(text):
            self._others += 1
            return
        self._whole += 1
        if _HOURS.fullmatch(text):
            self._lines.append(span.line)
            self._two_digits += len(text) == len("00:00:00")
            if self._first is None and text.strip("0:"):
                self._first = text, span

    def report(self, findings: Findings) -> None:
        """Beside times of another form, hours are taken for rewritten only with two digits, as nobody types them.

        Where some times without decimals show seconds, most of the table must be such hours: a few were put right.
        """
        every = len(self._lines) == self._whole and (self._two_digits == self._whole or not self._others)
        most = 2 * self._two_digits > self._whole + self._others
        if self._first is None or not (every or most):
            return
        text, place = self._first
        facts = {"text": text, "count": str(len(self._lines)), "whole": str(self._whole)}
        facts |= {"first": str(self._lines[0]), "last": str(self._lines[-1])}
        findings.add(codes.REWRITTEN, place, facts)
