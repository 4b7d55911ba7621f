"""Two editions compared, as plain text for a terminal."""

from collections.abc import Iterator

from standfast.difference.claims import Claim, Course
from standfast.difference.comparison import Comparison, EventComparison
from standfast.difference.conditions import ConditionChange, Word
from standfast.difference.revision import Revision
from standfast.log.entry import Entry
from standfast.quantity import clock
from standfast.report.changes_text import changes_text, impact_text
from standfast.report.lines import folded, unbroken
from standfast.verdict import Outcome, Reason, Verdict

_OLD, _NEW = "old", "new"


def revision_text(revision: Revision) -> str:
    """The whole of it, with a closing line end."""
    lines = [*_compared(revision.comparison), "", *changes_text(revision.changes)]
    lines += [] if revision.impact is None else ["", *impact_text(revision.impact)]
    return "\n".join(lines) + "\n"


def _compared(comparison: Comparison) -> list[str]:
    old, new = comparison.old, comparison.new
    lines = folded(
        f"{comparison.word.value}: standard {old.name}, edition {old.edition}, then edition {new.edition}"
    )
    lines += folded(f"files: {old.span.source.name}, then {new.span.source.name}")
    lines += [line for each in warnings(comparison) for line in folded(each)]
    lines += ["", f"the whole test: {comparison.word.value}", *_course(comparison.whole)]
    for event in comparison.events:
        lines += ["", *_event(event)]
    if comparison.conditions:
        lines += ["", "conditions"]
        lines += [line for change in comparison.conditions for line in folded(condition_words(change), 2)]
    told = list(mark_words(comparison))
    lines += ["", *(line for each in told for line in folded(each))] if told else []
    if comparison.left_open:
        lines += ["", *folded("something is not decided: what is said above is all that is proved")]
    return lines


def warnings(comparison: Comparison) -> Iterator[str]:
    """What makes the word say less than it seems to, or shows that other files were meant."""
    old, new, marks = comparison.old, comparison.new, comparison.marks
    if old.name != new.name:
        yield f"these are two standards and not two editions of one: {old.name} and {new.name}"
    if new.in_force < old.in_force:
        dates = f"from {new.in_force}, before the old from {old.in_force}"
        yield f"the new edition is in force {dates}: were they swapped?"
    for passed, which, names in zip(comparison.passed, (_OLD, _NEW), (marks.went, marks.came), strict=True):
        if passed is False:
            asks = f", which asks for what the other does not know ({', '.join(names)})" if names else ""
            nobody = f"no log that both editions can read is GO under the {which} edition{asks}"
            yield f'{nobody}; of the whole test "{comparison.word.value}" says no more, so look at each event'


def _event(event: EventComparison) -> list[str]:
    if event.course is not None:
        return [*folded(f"event {event.label}: {event.course.word.value}"), *_course(event.course)]
    where = "new" if event.in_new and not event.in_old else "old" if event.in_old and not event.in_new else ""
    return folded(
        f"event {event.label}: in the {where} edition alone" if where else f"event {event.label}: for nobody"
    )


def _course(course: Course) -> list[str]:
    return [
        *_claim(course.lost, "GO under the old edition alone", course),
        *_claim(course.gained, "GO under the new edition alone", course),
        *_claim(course.told, "decided alike, for other reasons", course),
    ]


def _claim(claim: Claim, what: str, course: Course) -> list[str]:
    if claim.shown is None:
        if claim.decided:
            return [] if course.word is Word.SAME else folded(f"{what}: no log", 2)
        return folded(f"{what}: not decided", 2)
    log = claim.shown.old_log
    kind = "the shortest log" if claim.shortest else "a log"
    lines = folded(f"{what}: {kind}", 2)
    facts = log.facts_stated(log.candidates[0])
    lines += [line for name, stated in facts for line in folded(f"with {name} {stated}", 6)]
    lines += [line for entry in log.entries for line in folded(entry_words(entry), 6)]
    lines += folded(f"{clock(log.end)} end", 6) if log.end is not None else []
    lines += [*_verdict(_OLD, claim.shown.old), *_verdict(_NEW, claim.shown.new)]
    editions = ("the old edition", "the new edition")
    return lines + [line for told in sooner_words(claim, editions) for line in folded(told, 4)]


def sooner_words(claim: Claim, editions: tuple[str, str]) -> Iterator[str]:
    """Where one edition alone is GO: which attempts it ends sooner, so that the next can begin sooner."""
    verdicts = () if claim.shown is None else (claim.shown.old, claim.shown.new)
    passed = [verdict.outcome is Outcome.GO for verdict in verdicts]
    if passed.count(True) != 1:
        return
    side = passed.index(True)
    other = {event.label: event.attempts for event in verdicts[1 - side].events}
    for event in verdicts[side].events:
        for attempt, twin in zip(event.attempts[:-1], other.get(event.label, ()), strict=False):
            if attempt.ended_at is not None and (twin.ended_at is None or attempt.ended_at < twin.ended_at):
                until = "the end of the log" if twin.ended_at is None else clock(twin.ended_at)
                ends = f"attempt {attempt.number} at {event.label} ends at {clock(attempt.ended_at)}"
                lasts = f"under {editions[1 - side]} it lasts until {until}"
                yield f"{ends} under {editions[side]}, which leaves room for another; {lasts}"


def entry_words(entry: Entry) -> str:
    value = "" if entry.value is None else f" {entry.value}"
    whose = "" if entry.candidate is None else f" for {entry.candidate}"
    by = "" if entry.by is None else f" by {entry.by}"
    return f"{clock(entry.at)} {entry.mark}{value}{by}{whose}"


def acts(verdict: Verdict) -> list[Reason]:
    """All that acted: in each attempt, and on the whole."""
    in_attempts = [each for event in verdict.events for attempt in event.attempts for each in attempt.reasons]
    return [*in_attempts, *verdict.reasons]


def _verdict(which: str, verdict: Verdict) -> list[str]:
    grade = "" if verdict.grade is None else f", {verdict.grade}"
    lines = folded(f"{which}: {verdict.outcome.value}{grade}", 4)
    lines += [line for reason in acts(verdict) for line in folded(_reason(reason), 6)]
    if verdict.outcome is Outcome.UNFINISHED:
        lines += [line for owed in verdict.owed[:1] for line in folded(f"owed: {owed.path}", 6)]
    return lines


def _reason(reason: Reason) -> str:
    sentence = "" if reason.sentence is None else f' "{reason.sentence}"'
    at = "" if reason.at is None else f" at {clock(reason.at)}"
    return f"{reason.kind.value}: {reason.path}{sentence}{at}; {unbroken(reason.words)}"


def condition_words(change: ConditionChange) -> str:
    words = [", ".join(f"`{each}`" for each in side) or "nothing" for side in (change.old, change.new)]
    told = f"{change.name}: {change.word.value}; {words[0]}, then {words[1]}"
    for fact, where in ((change.lost, _OLD), (change.gained, _NEW)):
        stated = str(fact).lower() if isinstance(fact, bool) else fact
        told += "" if fact is None else f"; stated as {stated} it is met in the {where} edition alone"
    return told


def mark_words(comparison: Comparison) -> Iterator[str]:
    marks, candidates = comparison.marks, comparison.candidates
    if marks.any:
        yield "compared over the logs that both editions can read: those without what one alone declares"
    for names, told in ((marks.went, "marks that went"), (marks.came, "marks that came")):
        if names:
            yield f"{told}: {', '.join(names)}"
    for change in marks.changed:
        if change.kind:
            yield f"mark {change.mark}: of another kind, so no entry of it can be read under both"
        for names, which in ((change.old, _OLD), (change.new, _NEW)):
            if names:
                yield f"mark {change.mark}: {', '.join(names)} in the {which} edition alone"
    for names, told in (
        (candidates.went, "facts of the candidate that went"),
        (candidates.came, "facts of the candidate that came"),
        (candidates.changed, "facts of the candidate of another kind"),
    ):
        if names:
            yield f"{told}: {', '.join(names)}"
    if not candidates.all_kinds:
        yield "not every kind of candidate was looked at"
