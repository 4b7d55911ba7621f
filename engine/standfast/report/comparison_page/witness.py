"""A log that shows a difference: its entries, and under each edition the verdict, its reasons and its picture."""

from collections.abc import Iterator

from standfast.difference.claims import Claim, Course
from standfast.difference.conditions import Word
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.quantity import clock
from standfast.report.comparison_text import entry_words
from standfast.report.verdict_page.course import attempt_timeline
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.session import session_timeline
from standfast.report.verdict_page.sheet import Picture, Why, picture_of, whys_of
from standfast.report.verdict_words import because
from standfast.values import frozen
from standfast.verdict import Outcome, Reason, Verdict, resting_on


@frozen(kw_only=True)
class Side:
    """What one edition says of the log."""

    edition: str
    outcome: Outcome
    because: str
    reasons: tuple[Why, ...]
    owed: tuple[str, ...]
    pictures: tuple[Picture, ...]


@frozen(kw_only=True)
class Witness:
    """`entries` and `sides` are empty where no log shows it: `note` says whether that is proved."""

    what: str
    note: str
    stated: tuple[str, ...] = ()
    entries: tuple[str, ...] = ()
    sides: tuple[Side, ...] = ()


def witnesses(course: Course, editions: tuple[str, str]) -> Iterator[Witness]:
    """What is claimed of the whole test or an event, claim by claim."""
    old, new = editions
    told = "Decided alike, for other reasons"
    claims = (
        (course.lost, f"GO under edition {old} alone"),
        (course.gained, f"GO under edition {new} alone"),
        (course.told, told),
    )
    for claim, what in claims:
        if claim.shown is not None:
            yield _shown(claim, what, editions, all_acts=claim is course.told)
        elif not claim.decided:
            yield Witness(what=what, note="not decided")
        elif course.word is not Word.SAME:
            yield Witness(what=what, note="no log, which is proved")


def _shown(claim: Claim, what: str, editions: tuple[str, str], *, all_acts: bool) -> Witness:
    shown = claim.shown
    assert shown is not None
    log = shown.old_log
    sides = zip(editions, shown.read, (shown.old_log, shown.new_log), (shown.old, shown.new), strict=True)
    return Witness(
        what=what,
        note="the shortest such log" if claim.shortest else "such a log",
        stated=tuple(_stated(log)),
        entries=(*map(entry_words, log.entries), *([f"{clock(log.end)} end"] if log.end is not None else [])),
        sides=tuple(_side(*each, all_acts=all_acts) for each in sides),
    )


def _stated(log: SessionLog) -> Iterator[str]:
    for fact, value in log.conditions.items():
        yield f"{fact} {('yes' if value else 'no') if isinstance(value, bool) else value}"
    yield from (f"{fact} {value}" for fact, value in log.facts_stated(log.candidates[0]))


def _side(edition: str, standard: Standard, log: SessionLog, verdict: Verdict, *, all_acts: bool) -> Side:
    judged = Judged(standard=standard, log=log, verdict=verdict)
    reasons = tuple(each for each in resting_on(verdict) if isinstance(each, Reason))
    if all_acts:
        acted = [reason for event in verdict.events for attempt in event.attempts for reason in attempt.reasons]
        reasons = (*acted, *verdict.reasons)
    return Side(
        edition=edition,
        outcome=verdict.outcome,
        because=because(verdict),
        reasons=tuple(whys_of(reasons, verdict)),
        owed=tuple(f"{owed.path}: {owed.words}" for owed in verdict.owed),
        pictures=tuple(_pictures(judged)),
    )


def _pictures(judged: Judged) -> Iterator[Picture]:
    """The whole session, if it is more than one attempt, and the attempt that was opened last."""
    whole = session_timeline(judged)
    if whole is not None:
        yield picture_of(whole)
    for event, attempt in judged.attempts()[-1:]:
        yield picture_of(attempt_timeline(judged, event, attempt))
