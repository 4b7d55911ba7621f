"""The findings of proof held against every log of small random standards."""

import time
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from multiprocessing import Pool
from random import Random

from attrs import define, evolve, field, frozen

from standfast.codes import doubts
from standfast.definition import judge
from standfast.diagnostic import Diagnostic
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.rules import Effect, Fault, FigureKind, For, Limit, Occurrence, RestBound, Rule
from standfast.model.standard import Clause, Event, Kind, Standard, bounds
from standfast.proofing.findings import proof
from standfast.proofing.survey import surveyed
from standfast.replay import replay
from trials.enumeration import ZERO, Enumeration, Seen, Step, TooMany, seen
from trials.sights import unkept
from trials.small import small_standard

MOST_POSITIONS = 30_000
_SHARE = 20
REFEREED = 20
"""Logs of each standard that the definition judges too."""

Claim = tuple[str, int, str]
"""A finding: its code, its line, and the words or paths it is about."""

_EXPLORED = {
    code.number
    for code in (
        doubts.NOBODY_PASSES,
        doubts.NEVER_ACTS,
        doubts.IDLE_LIMIT,
        doubts.NOBODY_REACHES,
        doubts.WAITS_FOR_EVER,
        doubts.GOES_ON_FOR_EVER,
        doubts.FORESTALLED,
        doubts.TWO_FAULTS,
        doubts.ANYBODY_PASSES,
        doubts.COUNT_WITHOUT_TIME,
        doubts.LIVE_IN_REST,
    )
}


def claimed(finding: Diagnostic) -> Claim:
    facts = finding.facts
    if finding.code is doubts.TWO_FAULTS:
        return finding.code.number, _line(finding), f"{facts['graver']} and {facts['milder']}"
    return finding.code.number, _line(finding), facts.get("words") or facts["name"]


def _line(finding: Diagnostic) -> int:
    assert finding.span is not None
    return finding.span.line


# --- what the findings must be -------------------------------------------------------------------------------


def expected(standard: Standard, alone: Mapping[str, Seen], whole: Seen) -> Iterator[Claim]:
    """What proof must say, and nothing else, of a standard in whose logs this was seen.

    `alone` is what was seen in logs of one event, with the rules of `always`, by the event's label.
    """
    for event in standard.events:
        facts = alone[event.label]
        passed = event.label in facts.passed
        if not passed:
            yield doubts.NOBODY_PASSES.number, event.clause.span.line, event.label
        if event.label in whole.turns:
            yield from _idle(event, facts)
            yield from _out_of_reach(event, facts)
            yield from _endless(event, facts)
            yield from _harmless(event, facts)
            yield from _in_rests(event, facts)
            yield from _counted_only(standard, event.clause, facts, timed=_timed(standard.always.limits))
            yield from _clashing(standard, facts)
    for rule in (*standard.always.limits, *standard.always.faults):
        if rule.path not in whole.acted:
            yield _number_of(rule), rule.span.line, rule.words


def _number_of(rule: Rule) -> str:
    return (doubts.NEVER_ACTS if isinstance(rule, Fault) else doubts.IDLE_LIMIT).number


def _idle(event: Event, facts: Seen) -> Iterator[Claim]:
    for clause in event.clause.walk():
        rules: list[Limit | Fault | RestBound] = []
        if clause.path in facts.began:
            rules += [*clause.limits, *clause.faults]
        if clause.rest is not None and clause.start is not None and clause.path in facts.waited:
            rules += bounds(clause.rest)
        if clause is event.clause and event.rest_between is not None and clause.start is not None:
            rules += bounds(event.rest_between)
        for rule in rules:
            if rule.path not in facts.acted and f"{rule.path}.at_most" not in facts.acted:
                yield _number_of(rule), rule.span.line, rule.words
        restarts: list[Fault | RestBound] = [*clause.faults, *(bounds(clause.rest) if clause.rest else ())]
        for restart in restarts:
            used_up = f"{restart.path}.at_most" in facts.acted
            if restart.at_most is not None and restart.path in facts.acted and not used_up:
                yield doubts.IDLE_LIMIT.number, restart.span.line, f"at most {restart.at_most}"


def _out_of_reach(event: Event, facts: Seen) -> Iterator[Claim]:
    for clause in event.clause.walk():
        parent = clause.path.rpartition(".")[0]
        if clause.path in facts.began:
            if clause.path not in facts.completed and clause is not event.clause and _inside_done(clause, facts):
                words = f"{clause.kind.value} {clause.label}" if clause.goal is None else clause.goal.words
                line = clause.span.line if clause.goal is None else clause.goal.span.line
                yield doubts.FORESTALLED.number, line, words
            if clause.path not in facts.completed and clause is event.clause and clause.goal is not None:
                yield doubts.FORESTALLED.number, clause.goal.span.line, clause.goal.words
        elif clause.start is not None and clause.path in facts.waited:
            yield doubts.FORESTALLED.number, clause.start.span.line, clause.start.words
        elif parent in facts.began or not parent:
            yield doubts.NOBODY_REACHES.number, clause.span.line, clause.path


def _inside_done(clause: Clause, facts: Seen) -> bool:
    """Whether everything inside a clause that is never completed can be, so that it is itself the obstacle."""
    done = [item.path in facts.completed for item in clause.items]
    return any(done) if clause.kind is Kind.ONE_OF else all(done)


def _endless(event: Event, facts: Seen) -> Iterator[Claim]:
    for clause in event.clause.walk():
        if clause.path in facts.forever:
            yield doubts.WAITS_FOR_EVER.number, clause.span.line, clause.path
        elif clause.path in facts.put_off:
            waited_for = clause.goal or clause.start
            words = clause.label if waited_for is None else waited_for.words
            yield doubts.GOES_ON_FOR_EVER.number, clause.span.line, words
        rests = [] if clause.rest is None else list(bounds(clause.rest))
        for rule in (*clause.faults, *rests):
            if rule.path in facts.rounds:
                yield doubts.GOES_ON_FOR_EVER.number, rule.span.line, rule.words


def _clashing(standard: Standard, facts: Seen) -> Iterator[Claim]:
    rules = {rule.path: rule for rule in standard.rules()}
    for graver, milder in facts.clashes:
        few, many = rules[milder], rules[graver]
        around = f"{milder}.".startswith(f"{graver.rpartition('.')[0]}.")
        match few, many:
            case Fault(trigger=Occurrence(more_than=n)), Fault(trigger=Occurrence(more_than=m)) if (
                around and n < m
            ):
                continue
        yield doubts.TWO_FAULTS.number, few.span.line, f"{graver} and {milder}"


def _in_rests(event: Event, facts: Seen) -> Iterator[Claim]:
    for clause in event.clause.walk():
        silences = [limit for limit in clause.limits if limit.figure.kind is FigureKind.SILENCE]
        graver = [fault for fault in clause.faults if fault.effect not in (Effect.HALT, Effect.NOTE)]
        for rule in (*silences, *graver):
            if any(path == rule.path and item.startswith(f"{clause.path}.") for path, item in facts.resting):
                yield doubts.LIVE_IN_REST.number, rule.span.line, rule.words


def _counted_only(standard: Standard, clause: Clause, facts: Seen, *, timed: bool) -> Iterator[Claim]:
    timed = timed or _timed(clause.limits)
    for limit in clause.limits:
        if limit.path in facts.used_up and not timed:
            yield doubts.COUNT_WITHOUT_TIME.number, limit.span.line, limit.words
    for item in clause.items:
        yield from _counted_only(standard, item, facts, timed=timed)


def _timed(limits: Iterable[Limit]) -> bool:
    return any(limit.figure.kind is FigureKind.TIME and limit.test.has_most for limit in limits)


def _harmless(event: Event, facts: Seen) -> Iterator[Claim]:
    own = {rule.path for rule in event.rules()}
    for clause in event.clause.walk():
        against = facts.during.get(clause.path, set()) & own
        if isinstance(clause.goal, For) and clause.path in facts.completed and not against:
            yield doubts.ANYBODY_PASSES.number, clause.span.line, clause.path


# --- one standard --------------------------------------------------------------------------------------------


@frozen
class Contradiction:
    """A standard on which proof and the enumeration differ."""

    seed: str
    text: str
    wrong: tuple[str, ...]

    def __str__(self) -> str:
        return f"--- {self.seed}\n{self.text}\n" + "\n".join(self.wrong) + "\n"


@define
class Trial:
    """What was tried, in numbers, and what was wrong."""

    counts: Counter[str] = field(factory=Counter)
    wrong: list[Contradiction] = field(factory=list)


def try_one(seed: str, trial: Trial) -> None:
    rng = Random(seed)
    text, standard = small_standard(rng)
    try:
        all_logs = Enumeration(compile_standard(standard), most=MOST_POSITIONS)
    except TooMany:
        trial.counts["too large, left out"] += 1
        return
    whole = seen(all_logs)
    alone = {standard.events[0].label: whole}
    if len(standard.events) > 1:
        single = {event.label: evolve(standard, events=(event,)) for event in standard.events}
        alone = {label: seen(Enumeration(compile_standard(one))) for label, one in single.items()}
    wrong = [*_differences(standard, alone, whole, trial.counts), *_refereed(rng, all_logs, whole, trial.counts)]
    surveys = surveyed(standard)
    for event in standard.events:
        wrong += unkept(standard, event, surveys.events[event.label])
    trial.counts["standards"] += 1
    trial.counts["positions"] += len(all_logs.positions)
    trial.counts["steps"] += len(all_logs.steps)
    trial.counts[f"up to {min(all_logs.deepest, 10)} entries to a position"] += 1
    if wrong:
        trial.wrong.append(Contradiction(seed, text, tuple(wrong)))


def _differences(
    standard: Standard, alone: Mapping[str, Seen], whole: Seen, counts: Counter[str]
) -> Iterator[str]:
    result = proof(standard)
    if result.undecided:
        counts["too large for proof, left out"] += 1
        return
    found = {claimed(f) for f in result.findings if f.code.number in _EXPLORED}
    wanted = set(expected(standard, alone, whole))
    for code, _, _ in found:
        counts[f"findings {code}"] += 1
    yield from (f"contradicted: {claim}" for claim in sorted(found - wanted))
    yield from (f"missed: {claim}" for claim in sorted(wanted - found))
    for event in result.events:
        facts = alone[event.label]
        if (event.shortest, event.longest) != (facts.shortest, facts.longest):
            yield f"times: proof {event.shortest} to {event.longest}, seen {facts.shortest} to {facts.longest}"
        if dict(event.watched) != facts.watched:
            yield f"watched: proof {dict(event.watched)}, seen {facts.watched}"
    yield from _seen_all_the_same(standard, alone, whole)


def _seen_all_the_same(standard: Standard, alone: Mapping[str, Seen], whole: Seen) -> Iterator[str]:
    """What can never happen in an event alone must not happen in the whole test either."""
    for event in standard.events:
        facts = alone[event.label]
        within = [rule.path for rule in event.rules()] + [f"{rule.path}.at_most" for rule in event.rules()]
        yield from (f"acts only in the whole: {p}" for p in within if p in whole.acted and p not in facts.acted)
        clauses = [clause.path for clause in event.clause.walk()]
        for ours, theirs in ((whole.began, facts.began), (whole.completed, facts.completed)):
            yield from (f"only in the whole: {path}" for path in clauses if path in ours and path not in theirs)
        if event.label in whole.passed and event.label not in facts.passed:
            yield f"passed only in the whole: {event.label}"


def _refereed(rng: Random, all_logs: Enumeration, facts: Seen, counts: Counter[str]) -> Iterator[str]:
    """The definition on some of the logs: the same verdict, and no reason that was not seen."""
    following: dict[int, list[Step]] = {}
    for step in all_logs.steps:
        if step.mark != ZERO:
            following.setdefault(step.before, []).append(step)
    for _ in range(REFEREED):
        log = _some_log(rng, all_logs.machine, following)
        counts["logs refereed"] += 1
        by_machine, by_definition = replay(all_logs.machine, log), judge(all_logs.machine.standard, log)
        if by_machine != by_definition:
            yield f"the definition differs on {log.entries}, end {log.end}"
        for verdict in by_definition[:1]:
            reasons = [*verdict.reasons, *(r for e in verdict.events for a in e.attempts for r in a.reasons)]
            yield from (f"never seen: {r.path} on {log.entries}" for r in reasons if r.path not in facts.acted)


def _some_log(rng: Random, machine: Machine, following: dict[int, list[Step]]) -> SessionLog:
    """A random way through the positions, as a log of up to six entries that ends where it stands."""
    number = now = 0
    entries: list[Entry] = []
    for _ in range(40):
        if len(entries) == 6 or number not in following:
            break
        by_time, *by_entry = following[number]
        step = by_time if not by_entry or rng.random() < 0.5 else rng.choice(by_entry)
        now += step.mark is None
        if step.mark is not None:
            count = len(entries) + 1
            entries.append(
                Entry(
                    number=count,
                    line=count + 1,
                    at=now,
                    mark=step.mark,
                    value=step.value,
                    candidate="C-2" if step.giver.other else "C-1",
                    by=step.giver.by,
                )
            )
        number = step.after
    return SessionLog(
        session="trial",
        standard=machine.standard.name,
        edition=None,
        candidates=("C-1", "C-2"),
        conditions={},
        entries=tuple(entries),
        end=now,
        grader=None,
        started=None,
        digest="",
    )


# --- many ----------------------------------------------------------------------------------------------------


def _share(job: tuple[int, int, int]) -> Trial:
    seed, first, count = job
    trial = Trial()
    for number in range(first, first + count):
        try_one(f"seed {seed}, standard {number}", trial)
    return trial


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    started = time.monotonic()
    whole = Trial()
    work = [(seed, first, min(_SHARE, count - first)) for first in range(0, count, _SHARE)]
    with Pool(jobs) as pool:
        for trial in pool.imap_unordered(_share, work):
            whole.counts += trial.counts
            whole.wrong += trial.wrong
    for contradiction in whole.wrong[:5]:
        print(contradiction)
    print(f"standards: {count}, seed {seed}, wrong: {len(whole.wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(whole.counts.items()):
        print(f"    {name}: {number}")
    return 1 if whole.wrong else 0
