"""Marks that name a round: each belongs to one clause with rounds, and to what is in it."""

from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.model import rounds
from standfast.model.rules import Limit, Rule, Score, counted, marks_named
from standfast.model.scope import Scope
from standfast.model.standard import Always, Best, Clause, Event, Grade, Kind, Mark, rules_inside


def check(scope: Scope, events: tuple[Event, ...], always: Always, grades: tuple[Grade, ...]) -> None:
    """Refuse such marks outside rounds and in two clauses; note the rounds of each for the cases."""
    names = {mark.name for mark in scope.marks.values() if mark.names_round}
    clauses = [clause for event in events for clause in event.clause.walk() if clause.kind is Kind.ROUNDS]
    inside = {id(rule): clause for clause in clauses for rule in rules_inside(clause)}
    holder: dict[str, Clause] = {}
    of_test = (*always.limits, *always.faults, *(limit for grade in grades for limit in grade.limits))
    bests = (event.best for event in events if event.best is not None)
    for rule in (*of_test, *bests, *(rule for event in events for rule in event.rules())):
        _refuse_anyone(scope, rule, names)
        _refuse_figure(scope, rule, clauses)
        for name in names.intersection(marks_named(rule)):
            _place(scope, rule, name, inside.get(id(rule)), holder)
    scope.round_marks.update(holder)


def _refuse_anyone(scope: Scope, rule: Rule, names: set[str]) -> None:
    """Another candidate's entry would name a round of that one's."""
    counts = counted(rule)
    if counts is not None and counts[0] in names and counts[1].by_anyone:
        scope.refuse(round_codes.ROUND_BY_ANYONE, rule.span, mark=counts[0])


def _refuse_figure(scope: Scope, rule: Rule, clauses: list[Clause]) -> None:
    """A figure of what stands in a round, asked for by a line that does not."""
    if not isinstance(rule, Limit | Score | Best):
        return
    figures = rule.figures if isinstance(rule, Score) else (rule.figure,)
    for path in (part.path for figure in figures for part in figure.parts if part.path is not None):
        for clause in clauses:
            if path.startswith(f"{clause.path}.") and not rule.path.rpartition(".")[0].startswith(
                f"{clause.path}."
            ):
                facts = {"path": path, "name": clause.label, "inner": path.rpartition(".")[2]}
                scope.refuse(round_codes.FIGURE_OF_A_ROUND, rule.span, **facts)


def _place(scope: Scope, rule: Rule, name: str, clause: Clause | None, holder: dict[str, Clause]) -> None:
    if clause is None:
        scope.refuse(round_codes.MARK_OF_NO_ROUNDS, rule.span, mark=name)
        return
    other = holder.setdefault(name, clause)
    if other is not clause:
        scope.refuse(round_codes.MARK_OF_TWO_ROUNDS, rule.span, mark=name, name=clause.label, other=other.label)


def named(scope: Scope, mark: Mark, value: rounds.Named) -> str | None:
    """The round that a case's entry names, in words; None (and a refusal) where it names none."""
    clause = scope.round_marks.get(mark.name)
    if clause is None or clause.rounds is None:
        scope.refuse(codes.VALUE_OF_BARE_MARK, value.span, value=value.span.text, mark=mark.name)
        return None
    found = rounds.find(scope, clause.label, value, clause.rounds)
    return None if found is None else found.words
