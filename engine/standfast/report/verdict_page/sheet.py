"""What stands on the page of verdicts: of each candidate a sheet, of several the class before them."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from standfast.report.amounts import figure_text, margin_text, when
from standfast.report.brief.spoken import counted, listed, name
from standfast.report.cautions import ALWAYS, usual_cautions
from standfast.report.corrections_text import correction_done, correction_words, corrections_line
from standfast.report.doubt_text import close_call_words, doubt_words, is_close_call, shift_words
from standfast.report.shapes import Drawing
from standfast.report.verdict_page.course import attempt_timeline
from standfast.report.verdict_page.drawing import drawings
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.session import session_timeline
from standfast.report.verdict_page.timeline import Timeline
from standfast.report.verdict_words import (
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
from standfast.verdict import AttemptResult, EventResult, Figured, Outcome, Reason, Verdict, deciding


@frozen
class Why:
    """A reason: what acted (`kind`, the rule's path, the author's sentence), and how it can be checked."""

    kind: str
    path: str
    sentence: str | None
    detail: str


@frozen
class Picture:
    name: str
    drawings: tuple[Drawing, ...]
    lines: tuple[tuple[int, str], ...]


@frozen
class Figure:
    margin: str
    figure: str
    path: str
    words: str


@frozen
class Attempt:
    said: str
    best: bool
    reasons: tuple[Why, ...]
    results: tuple[str, ...]
    figures: tuple[Figure, ...]
    picture: Picture


@frozen
class Event:
    name: str
    title: str | None
    outcome: Outcome
    attempts: tuple[Attempt, ...]


@frozen(kw_only=True)
class Sheet:
    """One verdict. `about` are lines on what was graded by what; `points` are there with scores alone."""

    verdict: Verdict
    title: str
    about: tuple[str, ...]
    because: str
    deciding: tuple[Why, ...]
    owed: tuple[str, ...]
    corrections_line: str
    is_close_call: bool
    doubt: str
    close_calls: tuple[tuple[str, tuple[str, ...]], ...]
    corrections: tuple[tuple[str, str], ...]
    points: str
    events: tuple[Event, ...]
    figures: tuple[Figure, ...]
    outside: tuple[Why, ...]
    remarks: tuple[str, ...]
    session: Picture | None
    digests: str
    is_rounded: bool


@frozen
class Row:
    """A candidate of the class: the verdict, why in a few words, when, and points or grade."""

    verdict: Verdict
    is_close_call: bool
    why: str
    when: str
    worth: str


@frozen(kw_only=True)
class Class:
    """`own` are the cautions of the standards, `not_graded` the names of logs without a verdict."""

    sheets: tuple[Sheet, ...]
    rows: tuple[Row, ...]
    count: str
    not_graded: tuple[str, ...]
    own: tuple[str, ...]
    usual: tuple[str, ...]


def classed(judged: Sequence[Judged], not_graded: Iterable[str]) -> Class:
    """All that is on the page, in the order given."""
    standards = [each.standard for each in judged]
    outcomes = Counter(each.verdict.outcome for each in judged)
    several = [f"{number} {outcome.value}" for outcome in Outcome if (number := outcomes[outcome])]
    return Class(
        sheets=tuple(map(_sheet, judged)),
        rows=tuple(_row(each.verdict) for each in judged),
        count=f"{counted(len(judged), 'verdict', 'verdicts')}: {listed(several)}" if several else "no verdict",
        not_graded=tuple(not_graded),
        own=tuple(dict.fromkeys(caution for each in standards for caution in each.cautions)),
        usual=tuple(dict.fromkeys(caution for each in standards for caution in usual_cautions(each))) or ALWAYS,
    )


def _row(verdict: Verdict) -> Row:
    decided = "" if verdict.decided_at is None else when(verdict.decided_at, verdict.zero)
    points = [] if verdict.points is None else [f"{verdict.points} points"]
    grade = [] if verdict.grade is None else [f"grade {verdict.grade}"]
    return Row(verdict, is_close_call(verdict), _briefly(verdict), decided, ", ".join(points + grade))


def _briefly(verdict: Verdict) -> str:
    """The first of the reasons in the author's words, and how many more there are."""
    found = [f"{each.sentence or each.words} ({each.path})" for each in deciding(verdict)]
    found += [f"owed: {each.words} ({each.path})" for each in verdict.owed]
    if not found:
        return "every event was passed"
    return f"{found[0]}, and {len(found) - 1} more" if len(found) > 1 else found[0]


def _sheet(judged: Judged) -> Sheet:
    verdict = judged.verdict
    whole = session_timeline(judged)
    about = (
        standard_words(verdict),
        f"session {verdict.session}",
        log_words(verdict),
        *part_words(verdict),
        facts_words(verdict),
        presence_words(verdict),
    )
    return Sheet(
        verdict=verdict,
        title=judged.standard.title,
        about=tuple(each for each in about if each),
        because=because(verdict),
        deciding=tuple(whys_of(deciding(verdict), verdict)),
        owed=tuple(f"{owed.path}: {owed.words}" for owed in verdict.owed),
        corrections_line=corrections_line(verdict),
        is_close_call=is_close_call(verdict),
        doubt="" if verdict.doubt is None else doubt_words(verdict.doubt),
        close_calls=tuple(_close_calls(verdict)),
        corrections=tuple((correction_words(each), correction_done(each)) for each in verdict.corrections),
        points="" if verdict.points is None else f"{verdict.points} points",
        events=tuple(_event(judged, event) for event in verdict.events),
        figures=tuple(map(_figure, verdict.figures)),
        outside=tuple(whys_of(outside_attempts(verdict), verdict)),
        remarks=tuple(remark_words(remark, verdict.zero) for remark in verdict.remarks),
        session=None if whole is None else picture_of(whole),
        digests=digests_words(verdict),
        is_rounded=has_rounded(verdict),
    )


def _close_calls(verdict: Verdict) -> Iterator[tuple[str, tuple[str, ...]]]:
    for other in () if verdict.doubt is None else verdict.doubt.others:
        yield close_call_words(other), tuple(shift_words(shift, verdict.zero) for shift in other.shifts)


def _event(judged: Judged, event: EventResult) -> Event:
    attempts = tuple(_attempt(judged, event, attempt) for attempt in event.attempts)
    return Event(name(event.label), event.title, event.outcome, attempts)


def _attempt(judged: Judged, event: EventResult, attempt: AttemptResult) -> Attempt:
    zero = judged.verdict.zero
    return Attempt(
        said=attempt_words(attempt, zero),
        best=attempt.best,
        reasons=tuple(whys_of(attempt.reasons, judged.verdict)),
        results=(*map(scored_words, attempt.scores), *map(rounds_words, attempt.rounds)),
        figures=tuple(map(_figure, attempt.figures)),
        picture=picture_of(attempt_timeline(judged, event, attempt)),
    )


def picture_of(shown: Timeline) -> Picture:
    return Picture(shown.name, drawings(shown), shown.lines())


def whys_of(reasons: Iterable[Reason], verdict: Verdict) -> Iterator[Why]:
    for each in reasons:
        yield Why(each.kind.value, each.path, each.sentence, reason_words(each, verdict.zero))


def _figure(each: Figured) -> Figure:
    return Figure(margin_text(each.margin), figure_text(each.figure, each.margin), each.path, each.words)
