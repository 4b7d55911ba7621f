"""A verdict as plain text for a terminal: what it is, why, then everything that was found."""

from collections.abc import Iterable, Sequence

from standfast.quantity import COUNT, clock
from standfast.report.amounts import ROUNDED, figure_text, is_rounded, margin_text
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
        "",
        *_why(verdict),
    ]
    for event in verdict.events:
        lines += ["", *_event(event)]
    if verdict.figures:
        lines += ["", "the whole test", *_figures(verdict.figures, 2)]
    decided = deciding(verdict)
    others = [reason for reason in verdict.reasons if reason not in decided]
    if others:
        lines += ["", "outside any attempt", *_reasons(others, 2)]
    if verdict.remarks:
        lines += ["", "remarks"]
        lines += [line for remark in verdict.remarks for line in folded(_remark(remark), 2)]
    lines += ["", *folded(f"digests: standard {verdict.standard_digest[:12]}, log {verdict.log_digest[:12]}")]
    if _has_rounded(verdict):
        lines.append(_ROUNDED_NOTE)
    return "\n".join(lines) + "\n"


def verdicts_table(verdicts: Iterable[Verdict]) -> str:
    """One row a verdict: what it is, whose, of which session, and the clause that decided."""
    rows = [("verdict", "candidate", "session", "deciding clause")]
    rows += [(v.outcome.value, v.candidate, v.session, _clause(v)) for v in verdicts]
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


def reason_lines(reason: Reason, indent: int = 0) -> list[str]:
    """One reason so that it can be checked against the log: what acted, then what decided and by how much."""
    sentence = f' "{reason.sentence}"' if reason.sentence else ""
    parts = [_decided_by(reason), f"rule: {reason.words}"]
    if reason.figure is not None and reason.kind not in _CONDITIONS:
        parts.append(_measured(reason.figure, reason.margin))
    if reason.margin is not None:
        parts.append(unbroken(f"margin {margin_text(reason.margin)}"))
    return [
        *folded(f"{reason.kind.value}: {reason.path}{sentence}", indent),
        *folded("; ".join(parts), indent + 4, hanging=0),
    ]


def _standard(verdict: Verdict) -> str:
    decided = "" if verdict.decided_at is None else f"; decided at {clock(verdict.decided_at)}"
    return f"standard {verdict.standard}, edition {verdict.edition}{decided}"


def _why(verdict: Verdict) -> list[str]:
    match verdict.outcome:
        case Outcome.GO:
            return ["because every event was passed"]
        case Outcome.UNFINISHED:
            owed = [line for one in verdict.owed for line in folded(f"{one.path}: {one.words}", 2)]
            return ["because the log ends with this still owed", *owed]
        case Outcome.VOID:
            return ["because conditions do not hold (nothing else decides)", *_reasons(deciding(verdict), 2)]
        case _:
            return ["because", *_reasons(deciding(verdict), 2)]


def _event(event: EventResult) -> list[str]:
    title = f' "{event.title}"' if event.title else ""
    lines = folded(f"event {event.label}{title}: {event.outcome.value}")
    for attempt in event.attempts:
        lines += folded(_attempt(attempt), 2)
        lines += _reasons(attempt.reasons, 4)
        lines += _figures(attempt.figures, 4)
    return lines


def _attempt(attempt: AttemptResult) -> str:
    charged = "charged" if attempt.charged else "not charged"
    if attempt.ended_at is None:
        ending = "still open at the end of the log"
    else:
        ending = f"{attempt.ending.value} at {clock(attempt.ended_at)}"
    return f"attempt {attempt.number}: opened at {clock(attempt.opened_at)}, {ending}, {charged}"


def _reasons(reasons: Iterable[Reason], indent: int) -> list[str]:
    return [line for reason in reasons for line in reason_lines(reason, indent)]


def _decided_by(reason: Reason) -> str:
    if reason.at is None:
        if reason.kind is ReasonKind.NOT_STATED:
            return "the log does not state it"
        stated = "the opposite" if reason.figure is None else figure_text(reason.figure, reason.margin)
        return f"the log states {stated}"
    if reason.kind is ReasonKind.OWED:
        return f"not done by the end at {clock(reason.at)}"
    if reason.entry is not None:
        return f"entry {reason.entry} (line {reason.line}) at {clock(reason.at)}"
    if reason.figure is None:
        return f"the deadline {clock(reason.at)} passed"
    return f"at {clock(reason.at)}, when it was due"


def _measured(figure: Measure, margin: Measure | None) -> str:
    verb = "counted" if figure.unit == COUNT else "measured"
    return unbroken(f"{verb} {figure_text(figure, margin)}")


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


def _remark(remark: Remark) -> str:
    where = f"entry {remark.entry} (line {remark.line}) at " if remark.entry is not None else ""
    match remark.kind:
        case RemarkKind.NO_USE:
            what = "nothing that was open could use this mark"
        case RemarkKind.NOTHING_OPEN:
            what = f"{remark.path} had no open attempt to act on"
        case RemarkKind.AFTER_VERDICT:
            what = "logged after the verdict"
    return f"{where}{clock(remark.at)}: {what}"


def _clause(verdict: Verdict) -> str:
    paths = [reason.path for reason in deciding(verdict)] or [owed.path for owed in verdict.owed]
    more = f" and {len(paths) - 1} more" if len(paths) > 1 else ""
    return f"{paths[0]}{more}" if paths else "-"


def _has_rounded(verdict: Verdict) -> bool:
    shown: list[Figured | Reason] = [*verdict.figures, *verdict.reasons]
    for event in verdict.events:
        for attempt in event.attempts:
            shown += [*attempt.figures, *attempt.reasons]
    return any(m is not None and is_rounded(m) for one in shown for m in (one.figure, one.margin))
