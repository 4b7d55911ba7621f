"""A register read line by line, each line held against its own digest and against the line above."""

from collections.abc import Iterator
from pathlib import Path

from standfast.codes import Code
from standfast.codes import record as codes
from standfast.diagnostic import Diagnostic
from standfast.record.entry import (
    SCHEMA,
    NotARecord,
    Record,
    RulingRecord,
    VerdictRecord,
    begun,
    digest_of_document,
    own_digest,
    record_of,
    whole_record,
)
from standfast.record.files import ASIDE, REGISTER, unreadable
from standfast.source import Source, Span
from standfast.values import frozen

_SHOWN = 12  # digits of a digest in a message


@frozen
class Held:
    """A record with its line. `digest` is what it states of itself; `whole` whether that fits."""

    line: int
    record: Record
    digest: str
    whole: bool
    _name: str
    _data: bytes

    def span(self, key: str | None = None) -> Span:
        """The value of a key of the record, or the whole line."""
        return spot(self._name, self.line, self._data, key)


def held_in(folder: Path) -> Iterator[Held | Diagnostic]:
    """The records in order and, each after its line, what is wrong; an error where there is no register."""
    path = folder / REGISTER
    reading = _Reading(str(path))
    try:
        with path.open("rb") as lines:
            for data in lines:
                yield from reading.take(data)
    except FileNotFoundError:
        yield Diagnostic(codes.NO_REGISTER, None, {"name": str(folder)})
        return
    except OSError as error:
        yield unreadable(path, error)
        return
    if not reading.ours:
        yield Diagnostic(codes.NOT_OURS, None, {"name": str(path), "schema": SCHEMA})
    yield from _set_aside(folder)


def spot(name: str, line: int, data: bytes, key: str | None = None) -> Span:
    """The value of a key (`digest` is the line's own) in a line of a register; the line where it has none."""
    text = data.decode("utf-8", "replace")
    source = Source(name, "\n" * (line - 1) + text)
    if key is not None:
        mark = f'"{key}":'
        start = text.rfind(mark) if key == "digest" else text.find(mark)
        if start >= 0:
            start += len(mark)
            ends = [end for end in (text.find(",", start), text.find("}", start)) if end >= 0]
            return source.span(line - 1 + start, line - 1 + min(ends, default=len(text)))
    return source.span(line - 1, line - 1 + len(text))


def short(digest: str | None) -> str:
    """A digest in a message: enough of it to tell it from others."""
    return "none" if digest is None else f"`{digest[:_SHOWN]}...`"


class _Reading:
    """The register so far. `ours` is whether there is no line yet, or any has the schema of a record, however
    damaged, or begins as one does.
    """

    def __init__(self, name: str) -> None:
        self.ours = True
        self._name = name
        self._line = 0
        self._before: tuple[str | None, ...] | None = (None,)  # what the next may follow; None: anything
        self._verdicts: dict[int, str] = {}

    def take(self, data: bytes) -> Iterator[Held | Diagnostic]:
        self._line += 1
        line = data.removesuffix(b"\n")
        one_of_ours = f'"{SCHEMA}"'.encode() in data or (line == data and begun(line))
        self.ours = one_of_ours or (self.ours and self._line > 1)
        if line == data:
            yield self._found(codes.CUT_SHORT, line, None, _of_the_end(line))
            return
        try:
            record, stated = record_of(line)
        except NotARecord as why:
            yield self._found(codes.NOT_A_RECORD, line, None, {"why": str(why)})
            self._before = None
            return
        found = own_digest(record)
        held = Held(self._line, record, stated, found == stated, self._name, line)
        yield held
        if not held.whole:
            yield self._found(codes.CHANGED, line, "digest", {"found": short(found), "stated": short(stated)})
        else:
            yield from self._against_others(held, line)
        self._before = (found, stated)
        if isinstance(record, VerdictRecord):
            self._verdicts[self._line] = stated

    def _against_others(self, held: Held, line: bytes) -> Iterator[Diagnostic]:
        """Only of a line whose own digest fits: in another, what it says of others may be what was changed."""
        record = held.record
        if self._before is not None and record.before not in self._before:
            facts = {"stated": short(record.before), "found": short(self._before[0])}
            yield self._found(codes.CHAIN, line, "before", facts)
        if record.number != self._line:
            facts = {"found": str(record.number), "expected": str(self._line)}
            yield self._found(codes.NUMBER, line, "number", facts)
        if isinstance(record, RulingRecord):
            if self._verdicts.get(record.of) != record.of_digest:
                facts = {"of": str(record.of), "stated": short(record.of_digest)}
                yield self._found(codes.OTHER_RULED, line, "of", facts)
        elif (found := digest_of_document(record.verdict)) != record.verdict_digest:
            facts = {"found": short(found), "stated": short(record.verdict_digest)}
            yield self._found(codes.VERDICT_CHANGED, line, "verdict_digest", facts)

    def _found(self, code: Code, data: bytes, key: str | None, facts: dict[str, str]) -> Diagnostic:
        return Diagnostic(code, spot(self._name, self._line, data, key), {"number": str(self._line), **facts})


def _of_the_end(line: bytes) -> dict[str, str]:
    """What a line without a line end is, and so what becomes of it when another record is added."""
    why = "a record was being written when something stopped, or is being written now"
    if (record := whole_record(line)) is not None:
        return {"why": why, "whole": f"record {record.number}"}
    if (record := whole_record(line[:-1])) is not None:
        return {"why": "another character stands in its place", "flipped": f"record {record.number}"}
    return {"why": why}


def _set_aside(folder: Path) -> Iterator[Diagnostic]:
    try:
        names = sorted(path.name for path in (folder / ASIDE).iterdir())
    except OSError:
        return
    if names:
        count = "1 line is" if len(names) == 1 else f"{len(names)} lines are"
        files = ", ".join(f"`{ASIDE}/{name}`" for name in names)
        yield Diagnostic(codes.SET_ASIDE, None, {"count": count, "files": files})
