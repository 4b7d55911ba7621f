"""A log that shows a difference: its entries, and under each edition the verdict, its reasons and its picture."""

from collections.abc import Iterator

from standfast.difference.claims import Claim, Course
from standfast.difference.conditions import Word
from standfast.log.entry import SessionLog
from standfast.quantity import clock
from standfast.report.brief.spoken import sentence
from standfast.report.comparison_text import acts, entry_words, sooner_words
from standfast.report.verdict_page.course import attempt_timeline
from standfast.report.verdict_page.judged import Judged, Span
from standfast.report.verdict_page.session import session_timeline
from standfast.report.verdict_page.sheet import Picture, Why, picture_of, whys_of
from standfast.report.verdict_words import because
from standfast.values import frozen
from standfast.verdict import AttemptResult, Outcome, Reason, resting_on


@frozen(kw_only=True)
class Side:
    """What one edition says of the log: the `reasons` the verdict rests on, and what acted `before`."""

    edition: str
    outcome: Outcome
    because: str
    reasons: tuple[Why, ...]
    before: tuple[Why, ...]
    owed: tuple[str, ...]
    pictures: tuple[Picture, ...]


@frozen(kw_only=True)
class Witness:
    """`entries` and `sides` are empty where no log shows it: `note` says whether that is proved."""

    what: str
    note: str
    stated: tuple[str, ...] = ()
    sooner: tuple[str, ...] = ()
    entries: tuple[str, ...] = ()
    sides: tuple[Side, ...] = ()


def witnesses(course: Course, editions: tuple[str, str]) -> Iterator[Witness]:
    """What is claimed of the whole test or an event, claim by claim."""
    old, new = editions
    claims = (
        (course.lost, f"GO under edition {old} alone"),
        (course.gained, f"GO under edition {new} alone"),
        (course.told, "Decided alike, for other reasons"),
    )
    for claim, what in claims:
        if claim.shown is not None:
            yield _shown(claim, what, editions)
        elif not claim.decided:
            yield Witness(what=what, note="not decided")
        elif course.word is not Word.SAME:
            yield Witness(what=what, note="no log, which is proved")


def _shown(claim: Claim, what: str, editions: tuple[str, str]) -> Witness:
    shown = claim.shown
    assert shown is not None
    log = shown.old_log
    sides = tuple(
        Judged(standard=standard, log=log, verdict=verdict)
        for standard, log, verdict in zip(
            shown.read, (shown.old_log, shown.new_log), (shown.old, shown.new), strict=True
        )
    )
    old, new = editions
    return Witness(
        what=what,
        note="the shortest such log" if claim.shortest else "such a log",
        stated=tuple(_stated(log)),
        entries=(*map(entry_words, log.entries), *([f"{clock(log.end)} end"] if log.end is not None else [])),
        sooner=tuple(map(sentence, sooner_words(claim, (f"edition {old}", f"edition {new}")))),
        sides=tuple(
            _side(each, one, other) for each, one, other in zip(editions, sides, sides[::-1], strict=True)
        ),
    )


def _stated(log: SessionLog) -> Iterator[str]:
    for fact, value in log.conditions.items():
        yield f"{fact} {('yes' if value else 'no') if isinstance(value, bool) else value}"
    yield from (f"{fact} {value}" for fact, value in log.facts_stated(log.candidates[0]))


def _side(edition: str, judged: Judged, other: Judged) -> Side:
    verdict = judged.verdict
    reasons = tuple(each for each in resting_on(verdict) if isinstance(each, Reason))
    return Side(
        edition=edition,
        outcome=verdict.outcome,
        because=because(verdict),
        reasons=tuple(whys_of(reasons, verdict)),
        before=tuple(whys_of(tuple(each for each in acts(verdict) if each not in reasons), verdict)),
        owed=tuple(f"{owed.path}: {owed.words}" for owed in verdict.owed),
        pictures=tuple(_pictures(judged, other)),
    )


def _pictures(judged: Judged, other: Judged) -> Iterator[Picture]:
    """The whole session, if it is more than one attempt, and the attempts by which both editions part."""
    whole = session_timeline(judged)
    if whole is not None:
        yield picture_of(whole)
    for event, attempt in _parting(judged, other):
        yield picture_of(attempt_timeline(judged, event, attempt))


def _parting(judged: Judged, other: Judged) -> list[Span]:
    """The attempts at the first event of which the other edition says something else; if none, the last."""
    spans = judged.attempts()
    for event, _ in spans:
        twin = next((each for each in other.verdict.events if each.label == event.label), None)
        if twin is None or list(map(_course, event.attempts)) != list(map(_course, twin.attempts)):
            return [span for span in spans if span[0] is event]
    return spans[-1:]


def _course(attempt: AttemptResult) -> object:
    return attempt.opened_at, attempt.ended_at, attempt.ending, [(each.path, each.at) for each in attempt.reasons]
