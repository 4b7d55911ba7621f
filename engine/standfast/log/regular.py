"""The short way through a regular log: its header, and its entries as stretches of text, not looked into.

Regular is a log of JSON Lines that names its candidates in the header, whose entries each begin with `"at"` and a
time, all of one kind and none in a leap second, and whose end, if it has one, is its last line. Nothing is ever
found wrong here: whatever is not regular, right or wrong, is left to `read_log`, which then reads the whole log
and says all there is to say.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from functools import cached_property
from hashlib import sha256

from standfast.log.corrections import CORRECTIONS
from standfast.log.entry import ALL, Header, RawFact, RawLog
from standfast.log.fields import is_sound
from standfast.log.findings import Findings, Refused
from standfast.log.header import Opening, read_header
from standfast.log.lines import LINE_LIMIT, LINES_LIMIT, TextLine
from standfast.log.members import Number, members_of, pairs_of
from standfast.log.reader import is_sheet
from standfast.log.times import SECOND, Elapsed, Timestamp, read_time
from standfast.source import Source, Span
from standfast.values import frozen

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import Any

_ELAPSED = r"([0-9:]++)(?:\.([0-9]++))?"
_STAMP = r"([0-9T-]++:[0-9]++):([0-5][0-9])(?:\.([0-9]++))?([Z+-][0-9:]*+)"
_ENTRY, _STAMPED = (re.compile(rf'^\{{"at": ?"{time}"(,.*+)\n', re.MULTILINE) for time in (_ELAPSED, _STAMP))
_END, _END_STAMPED = (re.compile(rf'\{{"end": ?"{time}"\}}\n') for time in (_ELAPSED, _STAMP))
_KEPT = 4096
_NEEDED = {"session", "standard", "candidate"}
_TEXTS = {*_NEEDED, "edition", "started", "grader"}
_NOWHERE = Source("", "").span(0, 0)


class Irregular(Exception):
    """Something that is left to the careful way."""


@frozen(eq=False)
class RegularLog:
    """`opening` is the log without its entries. `times` are theirs, in order, in microseconds since the session's
    zero, and `tails` what stands behind the time in the line of each.
    """

    opening: RawLog
    times: list[int]
    tails: list[str]


def make_room(kept: "dict[Any, Any]", most: int) -> None:
    """For one more where no more than so many are kept; all begin anew then, and what comes often is back soon."""
    if len(kept) >= most:
        kept.clear()


class _Kept(dict[str, int]):
    """What part of a time comes to, by how it is written, as `read_time` reads it."""

    def __init__(self, read: Callable[[str], int]) -> None:
        self._read = read

    def __missing__(self, text: str) -> int:
        found = self._read(text)
        make_room(self, _KEPT)
        self[text] = found
        return found


def _whole(text: str) -> int:
    """Microseconds, by what stands before the point of an elapsed time."""
    time = read_time(text)
    if not isinstance(time, Elapsed):
        raise Irregular
    return time.microseconds


def _part(text: str) -> int:
    """Microseconds, by what stands behind the point of any time; nothing where there is none."""
    return _whole(f"0:00.{text}") if text else 0


def _minutes(text: str) -> int:
    """Minutes of UTC, by a timestamp without its seconds."""
    time = read_time(f"{text[:16]}:00{text[16:]}")
    if not isinstance(time, Timestamp):
        raise Irregular
    return time.minute


WHOLE, PART, MINUTES = _Kept(_whole), _Kept(_part), _Kept(_minutes)


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
    line = TextLine(Source(name, text[:-1]), 1, 0, text[:first], ended=True, refused=None)
    opening = _usual(line) or _careful(line)
    if opening is None or opening.header is None or not opening.candidates:
        return None
    last = text.rfind("\n", 0, len(text) - 1) + 1
    try:
        found = _elapsed(text, first + 1, last) or _stamped(text, first + 1, last, opening.zero)
    except Irregular:
        return None
    # Each row is a line from its beginning to its end, so with as many rows as lines nothing is passed over.
    if found is None or len(found.tails) + found.ended != count - 1 or found.times != sorted(found.times):
        return None
    raw = RawLog(
        source=line.source,
        header=opening.header,
        conditions=opening.conditions,
        facts=opening.facts,
        entries=(),
        end=found.times.pop() if found.ended else None,
        zero=found.zero,
        digest=sha256(data).hexdigest(),
    )
    return RegularLog(raw, found.times, found.tails)


@frozen(eq=False)
class _Timed:
    """Entries as they were found, and whether there is an end, whose time is then the last."""

    times: list[int]
    tails: list[str]
    ended: bool
    zero: datetime | None = None


def _elapsed(text: str, first: int, last: int) -> _Timed | None:
    """Of a log with elapsed times; None where there is nothing that begins as one."""
    end = _END.match(text, last)
    rows: list[tuple[str, str, str]] = _ENTRY.findall(text, first, last if end else len(text))
    if not rows and end is None and first < len(text):
        return None
    times = [WHOLE[before] + PART[part] for before, part, _ in rows]
    if end is not None:
        times.append(WHOLE[end[1]] + PART[end[2] or ""])
    return _Timed(times, [tail for _, _, tail in rows], end is not None)


def _stamped(text: str, first: int, last: int, zero: Timestamp | None) -> _Timed | None:
    """Of a log with timestamps, of which the zero is known; None where there is nothing that begins as one."""
    if zero is None or zero.in_leap_second:
        return None
    end = _END_STAMPED.match(text, last)
    rows: list[tuple[str, str, str, str, str]] = _STAMPED.findall(text, first, last if end else len(text))
    since = zero.minute * 60 * SECOND + zero.microseconds
    parts = [row[:4] for row in rows] + ([] if end is None else [end.groups("")])
    times = [
        (MINUTES[minute + zone] * 60 + int(second)) * SECOND + PART[part] - since
        for minute, second, part, zone in parts
    ]
    if not times or times[0] < 0:
        return None
    return _Timed(times, [row[4] for row in rows], end is not None, zero.shown)


def _usual(line: TextLine) -> Opening | None:
    """What a header says with one candidate and no facts; None where it has another, or anything is wrong with it.

    INVARIANT: it is what `_careful` makes of the line.
    """
    pairs = pairs_of(line.text)
    said = {} if pairs is None else dict(pairs)
    if pairs is None or len(said) != len(pairs):
        return None
    conditions = _conditions(said.pop("conditions", ()))
    texts = {key: text for key, text in said.items() if isinstance(text, str) and is_sound(key, text)}
    if conditions is None or len(texts) != len(said) or not _NEEDED <= texts.keys() <= _TEXTS:
        return None
    started = texts.get("started")
    zero = None if started is None else read_time(started)
    if texts["candidate"] == ALL or not isinstance(zero, Timestamp | None):
        return None
    header = Header(
        session=texts["session"],
        standard=texts["standard"],
        edition=texts.get("edition"),
        candidates=(texts["candidate"],),
        started=None if zero is None else zero.day,
        started_text=started,
        grader=texts.get("grader"),
        span=line.span(),
        spans=_Places(line),
    )
    return Opening(
        header=header, candidates=header.candidates, conditions=conditions, facts=(), zero=zero, zero_span=None
    )


def _conditions(pairs: object) -> tuple[RawFact, ...] | None:
    """Without their places, since nothing is wrong with them here."""
    if not isinstance(pairs, tuple):
        return None
    facts = {}
    for name, value in pairs:
        if isinstance(value, Number):
            value = value.text
        elif not isinstance(value, bool) and not (isinstance(value, str) and is_sound(name, value)):
            return None
        facts[name] = RawFact(name=name, value=value, name_span=_NOWHERE, span=_NOWHERE)
    return tuple(facts.values()) if len(facts) == len(pairs) else None


class _Places(Mapping[str, Span]):
    """Where values of a header stand; looked for when asked, which is seldom."""

    def __init__(self, line: TextLine) -> None:
        self._line = line

    @cached_property
    def _found(self) -> Mapping[str, Span]:
        opening = _careful(self._line)
        assert opening is not None and opening.header is not None
        return opening.header.spans

    def __getitem__(self, key: str) -> Span:
        return self._found[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def _careful(line: TextLine) -> Opening | None:
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
