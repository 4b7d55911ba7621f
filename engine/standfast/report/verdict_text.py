"""A verdict as plain text for a terminal: what it is, why, then everything that was found."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime

from standfast.report.amounts import figure_text, margin_text
from standfast.report.corrections_text import correction_lines, corrections_line
from standfast.report.doubt_text import doubt_lines, outcome_words
from standfast.report.lines import WIDTH, folded, table, width
from standfast.report.verdict_words import (
    ROUNDED_NOTE,
    attempt_words,
    because,
    digests_words,
    facts_words,
    has_rounded,
    log_words,
    outside_attempts,
    part_words,
    presence_words,
    reason_words,
    remark_words,
    rounds_words,
    scored_words,
    standard_words,
)
from standfast.values import frozen
from standfast.verdict import EventResult, Figured, Outcome, Reason, Verdict, deciding

_LIMIT = "limit, narrowest first"
_SENTENCE = 40  # characters of an author's sentence in a row of the table


def verdict_text(verdict: Verdict) -> str:
    """The whole verdict, with a closing line end; lines of at most 80 columns where words allow it."""
    lines = [
        *folded(f"{verdict.outcome.value}  candidate {verdict.candidate}, session {verdict.session}"),
        *folded(standard_words(verdict)),
        *folded(log_words(verdict)),
        *(line for part in part_words(verdict) for line in folded(part, 2)),
        *folded(facts_words(verdict)),
        *folded(presence_words(verdict)),
        *folded(corrections_line(verdict)),
        *doubt_lines(verdict),
        "",
        because(verdict),
        *(line for owed in verdict.owed for line in folded(f"{owed.path}: {owed.words}", 2)),
        *_reasons(deciding(verdict), verdict.zero, 2),
    ]
    for event in verdict.events:
        lines += ["", *_event(event, verdict.zero)]
    if verdict.figures or verdict.points is not None:
        lines += ["", "the whole test", *_total(verdict), *_figures(verdict.figures, 2)]
    others = outside_attempts(verdict)
    if others:
        lines += ["", "outside any attempt", *_reasons(others, verdict.zero, 2)]
    lines += correction_lines(verdict)
    if verdict.remarks:
        lines += ["", "remarks"]
        lines += [line for remark in verdict.remarks for line in folded(remark_words(remark, verdict.zero), 2)]
    lines += ["", *folded(digests_words(verdict))]
    if has_rounded(verdict):
        lines.append(ROUNDED_NOTE)
    return "\n".join(lines) + "\n"


@frozen
class NotGraded:
    """A log without a verdict, by the name of its file."""

    log: str


def verdicts_table(found: Iterable[Verdict | NotGraded]) -> str:
    """A row for each verdict (what, whose, of which session, what it is worth, the clause that decided with the
    author's sentence, the log) and log without; then how many there are of each outcome.

    Of points and grades there is a column where a verdict has any.
    """
    all_found = tuple(found)
    verdicts = [one for one in all_found if isinstance(one, Verdict)]
    worths = [
        (head, worth)
        for head, worth in (("grade", _grade), ("points", _points))
        if any(worth(one) != "-" for one in verdicts)
    ]
    rows = [("verdict", "candidate", "session", *(head for head, _ in worths), "deciding clause", "log")]
    for one in all_found:
        if isinstance(one, NotGraded):
            rows.append(("not graded", "-", "-", *("-" for _ in worths), "-", one.log))
        else:
            worth = (of(one) for _, of in worths)
            rows.append((outcome_words(one), one.candidate, one.session, *worth, _clause(one), one.log or "-"))
    outcomes = Counter(one.outcome for one in verdicts)
    counts = [f"{number} {outcome.value}" for outcome in Outcome if (number := outcomes[outcome])]
    counts += [f"{len(all_found) - len(verdicts)} not graded"] if len(all_found) > len(verdicts) else []
    return "\n".join((*table(rows), ", ".join(counts))) + "\n"


def _event(event: EventResult, zero: datetime | None) -> list[str]:
    title = f' "{event.title}"' if event.title else ""
    lines = folded(f"event {event.label}{title}: {event.outcome.value}")
    for attempt in event.attempts:
        lines += folded(attempt_words(attempt, zero), 2)
        lines += _reasons(attempt.reasons, zero, 4)
        lines += [line for each in attempt.scores for line in folded(scored_words(each), 4)]
        lines += [line for each in attempt.rounds for line in folded(rounds_words(each), 4)]
        lines += _figures(attempt.figures, 4)
    return lines


def _reason(reason: Reason, zero: datetime | None, indent: int) -> list[str]:
    """What acted, then how it can be checked."""
    sentence = f' "{reason.sentence}"' if reason.sentence else ""
    return [
        *folded(f"{reason.kind.value}: {reason.path}{sentence}", indent),
        *folded(reason_words(reason, zero), indent + 4, hanging=0),
    ]


def _reasons(reasons: Iterable[Reason], zero: datetime | None, indent: int) -> list[str]:
    return [line for reason in reasons for line in _reason(reason, zero, indent)]


def _total(verdict: Verdict) -> list[str]:
    return [] if verdict.points is None else [f"  {verdict.points} points"]


def _figures(figures: Sequence[Figured], indent: int) -> list[str]:
    """The figures in columns, the rules' words beside them or, where one would not fit, all below."""
    if not figures:
        return []
    rows = [(margin_text(f.margin), figure_text(f.figure, f.margin), f.path) for f in figures]
    wide = table(
        [("margin", "figure", _LIMIT, ""), *((*row, f.words) for row, f in zip(rows, figures, strict=True))]
    )
    if max(width(line) for line in wide) + indent <= WIDTH:
        return [" " * indent + line for line in wide]
    head, *narrow = table([("margin", "figure", _LIMIT), *rows])
    lines = [" " * indent + head]
    for line, figured in zip(narrow, figures, strict=True):
        lines += [" " * indent + line, *folded(figured.words, indent + width(head) - width(_LIMIT) + 2)]
    return lines


def _clause(verdict: Verdict) -> str:
    reasons = [(reason.path, reason.sentence) for reason in deciding(verdict)]
    (path, sentence), *others = reasons or [(owed.path, None) for owed in verdict.owed] or [("-", None)]
    from textwrap import shorten  # only for several verdicts

    said = "" if sentence is None else f' "{shorten(sentence, _SENTENCE, placeholder="…")}"'
    return f"{path}{said} and {len(others)} more" if others else f"{path}{said}"


def _grade(verdict: Verdict) -> str:
    return verdict.grade or "-"


def _points(verdict: Verdict) -> str:
    return "-" if verdict.points is None else str(verdict.points)
