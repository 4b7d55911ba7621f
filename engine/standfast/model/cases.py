"""Worked examples as meant: facts, entries and results checked like a log against the standard around them."""

from collections.abc import Iterable, Mapping

from standfast.codes import counting, scores
from standfast.codes import facts as fact_codes
from standfast.codes import figures as figure_codes
from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.model import amounts
from standfast.model.patterns import choice
from standfast.model.round_marks import named
from standfast.model.rounds import find
from standfast.model.rules import Test
from standfast.model.scope import Scope, near
from standfast.model.standard import Case, CaseEntry, Condition, Expectation, Given, Mark
from standfast.quantity import Dimension, Quantity, clock

Demands = Mapping[str, Test | bool]
"""What each declared fact must be."""


def demands(scope: Scope, conditions: tuple[Condition, ...]) -> Demands:
    """The facts of the whole standard; refused is one that is asked for in two kinds."""
    known: dict[str, Condition] = {}
    for condition in conditions:
        first = known.setdefault(condition.name, condition)
        found, expected = _kind(scope, condition.demand), _kind(scope, first.demand)
        if found != expected:
            facts = {"name": condition.name, "found": found, "expected": expected}
            scope.refuse(codes.TWO_KINDS_OF_CONDITION, condition.span, Label(first.span, "the other one"), **facts)
    return {name: condition.demand for name, condition in known.items()}


def _kind(scope: Scope, demand: Test | bool) -> str:
    return "yes or no" if isinstance(demand, bool) else amounts.SPOKEN[_dimension(scope, demand)]


def _dimension(scope: Scope, demand: Test) -> Dimension:
    """What is compared; of a share, what it is a share of."""
    fact = scope.facts.get(demand.of or "")
    return demand.first.dimension if fact is None or fact.unit is None else fact.unit.dimension


def case(
    scope: Scope,
    written: syntax.Case,
    known: Demands,
    events: tuple[str, ...],
    once_a_grader: frozenset[str],
    grades: tuple[str, ...],
) -> Case:
    """The case as meant; all paths of the standard must have been given before.

    Every entry of a mark of `once_a_grader` must say by whom.
    """
    event = written.event
    if event is not None and event.text not in events:
        scope.refuse(codes.UNKNOWN_EVENT, event.span, **near(event.text, events))
    entries, end = _entries(scope, written.entries, once_a_grader)
    of_candidates = [line for line in written.given if line.name.text in scope.facts]
    return Case(
        title=written.title.text,
        given=_given(scope, [line for line in written.given if line not in of_candidates], known),
        facts=_facts(scope, of_candidates),
        event=None if event is None else event.text,
        entries=entries,
        end=end,
        expectations=tuple(_expectation(scope, line, events, grades) for line in written.gives),
        span=written.title.span,
    )


def _given(scope: Scope, lines: Iterable[syntax.Given], known: Demands) -> tuple[tuple[str, Quantity | bool], ...]:
    stated: dict[str, syntax.Given] = {}
    facts: list[tuple[str, Quantity | bool]] = []
    for line in lines:
        name = line.name.text
        _once(scope, stated.setdefault(name, line), line)
        if line.candidate is not None:
            scope.refuse(
                fact_codes.CONDITION_OF_CANDIDATE, line.candidate.span, name=name, candidate=line.candidate.text
            )
        demand = known.get(name)
        if demand is None:
            scope.refuse(codes.UNKNOWN_CONDITION, line.name.span, **near(name, (*known, *scope.facts)))
            continue
        match line.value:
            case bool() if isinstance(demand, bool):
                facts.append((name, line.value))
            case syntax.Amount(quantity=quantity) if isinstance(demand, Test):
                amounts.amount(scope, line.value, _dimension(scope, demand))
                facts.append((name, quantity))
            case value:
                found, expected = _said(value), _kind(scope, demand)
                scope.refuse(codes.OTHER_KIND_OF_FACT, line.span, name=name, found=found, expected=expected)
    return tuple(facts)


def _once(scope: Scope, first: syntax.Given, line: syntax.Given) -> None:
    if first is not line:
        also = Label(first.name.span, "the other one")
        scope.refuse(codes.FACT_TWICE, line.name.span, also, name=line.name.text)


def _said(value: syntax.Amount | syntax.Name | bool) -> str:
    match value:
        case bool():
            return "yes or no"
        case syntax.Name():
            return "a choice"
        case syntax.Amount(quantity=quantity):
            return amounts.SPOKEN[quantity.dimension]


def _facts(scope: Scope, lines: Iterable[syntax.Given]) -> tuple[tuple[str, Quantity | str, str | None], ...]:
    """Facts of a candidate, or of all; refused is one stated twice of one candidate."""
    stated: dict[tuple[str, str | None], syntax.Given] = {}
    facts: list[tuple[str, Quantity | str, str | None]] = []
    for line in lines:
        fact, whose = scope.facts[line.name.text], None if line.candidate is None else line.candidate.text
        same = [other for (name, other) in stated if name == fact.name and None in (other, whose)]
        _once(scope, stated[fact.name, same[0]] if same else stated.setdefault((fact.name, whose), line), line)
        match line.value:
            case syntax.Name() as name if fact.unit is None:
                choice(scope, fact, name)
                facts.append((fact.name, name.text, whose))
            case syntax.Amount(quantity=quantity) as amount if fact.unit is not None:
                amounts.amount(scope, amount, fact.unit.dimension)
                if fact.heading:
                    amounts.below_a_circle(scope, amount)
                if fact.is_number and quantity.base.denominator != 1:
                    scope.refuse(figure_codes.NOT_WHOLE, amount.span, found=amount.span.text)
                facts.append((fact.name, quantity, whose))
            case value:
                expected = "a choice" if fact.unit is None else amounts.SPOKEN[fact.unit.dimension]
                named = {"name": fact.name, "found": _said(value), "expected": expected}
                scope.refuse(fact_codes.FACT_OTHERWISE, line.span, **named)
    return tuple(facts)


def _entries(
    scope: Scope, lines: tuple[syntax.CaseEntry, ...], once_a_grader: frozenset[str]
) -> tuple[tuple[CaseEntry, ...], int | None]:
    entries = []
    end: int | None = None
    latest = 0
    for line in lines:
        at = line.at.micros
        if at < latest:
            scope.refuse(codes.CLOCK_BACKWARDS, line.at.span, at=line.at.span.text, before=clock(latest))
        latest = max(latest, at)
        if end is not None:
            scope.refuse(codes.AFTER_END, line.span)
        if line.mark is None:
            end = at
            continue
        mark = scope.mark(line.mark)
        value = _value(line.value)
        if mark is not None and mark.names_round:
            value = None if line.value is None else named(scope, mark, line.value)
        elif isinstance(line.value, syntax.Round):
            facts = {"mark": line.mark.text, "value": line.value.span.text}
            if mark is not None:
                scope.refuse(codes.VALUE_OF_BARE_MARK, line.value.span, **facts)
        elif mark is not None:
            _check_value(scope, mark, line.mark, line.value)
            if line.by is None and mark.name in once_a_grader:
                scope.refuse(counting.NO_GRADER, line.span, mark=mark.name)
        entries.append(
            CaseEntry(
                at=at,
                mark=line.mark.text,
                value=value,
                by=None if line.by is None else line.by.text,
                candidate=None if line.candidate is None else line.candidate.text,
                span=line.span,
            )
        )
    return tuple(entries), end


def _value(written: syntax.Name | syntax.Amount | syntax.Round | None) -> str | Quantity | None:
    match written:
        case syntax.Name():
            return written.text
        case syntax.Amount():
            return written.quantity
        case syntax.Round() | None:
            return None


def _check_value(scope: Scope, mark: Mark, name: syntax.Name, value: syntax.Name | syntax.Amount | None) -> None:
    choices = {"mark": mark.name, "choices": ", ".join(mark.choices)}
    if value is None:
        if mark.choices:
            scope.refuse(codes.NO_VALUE, name.span, **choices)
        elif mark.unit is not None:
            scope.refuse(codes.NO_VALUE, name.span, mark=mark.name, unit=mark.unit.name)
    elif not mark.choices and mark.unit is None:
        scope.refuse(codes.VALUE_OF_BARE_MARK, value.span, value=value.span.text, mark=mark.name)
    elif isinstance(value, syntax.Name):
        if mark.unit is not None:
            facts = {"value": value.text, "mark": mark.name, "unit": mark.unit.name}
            scope.refuse(codes.CHOICE_OF_MEASURED_MARK, value.span, **facts)
        else:
            choice(scope, mark, value)
    elif mark.unit is None:
        scope.refuse(codes.AMOUNT_OF_CHOICES, value.span, value=value.span.text, **choices)
    else:
        amounts.amount(scope, value, mark.unit.dimension)
        if mark.heading:
            amounts.below_a_circle(scope, value)


def _expectation(
    scope: Scope, line: syntax.Gives, events: tuple[str, ...], grades: tuple[str, ...]
) -> Expectation:
    word = Given(line.word)
    path = ".".join(name.text for name in line.path)
    if word is Given.FURTHEST:
        return _furthest(scope, line, path)
    if word is Given.POINTS:
        _check_points(scope, line, path)
    elif line.path:
        _check_path(scope, line, path, word, events)
    if line.grade is not None and line.grade.text not in grades:
        scope.refuse(scores.UNKNOWN_GRADE, line.grade.span, **near(line.grade.text, grades))
    return Expectation(
        path=path or None,
        word=word,
        at=None if line.at is None else line.at.micros,
        candidate=None if line.candidate is None else line.candidate.text,
        points=None if line.points is None else line.points.number,
        grade=None if line.grade is None else line.grade.text,
        span=line.span,
    )


def _furthest(scope: Scope, line: syntax.Gives, path: str) -> Expectation:
    span = line.path[0].span.to(line.path[-1].span)
    furthest, held = None, scope.rounds.get(path)
    if held is None:
        if path in scope.paths.clauses or path in scope.paths.rules:
            found = "no block of `rounds`" if path in scope.paths.clauses else "one line of a clause"
            scope.refuse(round_codes.NOT_ROUNDS, span, path=path, found=found, figure="furthest")
        else:
            known = near(path, scope.rounds)
            facts = {"near": known["near"]} if "near" in known else {}
            scope.refuse(codes.UNKNOWN_PATH, span, path=path, **facts)
    elif line.furthest is not None:
        named_round = find(scope, path.rpartition(".")[2], line.furthest, held)
        furthest = None if named_round is None else named_round.words
    candidate = None if line.candidate is None else line.candidate.text
    return Expectation(path, Given.FURTHEST, None, candidate, span=line.span, furthest=furthest)


def _check_points(scope: Scope, line: syntax.Gives, path: str) -> None:
    """Of the whole test, or of a clause with a score in it."""
    span = line.path[0].span.to(line.path[-1].span) if line.path else line.span
    if path and path not in scope.paths.clauses:
        known = near(path, scope.paths.clauses)
        facts = {"path": path, **({"near": known["near"]} if "near" in known else {})}
        scope.refuse(codes.UNKNOWN_PATH, span, **facts)
    elif not any(f"{each}.".startswith(f"{path}." if path else "") for each in scope.scored_paths):
        scope.refuse(scores.NO_POINTS, span, name=path or "the whole test")


def _check_path(scope: Scope, line: syntax.Gives, path: str, word: Given, events: tuple[str, ...]) -> None:
    span = line.path[0].span.to(line.path[-1].span)
    clauses, rules = scope.paths.clauses, scope.paths.rules
    if path not in clauses and path not in rules:
        known = near(path, (*clauses, *rules))
        scope.refuse(codes.UNKNOWN_PATH, span, path=path, **({"near": known["near"]} if "near" in known else {}))
        return
    found = "an event" if path in events else "a group or step" if path in clauses else "one line of a clause"
    match word:
        case Given.GO | Given.NO_GO:
            fits, expected = path in events, "an event"
        case Given.BEGINS:
            fits, expected = path in clauses, "an event, a group or a step"
        case _:
            fits, expected = path in rules, "one limit, fault or rest"
    if not fits:
        scope.refuse(codes.NOT_WHAT_IT_GIVES, span, path=path, word=word.value, found=found, expected=expected)
