"""`standfast recheck`: grades the records of a folder again and says what no longer fits."""

import argparse
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

from standfast import __version__
from standfast.codes import record as codes
from standfast.command.exits import Exit, Mistake
from standfast.command.files import Opened, decoded
from standfast.command.objections import exit_for
from standfast.command.sessions import doubt_of_times
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic
from standfast.pipeline import Ready
from standfast.record.changes import State, changes, told
from standfast.record.copies import Copies
from standfast.record.entry import VerdictRecord
from standfast.record.reading import Held, held_in, short
from standfast.report.diagnostic_text import picture
from standfast.report.documents import Plain, verdict_document, written
from standfast.report.record_document import recheck_document
from standfast.report.record_text import Listed, listed, missing_text, register_text, sum_text
from standfast.values import define, field

DESCRIPTION = """\
Each record is held against its own digest and the record before it, each copy
of a standard and a log against its digest, and the files themselves against it
where they still lie where they did. Then every verdict is given again from the
copies and compared with the one in the record. What no longer fits is said with
its line; rulings stand below the verdict they are on.

Records taken away from the end leave a register that fits. Who notes the digest
of a record elsewhere finds out with --noted.

exit code: 0 everything fits, 1 something does not, 2 an error was reported
"""
EXAMPLE = """\
example: standfast recheck records/2026
         standfast recheck records/2026 --noted 3f1c09a2b4d7
"""
_NOTED = 12  # digits of a digest that are enough to know it by


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", help="the folder that was given to grade with --keep")
    parser.add_argument(
        "--noted",
        action="append",
        default=[],
        metavar="DIGEST",
        help=f"a record with this digest, or these first {_NOTED} or more of its digits, must be there",
    )


def run(chosen: argparse.Namespace) -> Exit:
    noted = [each.lower() for each in chosen.noted]
    if any(len(each) < _NOTED or set(each) - set("0123456789abcdef") for each in noted):
        raise Mistake(f"after --noted give the digest of a record, at least the first {_NOTED} of its digits")
    found: list[Diagnostic] = []
    rows: list[Listed] = []
    checking = Checking(Path(chosen.folder))
    for one in checking.checked():
        if isinstance(one, Listed):
            rows.append(one)
            continue
        found.append(one)
        if chosen.format == "text":
            sys.stderr.write(picture(one))
    for digest in noted:
        if rows and not any(row.digest.startswith(digest) for row in rows):
            found.append(Diagnostic(codes.NOTED_GONE, None, {"digest": short(digest)}))
            if chosen.format == "text":
                sys.stderr.write(picture(found[-1]))
    if chosen.format == "json":
        sys.stdout.write(written(recheck_document(chosen.folder, rows, checking.missing, found)))
    elif rows:
        said = f"{register_text(rows)}\n{missing_text(checking.missing)}{sum_text(rows)}"
        sys.stdout.write(said)
    return exit_for(found)


@define
class Checking:
    """Goes through a folder once. `missing` are the files that no longer lie where they did."""

    folder: Path
    missing: list[str] = field(factory=list)
    _standards: dict[str, Ready | str] = field(factory=dict)
    _last: tuple[object, ...] = ()  # of the log that was graded last; a log's records follow one another
    _verdicts: Mapping[str, Plain] | str = ""

    def checked(self) -> Iterator[Listed | Diagnostic]:
        """The records in order, each after what is wrong with it."""
        copies = Copies(self.folder)
        for one in held_in(self.folder):
            if isinstance(one, Diagnostic):
                yield one
            elif not isinstance(one.record, VerdictRecord):
                yield listed(one)
            elif not one.whole:
                yield listed(one, State.DAMAGED)
            else:
                yield from self._checked(one, one.record, copies)

    def _checked(self, held: Held, record: VerdictRecord, copies: Copies) -> Iterator[Listed | Diagnostic]:
        rules, log = copies.standard(held, record), copies.log(held, record)
        yield from (*rules.found, *log.found)
        self.missing += [each.missing for each in (rules, log) if each.missing is not None]
        facts = {"number": str(held.line), "candidate": record.candidate, "session": record.session}
        if rules.data is None or log.data is None:
            gone = "standard" if rules.data is None else "log"
            yield self._not_graded(held, facts, f"the {gone} is not there as it was")
            yield listed(held, State.NOT_GRADED)
            return
        now = self._again(record, rules.data, log.data)
        if isinstance(now, str):
            yield self._not_graded(held, facts, now)
            yield listed(held, State.NOT_GRADED)
            return
        differ = changes(record.verdict, now)
        if differ:
            versions = {} if record.program == __version__ else {"then": record.program, "now": __version__}
            about = {**facts, "changes": told(differ), **versions}
            yield Diagnostic(codes.OTHER_VERDICT, held.span("verdict"), about)
        yield listed(held, State.DIFFERS if differ else State.FITS, differ)

    def _not_graded(self, held: Held, facts: Mapping[str, str], why: str) -> Diagnostic:
        return Diagnostic(codes.NOT_GRADED, held.span(), {**facts, "why": why})

    def _again(self, record: VerdictRecord, rules: bytes, log: bytes) -> Plain | str:
        """The document of the candidate's verdict given again, or why it cannot be."""
        name = str(record.verdict.get("log") or "")
        asked = (record.standard.bytes_digest, record.log.digest, record.times_within, name)
        if asked != self._last:
            self._last, self._verdicts = asked, self._graded(record, rules, log, name)
        if isinstance(self._verdicts, str):
            return self._verdicts
        return self._verdicts.get(record.candidate, "the log has no such candidate")

    def _graded(self, record: VerdictRecord, rules: bytes, log: bytes, name: str) -> Mapping[str, Plain] | str:
        ready = self._standards.get(record.standard.bytes_digest)
        if ready is None:
            ready = _ready(rules)
            self._standards[record.standard.bytes_digest] = ready
        if isinstance(ready, str):
            return ready
        session, found = ready.log(name, log)
        if session is None:
            return f"the log is refused: {found[0].code.number}, {found[0].message}"
        try:
            doubt = doubt_of_times(record.times_within)
        except Mistake:
            return f"the record states the times within `{record.times_within}`"
        return {verdict.candidate: verdict_document(verdict) for verdict in ready.grade(session, doubt)}


def _ready(data: bytes) -> Ready | str:
    """From a copy, or why it is refused."""
    source = decoded(Opened("the standard", data, given=True))
    if isinstance(source, Diagnostic):
        return f"the standard is refused: {source.code.number}, {source.message}"
    standard, found = load_standard(source)
    return Ready(standard) if standard else f"the standard is refused: {found[0].code.number}, {found[0].message}"
