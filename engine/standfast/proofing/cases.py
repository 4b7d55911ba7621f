"""The worked cases of a standard, replayed: does each give what its author says?

A case becomes a session log of its own. With an event named, it is about that event alone with the `always`
rules. Conditions are taken as met unless a `with` line states a fact: the others are left out.
"""

from collections.abc import Iterable, Iterator
from itertools import islice

from standfast.codes import Code, cases
from standfast.definition import judge
from standfast.diagnostic import Diagnostic
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.alone import without_total
from standfast.model.candidate import in_play
from standfast.model.standard import Case, Condition, Expectation, Given, Standard
from standfast.quantity import clock
from standfast.replay import replay
from standfast.values import evolve
from standfast.verdict import AttemptResult, Outcome, Reason, ReasonKind, Verdict

_OUTCOMES = {Given.GO, Given.NO_GO, Given.UNFINISHED, Given.VOID}
_KINDS = {
    Given.NOTES: {ReasonKind.NOTE},
    Given.RESTARTS: {ReasonKind.RESTART},
    Given.FAILS: {ReasonKind.FAIL, ReasonKind.OWED},
    Given.HALTS: {ReasonKind.HALT},
    Given.DISQUALIFIES: {ReasonKind.DISQUALIFY},
    Given.OUT: {ReasonKind.OUT},
}
VERBS = {
    ReasonKind.NOTE: "notes",
    ReasonKind.PASS: "passes",
    ReasonKind.RESTART: "restarts",
    ReasonKind.MISS: "misses",
    ReasonKind.OUT: "ends the tries",
    ReasonKind.FAIL: "fails",
    ReasonKind.HALT: "halts",
    ReasonKind.DISQUALIFY: "disqualifies",
    ReasonKind.OWED: "is owed",
    ReasonKind.UNMET: "is not met",
    ReasonKind.NOT_STATED: "is not stated",
}
_HARMLESS = (ReasonKind.NOTE, ReasonKind.PASS, ReasonKind.RESTART, ReasonKind.MISS)
_ENOUGH = 3  # of what happened instead, in one message
_ONLY_CANDIDATE = "candidate"


def case_findings(standard: Standard, case: Case) -> tuple[Diagnostic, ...]:
    """What speaks against one case: nothing where it holds."""
    elsewhere = tuple(_elsewhere(case))
    if elsewhere:
        return elsewhere
    about = case_standard(standard, case)
    log = case_log(standard, case)
    for_others = tuple(_for_others(about, case, log))
    if for_others:
        return for_others
    verdicts = replay(compile_standard(about), log)
    defined = judge(about, log)
    several = len(verdicts) > 1
    found: list[Diagnostic] = []
    for verdict, other in zip(verdicts, defined, strict=True):
        whose = f" of `{verdict.candidate}`" if several else ""
        if verdict != other:
            found.append(_disagreement(case, verdict, other, whose))
        for expectation in case.expectations:
            if expectation.candidate in (None, verdict.candidate):
                found += _expected(expectation, verdict, whose)
    return tuple(found)


def case_standard(standard: Standard, case: Case) -> Standard:
    """What a case is about: its event alone, or the whole test, with the conditions it states."""
    stated = {name for name, _ in case.given}

    def kept(conditions: Iterable[Condition]) -> tuple[Condition, ...]:
        return tuple(condition for condition in conditions if condition.name in stated)

    if case.event is not None:  # Rule 26
        standard = without_total(standard)
    events = tuple(
        evolve(event, conditions=kept(event.conditions))
        for event in standard.events
        if case.event in (None, event.label)
    )
    return evolve(standard, conditions=kept(standard.conditions), events=events)


def case_log(standard: Standard, case: Case) -> SessionLog:
    """The log a case shows."""
    named = [entry.candidate for entry in case.entries] + [e.candidate for e in case.expectations]
    named += [whose for _, _, whose in case.facts]
    candidates = tuple(dict.fromkeys(name for name in named if name is not None)) or (_ONLY_CANDIDATE,)
    entries = tuple(
        Entry(
            number=number,
            line=entry.span.line,
            at=entry.at,
            mark=entry.mark,
            value=entry.value,
            candidate=entry.candidate,
            by=entry.by,
        )
        for number, entry in enumerate(case.entries, start=1)
    )
    return SessionLog(
        session=case.title,
        standard=standard.name,
        edition=standard.edition,
        candidates=candidates,
        conditions=dict(case.given),
        facts={
            candidate: {name: value for name, value, whose in case.facts if whose in (None, candidate)}
            for candidate in candidates
        },
        entries=entries,
        end=case.end,
        grader=None,
        started=None,
        digest="",
    )


def _expected(expectation: Expectation, verdict: Verdict, whose: str) -> Iterator[Diagnostic]:
    """The finding against one `gives` line for one candidate, if there is one."""
    if expectation.word in _OUTCOMES:
        yield from _expected_outcome(expectation, verdict, whose)
        return
    if expectation.word is Given.FURTHEST:
        yield from _expected_furthest(expectation, verdict, whose)
        return
    if expectation.word in (Given.POINTS, Given.GRADE):
        yield from _expected_points(expectation, verdict, whose)
        return
    assert expectation.path is not None and expectation.at is not None
    facts = {
        "path": expectation.path,
        "whose": whose,
        "expected": f"`{expectation.word.value} at {clock(expectation.at)}`",
    }
    if expectation.word is Given.BEGINS:
        moments = (moment for attempt in all_attempts(verdict) for moment in attempt.moments)
        begun = [m.at for m in moments if m.path == expectation.path and not m.completed]
        if expectation.at not in begun:
            found = f"begins at {_listed(clock(at) for at in begun)}" if begun else "never begins"
            yield Diagnostic(cases.NEVER_BEGINS, expectation.span, facts | {"found": found})
        return
    here = [reason for reason in all_reasons(verdict) if reason.path == expectation.path]
    if any(r.kind in _KINDS[expectation.word] and r.at == expectation.at for r in here):
        return
    code = cases.OTHER_TIME if here else cases.NOTHING_THERE
    facts |= {"found": _listed(_acts(reason) for reason in here)} if here else _because(all_reasons(verdict))
    yield Diagnostic(code, expectation.span, facts)


def _expected_furthest(expectation: Expectation, verdict: Verdict, whose: str) -> Iterator[Diagnostic]:
    """What speaks against the furthest round, in the last attempt in which the rounds began."""
    rounds = [each for a in all_attempts(verdict) for each in a.rounds if each.path == expectation.path]
    if rounds and rounds[-1].furthest == expectation.furthest:
        return
    found = "the rounds never begin" if not rounds else f"`{rounds[-1].furthest or 'no round'}`"
    facts = {"path": expectation.path or "", "whose": whose, "found": found}
    facts["expected"] = f"`{expectation.furthest or 'no round'}`"
    yield Diagnostic(cases.OTHER_FURTHEST, expectation.span, facts)


def _expected_points(expectation: Expectation, verdict: Verdict, whose: str) -> Iterator[Diagnostic]:
    """Points of the whole test or of a clause, or the grade."""
    if expectation.word is Given.GRADE:
        expected, found = (
            f"grade `{expectation.grade}`",
            f"grade `{verdict.grade}`" if verdict.grade else "no grade",
        )
    else:
        points = clause_points(verdict, expectation.path)
        expected, found = f"{expectation.points} points", "no points" if points is None else f"{points} points"
    if found != expected:
        of = {} if expectation.path is None else {"path": expectation.path}
        code = cases.OTHER_POINTS if expectation.path is None else cases.OTHER_POINTS_OF_CLAUSE
        reasons = (r for r in all_reasons(verdict) if r.kind not in (ReasonKind.NOTE, ReasonKind.RESTART))
        facts = {"whose": whose, "expected": expected, "found": found}
        yield Diagnostic(code, expectation.span, facts | of | _because(reasons))


def clause_points(verdict: Verdict, path: str | None) -> int | None:
    """Those of the whole test, or of a clause with all inside it, in the attempt that ended GO or the best one."""
    if path is None:
        return verdict.points
    counted = ([a for a in event.attempts if a.best] or event.attempts for event in verdict.events)
    scored = [scored for attempts in counted for attempt in attempts for scored in attempt.scores]
    given = [each.points for each in scored if each.path.startswith(f"{path}.")]
    return sum(given) if given else None


def _elsewhere(case: Case) -> Iterator[Diagnostic]:
    """The `gives` lines of a case of one event that ask for another."""
    for expectation in case.expectations:
        if case.event is None or expectation.path is None:
            continue
        if expectation.path.split(".")[0] not in (case.event, "always", "conditions"):
            facts = {"event": case.event, "path": expectation.path}
            yield Diagnostic(cases.OTHER_EVENT, expectation.span, facts)


def _for_others(about: Standard, case: Case, log: SessionLog) -> Iterator[Diagnostic]:
    """A case of one event that is not in the test for a candidate of it."""
    for candidate in log.candidates if case.event is not None else ():
        only, facts = about.events[0].clause.only_for, log.facts.get(candidate, {})
        if only is not None and only.fact in facts and not in_play(about.events[0].clause, facts):
            told = {"event": case.event or "", "found": f"`{only.fact} {facts[only.fact]}` has no part in it"}
            yield Diagnostic(cases.EVENT_FOR_OTHERS, case.span, told)
            return


def _expected_outcome(expectation: Expectation, verdict: Verdict, whose: str) -> Iterator[Diagnostic]:
    code: Code = cases.OTHER_VERDICT
    found, reasons = verdict.outcome, all_reasons(verdict)
    facts = {"whose": whose, "expected": expectation.word.value}
    if expectation.path is not None:
        event = next((event for event in verdict.events if event.label == expectation.path), None)
        code = cases.OTHER_EVENT_OUTCOME
        facts["path"] = expectation.path
        if event is None:
            yield Diagnostic(code, expectation.span, facts | {"found": "not in the test for this candidate"})
            return
        found, reasons = event.outcome, [r for a in event.attempts for r in a.reasons]
    if found.value == expectation.word.value:
        return
    if found is Outcome.UNFINISHED:
        because = {"because": f"`{verdict.owed[0].path}` is still owed"} if verdict.owed else {}
    else:
        because = _because(r for r in reasons if r.kind not in _HARMLESS)
    yield Diagnostic(code, expectation.span, facts | {"found": found.value} | because)


def _disagreement(case: Case, verdict: Verdict, other: Verdict, whose: str) -> Diagnostic:
    found, expected = difference(verdict, other)
    return Diagnostic(cases.DISAGREEMENT, case.span, {"whose": whose, "found": found, "expected": expected})


def difference(verdict: Verdict, other: Verdict) -> tuple[str, str]:
    """What the machine says, and what the definition says instead, in words."""
    if verdict.outcome is other.outcome:
        return f"both say {verdict.outcome.value}", "their details differ"
    return f"the grader says {verdict.outcome.value}", f"the definition {other.outcome.value}"


def all_attempts(verdict: Verdict) -> list[AttemptResult]:
    """The attempts of every event, in order."""
    return [attempt for event in verdict.events for attempt in event.attempts]


def all_reasons(verdict: Verdict) -> list[Reason]:
    """The reasons of no attempt, then those of every attempt."""
    return [*verdict.reasons, *(reason for attempt in all_attempts(verdict) for reason in attempt.reasons)]


def _acts(reason: Reason) -> str:
    return VERBS[reason.kind] + ("" if reason.at is None else f" at {clock(reason.at)}")


def _because(reasons: Iterable[Reason]) -> dict[str, str]:
    acts = [f"`{reason.path}` {_acts(reason)}" for reason in reasons]
    return {"because": _listed(acts)} if acts else {}


def _listed(parts: Iterable[str]) -> str:
    """The first few, and how many more there are."""
    rest = iter(parts)
    shown = ", ".join(islice(rest, _ENOUGH))
    more = sum(1 for _ in rest)
    return f"{shown} and {more} more" if more else shown
