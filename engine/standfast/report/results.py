"""What one log gave, as a line of JSON or as rows of a table, for logs without number.

A row has a verdict, or a log without one. It can be opened by a spreadsheet, which runs no cell of it.
"""

from collections.abc import Iterable

from standfast.diagnostic import Diagnostic
from standfast.log.cells import neutral, quoted
from standfast.report.documents import Plain, diagnostics_document, instant, verdict_document
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
Cells = tuple[str, ...]


def graded_document(log: str | None, verdicts: Iterable[Verdict], diagnostics: Iterable[Diagnostic]) -> Plain:
    """A line of the results; without a `log` only what was found on the way to logs. See `graded.schema.json`."""
    return {
        "schema": "graded/1",
        "log": log,
        "verdicts": [verdict_document(verdict) for verdict in verdicts],
        "diagnostics": diagnostics_document(diagnostics),
    }


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


def problem_words(diagnostic: Diagnostic) -> str:
    """A finding in a cell: its code, its line and what is wrong."""
    place = "" if diagnostic.span is None else f", line {diagnostic.span.line}"
    return f"{diagnostic.code.number}{place}: {diagnostic.message}"


def csv_line(cells: Iterable[str]) -> str:
    """A row (RFC 4180), with its line end."""
    return ",".join(quoted(neutral(cell)) for cell in cells) + "\r\n"
