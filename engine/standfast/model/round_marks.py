"""Marks that name a round: each belongs to one clause with rounds, and to what is in it."""

from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.language import syntax
from standfast.model import rounds
from standfast.model.rules import Limit, Rule, counted, marks_named
from standfast.model.scope import Scope
from standfast.model.standard import Always, Clause, Event, Kind, Mark, rules_inside
from standfast.quantity import Dimension


def check(scope: Scope, events: tuple[Event, ...], always: Always) -> None:
    """Refuse such marks outside rounds and in two clauses; note the rounds of each for the cases."""
    names = {mark.name for mark in scope.marks.values() if mark.names_round}
    clauses = [clause for event in events for clause in event.clause.walk() if clause.kind is Kind.ROUNDS]
    inside = {id(rule): clause for clause in clauses for rule in rules_inside(clause)}
    holder: dict[str, Clause] = {}
    for rule in (*always.limits, *always.faults, *(rule for event in events for rule in event.rules())):
        _refuse_anyone(scope, rule, names)
        _refuse_figure(scope, rule, clauses)
        for name in names.intersection(marks_named(rule)):
            _place(scope, rule, name, inside.get(id(rule)), holder)
    scope.rounds.update({clause.path: clause for clause in clauses})
    scope.round_marks.update(holder)


def _refuse_anyone(scope: Scope, rule: Rule, names: set[str]) -> None:
    """Another candidate's entry would name a round of that one's."""
    counts = counted(rule)
    if counts is not None and counts[0] in names and counts[1].by_anyone:
        scope.refuse(round_codes.ROUND_BY_ANYONE, rule.span, mark=counts[0])


def _refuse_figure(scope: Scope, rule: Rule, clauses: list[Clause]) -> None:
    """A figure of what stands in a round, asked for by a line that does not."""
    if not isinstance(rule, Limit):
        return
    for path in (part.path for part in rule.figure.parts if part.path is not None):
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


def named(scope: Scope, mark: Mark, value: syntax.Name | syntax.Amount | syntax.Round) -> str | None:
    """The round that a case's entry names, in words; None (and a refusal) where it names none."""
    clause = scope.round_marks.get(mark.name)
    if clause is None or clause.rounds is None:
        scope.refuse(codes.VALUE_OF_BARE_MARK, value.span, value=value.span.text, mark=mark.name)
        return None
    held = clause.rounds
    match value:
        case syntax.Round():
            found = rounds.find(scope, clause.label, value, held)
        case syntax.Amount(quantity=quantity) if quantity.dimension is not Dimension.COUNT:
            found = rounds.find(scope, clause.label, syntax.Round((), value, value.span), held)
        case syntax.Amount(quantity=quantity):
            found = None
            meant = held.readings(value.span.text)
            facts = dict(zip(("one", "other"), (each.words for each in meant), strict=False))
            shown = {"value": value.span.text, "name": clause.label, "example": held.rounds[-1].words}
            scope.refuse(round_codes.BARE_ROUND, value.span, **shown, **facts)
        case syntax.Name(text=text):
            found = None
            facts = {"first": held.rounds[0].words, "last": held.rounds[-1].words}
            scope.refuse(round_codes.UNKNOWN_ROUND, value.span, words=text, name=clause.label, **facts)
    return None if found is None else found.words
