"""Several graders on the same candidates as a JSON document; its schema lies beside this module."""

from collections.abc import Iterable

from standfast.agreement.coefficients import Agreement, Coefficient
from standfast.agreement.graders import Class, Difference, Subject
from standfast.agreement.pairs import Pair
from standfast.diagnostic import Diagnostic
from standfast.log.entry import Entry
from standfast.report.amounts import exact_clock
from standfast.report.documents import Plain, diagnostics_document, instant


def agree_document(classes: Iterable[Class], diagnostics: Iterable[Diagnostic]) -> Plain:
    """See `agree.schema.json`."""
    return {
        "schema": "agree/1",
        "classes": [_class(each) for each in classes],
        "diagnostics": diagnostics_document(diagnostics),
    }


def _class(each: Class) -> Plain:
    return {
        "standard": each.standard,
        "edition": each.edition,
        "graders": list(each.graders),
        "candidates": [_subject(subject) for subject in each.subjects],
        "agreements": [_agreement(one) for one in each.agreements],
    }


def _subject(subject: Subject) -> Plain:
    return {
        "session": subject.session,
        "candidate": subject.candidate,
        "logs": [{"grader": one.grader, "log": one.log or None} for one in subject.graded],
        "outcomes": [
            {
                "event": question.about,
                "alike": question.alike,
                "given": [{"grader": grader, "outcome": outcome} for grader, outcome in question.outcomes],
            }
            for question in subject.questions
        ],
        "differences": [_difference(one) for one in subject.differences],
    }


def _difference(one: Difference) -> Plain:
    return {
        "first": one.first.grader,
        "second": one.second.grader,
        "pairs": [_pair(pair) for pair in one.pairs],
        "ends": {"first": instant(one.first.end), "second": instant(one.second.end)},
        "stated_otherwise": [
            {"name": name, "first": first, "second": second} for name, first, second in one.stated
        ],
    }


def _pair(pair: Pair) -> Plain:
    apart = pair.apart
    return {
        "mark": pair.mark,
        "first": _entry(pair.first),
        "second": _entry(pair.second),
        "second_later_by": None if apart is None else f"{'-' if apart < 0 else ''}{exact_clock(abs(apart))}",
        "same_value": pair.same_value,
    }


def _entry(entry: Entry | None) -> Plain | None:
    if entry is None:
        return None
    return {
        "entry": entry.number,
        "line": entry.line,
        "at": exact_clock(entry.at),
        "value": None if entry.value is None else str(entry.value),
    }


def _agreement(one: Agreement) -> Plain:
    return {
        "event": one.about,
        "candidates": one.candidates,
        "alike": one.alike,
        "cohen_kappa": [_coefficient(each) for each in one.cohen],
        "fleiss_kappa": _coefficient(one.fleiss),
        "krippendorff_alpha": _coefficient(one.alpha),
    }


def _coefficient(one: Coefficient) -> Plain:
    return {
        "graders": list(one.graders),
        "candidates": one.over,
        "value": one.value,
        "why_not": None if one.why is None else one.why.value,
        "only_category": one.category,
    }
