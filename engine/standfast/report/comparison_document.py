"""Two editions compared, as a JSON document; the schema lies beside this module."""

from collections.abc import Iterable

from standfast.diagnostic import Diagnostic
from standfast.difference.claims import Claim, Course
from standfast.difference.comparison import Comparison, EventComparison
from standfast.difference.conditions import ConditionChange
from standfast.difference.revision import Revision
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.quantity import Quantity
from standfast.report.amounts import exact_clock
from standfast.report.changes_document import changes_document, impact_document
from standfast.report.documents import Plain, diagnostics_document, verdict_document


def comparison_document(revision: Revision | None, diagnostics: Iterable[Diagnostic]) -> Plain:
    """See `compare.schema.json`."""
    return {
        "schema": "compare/1",
        "comparison": None if revision is None else _comparison(revision.comparison),
        "changes": [] if revision is None else changes_document(revision.changes),
        "impact": None if revision is None else impact_document(revision.impact),
        "diagnostics": diagnostics_document(diagnostics),
    }


def _comparison(comparison: Comparison) -> Plain:
    marks, candidates = comparison.marks, comparison.candidates
    return {
        "old": _standard(comparison.old),
        "new": _standard(comparison.new),
        "word": comparison.word.value,
        "whole": _course(comparison.whole),
        "events": [_event(event) for event in comparison.events],
        "conditions": [_condition(change) for change in comparison.conditions],
        "marks": {
            "went": list(marks.went),
            "came": list(marks.came),
            "changed": [
                {"mark": each.mark, "kind": each.kind, "old": list(each.old), "new": list(each.new)}
                for each in marks.changed
            ],
        },
        "facts": {
            "went": list(candidates.went),
            "came": list(candidates.came),
            "changed": list(candidates.changed),
            "all_kinds": candidates.all_kinds,
        },
        "passed": {"old": comparison.passed[0], "new": comparison.passed[1]},
        "left_open": comparison.left_open,
    }


def _standard(standard: Standard) -> Plain:
    return {
        "file": standard.span.source.name,
        "name": standard.name,
        "edition": standard.edition,
        "digest": standard.digest,
    }


def _event(event: EventComparison) -> Plain:
    return {
        "label": event.label,
        "in_old": event.in_old,
        "in_new": event.in_new,
        "course": None if event.course is None else _course(event.course),
    }


def _course(course: Course) -> Plain:
    return {
        "word": course.word.value,
        "lost": _claim(course.lost),
        "gained": _claim(course.gained),
        "told": _claim(course.told),
    }


def _claim(claim: Claim) -> Plain:
    shown = claim.shown
    if shown is None:
        return {"there_is": claim.word, "shortest": None, "log": None, "old": None, "new": None}
    return {
        "there_is": True,
        "shortest": claim.shortest,
        "log": _log(shown.old_log),
        "old": verdict_document(shown.old),
        "new": verdict_document(shown.new),
    }


def _log(log: SessionLog) -> Plain:
    return {
        "candidate": log.candidates[0],
        "conditions": [{"name": name, "stated": _stated(fact)} for name, fact in log.conditions.items()],
        "facts": [{"name": name, "stated": stated} for name, stated in log.facts_stated(log.candidates[0])],
        "entries": [
            {
                "at": exact_clock(entry.at),
                "mark": entry.mark,
                "value": None if entry.value is None else str(entry.value),
                "candidate": entry.candidate,
                "by": entry.by,
            }
            for entry in log.entries
        ],
        "end": None if log.end is None else exact_clock(log.end),
    }


def _stated(fact: Quantity | bool | None) -> str | bool | None:
    return fact if fact is None or isinstance(fact, bool) else str(fact)


def _condition(change: ConditionChange) -> Plain:
    return {
        "name": change.name,
        "word": change.word.value,
        "old": list(change.old),
        "new": list(change.new),
        "lost": _stated(change.lost),
        "gained": _stated(change.gained),
    }
