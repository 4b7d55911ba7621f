"""A roster: a table of cells with a column `candidate` and one for each fact the standard asks for."""

from bisect import bisect_right
from collections.abc import Iterator

from standfast.codes import fill_in as codes
from standfast.codes import log as log_codes
from standfast.codes import sheets as sheet_codes
from standfast.diagnostic import Diagnostic
from standfast.log.blanks import BLANK
from standfast.log.cells import SEPARATORS, Cell, as_it_was, row_at
from standfast.log.entry import ALL, StatedFact
from standfast.log.facts import understood
from standfast.log.fields import checked_text, listed, near
from standfast.log.findings import Findings, Refused, shown
from standfast.log.lines import TextLine, split_lines
from standfast.log.members import Member
from standfast.model.standard import Standard
from standfast.values import frozen

CANDIDATE = "candidate"
_MOST_COLUMNS = 100


@frozen
class Listed:
    """A candidate of the roster, with those facts that it states, as written."""

    candidate: str
    facts: tuple[tuple[str, str], ...]


def read_roster(
    name: str, data: bytes, standard: Standard
) -> tuple[tuple[Listed, ...] | None, tuple[Diagnostic, ...]]:
    """The candidates in the order of the roster, or None; then every problem, at most 50 listed."""
    findings = Findings(cells=True)
    source, lines = split_lines(name, data, returns=True)
    if isinstance(lines, Refused):
        findings.add(lines.code, source.span(0, 0), lines.facts)
        return None, findings.diagnostics()
    reader = _Reader(standard, findings)
    found = tuple(reader.read(lines))
    if not found and not findings.count:
        findings.add(codes.NO_CANDIDATES, lines[-1].span(), {"found": "only names of columns"})
    return (None if findings.count else found), findings.diagnostics()


class _Reader:
    def __init__(self, standard: Standard, findings: Findings) -> None:
        self._standard = standard
        self._known = (CANDIDATE, *(fact.name for fact in standard.facts))
        self._findings = findings
        self._columns: list[str | None] = []
        self._names: set[str] = set()

    def read(self, lines: tuple[TextLine, ...]) -> Iterator[Listed]:
        """Each row below the head; with a bad head none."""
        separator = max(SEPARATORS, key=lambda each: _split(lines[0].text, each).count(CANDIDATE))
        if CANDIDATE not in _split(lines[0].text, separator):
            found = f"found `{shown(lines[0].text.strip())}`"
            self._findings.add(codes.NO_CANDIDATES, lines[0].span(), {"found": found})
            return
        rows = _rows(lines, separator)
        for line, read in rows:
            if isinstance(read, Refused):
                self._findings.add(read.code, line.span(read.start, read.end), read.facts)
                if read.code is sheet_codes.QUOTE_NOT_CLOSED:
                    return
            elif not self._columns:
                self._head(line, read)
                if self._findings.count:
                    return
            elif any(cell.stripped for cell in read):
                yield from self._row(line, read)

    def _head(self, line: TextLine, cells: list[Cell]) -> None:
        for cell in cells:
            name, place = cell.stripped.lower(), line.span(cell.start, cell.end)
            if name and name not in self._known:
                facts = {"name": shown(name), "standard": self._standard.name, "known": listed(self._known)}
                facts |= near(name, self._known, self._findings)
                self._findings.add(codes.UNKNOWN_COLUMN, place, facts)
            elif name and name in self._columns:
                self._findings.add(sheet_codes.COLUMN_TWICE, place, {"name": name})
            self._columns.append(name or None)

    def _row(self, line: TextLine, cells: list[Cell]) -> Iterator[Listed]:
        before, stated = self._findings.count, []
        named: str | None = None
        for number, cell in enumerate(cells):
            column = self._columns[number] if number < len(self._columns) else None
            place = line.span(cell.start, cell.end)
            if column == CANDIDATE:
                text = as_it_was(cell.exact)
                member = Member(CANDIDATE, cell.start, cell.end, text, cell.start, cell.end)
                named = checked_text(line, member, CANDIDATE, self._findings)
                self._check(named, line, cell)
            elif column is None and cell.stripped:
                self._findings.add(sheet_codes.CELL_TOO_MANY, place, {"text": shown(cell.stripped)})
            elif column is not None and cell.stripped not in ("", BLANK):
                stated.append((column, as_it_was(cell.stripped)))
                self._check_fact(*stated[-1], line, cell)
        if named is None and self._findings.count == before:
            self._findings.add(log_codes.EMPTY_TEXT, line.span(), {"key": CANDIDATE})
        if named is not None and self._findings.count == before:
            yield Listed(named, tuple(stated))

    def _check(self, name: str | None, line: TextLine, cell: Cell) -> None:
        place = line.span(cell.start, cell.end)
        if name == ALL:
            self._findings.add(log_codes.NAMED_ALL, place)
        elif name in self._names:
            self._findings.add(log_codes.CANDIDATE_TWICE, place, {"name": shown(name or "")})
        elif name is not None:
            self._names.add(name)

    def _check_fact(self, name: str, value: str, line: TextLine, cell: Cell) -> None:
        fact, place = self._standard.fact(name), line.span(cell.start, cell.end)
        assert fact is not None
        stated = StatedFact(
            name=name, value=value, candidate=None, name_span=place, span=place, candidate_span=None
        )
        value_read = understood(stated, fact, self._findings)
        if isinstance(value_read, Refused):
            self._findings.add(value_read.code, place, value_read.facts)


def _split(head: str, separator: str) -> list[str]:
    return [cell.strip(' "\t\r').lower() for cell in head.split(separator)]


def _rows(lines: tuple[TextLine, ...], separator: str) -> Iterator[tuple[TextLine, list[Cell] | Refused]]:
    """Each row as one line, which may go over several, with its cells by offsets into it."""
    starts, number = [line.start for line in lines], 0
    while number < len(lines):
        line = lines[number]
        read = line.refused or row_at(line.source.text, line.start, separator, _MOST_COLUMNS)
        if isinstance(read, Refused):
            start = 0 if line.refused else line.start
            end = None if read.end is None else read.end - start
            yield line, Refused(read.code, read.facts, read.start - start, end)
            number += 1
            continue
        cells, stop = read
        text = line.source.text[line.start : stop]
        whole = TextLine(line.source, line.number, line.start, text, True, None)
        yield whole, [Cell(c.text, c.start - line.start, c.end - line.start, c.quoted) for c in cells]
        number = bisect_right(starts, stop, lo=number)
