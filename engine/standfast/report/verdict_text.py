"""A verdict as plain text for a terminal: what it is, why, then everything that was found."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from attrs import frozen

from standfast.quantity import COUNT
from standfast.report.amounts import ROUNDED, figure_text, is_rounded, margin_text, time_of_day, when
from standfast.report.lines import WIDTH, folded, table, unbroken, width
from standfast.verdict import (
    AttemptResult,
    Ending,
    EventResult,
    Figured,
    Measure,
    Outcome,
    Reason,
    ReasonKind,
    Remark,
    RemarkKind,
    RoundsResult,
    Scored,
    Verdict,
)

_CONDITIONS = {ReasonKind.UNMET, ReasonKind.NOT_STATED}
_DECIDING = {ReasonKind.FAIL, ReasonKind.DISQUALIFY, ReasonKind.HALT, ReasonKind.OWED}
_ENDED_WITHOUT_GO = {Ending.FAILED, Ending.HALTED, Ending.DISQUALIFIED}
_LIMIT = "limit, narrowest first"
_ROUNDED_NOTE = f"{ROUNDED} amounts so marked are rounded against the candidate; the JSON form is exact"


def verdict_text(verdict: Verdict) -> str:
    """The whole verdict, with a closing line end; lines of at most 80 columns where words allow it."""
    lines = [
        *folded(f"{verdict.outcome.value}  candidate {verdict.candidate}, session {verdict.session}"),
        *folded(_standard(verdict)),
        *folded(_log(verdict)),
        *_facts(verdict),
        "",
        *_why(verdict),
    ]
    for event in verdict.events:
        lines += ["", *_event(event, verdict.zero)]
    if verdict.figures or verdict.points is not None:
        lines += ["", "the whole test", *_total(verdict), *_figures(verdict.figures, 2)]
    decided = deciding(verdict)
    others = [reason for reason in verdict.reasons if reason not in decided]
    if others:
        lines += ["", "outside any attempt", *_reasons(others, verdict.zero, 2)]
    if verdict.remarks:
        lines += ["", "remarks"]
        lines += [line for remark in verdict.remarks for line in folded(_remark(remark, verdict.zero), 2)]
    lines += ["", *folded(f"digests: standard {verdict.standard_digest[:12]}, log {verdict.log_digest[:12]}")]
    if _has_rounded(verdict):
        lines.append(_ROUNDED_NOTE)
    return "\n".join(lines) + "\n"


@frozen
class NotGraded:
    """A log without a verdict, by the name of its file."""

    log: str


def verdicts_table(found: Iterable[Verdict | NotGraded]) -> str:
    """A row for each verdict (what, whose, of which session, the clause that decided, the log) and log without."""
    rows = [("verdict", "candidate", "session", "deciding clause", "log")]
    for one in found:
        if isinstance(one, NotGraded):
            rows.append(("not graded", "-", "-", "-", one.log))
        else:
            rows.append((one.outcome.value, one.candidate, one.session, _clause(one), one.log or "-"))
    return "\n".join(table(rows)) + "\n"


def deciding(verdict: Verdict) -> tuple[Reason, ...]:
    """The reasons a NO-GO or VOID rests on, as written; empty for GO and UNFINISHED.

    Of a NO-GO: what acted at the instant that decided, and, where failures were kept until an attempt's last
    item, all that had failed the attempt that ended then.
    """
    if verdict.outcome is Outcome.VOID:
        return tuple(reason for reason in verdict.reasons if reason.kind in _CONDITIONS)
    if verdict.outcome is not Outcome.NO_GO:
        return ()
    found: list[Reason] = []
    for attempt in (attempt for event in verdict.events for attempt in event.attempts):
        if attempt.ended_at == verdict.decided_at and attempt.ending in _ENDED_WITHOUT_GO:
            found += [reason for reason in attempt.reasons if reason.kind in _DECIDING]
    found += [r for r in verdict.reasons if r.kind in _DECIDING and r.at == verdict.decided_at]
    return tuple(found)


def _reason(reason: Reason, zero: datetime | None, indent: int) -> list[str]:
    """One reason so that it can be checked against the log: what acted, then what decided and by how much."""
    sentence = f' "{reason.sentence}"' if reason.sentence else ""
    at_round = [] if reason.round is None else [f"at {reason.round}"]
    parts = [_decided_by(reason, zero), *at_round, f"rule: {reason.words}"]
    if reason.figure is not None and reason.kind not in _CONDITIONS:
        parts.append(_measured(reason, reason.figure))
    if reason.readings is not None:
        parts.append(_no_reading(reason.readings))
    if reason.margin is not None:
        parts.append(unbroken(f"margin {margin_text(reason.margin)}"))
    return [
        *folded(f"{reason.kind.value}: {reason.path}{sentence}", indent),
        *folded("; ".join(parts), indent + 4, hanging=0),
    ]


def _facts(verdict: Verdict) -> list[str]:
    stated = ", ".join(unbroken(f"{name} {value}") for name, value in verdict.facts)
    return folded(f"facts {stated}") if stated else []


def _standard(verdict: Verdict) -> str:
    decided = "" if verdict.decided_at is None else f"; decided at {when(verdict.decided_at, verdict.zero)}"
    return f"standard {verdict.standard}, edition {verdict.edition}{decided}"


def _log(verdict: Verdict) -> str:
    zero = verdict.zero
    began = "" if zero is None else f", whose clock showed {zero.date()} {time_of_day(zero)} at 0:00"
    return f"log {verdict.log}{began}" if verdict.log else ""


def _why(verdict: Verdict) -> list[str]:
    match verdict.outcome:
        case Outcome.GO:
            grade = "" if verdict.grade is None else f"; grade {verdict.grade}"
            return [f"because every event was passed{grade}"]
        case Outcome.UNFINISHED:
            owed = [line for one in verdict.owed for line in folded(f"{one.path}: {one.words}", 2)]
            return ["because the log ends with this still owed", *owed]
        case Outcome.VOID:
            wanting = any(reason.path.startswith("candidate.") for reason in verdict.reasons)
            what = "facts of the candidate are not stated" if wanting else "conditions do not hold"
            return [
                f"because {what} (nothing else decides)",
                *_reasons(deciding(verdict), verdict.zero, 2),
            ]
        case _:
            return ["because", *_reasons(deciding(verdict), verdict.zero, 2)]


def _event(event: EventResult, zero: datetime | None) -> list[str]:
    title = f' "{event.title}"' if event.title else ""
    lines = folded(f"event {event.label}{title}: {event.outcome.value}")
    for attempt in event.attempts:
        lines += folded(_attempt(attempt, zero), 2)
        lines += _reasons(attempt.reasons, zero, 4)
        lines += _scores(attempt.scores, 4)
        lines += [line for each in attempt.rounds for line in folded(_rounds(each), 4)]
        lines += _figures(attempt.figures, 4)
    return lines


def _attempt(attempt: AttemptResult, zero: datetime | None) -> str:
    charged = "charged" if attempt.charged else "not charged"
    charged += ", the best" if attempt.best else ""
    if attempt.ended_at is None:
        ending = "still open at the end of the log"
    else:
        ending = f"{attempt.ending.value} at {when(attempt.ended_at, zero)}"
    return f"attempt {attempt.number}: opened at {when(attempt.opened_at, zero)}, {ending}, {charged}"


def _reasons(reasons: Iterable[Reason], zero: datetime | None, indent: int) -> list[str]:
    return [line for reason in reasons for line in _reason(reason, zero, indent)]


def _rounds(rounds: RoundsResult) -> str:
    furthest = "no round made" if rounds.furthest is None else f"furthest {rounds.furthest}"
    so_far = "" if rounds.over else ", so far"
    return f"rounds {rounds.path}: {furthest}; {rounds.made} made, {rounds.missed} missed{so_far}"


def _decided_by(reason: Reason, zero: datetime | None) -> str:
    if reason.at is None:
        if reason.kind is ReasonKind.NOT_STATED:
            return "the log does not state it"
        return f"the log states {'the opposite' if reason.figure is None else _amount(reason, reason.figure)}"
    at = when(reason.at, zero)
    if reason.kind is ReasonKind.OWED:
        return f"not done by the end at {at}"
    if reason.entry is not None:
        return f"entry {reason.entry} (line {reason.line}) at {at}"
    if reason.deadline is not None:
        how = "was reached" if reason.deadline.reached else "passed"
        return f"the deadline {at} {how}, its clock began at {when(reason.deadline.since, zero)}"
    return f"at {at}, when it was due"


def _measured(reason: Reason, figure: Measure) -> str:
    verb = "logged" if reason.logged else "counted" if figure.unit == COUNT else "measured"
    return unbroken(f"{verb} {_amount(reason, figure)}")


def _no_reading(readings: int) -> str:
    """Why there is no figure of a watch."""
    return f"no rule says which of {readings} readings counts" if readings else "no reading was logged"


def _amount(reason: Reason, figure: Measure) -> str:
    """The figure and, where the log has it in another unit, that before it."""
    text = figure_text(figure, reason.margin)
    return text if reason.logged in (None, str(figure)) else f"{reason.logged}, that is {text}"


def _total(verdict: Verdict) -> list[str]:
    return [] if verdict.points is None else [f"  {verdict.points} points"]


def _scores(scores: Sequence[Scored], indent: int) -> list[str]:
    """What each score gave: its points, the row in its own words and the figure it was tried on."""
    lines = []
    for scored in scores:
        figure = "" if scored.figure is None else unbroken(f"; measured {figure_text(scored.figure, None)}")
        lines += folded(f"{scored.points} points: {scored.path}, {scored.words}{figure}", indent)
    return lines


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


def _remark(remark: Remark, zero: datetime | None) -> str:
    where = f"entry {remark.entry} (line {remark.line}) at " if remark.entry is not None else ""
    match remark.kind:
        case RemarkKind.NO_USE:
            what = "nothing that was open could use this mark"
        case RemarkKind.UNFIT:
            what = "the value does not fit: nothing that was open could use this mark with it"
        case RemarkKind.NOTHING_OPEN:
            what = f"{remark.path} had no open attempt to act on"
        case RemarkKind.AFTER_VERDICT:
            what = "logged after the verdict"
    return f"{where}{when(remark.at, zero)}: {what}"


def _clause(verdict: Verdict) -> str:
    paths = [reason.path for reason in deciding(verdict)] or [owed.path for owed in verdict.owed]
    more = f" and {len(paths) - 1} more" if len(paths) > 1 else ""
    return f"{paths[0]}{more}" if paths else "-"


def _has_rounded(verdict: Verdict) -> bool:
    shown: list[Figured | Reason] = [*verdict.figures, *verdict.reasons]
    scored: list[Scored] = []
    for event in verdict.events:
        for attempt in event.attempts:
            shown += [*attempt.figures, *attempt.reasons]
            scored += attempt.scores
    measures = [m for one in shown for m in (one.figure, one.margin)] + [one.figure for one in scored]
    return any(m is not None and is_rounded(m) for m in measures)
