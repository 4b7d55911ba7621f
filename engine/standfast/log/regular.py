"""The short way through a regular log: its header, and its entries as stretches of text, not looked into.

Regular is a log of JSON Lines that names its candidates in the header, whose entries each begin with `"at"` and an
elapsed time, and whose end, if it has one, is its last line. Nothing is ever found wrong here: whatever is not
regular, right or wrong, is left to `read_log`, which then reads the whole log and says all there is to say.
"""

import re
from collections.abc import Iterator, Mapping
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
from standfast.log.times import Elapsed, Timestamp, read_time
from standfast.source import Source, Span
from standfast.values import frozen

_ENTRY = re.compile(r'^\{"at": ?"([0-9:]++)(?:\.([0-9]++))?"(,.*+)\n', re.MULTILINE)
_END = re.compile(r'\{"end": ?"([0-9:]++)(?:\.([0-9]++))?"\}\n')
_KEPT = 4096
_NEEDED = {"session", "standard", "candidate"}
_TEXTS = {*_NEEDED, "edition", "started", "grader"}
_NOWHERE = Source("", "").span(0, 0)

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
    opening = _usual(line) or _careful(line)
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
