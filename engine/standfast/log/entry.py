"""A session log as values: what was logged, in order.

Times are whole microseconds since the session's zero. `RawLog` is what the file says; `SessionLog` is the
same with every mark, value and condition understood by one standard.
"""

from collections.abc import Collection, Mapping
from datetime import date, datetime

from standfast.model.standard import Facts
from standfast.quantity import Quantity
from standfast.source import Source, Span
from standfast.values import evolve, field, frozen

ALL = "all"
"""Whose an entry is that counts for each candidate of its log."""


@frozen(kw_only=True)
class Header:
    """The first line of a log.

    `candidates` are those the header names (one from `candidate`, several from `candidates`), may be empty.
    `started` is the date of the session's zero, in the zone it is written in; `started_text` the whole of it.
    `spans` are the places of the values of `standard`, `edition` and `started`, of those that are there.
    """

    session: str
    standard: str
    edition: str | None
    candidates: tuple[str, ...]
    started: date | None
    started_text: str | None
    grader: str | None
    span: Span = field(eq=False, repr=False)
    spans: Mapping[str, Span] = field(eq=False, repr=False)

    def place(self, *keys: str) -> Span:
        """Where the first of these keys that is there has its value; the whole line where none is."""
        return next((self.spans[key] for key in keys if key in self.spans), self.span)


@frozen(kw_only=True)
class RawEntry:
    """One entry as written. `value` is text, or a bare number written out exactly; `candidate` may be `all`."""

    number: int
    at: int
    mark: str
    value: str | None
    candidate: str | None
    by: str | None
    note: str | None
    span: Span = field(eq=False, repr=False)
    mark_span: Span = field(eq=False, repr=False)
    value_span: Span | None = field(eq=False, repr=False)


@frozen(kw_only=True)
class RawFact:
    """A stated condition: JSON true/false, or text or a number written out exactly."""

    name: str
    value: str | bool
    name_span: Span = field(eq=False, repr=False)
    span: Span = field(eq=False, repr=False)


@frozen(kw_only=True)
class StatedFact:
    """A fact of a candidate as written: of one `candidate`, or (None) of all in the log."""

    name: str
    value: str
    candidate: str | None
    name_span: Span = field(eq=False, repr=False)
    span: Span = field(eq=False, repr=False)
    candidate_span: Span | None = field(eq=False, repr=False)


@frozen(kw_only=True)
class Presence:
    """That a candidate joins the others, or else leaves them, and when. Entries are numbered with these."""

    number: int
    line: int
    at: int
    candidate: str
    joins: bool
    by: str | None = None
    note: str | None = None


@frozen(kw_only=True)
class Stated:
    """What an entry says, a joining or leaving, or an end (of which there is `at` alone), as written, right or
    wrong. `join` and `leave` are whose it is.
    """

    at: str | None
    mark: str | None = None
    value: str | None = None
    candidate: str | None = None
    by: str | None = None
    note: str | None = None
    join: str | None = None
    leave: str | None = None

    def is_of(self, candidate: str) -> bool:
        """Whether it is the candidate's, or for all."""
        whose = self.join or self.leave
        return self.candidate in (None, ALL, candidate) if whose is None else whose == candidate


@frozen(kw_only=True)
class Correction:
    """One correction: of the entry with the number `place`, or of the end that stands after that many entries.

    `line` is the line of what it corrects, `on_line` its own. `before` is what stood there when it was made, by
    the corrections before it too; `after` is None for a strike.
    """

    of_end: bool
    place: int
    line: int
    on_line: int
    by: str
    why: str
    before: Stated
    after: Stated | None

    def touches(self, candidate: str, marks: Collection[str]) -> bool:
        """Whether what it corrects was or is the candidate's, or for all, or of one of these marks."""
        states = (self.before,) if self.after is None else (self.before, self.after)
        return self.of_end or any(s.is_of(candidate) or s.mark in marks for s in states)


@frozen(kw_only=True)
class RawLog:
    """`uncorrected` is the log without its corrections: None where it has none, or is refused without them.

    `cells`: it was read from a table, so that what is to be mended is a cell.
    """

    source: Source = field(repr=False, eq=False)
    header: Header
    conditions: tuple[RawFact, ...]
    facts: tuple[StatedFact, ...] = ()
    entries: tuple[RawEntry, ...]
    presence: tuple[Presence, ...] = ()
    end: int | None
    zero: datetime | None
    digest: str
    corrections: tuple[Correction, ...] = ()
    uncorrected: "RawLog | None" = None
    cells: bool = field(default=False, eq=False)

    @property
    def candidates(self) -> tuple[str, ...]:
        """Those the header names, then those who join, as they come; where it names nobody, all who are named."""
        below: list[RawEntry | Presence] = sorted((*self.entries, *self.presence), key=lambda each: each.number)
        named = (each.candidate for each in below if each.candidate not in (None, ALL))
        return tuple(dict.fromkeys((*self.header.candidates, *(name for name in named if name))))


@frozen(kw_only=True, weakref_slot=False)
class Entry:
    """One entry, understood. `number` counts from 1 in the file; `line` is its line there.

    `candidate` None means it counts for every candidate in the log.
    """

    number: int
    line: int
    at: int
    mark: str
    value: str | Quantity | None = None
    candidate: str | None = None
    by: str | None = None
    note: str | None = None

    def is_for(self, candidate: str) -> bool:
        """Whether it is the candidate's own, or for all."""
        return self.candidate is None or self.candidate == candidate


@frozen(kw_only=True)
class LogPart:
    """One of the logs that were joined to one: its entries have the numbers from `first` to `last`.

    Its own `zero`, and `until` when it was kept, are in microseconds since the zero of the whole.
    """

    name: str = field(eq=False)
    digest: str
    first: int
    last: int
    zero: int
    until: int


@frozen(kw_only=True)
class SessionLog:
    """A log understood by one standard.

    `conditions` holds what was stated, by name, and `facts` what was stated of each candidate. `candidates` is
    never empty. `presence` is who joined or left in the middle, in file order. `digest` is the SHA-256 of the
    log's bytes, in hexadecimal, `name` what its file is called, empty where it is in none. `zero` is what the
    log's clock showed at the session's zero; None where the log has elapsed times or shows a leap second. The
    `corrections`, in file order, have been made; `uncorrected` is the log without them, None where there are none
    or nothing can be made of it. `parts` are the logs it was joined from, in order, if it was.
    """

    session: str
    standard: str
    edition: str | None
    candidates: tuple[str, ...]
    conditions: Mapping[str, Quantity | bool]
    facts: Mapping[str, Facts] = field(factory=dict)
    entries: tuple[Entry, ...]
    presence: tuple[Presence, ...] = ()
    end: int | None
    grader: str | None
    started: str | None
    digest: str
    name: str = field(default="", eq=False)
    zero: datetime | None = None
    corrections: tuple[Correction, ...] = ()
    uncorrected: "SessionLog | None" = None
    parts: tuple[LogPart, ...] = ()

    def facts_stated(self, candidate: str) -> tuple[tuple[str, str], ...]:
        """What is stated of the candidate, as logged."""
        stated = self.facts.get(candidate)
        return tuple((name, str(value)) for name, value in stated.items()) if stated else ()

    def entries_for(self, candidate: str) -> tuple[Entry, ...]:
        """The candidate's own entries and those for all while the candidate was there, in file order."""
        return tuple(e for e in self.while_there(candidate).entries if e.is_for(candidate))

    def presence_of(self, candidate: str) -> tuple[Presence, ...]:
        return tuple([each for each in self.presence if each.candidate == candidate])

    def left(self, candidate: str) -> Presence | None:
        return next((each for each in self.presence_of(candidate) if not each.joins), None)

    def while_there(self, candidate: str) -> "SessionLog":
        """The log as far as it is the candidate's (rule 45): what stands between joining and leaving, with the
        time of leaving as its end.
        """
        if not self.presence:
            return self
        joined = next((each.number for each in self.presence_of(candidate) if each.joins), 0)
        left = self.left(candidate)
        if not joined and left is None:
            return self
        entries = (e for e in self.entries if e.number > joined and (left is None or e.number < left.number))
        return evolve(self, entries=tuple(entries), end=self.end if left is None else left.at)
