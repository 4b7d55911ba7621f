"""Records, registers and their rechecking as JSON documents; the schemas lie beside this module."""

from collections.abc import Iterable, Sequence

from standfast.diagnostic import Diagnostic
from standfast.record.entry import Record, RulingRecord, VerdictRecord, document_of, own_digest
from standfast.record.reading import Held
from standfast.report.documents import Plain, diagnostics_document
from standfast.report.record_text import Listed


def kept_document(record: Record) -> Plain:
    """What `grade` says of a record that was added."""
    return {"number": record.number, "digest": own_digest(record)}


def register_document(folder: str, records: Sequence[Held], diagnostics: Iterable[Diagnostic]) -> Plain:
    """See `register.schema.json`: of the lines that are records."""
    return {
        "schema": "register/1",
        "folder": folder,
        "records": [{**held.record.body, "digest": held.digest} for held in records],
        "diagnostics": diagnostics_document(diagnostics),
    }


def ruling_document(ruling: RulingRecord | None, diagnostics: Iterable[Diagnostic]) -> Plain:
    """See `ruling.schema.json`; None where nothing was added."""
    return {
        "schema": "ruling/1",
        "record": None if ruling is None else document_of(ruling),
        "diagnostics": diagnostics_document(diagnostics),
    }


def recheck_document(
    folder: str, rows: Sequence[Listed], missing: Sequence[str], diagnostics: Iterable[Diagnostic]
) -> Plain:
    """See `recheck.schema.json`."""
    return {
        "schema": "recheck/1",
        "folder": folder,
        "verdicts": [_verdict(row, row.record) for row in rows if isinstance(row.record, VerdictRecord)],
        "rulings": [_ruling(row, row.record) for row in rows if isinstance(row.record, RulingRecord)],
        "last_digest": rows[-1].digest if rows else None,
        "missing_files": list(missing),
        "diagnostics": diagnostics_document(diagnostics),
    }


def _verdict(row: Listed, record: VerdictRecord) -> Plain:
    return {
        "number": record.number,
        "digest": row.digest,
        "session": record.session,
        "candidate": record.candidate,
        "outcome": record.outcome,
        "state": None if row.state is None else row.state.value,
        "changes": [{"path": each.path, "then": each.then, "now": each.now} for each in row.changes],
    }


def _ruling(row: Listed, record: RulingRecord) -> Plain:
    return {
        "number": record.number,
        "digest": row.digest,
        "of": record.of,
        "outcome": record.outcome,
        "by": record.by,
        "reason": record.reason,
        "at": record.at,
    }
