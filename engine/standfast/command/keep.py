"""Records of verdicts and rulings, made and added to the register of a folder."""

import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from standfast import __version__
from standfast.codes import record as codes
from standfast.command.before import some
from standfast.command.files import INPUT_NAME, Opened
from standfast.diagnostic import Diagnostic
from standfast.model.standard import Standard
from standfast.quantity import Quantity
from standfast.record.entry import (
    Graded,
    RulingRecord,
    VerdictRecord,
    Witness,
    digest_of,
    digest_of_document,
)
from standfast.record.files import log_copy, standard_copy
from standfast.record.reading import Held
from standfast.record.standing import Standing, Whom
from standfast.report.documents import verdict_document
from standfast.source import Span
from standfast.values import evolve, field, frozen
from standfast.verdict import Verdict

if TYPE_CHECKING:
    from standfast.record.keeping import Kept


@frozen
class Keep:
    """Adds to the register of one folder; `before` is what that has already, where verdicts are to be added."""

    folder: Path
    before: Mapping[Whom, Standing] = field(factory=dict)

    def verdicts(
        self,
        standard: Standard,
        rules: bytes,
        log: Opened,
        doubt: Quantity | None,
        verdicts: Sequence[Verdict],
    ) -> "Kept | Diagnostic":
        """A record of each verdict on one log; `rules` are the bytes of the standard's file, `doubt` that of the
        times which the call stated.
        """
        from standfast.record.keeping import append  # only where something is kept: a command starts fast

        graded = Graded(
            name=standard.name,
            edition=standard.edition,
            digest=standard.digest,
            bytes_digest=digest_of(rules),
            file=self._place(standard.span.source.name),
        )
        witness = Witness(digest=digest_of(log.data), file=None if log.packed else self._place(log.name))
        within = None if doubt is None else str(doubt)
        records = [_record(graded, witness, within, verdict) for verdict in verdicts]
        copies = {standard_copy(graded.bytes_digest): rules, log_copy(witness.digest): log.data}
        return append(self.folder, records, copies)

    def again(
        self, standard: str, session: str, candidates: Sequence[str], place: Span | None
    ) -> Iterator[Diagnostic]:
        """A finding, at the `place`, where the register had a verdict on some; first are those ruled on."""
        ruled, others = [], []
        for candidate in candidates:
            standing = self.before.get((standard, session, candidate))
            if standing is None:
                continue
            if standing.ruling is None:
                others.append(f"`{candidate}` (record {standing.verdict})")
            else:
                ruled.append(f"`{candidate}` (record {standing.verdict}, ruled on in record {standing.ruling})")
        if ruled or others:
            facts = {"folder": str(self.folder), "session": session, "who": some(ruled + others)}
            yield Diagnostic(codes.KEPT_BEFORE, place, facts)

    def ruling(
        self, on: Held, outcome: str, by: str, reason: str, at: str
    ) -> tuple[RulingRecord | None, tuple[Diagnostic, ...]]:
        """A record of what an examiner ruled on the verdict of another record; `at` is an RFC 3339 time."""
        from standfast.record.keeping import append

        ruling = RulingRecord(
            program=__version__,
            of=on.record.number,
            of_digest=on.digest,
            outcome=outcome,
            by=by,
            reason=reason,
            at=at,
        )
        kept = append(self.folder, [ruling], {})
        if isinstance(kept, Diagnostic):
            return None, (kept,)
        return evolve(ruling, number=kept.records[0].number, before=kept.records[0].before), kept.found

    def _place(self, file: str) -> str | None:
        """Where a file lies from the folder, with `/` between names; its full name where no way leads there."""
        if file == INPUT_NAME:
            return None
        try:
            return Path(os.path.relpath(file, self.folder)).as_posix()
        except ValueError:  # on another drive
            return Path(os.path.abspath(file)).as_posix()


def _record(graded: Graded, witness: Witness, within: str | None, verdict: Verdict) -> VerdictRecord:
    document = verdict_document(verdict)
    return VerdictRecord(
        program=__version__,
        standard=graded,
        log=witness,
        times_within=within,
        session=verdict.session,
        candidate=verdict.candidate,
        outcome=verdict.outcome.value,
        verdict_digest=digest_of_document(document),
        verdict=document,
    )
