"""From the bytes of a log to its header and entries as written: JSON Lines, one object a line.

What comes out has its times in microseconds since the session's zero, in order, and its candidates settled;
whether a mark or a condition exists is `bind`'s business. Everything wrong with a log is found in one run, and
a log with anything wrong gives no `RawLog`: no line is passed over. Corrections are not read yet and are refused.
"""

from datetime import datetime
from hashlib import sha256

from standfast.codes import log as codes
from standfast.diagnostic import Diagnostic, Label
from standfast.log.clock import Clock, Moment
from standfast.log.entry import RawEntry, RawLog
from standfast.log.fields import Fields, near, value_span
from standfast.log.findings import Findings, Refused, shown
from standfast.log.header import ALL, Opening, read_header
from standfast.log.lines import TextLine, split_lines
from standfast.log.members import Member, Number, members_of
from standfast.log.times import read_time
from standfast.source import Span

ENTRY_KEYS = ("at", "mark", "value", "candidate", "by", "note")
CORRECTIONS = ("strike", "amend")


def read_log(name: str, data: bytes) -> tuple[RawLog | None, tuple[Diagnostic, ...]]:
    """The log with that name, or None; then every problem, at most 50 listed."""
    findings = Findings()
    source, lines = split_lines(name, data)
    if isinstance(lines, Refused):
        findings.add(lines.code, source.span(0, 0), lines.facts)
        return None, findings.diagnostics()
    reading = _Reading(findings, lines[0])
    for line in lines:
        reading.take(line)
    reading.close()
    if findings.count or reading.opening is None or reading.opening.header is None:
        return None, findings.diagnostics()
    raw = RawLog(
        source=source,
        header=reading.opening.header,
        conditions=reading.opening.conditions,
        facts=reading.opening.facts,
        entries=tuple(reading.entries),
        end=reading.end,
        zero=reading.zero,
        digest=sha256(data).hexdigest(),
    )
    return raw, ()


class _Reading:
    """A log as far as it has been read. INVARIANT: whatever is not taken over has a finding."""

    def __init__(self, findings: Findings, first: TextLine) -> None:
        self.opening: Opening | None = None
        self.entries: list[RawEntry] = []
        self.end: int | None = None
        self._findings = findings
        self._first = first
        self._clock = Clock(findings)
        self._known: frozenset[str] = frozenset()
        self._number = 0
        self._ended: Span | None = None
        self._named = False
        self._unnamed: list[Span] = []

    def take(self, line: TextLine) -> None:
        members = line.refused or _members(line)
        if isinstance(members, Refused):
            self._findings.add(members.code, line.span(members.start, members.end), members.facts)
            # Taken for an entry that cannot be read, so that the others keep the number they have in the file.
            self._number += line is not self._first and members.code is not codes.BLANK_LINE
            return
        keys = {member.key for member in members}
        a_header = not keys.isdisjoint(("session", "standard"))
        correction = next((member for member in members if member.key in CORRECTIONS), None)
        if line is self._first:
            if a_header or keys.isdisjoint(("at", "mark", "end", *CORRECTIONS)):
                self.opening = read_header(line, members, self._findings)
                self._known = frozenset(self.opening.candidates or ())
                return
            what = "a correction" if correction else "the end" if "end" in keys else "an entry"
            self._findings.add(codes.NO_HEADER, line.span(), {"what": what})
        if correction is not None:
            place = line.span(correction.key_start, correction.key_end)
            self._findings.add(codes.CORRECTION, place, {"key": correction.key})
        elif a_header:
            self._findings.add(codes.SECOND_HEADER, line.span(), None, Label(self._first.span(), "the first line"))
        elif "end" in keys:
            self._take_end(line, members)
        else:
            self._take_entry(line, members)

    @property
    def zero(self) -> datetime | None:
        return None if self.opening is None else self._clock.shown_at_zero(self.opening)

    def close(self) -> None:
        """What can be said only when every line has been read."""
        if self.opening is None or self.opening.candidates != ():
            return
        if not self._named and (self._unnamed or not self._findings.count):
            self._findings.add(codes.NO_CANDIDATE, self._first.span())
        elif self._named:
            for span in self._unnamed:
                self._findings.add(codes.CANDIDATE_MISSING, span)

    def _take_entry(self, line: TextLine, members: tuple[Member, ...]) -> None:
        self._number += 1
        fields = Fields("an entry", line, members, ENTRY_KEYS, self._findings)
        if self._ended is not None:
            self._findings.add(codes.AFTER_END, line.span(), None, Label(self._ended, "the end"))
        at = self._time(fields, "at", f"entry {self._number}")
        mark = fields.text("mark", example="go")
        value = fields.member("value")
        candidate = self._candidate(fields)
        entry_value = (
            value.value.text if value is not None and isinstance(value.value, Number) else fields.text("value")
        )
        by, note = fields.text("by"), fields.text("note")
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
                value_span=None if value is None else value_span(line, value),
            )
        )

    def _take_end(self, line: TextLine, members: tuple[Member, ...]) -> None:
        if self._ended is not None:
            self._findings.add(codes.SECOND_END, line.span(), None, Label(self._ended, "the first end"))
            return
        fields = Fields("the end", line, members, ("end",), self._findings)
        self.end = self._time(fields, "end", "the end")
        self._ended = line.span()

    def _candidate(self, fields: Fields) -> str | None:
        name, missing = fields.text("candidate"), fields.member("candidate") is None
        known = None if self.opening is None else self.opening.candidates
        if known == ():
            self._named = self._named or not (missing or name == ALL)
            if missing:
                self._unnamed.append(fields.line.span())
        elif known is not None and missing and len(known) > 1:
            self._findings.add(codes.CANDIDATE_MISSING, fields.line.span())
        elif known is not None and name is not None and name != ALL and name not in self._known:
            facts = {"name": shown(name)} | near(name, known, self._findings)
            self._findings.add(codes.UNKNOWN_CANDIDATE, fields.span("candidate"), facts)
        return name

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
