"""Rows of a score and grades that no log comes to: what can be given, added up."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from standfast.codes import doubts
from standfast.diagnostic import Label
from standfast.model.rules import FigureKind, Limit, Score
from standfast.model.standard import Clause, Event, Kind, Standard
from standfast.proofing.finding import Finding, about
from standfast.proofing.survey import Surveys
from standfast.quantity import Comparison

Span = tuple[int, int]
"""The least and the most points of a clause that completes."""

_UP_TO = (Comparison.AT_MOST, Comparison.UNDER)
_FROM = (Comparison.AT_LEAST, Comparison.OVER)


def never_given(event: Event, surveys: Surveys) -> Iterator[Finding]:
    """The rows that no way through the event comes down to; `otherwise` must be there, and is never doubted."""
    survey = surveys.events[event.label]
    for clause in event.clause.walk():
        score = clause.score
        if score is None or clause.path not in survey.completed or score.path in surveys.undecided:
            continue
        for number, row in enumerate(score.rows):
            if (score.path, number) not in survey.given:
                yield about(doubts.ROW_NEVER_GIVES, clause.path, row.span, {"words": row.words})


def never_reached(standard: Standard, surveys: Surveys) -> Iterator[Finding]:
    for grade in standard.grades:
        for limit in grade.limits:
            span = _points_of(standard, surveys, limit)
            if span is None or limit.test.meets(Fraction(span[0]), Fraction(span[1])):
                continue
            few = not limit.test.meets(Fraction(span[0]), Fraction(span[1] + 10**6))
            found = f"fewer than {span[0]} points" if few else f"more than {span[1]} points"
            facts = {"name": grade.name, "words": limit.words, "found": found}
            yield about(doubts.GRADE_OUT_OF_REACH, f"grades.{grade.name}", limit.span, facts)
    for above, grade in pairwise(standard.grades):
        if all(any(_implies(limit, wanted) for limit in grade.limits) for wanted in above.limits):
            facts = {"name": grade.name, "above": above.name}
            block = f"grades.{grade.name}"
            yield about(doubts.GRADE_COVERED, block, grade.span, facts, Label(above.span, "the one above"))


def _implies(limit: Limit, wanted: Limit) -> bool:
    """Whether what keeps the one keeps the other too; for limits of one figure that are open to one side."""
    if limit.figure != wanted.figure:
        return False
    if limit.test == wanted.test:
        return True
    mine, theirs = limit.test.first.base, wanted.test.first.base
    strict = limit.test.comparison in (Comparison.OVER, Comparison.UNDER)
    at_end = strict or wanted.test.comparison in (Comparison.AT_LEAST, Comparison.AT_MOST)
    for side, beyond in ((_UP_TO, mine < theirs), (_FROM, mine > theirs)):
        if limit.test.comparison in side and wanted.test.comparison in side:
            return beyond or (mine == theirs and at_end)
    return False


# --- points that can be had --------------------------------------------------------------------------------


def _points_of(standard: Standard, surveys: Surveys, limit: Limit) -> Span | None:
    """The least and the most of a figure of points alone in a GO; None for others, and where it is not known."""
    parts = limit.figure.all_parts()
    if any(part.kind is not FigureKind.POINTS for part in parts):
        return None
    least = most = 0
    for part in parts:
        events = [e for e in standard.events if part.path is None or f"{part.path}.".startswith(f"{e.label}.")]
        for event in events:
            if event.label in surveys.undecided or surveys.events[event.label].go is None:
                return None
            if part.path is None:
                inside: Clause | None = event.clause
            else:
                inside = next((clause for clause in event.clause.walk() if clause.path == part.path), None)
            span = None if inside is None else _span(inside, surveys, event)
            if span is None:
                return None
            least, most = least + span[0], most + span[1]
    return least, most


def _span(clause: Clause, surveys: Surveys, event: Event) -> Span | None:
    own = _own(clause.score, surveys, event)
    spans = [_span(item, surveys, event) for item in clause.items if _counts(item, surveys, event)]
    if own is None or None in spans:
        return None
    known = [span for span in spans if span is not None]
    if clause.kind is Kind.ONE_OF and known:
        inside = min(low for low, _ in known), max(high for _, high in known)
    else:
        owed = [item for item in clause.items if _counts(item, surveys, event)]
        lows = [0 if item.only_if_begun else low for item, (low, _) in zip(owed, known, strict=True)]
        inside = sum(lows), sum(high for _, high in known)
    return own[0] + inside[0], own[1] + inside[1]


def _counts(item: Clause, surveys: Surveys, event: Event) -> bool:
    """Whether it can be completed at all."""
    return item.path in surveys.events[event.label].completed


def _own(score: Score | None, surveys: Surveys, event: Event) -> Span | None:
    """Of the rows that can be come down to; None where that is not known."""
    if score is None:
        return 0, 0
    if score.path in surveys.undecided:
        return None
    given = {row for path, row in surveys.events[event.label].given if path == score.path}
    points = [row.points for number, row in enumerate(score.rows) if number in given]
    points += [score.otherwise] if None in given and score.otherwise is not None else []
    return (min(points), max(points)) if points else None
