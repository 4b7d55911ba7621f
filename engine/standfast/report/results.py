"""What one log gave, as a line of JSON or as rows of a table, for logs without number.

A row has a verdict, or a log without one. It can be opened by a spreadsheet, which runs no cell of it.
"""

from abc import ABC, abstractmethod
from collections.abc import Iterable, Sequence

from standfast.diagnostic import Diagnostic
from standfast.log.cells import neutral, quoted
from standfast.report.documents import Plain, diagnostics_document, instant, line_of, verdict_document
from standfast.verdict import Verdict, deciding

COLUMNS = (
    "log",
    "session",
    "candidate",
    "standard",
    "edition",
    "outcome",
    "decided_at",
    "points",
    "grade",
    "clauses",
    "times",
    "corrections",
    "without_corrections",
    "problems",
)
NOT_GRADED = "not graded"
_LAST = "]}\n"  # what stands behind the diagnostics of a line
Cells = tuple[str, ...]


class Form(ABC):
    """How results are written. What a log gave is made first, and closed with the problems of the log last: where
    one is graded it is not known yet what other logs have to do with it.
    """

    @abstractmethod
    def begun(self, log: str | None, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
        """The lines of a log but for its problems; without a `log` those of what was found on the way to logs."""

    @abstractmethod
    def problem(self, diagnostic: Diagnostic) -> str: ...

    @abstractmethod
    def closed(self, begun: str, problems: Iterable[str]) -> str:
        """The line as it is written."""


class Lines(Form):
    """A line of JSON for each log. See `graded.schema.json`."""

    def begun(self, log: str | None, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
        document: Plain = {
            "schema": "graded/1",
            "log": log,
            "verdicts": [verdict_document(verdict) for verdict in verdicts],
            "diagnostics": [],
        }
        return (line_of(document).removesuffix(_LAST),)

    def problem(self, diagnostic: Diagnostic) -> str:
        (document,) = diagnostics_document((diagnostic,))
        return line_of(document).rstrip("\n")

    def closed(self, begun: str, problems: Iterable[str]) -> str:
        return begun + ",".join(problems) + _LAST


class Rows(Form):
    """A row of a table (RFC 4180) for each verdict, or each log without one."""

    def begun(self, log: str | None, verdicts: Sequence[Verdict]) -> tuple[str, ...]:
        return tuple(map(_cells, map(row_of, verdicts))) or (_cells(row_without(log)),)

    def problem(self, diagnostic: Diagnostic) -> str:
        """Its code, its line and what is wrong."""
        place = "" if diagnostic.span is None else f", line {diagnostic.span.line}"
        return f"{diagnostic.code.number}{place}: {diagnostic.message}"

    def closed(self, begun: str, problems: Iterable[str]) -> str:
        said = "; ".join(problems)
        return f"{begun},{_cells((said,)) if said else ''}\r\n"


def row_of(verdict: Verdict) -> Cells:
    """The cells up to the problems of the log."""
    return (
        verdict.log,
        verdict.session,
        verdict.candidate,
        verdict.standard,
        verdict.edition,
        verdict.outcome.value,
        instant(verdict.decided_at) or "",
        "" if verdict.points is None else str(verdict.points),
        verdict.grade or "",
        "; ".join(dict.fromkeys(_paths(verdict))),
        "" if verdict.doubt is None else verdict.doubt.firmness.value,
        *_corrections(verdict),
    )


def _paths(verdict: Verdict) -> Iterable[str]:
    """Of the clauses it rests on, or of what is owed."""
    return [reason.path for reason in deciding(verdict)] or [owed.path for owed in verdict.owed]


def _corrections(verdict: Verdict) -> Cells:
    """Whether they changed it, and what it was without them; empty where there are none."""
    without = verdict.uncorrected
    if without is None:
        return ("", "")
    outcome = "no verdict" if without.outcome is None else without.outcome.value
    return ("changed" if verdict.changed_by_corrections else "unchanged", outcome)


def row_without(log: str | None) -> Cells:
    """Of a log without a verdict."""
    return (log or "", *[""] * 4, NOT_GRADED if log else "", *[""] * 7)


def _cells(cells: Iterable[str]) -> str:
    return ",".join(quoted(neutral(cell)) for cell in cells)


HEADING = _cells(COLUMNS) + "\r\n"
