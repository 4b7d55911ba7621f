"""From the bytes of a log to its header and entries as written: JSON Lines, an object a line, or a table of cells.

What comes out has its times in microseconds since the session's zero, in order, and its candidates settled;
whether a mark or a condition exists is `bind`'s business. Everything wrong with a log is found in one run, and
a log with anything wrong gives no `RawLog`: no line is passed over. A log with corrections is read twice: once as
it would be without them, which finds them, and once with each made where it belongs.
"""

from hashlib import sha256

from standfast.codes import log as codes
from standfast.diagnostic import Diagnostic, Label
from standfast.log.attendance import Attendance
from standfast.log.clock import Clock, Moment
from standfast.log.corrections import (
    CORRECTIONS,
    PRESENCE,
    Asked,
    Target,
    Written,
    corrected,
    entry_target,
    read_correction,
)
from standfast.log.entry import ALL, Correction, Presence, RawEntry, RawLog, StatedFact
from standfast.log.facts import stated_facts
from standfast.log.fields import Fields, near
from standfast.log.findings import Findings, Refused, shown
from standfast.log.header import Opening, read_header
from standfast.log.lines import BYTE_ORDER_MARK, TextLine, split_lines
from standfast.log.members import Member, Number, members_of
from standfast.log.times import read_time
from standfast.source import Source, Span

SHEET_ENDINGS = (".csv", ".csv.gz")
ENTRY_KEYS = ("at", "mark", "value", "candidate", "by", "note")


def read_log(name: str, data: bytes) -> tuple[RawLog | None, tuple[Diagnostic, ...]]:
    """The log with that name, or None; then every problem, at most 50 listed.

    One whose name ends in `.csv` (`.csv.gz` before it was unpacked), or that begins with `#`, is a table of cells.
    """
    cells = is_sheet(name, data)
    findings = Findings(cells=cells)
    source, lines = split_lines(name, data, returns=cells)
    if isinstance(lines, Refused):
        findings.add(lines.code, source.span(0, 0), lines.facts)
        return None, findings.diagnostics()
    read, digest = _read_sheet if cells else _read_lines, sha256(data).hexdigest()
    reading = read(lines, {}, findings)
    raw = reading.result(source, digest, None, cells)
    if reading.asked:
        findings = Findings(cells=cells)
        raw = read(lines, reading.asked, findings).result(source, digest, raw, cells)
    return raw, findings.diagnostics()


def is_sheet(name: str, data: bytes) -> bool:
    return name.lower().endswith(SHEET_ENDINGS) or data.removeprefix(BYTE_ORDER_MARK)[:1] == b"#"


def _read_lines(lines: tuple[TextLine, ...], asked: Asked, findings: Findings) -> "_Reading":
    reading = _Reading(findings, asked)
    for line in lines:
        reading.take(line, line.refused or _members(line))
    reading.close()
    return reading


def _read_sheet(lines: tuple[TextLine, ...], asked: Asked, findings: Findings) -> "_Reading":
    from standfast.log.blanks import in_order_of_time  # most logs are no tables
    from standfast.log.sheet import Sheet
    from standfast.log.sheet_header import read_header_lines

    reading = _Reading(findings, asked)
    sheet = Sheet(lines, findings)
    reading.begin(lines[0], read_header_lines(sheet, findings))
    rows = sheet.rows(findings)
    for line, members in in_order_of_time(rows) if sheet.by_candidate else rows:
        reading.take(line, members)
    reading.close()
    return reading


class _Reading:
    """A log as far as it has been read. INVARIANT: whatever is not taken over has a finding.

    `making` are the corrections to be made on the way, `asked` all that were found.
    """

    def __init__(self, findings: Findings, making: Asked) -> None:
        self.opening: Opening | None = None
        self.entries: list[RawEntry] = []
        self.end: int | None = None
        self.asked: dict[Target, list[Written]] = {}
        self._findings = findings
        self._making = making
        self._made: list[Correction] = []
        self._first: TextLine | None = None
        self._clock = Clock(findings)
        self._known: set[str] = set()
        self._attendance = Attendance(findings)
        self._presence: list[Presence] = []
        self._facts: list[StatedFact] = []
        self._number = 0
        self._last_end: Target | None = None
        self._ended: Span | None = None
        self._named = False
        self._unnamed: list[Span] = []

    def begin(self, line: TextLine, opening: Opening) -> None:
        self._first, self.opening = line, opening
        self._known = set(opening.candidates or ())

    def take(self, line: TextLine, members: tuple[Member, ...] | Refused) -> None:
        if isinstance(members, Refused):
            self._findings.add(members.code, line.span(members.start, members.end), members.facts)
            # Taken for an entry that cannot be read, so that the others keep the number they have in the file.
            self._number += self._first is not None and members.code is not codes.BLANK_LINE
            self._first = self._first or line
            return
        keys = {member.key for member in members}
        a_header = not keys.isdisjoint(("session", "standard"))
        correction = next((member for member in members if member.key in CORRECTIONS), None)
        if self._first is None:
            self._first = line
            if a_header or keys.isdisjoint(("at", "mark", "end", *PRESENCE, *CORRECTIONS)):
                self.begin(line, read_header(line, members, self._findings))
                return
            what = "a correction" if correction else "the end" if "end" in keys else "an entry"
            self._findings.add(codes.NO_HEADER, line.span(), {"what": what})
        if correction is not None:
            self._take_correction(line, members)
        elif a_header:
            self._findings.add(codes.SECOND_HEADER, line.span(), None, Label(self._first.span(), "the first line"))
        elif "end" in keys:
            self._take_end(line, members)
        elif not keys.isdisjoint(PRESENCE):
            self._take_presence(line, members)
        else:
            self._take_entry(line, members)

    def result(self, source: Source, digest: str, uncorrected: RawLog | None, cells: bool) -> RawLog | None:
        """The log, if there was nothing wrong with it."""
        if self._findings.count or self.opening is None or self.opening.header is None:
            return None
        return RawLog(
            source=source,
            header=self.opening.header,
            conditions=self.opening.conditions,
            facts=(*self.opening.facts, *self._facts),
            entries=tuple(self.entries),
            presence=tuple(self._presence),
            end=self.end,
            zero=self._clock.shown_at_zero(self.opening),
            digest=digest,
            corrections=tuple(sorted(self._made, key=lambda made: made.on_line)),
            uncorrected=uncorrected,
            cells=cells,
        )

    def close(self) -> None:
        """What can be said only when every line has been read."""
        if self.opening is None or self.opening.candidates != ():
            return
        if not self._named and (self._unnamed or not self._findings.count):
            assert self._first is not None
            self._findings.add(codes.NO_CANDIDATE, self._first.span())
        elif self._named:
            for span in self._unnamed:
                self._findings.add(codes.CANDIDATE_MISSING, span)

    def _take_entry(self, line: TextLine, members: tuple[Member, ...]) -> None:
        self._number += 1
        fields = self._corrected("an entry", line, members, ENTRY_KEYS, entry_target(self._number))
        if fields is None:
            return
        at = self._entry_time(line, fields)
        mark = fields.text("mark", example="go")
        value = fields.member("value")
        candidate = self._candidate(fields)
        entry_value = (
            value.value.text if value is not None and isinstance(value.value, Number) else fields.text("value")
        )
        by, note = fields.text("by"), fields.text("note")
        self._attendance.entry(candidate or self._only, line.span())
        if at is None or mark is None:
            return
        self.entries.append(
            RawEntry(
                number=self._number,
                at=at,
                mark=mark,
                value=entry_value,
                candidate=candidate,
                by=by,
                note=note,
                span=line.span(),
                mark_span=fields.span("mark"),
                value_span=None if value is None else fields.span("value"),
            )
        )

    def _take_presence(self, line: TextLine, members: tuple[Member, ...]) -> None:
        """A candidate joins or leaves: numbered and corrected as an entry is."""
        self._number += 1
        key = next(member.key for member in members if member.key in PRESENCE)
        joins = key == "join"
        known = ("at", key, *(("facts",) if joins else ()), "by", "note")
        fields = self._corrected(f"a `{key}`", line, members, known, entry_target(self._number))
        if fields is None:
            return
        at, name = self._entry_time(line, fields), fields.text(key, example="C-7")
        by, note = fields.text("by"), fields.text("note")
        self._named = True
        if name is None:
            return
        if name == ALL:
            self._findings.add(codes.NAMED_ALL, fields.span(key))
            return
        if joins:
            self._known.add(name)
            self._facts += stated_facts(fields, self._findings, (name, fields.span(key)))
        else:
            self._check_known(name, fields, key)
        self._attendance.presence(name, joins, line.span())
        if at is not None:
            self._presence.append(
                Presence(
                    number=self._number,
                    line=line.number,
                    at=at,
                    candidate=name,
                    joins=joins,
                    by=by,
                    note=note,
                )
            )

    def _entry_time(self, line: TextLine, fields: Fields) -> int | None:
        if self._ended is not None:
            self._findings.add(codes.AFTER_END, line.span(), None, Label(self._ended, "the end"))
        return self._time(fields, "at", f"entry {self._number}")

    def _take_end(self, line: TextLine, members: tuple[Member, ...]) -> None:
        ends = 1 if self._last_end is None else self._last_end.number + 1
        self._last_end = Target(of_end=True, number=ends, place=self._number)
        if self._ended is not None:
            self._findings.add(codes.SECOND_END, line.span(), None, Label(self._ended, "the first end"))
            return
        fields = self._corrected("the end", line, members, ("end",), self._last_end)
        if fields is not None:
            self.end = self._time(fields, "end", "the end")
            self._ended = line.span()

    def _take_correction(self, line: TextLine, members: tuple[Member, ...]) -> None:
        written = read_correction(line, members, self._number, self._last_end, self._findings)
        if written is not None:
            self.asked.setdefault(written.target, []).append(written)

    def _corrected(
        self, what: str, line: TextLine, members: tuple[Member, ...], known: tuple[str, ...], target: Target
    ) -> Fields | None:
        """What an entry or the end says once its corrections are made; None if it is struck."""
        asked = self._making.get(target, ())
        fields = Fields(what, line, members, known, self._findings)
        stands, made = corrected(fields, target, asked, self._findings)
        self._made += made
        return fields if stands else None

    def _candidate(self, fields: Fields) -> str | None:
        name, missing = fields.text("candidate"), fields.member("candidate") is None
        known = None if self.opening is None else self.opening.candidates
        if known == ():
            self._named = self._named or not (missing or name == ALL)
            if missing:
                self._unnamed.append(fields.line.span())
        elif known is not None and missing and len(self._known) > 1:
            self._findings.add(codes.CANDIDATE_MISSING, fields.line.span())
        elif name is not None and name != ALL:
            self._check_known(name, fields, "candidate")
        return name

    @property
    def _only(self) -> str | None:
        """Whose an entry is that names nobody; None where it has to."""
        return next(iter(self._known)) if len(self._known) == 1 else None

    def _check_known(self, name: str, fields: Fields, key: str) -> None:
        """Against those the header names, where it names any, and those who joined."""
        known = None if self.opening is None else self.opening.candidates
        if known and name not in self._known:
            facts = {"name": shown(name)} | near(name, self._known, self._findings)
            self._findings.add(codes.UNKNOWN_CANDIDATE, fields.span(key), facts)

    def _time(self, fields: Fields, key: str, who: str) -> int | None:
        """Microseconds since the zero; after the end of the log a time is read, but not held against it."""
        member = fields.member(key)
        if member is not None and isinstance(member.value, Number):
            facts = {"text": shown(member.value.text), "key": key}
            self._findings.add(codes.TIME_AS_NUMBER, fields.span(key), facts)
            return None
        text = fields.text(key, example="0:05.4")
        if text is None:
            return None
        time = read_time(text)
        if isinstance(time, Refused):
            self._findings.add(time.code, fields.span(key), time.facts)
            return None
        if self._ended is not None:
            return None
        return self._clock.place(Moment(time, text, who, fields.span(key)), self.opening)


def _members(line: TextLine) -> tuple[Member, ...] | Refused:
    return members_of(line) if line.text.strip(" \t") else Refused(codes.BLANK_LINE)
