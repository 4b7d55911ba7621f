"""What one line of a register holds: a verdict record, or a ruling beside one, and how each is written.

A line is one JSON object in one fixed form (keys in order, no blanks, characters as they are), so that equal
records are equal bytes. `digest`, the last key, is the SHA-256 of the line without it; `before` is the `digest`
of the line above. See `record.schema.json`.
"""

import json
from collections.abc import Mapping
from hashlib import sha256

from standfast.values import field, frozen

Plain = Mapping[str, object]

SCHEMA = "record/1"
VERDICT, RULING = "verdict", "ruling"
_BEGIN = f'{{"schema":"{SCHEMA}"'.encode()
_DIGEST = ',"digest":"'


class NotARecord(Exception):
    """A line that is no record; the words say why."""


@frozen(kw_only=True)
class Graded:
    """The standard of a verdict: by the SHA-256 of its canonical text and of its file's bytes, in hexadecimal.

    `file` is where it lay, from the register's folder.
    """

    name: str
    edition: str
    digest: str
    bytes_digest: str
    file: str | None


@frozen(kw_only=True)
class Witness:
    """The log of a verdict: `digest` is the SHA-256 of its bytes; `file` where it lay, from the register's
    folder, None where it was in no file of its own.
    """

    digest: str
    file: str | None


@frozen(kw_only=True)
class VerdictRecord:
    """A verdict as it was given. `verdict` is its document, `verdict_digest` the SHA-256 of that; `times_within`
    the doubt of the log's times that the call stated (`0.3 s`), None where it stated none.
    """

    number: int = 0
    before: str | None = None
    program: str
    standard: Graded
    log: Witness
    times_within: str | None
    session: str
    candidate: str
    outcome: str
    verdict_digest: str
    verdict: Plain = field(repr=False)

    @property
    def body(self) -> Plain:
        """The line's object without its own digest."""
        return {
            "schema": SCHEMA,
            "number": self.number,
            "kind": VERDICT,
            "before": self.before,
            "program": self.program,
            "standard": {
                "name": self.standard.name,
                "edition": self.standard.edition,
                "digest": self.standard.digest,
                "bytes_digest": self.standard.bytes_digest,
                "file": self.standard.file,
            },
            "log": {"digest": self.log.digest, "file": self.log.file},
            "times_within": self.times_within,
            "session": self.session,
            "candidate": self.candidate,
            "outcome": self.outcome,
            "verdict_digest": self.verdict_digest,
            "verdict": self.verdict,
        }


@frozen(kw_only=True)
class RulingRecord:
    """What an examiner ruled after a protest: `of` and `of_digest` are the number and digest of the verdict's
    record, which stays as it is; `at` is an RFC 3339 time.
    """

    number: int = 0
    before: str | None = None
    program: str
    of: int
    of_digest: str
    outcome: str
    by: str
    reason: str
    at: str

    @property
    def body(self) -> Plain:
        """The line's object without its own digest."""
        return {
            "schema": SCHEMA,
            "number": self.number,
            "kind": RULING,
            "before": self.before,
            "program": self.program,
            "of": {"number": self.of, "digest": self.of_digest},
            "outcome": self.outcome,
            "by": self.by,
            "reason": self.reason,
            "at": self.at,
        }


Record = VerdictRecord | RulingRecord


def digest_of(text: str | bytes) -> str:
    """The SHA-256 of a text as it is written, or of bytes, in hexadecimal."""
    return sha256(_encoded(text) if isinstance(text, str) else text).hexdigest()


def digest_of_document(document: Plain) -> str:
    """The SHA-256 of a document in the one form that records are written in."""
    return digest_of(_written(document))


def own_digest(record: Record) -> str:
    return digest_of_document(record.body)


def line_of(record: Record) -> bytes:
    """The record as its line in a register, with the line end."""
    body = _written(record.body)
    return _encoded(f'{body[:-1]}{_DIGEST}{digest_of(body)}"}}\n')


def document_of(record: Record) -> dict[str, object]:
    """The line's object."""
    return {**record.body, "digest": own_digest(record)}


def record_of(line: bytes) -> tuple[Record, str]:
    """The record of a line without its line end, and the digest it states of itself, which need not fit.

    Raises NotARecord where the line, but for that digest, is not what `line_of` writes, byte for byte.
    """
    try:
        held = json.loads(line.decode())
        if not isinstance(held, dict) or held.get("schema") != SCHEMA:
            raise NotARecord(f"it does not begin with the schema `{SCHEMA}`")
        stated = _text(held, "digest")
        record = _ruling(held) if held.get("kind") == RULING else _verdict(held)
        if _encoded(_written({**record.body, "digest": stated})) != line:
            raise NotARecord("it is not written as records are")
    except UnicodeDecodeError:
        raise NotARecord("it is not UTF-8") from None
    except (ValueError, RecursionError):
        raise NotARecord("it is not JSON") from None
    return record, stated


def begun(cut: bytes) -> bool:
    """Whether a line that was cut short begins as a record does, as far as it goes."""
    return cut.startswith(_BEGIN[: len(cut)])


def _written(document: Plain) -> str:
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"))


def _encoded(text: str) -> bytes:
    """In UTF-8; what stands for the bytes of a file's name that is no text becomes an escape of JSON."""
    return text.encode("utf-8", "backslashreplace")


def _verdict(held: Plain) -> VerdictRecord:
    if held.get("kind") != VERDICT:
        raise NotARecord("it is neither a verdict nor a ruling")
    standard, log = _object(held, "standard"), _object(held, "log")
    record = VerdictRecord(
        number=_number(held, "number"),
        before=_text_or_none(held, "before"),
        program=_text(held, "program"),
        standard=Graded(
            name=_text(standard, "name"),
            edition=_text(standard, "edition"),
            digest=_text(standard, "digest"),
            bytes_digest=_text(standard, "bytes_digest"),
            file=_text_or_none(standard, "file"),
        ),
        log=Witness(digest=_text(log, "digest"), file=_text_or_none(log, "file")),
        times_within=_text_or_none(held, "times_within"),
        session=_text(held, "session"),
        candidate=_text(held, "candidate"),
        outcome=_text(held, "outcome"),
        verdict_digest=_text(held, "verdict_digest"),
        verdict=_object(held, "verdict"),
    )
    told = _object(record.verdict, "standard")
    for mine, of_verdict, key in (
        (record.session, record.verdict, "session"),
        (record.candidate, record.verdict, "candidate"),
        (record.outcome, record.verdict, "outcome"),
        (record.log.digest, record.verdict, "log_digest"),
        (record.standard.name, told, "name"),
        (record.standard.edition, told, "edition"),
        (record.standard.digest, told, "digest"),
    ):
        if mine != of_verdict.get(key):
            raise NotARecord(f"it does not say the same as its verdict under `{key}`")
    return record


def _ruling(held: Plain) -> RulingRecord:
    of = _object(held, "of")
    return RulingRecord(
        number=_number(held, "number"),
        before=_text_or_none(held, "before"),
        program=_text(held, "program"),
        of=_number(of, "number"),
        of_digest=_text(of, "digest"),
        outcome=_text(held, "outcome"),
        by=_text(held, "by"),
        reason=_text(held, "reason"),
        at=_text(held, "at"),
    )


def whole_record(line: bytes) -> Record | None:
    """Of a line without its end that is a record with its own digest; None of any other."""
    try:
        record, stated = record_of(line)
    except NotARecord:
        return None
    return record if own_digest(record) == stated else None


def _text(held: Plain, key: str) -> str:
    value = held.get(key)
    if not isinstance(value, str):
        raise NotARecord(f"it has no text under `{key}`")
    return value


def _text_or_none(held: Plain, key: str) -> str | None:
    return None if key in held and held[key] is None else _text(held, key)


def _number(held: Plain, key: str) -> int:
    value = held.get(key)
    if not isinstance(value, int) or isinstance(value, bool):
        raise NotARecord(f"it has no whole number under `{key}`")
    return value


def _object(held: Plain, key: str) -> Plain:
    value = held.get(key)
    if not isinstance(value, dict):
        raise NotARecord(f"it has no object under `{key}`")
    return value
