"""Which clauses of a standard its worked cases touch, and whether the cases hold.

A case touches

- a fact of the candidate, or a condition, that one of its `with` lines states;
- an event, group or step that begins;
- a start, when its clause begins at an entry the start names;
- a goal, when its clause is completed by it;
- a limit that is broken, and one that is kept: its clause (in `always` the test, as GO) is completed with a figure
  of it, a count other than nought;
- a score that gives points, or fails;
- a fault that acts; also one with a number or a silence that is kept in that way;
- a rest that is broken, ended by a mark or, where it needs none, over;
- a greatest number of restarts that is used up, or kept with at least one.

What a graver fault keeps from acting is not touched, nor is a count that no entry has raised.
"""

from collections.abc import Iterator

from standfast.log.entry import SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.state import Began, Breached, Completed, Signal
from standfast.model.rules import Fault, For, Limit, RestBound, Rule, Score, Start, Until, UntilTotals
from standfast.model.standard import Case, Clause, Condition, Kind, Standard, bounds
from standfast.proofing.book import Part, Touched, Tried
from standfast.proofing.cases import case_findings, case_log, case_standard
from standfast.proofing.happenings import figures_of, machine_of, signals
from standfast.quantity import COUNT


def tried(standard: Standard) -> tuple[Tried, ...]:
    """Each case, and what speaks against it."""
    return tuple(Tried(case.title, case_findings(standard, case)) for case in standard.cases)


def touched(standard: Standard) -> tuple[Touched, ...]:
    """Every clause of the standard, in its order, with the cases that touch it."""
    by_case = [(case.title, _touched_by(standard, case)) for case in standard.cases]
    return tuple(
        Touched(path=path, words=words, part=part, cases=tuple(t for t, paths in by_case if path in paths))
        for path, words, part in clauses(standard)
    )


def clauses(standard: Standard) -> Iterator[tuple[str, str, Part]]:
    """Path, words and kind of everything that can be touched."""
    yield from ((fact.path, fact.words, Part.FACT) for fact in standard.facts)
    yield from _rules(standard.conditions)
    graded = [limit for grade in standard.grades for limit in grade.limits]
    yield from _rules((*standard.always.limits, *standard.always.faults, *graded))
    for event in standard.events:
        yield event.label, _title(event.clause), Part.EVENT
        yield from _rules(event.conditions)
        if event.rest_between is not None:
            yield from _rules(bounds(event.rest_between))
        for clause in event.clause.walk():
            if clause is not event.clause:
                yield clause.path, _title(clause), Part.STEP if clause.kind is Kind.STEP else Part.GROUP
            yield from _rules(clause.rules())


def _title(clause: Clause) -> str:
    return clause.title or clause.label


def _rules(rules: "Iterator[Rule] | tuple[Rule, ...]") -> Iterator[tuple[str, str, Part]]:
    for rule in rules:
        yield rule.path, rule.words, _part(rule)
        if isinstance(rule, Fault | RestBound) and rule.at_most is not None:
            yield f"{rule.path}.at_most", rule.words, Part.RESTARTS


def _part(rule: Rule) -> Part:
    match rule:
        case Condition():
            return Part.CONDITION
        case Start():
            return Part.START
        case Until() | UntilTotals() | For():
            return Part.GOAL
        case Limit():
            return Part.LIMIT
        case Score():
            return Part.SCORE
        case RestBound():
            return Part.REST
        case _:
            return Part.FAULT


def _touched_by(standard: Standard, case: Case) -> set[str]:
    about = case_standard(standard, case)
    machine, log = compile_standard(about), case_log(standard, case)
    found = {condition.path for condition in (*about.conditions, *(c for e in about.events for c in e.conditions))}
    found |= {fact.path for fact in standard.facts for facts in log.facts.values() if fact.name in facts}
    for candidate in log.candidates:
        own = machine_of(machine, log, candidate)
        for signal in () if own is None else signals(machine, log, candidate):
            assert own is not None
            found |= set(_paths(own, log, signal))
    return found


def _paths(machine: Machine, log: SessionLog, signal: Signal) -> Iterator[str]:
    """The paths one signal touches."""
    match signal:
        case Began(place=index) if machine.places[index].event >= 0:
            place = machine.places[index]
            yield place.path
            entry = signal.entry
            if place.start is not None and entry is not None and place.start.pattern.fits(entry.mark, entry.value):
                yield place.start.path
            if place.start is None and place.rest is not None and place.rest.least is not None:
                yield place.rest.least.rule.path
        case Completed(place=index, scored=scored):
            goal = machine.places[index].goal
            yield from () if goal is None else (goal.path,)
            yield from () if scored is None else (scored.score.path,)
        case Breached(breach=breach, asked=asked):
            yield breach.rule.path if asked is None else f"{breach.rule.path}.at_most"
        case _:
            pass
    for row in figures_of(signal):
        if row.figure.unit != COUNT or row.figure.amount:
            yield row.path
