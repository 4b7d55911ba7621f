"""The logs of several graders on the same candidates: where they differ, and how far the graders agree."""

from collections.abc import Sequence
from itertools import combinations

from standfast.agreement.coefficients import Agreement, agreement
from standfast.agreement.pairs import Pair, pairs
from standfast.log.entry import Entry, SessionLog
from standfast.values import frozen
from standfast.verdict import Verdict


@frozen
class Graded:
    """One grader's log of one candidate, and the verdict it gave. `stated` are the conditions and facts."""

    grader: str
    log: str
    stated: tuple[tuple[str, str], ...]
    entries: tuple[Entry, ...]
    end: int | None
    verdict: Verdict


@frozen
class Question:
    """What an event (None: the whole test) came to, by grader in their order."""

    about: str | None
    outcomes: tuple[tuple[str, str], ...]

    @property
    def alike(self) -> bool:
        return len({outcome for _, outcome in self.outcomes}) == 1


@frozen
class Difference:
    """What two graders logged of one candidate: the entries matched, and the conditions and facts that they
    state otherwise, None where one states nothing.
    """

    first: Graded
    second: Graded
    pairs: tuple[Pair, ...]
    stated: tuple[tuple[str, str | None, str | None], ...]


@frozen
class Subject:
    """One candidate in one session under one edition, by at least two graders."""

    standard: str
    edition: str
    session: str
    candidate: str
    graded: tuple[Graded, ...]
    questions: tuple[Question, ...]
    differences: tuple[Difference, ...]

    @property
    def alike(self) -> bool:
        return all(question.alike for question in self.questions)


@frozen
class Class:
    """Every candidate that two or more graded under one edition; `agreements` are of the whole test, then of
    each event.
    """

    standard: str
    edition: str
    graders: tuple[str, ...]
    subjects: tuple[Subject, ...]
    agreements: tuple[Agreement, ...]


def graded(grader: str, log: SessionLog, verdict: Verdict) -> Graded:
    conditions = tuple((name, str(value)) for name, value in log.conditions.items())
    entries = log.entries_for(verdict.candidate)
    return Graded(
        grader, log.name, conditions + verdict.facts, entries, log.while_there(verdict.candidate).end, verdict
    )


def classes(logs: Sequence[Graded]) -> tuple[Class, ...]:
    """Of each edition in the order of the logs; a grader has at most one log of each candidate and session."""
    editions: dict[tuple[str, str], dict[tuple[str, str], list[Graded]]] = {}
    for one in logs:
        verdict = one.verdict
        edition = editions.setdefault((verdict.standard, verdict.edition), {})
        edition.setdefault((verdict.session, verdict.candidate), []).append(one)
    found = []
    for (standard, edition_name), groups in editions.items():
        by_several = [_subject(group) for group in groups.values() if len(group) > 1]
        if by_several:
            graders = tuple(dict.fromkeys(one.grader for each in by_several for one in each.graded))
            agreements = _agreements(graders, by_several)
            found.append(Class(standard, edition_name, graders, tuple(by_several), agreements))
    return tuple(found)


def by_one_alone(logs: Sequence[Graded]) -> tuple[tuple[Graded, ...], ...]:
    """Whom one grader alone graded, together those of one edition, session and grader; nobody where all logs are
    of one grader.
    """
    if len({one.grader for one in logs}) < 2:
        return ()
    by_whom: dict[tuple[str, ...], list[Graded]] = {}
    for one in logs:
        by_whom.setdefault((*_session(one.verdict), one.verdict.candidate), []).append(one)
    alone: dict[tuple[str, ...], list[Graded]] = {}
    for one in (group[0] for group in by_whom.values() if len(group) == 1):
        alone.setdefault((*_session(one.verdict), one.grader), []).append(one)
    return tuple(map(tuple, alone.values()))


def _session(verdict: Verdict) -> tuple[str, str, str]:
    return verdict.standard, verdict.edition, verdict.session


def _subject(group: Sequence[Graded]) -> Subject:
    verdict = group[0].verdict
    questions = [Question(None, tuple((one.grader, one.verdict.outcome.value) for one in group))]
    for label in dict.fromkeys(event.label for one in group for event in one.verdict.events):
        given = ((one.grader, event) for one in group for event in one.verdict.events if event.label == label)
        questions.append(Question(label, tuple((grader, event.outcome.value) for grader, event in given)))
    return Subject(
        standard=verdict.standard,
        edition=verdict.edition,
        session=verdict.session,
        candidate=verdict.candidate,
        graded=tuple(group),
        questions=tuple(questions),
        differences=tuple(_difference(a, b) for a, b in combinations(group, 2)),
    )


def _difference(first: Graded, second: Graded) -> Difference:
    mine, theirs = dict(first.stated), dict(second.stated)
    stated = [(name, mine.get(name), theirs.get(name)) for name in {**mine, **theirs}]
    return Difference(
        first=first,
        second=second,
        pairs=pairs(first.entries, second.entries),
        stated=tuple((name, one, other) for name, one, other in stated if one != other),
    )


def _agreements(graders: Sequence[str], subjects: Sequence[Subject]) -> tuple[Agreement, ...]:
    outcomes: dict[str | None, list[dict[str, str]]] = {}
    for question in (question for subject in subjects for question in subject.questions):
        outcomes.setdefault(question.about, []).append(dict(question.outcomes))
    return tuple(agreement(about, graders, ratings) for about, ratings in outcomes.items())
