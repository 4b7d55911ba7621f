"""What is said of a verdict, sentence by sentence, for a terminal as for a page.

No sentence is safe to show as it is: what the log and the standard say stands in it as written.
"""

from datetime import datetime

from standfast.log.entry import LogPart
from standfast.quantity import COUNT
from standfast.report.amounts import ROUNDED, figure_text, is_rounded, margin_text, time_of_day, when
from standfast.report.lines import unbroken
from standfast.verdict import (
    OF_CONDITIONS,
    AttemptResult,
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
    deciding,
)

ROUNDED_NOTE = f"{ROUNDED} amounts so marked are rounded against the candidate; the JSON form is exact"


def because(verdict: Verdict) -> str:
    """Why it is so, before the reasons it rests on or what is owed."""
    match verdict.outcome:
        case Outcome.GO:
            grade = "" if verdict.grade is None else f"; grade {verdict.grade}"
            return f"because every event was passed{grade}"
        case Outcome.UNFINISHED:
            left = any(not each.joins for each in verdict.presence)
            return f"because the {'candidate left' if left else 'log ends'} with this still owed"
        case Outcome.VOID:
            wanting = any(reason.path.startswith("candidate.") for reason in verdict.reasons)
            what = "facts of the candidate are not stated" if wanting else "conditions do not hold"
            return f"because {what} (nothing else decides)"
        case _:
            return "because"


def outside_attempts(verdict: Verdict) -> tuple[Reason, ...]:
    """The reasons that belong to no attempt and that the verdict does not rest on."""
    decided = deciding(verdict)
    return tuple(reason for reason in verdict.reasons if reason not in decided)


def reason_words(reason: Reason, zero: datetime | None) -> str:
    """What makes a reason one that can be checked against the log: what decided, the rule, by how much."""
    at_round = [] if reason.round is None else [f"at {reason.round}"]
    parts = [_decided_by(reason, zero), *at_round, f"rule: {reason.words}"]
    if reason.figure is not None and reason.kind not in OF_CONDITIONS:
        parts.append(_measured(reason, reason.figure))
    if reason.readings is not None:
        parts.append(_no_reading(reason.readings))
    if reason.margin is not None:
        parts.append(unbroken(f"margin {margin_text(reason.margin)}"))
    return "; ".join(parts)


def scored_words(scored: Scored) -> str:
    """What a score gave: its points, the row in its own words and the figure it was tried on."""
    figure = "" if scored.figure is None else unbroken(f"; measured {figure_text(scored.figure, None)}")
    return f"{scored.points} points: {scored.path}, {scored.words}{figure}"


def facts_words(verdict: Verdict) -> str:
    """Empty where none are stated."""
    stated = ", ".join(unbroken(f"{name} {value}") for name, value in verdict.facts)
    return f"facts {stated}" if stated else ""


def presence_words(verdict: Verdict) -> str:
    """When the candidate joined or left the others; empty where there throughout."""
    return "; ".join(
        f"{'joined' if each.joins else 'left'} at {when(each.at, verdict.zero)}, "
        + unbroken(f"entry {each.number} (line {each.line})")
        for each in verdict.presence
    )


def digests_words(verdict: Verdict) -> str:
    return f"digests: standard {verdict.standard_digest[:12]}, log {verdict.log_digest[:12]}"


def standard_words(verdict: Verdict) -> str:
    decided = "" if verdict.decided_at is None else f"; decided at {when(verdict.decided_at, verdict.zero)}"
    return f"standard {verdict.standard}, edition {verdict.edition}{decided}"


def log_words(verdict: Verdict) -> str:
    zero = verdict.zero
    began = "" if zero is None else f", whose clock showed {zero.date()} {time_of_day(zero)} at 0:00"
    return f"log {verdict.log}{began}" if verdict.log else ""


def part_words(verdict: Verdict) -> tuple[str, ...]:
    """Which of the entries are in which of the logs that were joined, and when each of these began."""
    return tuple(
        f"{_numbered(part)} in {part.name}, "
        + unbroken(f"begun at {when(part.zero, verdict.zero)}, log {part.digest[:12]}")
        for part in verdict.parts
    )


def _numbered(part: LogPart) -> str:
    if part.last < part.first:
        return "no entry"
    return f"entry {part.first}" if part.first == part.last else f"entries {part.first} to {part.last}"


def attempt_words(attempt: AttemptResult, zero: datetime | None) -> str:
    charged = "charged" if attempt.charged else "not charged"
    charged += ", the best" if attempt.best else ""
    if attempt.ended_at is None:
        ending = "still open at the end of the log"
    else:
        ending = f"{attempt.ending.value} at {when(attempt.ended_at, zero)}"
    return f"attempt {attempt.number}: opened at {when(attempt.opened_at, zero)}, {ending}, {charged}"


def rounds_words(rounds: RoundsResult) -> str:
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


def remark_words(remark: Remark, zero: datetime | None) -> str:
    where = f"entry {remark.entry} (line {remark.line}) at " if remark.entry is not None else ""
    return f"{where}{when(remark.at, zero)}: {remark_what(remark)}"


def remark_what(remark: Remark) -> str:
    match remark.kind:
        case RemarkKind.NO_USE:
            return "nothing that was open could use this mark"
        case RemarkKind.UNFIT:
            return "the value does not fit: nothing that was open could use this mark with it"
        case RemarkKind.NOTHING_OPEN:
            return f"{remark.path} had no open attempt to act on"
        case RemarkKind.AFTER_VERDICT:
            return "logged after the verdict"


def has_rounded(verdict: Verdict) -> bool:
    shown: list[Figured | Reason] = [*verdict.figures, *verdict.reasons]
    scored: list[Scored] = []
    for event in verdict.events:
        for attempt in event.attempts:
            shown += [*attempt.figures, *attempt.reasons]
            scored += attempt.scores
    measures = [m for one in shown for m in (one.figure, one.margin)] + [one.figure for one in scored]
    return any(m is not None and is_rounded(m) for m in measures)
