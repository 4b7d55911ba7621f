"""From a standard as written to a standard as meant.

In comes one syntax tree; out comes the model, with every name looked up, every path given and every rule in
its canonical place, or what is wrong with the text: all of it, found in one run.
"""

from collections.abc import Iterator
from datetime import date
from hashlib import sha256

from standfast.codes import facts as fact_codes
from standfast.codes import meaning as codes
from standfast.diagnostic import Diagnostic, Label, has_errors, in_reading_order
from standfast.language import syntax
from standfast.language.printer import canonical, words
from standfast.model import amounts, cases, clauses, round_figures, round_marks, rounds, scores, watches
from standfast.model.clauses import of, only_one
from standfast.model.patterns import once
from standfast.model.refusals import refuse_for_candidates, refuse_openings
from standfast.model.scope import Scope
from standfast.model.standard import Acceptance, Fact, Mark, Standard
from standfast.quantity import COUNT, UNITS, Quantity, Unit
from standfast.values import evolve


def resolve(tree: syntax.Standard) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    """The standard (None where anything is an error) and what was found, in reading order.

    The tree is one that was read without an error: its times, dates and numbers are such.
    """
    inside = dict(_clause_paths(tree))
    scored = frozenset(path for path, block in inside.items() if of(block.lines, syntax.Score))
    scope = Scope(
        clause_paths=frozenset(inside),
        scored_paths=scored,
        rounds={
            path: rounds.rounds(Scope(), block)
            for path, block in inside.items()
            if block.word is syntax.BlockWord.ROUNDS
        },
        spoken_of=frozenset(round_figures.spoken_of(tree, inside)),
    )
    _declare_marks(scope, tree)
    _declare_facts(scope, tree)
    standard = _standard(scope, tree)
    if standard.facts and not has_errors(scope.found):
        refuse_for_candidates(scope, standard)
    found = in_reading_order(scope.found)
    return (None if has_errors(found) else standard), found


def _standard(scope: Scope, tree: syntax.Standard) -> Standard:
    """The whole model. With an error found on the way it is incomplete and goes no further."""
    edition, in_force = _edition(scope, tree), _in_force(scope, tree)
    conditions = clauses.conditions(scope, "conditions", of(tree.blocks, syntax.Conditions))
    always = clauses.always(scope, of(tree.blocks, syntax.Always))
    grades = scores.grades(scope, of(tree.blocks, syntax.Grade))
    events = tuple(clauses.event(scope, block) for block in of(tree.blocks, syntax.Block))
    if not events:
        scope.refuse(codes.NO_EVENT, tree.name.span, name=tree.name.text)
    carry_on = _said(scope, tree, syntax.CarryOn, "carry on")
    in_any_order = _said(scope, tree, syntax.EventsInAnyOrder, "events in any order")
    if not scope.facts:
        refuse_openings(scope, events, always, in_any_order=in_any_order, carry_on=carry_on)
    round_marks.check(scope, events, always, grades)
    demands = cases.demands(scope, (*conditions, *(each for event in events for each in event.conditions)))
    for name, fact in scope.facts.items():
        if name in demands:
            scope.refuse(fact_codes.FACT_AND_CONDITION, fact.span, name=name)
    labels = tuple(event.label for event in events)
    authority = of(tree.header, syntax.Authority)
    only_one(scope, authority, codes.LINE_TWICE, word="authority")
    standard = Standard(
        name=tree.name.text,
        title=_title(scope, tree),
        edition=edition,
        in_force=in_force,
        authority=authority[0].text.text if authority else None,
        cautions=tuple(line.text.text for line in of(tree.header, syntax.Caution)),
        guidance=tuple(_guidance(tree)),
        carry_on=carry_on,
        events_in_any_order=in_any_order,
        owed_fails=_said(scope, tree, syntax.OwedFails, "owed at the end fails"),
        times_within=_times_within(scope, tree),
        facts=tuple(scope.facts.values()),
        conditions=conditions,
        marks=tuple(scope.marks.values()),
        always=always,
        events=events,
        grades=grades,
        cases=(),
        acceptances=tuple(_acceptances(tree)),
        digest=sha256(canonical(tree, comments=False).encode()).hexdigest(),
        span=tree.span,
    )
    graded, named = standard.once_a_grader, tuple(grade.name for grade in grades)
    worked = of(tree.blocks, syntax.Case)
    return evolve(
        standard, cases=tuple(cases.case(scope, each, demands, labels, graded, named) for each in worked)
    )


def _clause_paths(tree: syntax.Standard) -> Iterator[tuple[str, syntax.Block]]:
    """Every event, group and step as written, with its path."""
    waiting = [(block.name.text, block) for block in of(tree.blocks, syntax.Block)]
    while waiting:
        path, block = waiting.pop()
        yield path, block
        waiting += [(f"{path}.{item.name.text}", item) for item in of(block.lines, syntax.Block)]


def _declare_marks(scope: Scope, tree: syntax.Standard) -> None:
    written = [line for block in of(tree.blocks, syntax.Marks) for line in of(block.lines, syntax.Mark)]
    first: dict[str, syntax.Mark] = {}
    for line in written:
        name = line.name.text
        if first.setdefault(name, line) is not line:
            scope.refuse(
                codes.MARK_TWICE, line.name.span, Label(first[name].name.span, "the other one"), name=name
            )
            continue
        if line.title is None:
            scope.refuse(codes.NOTHING_OBSERVED, line.name.span, name=name)
        once(scope, line.choices)
        scope.marks[name] = Mark(
            name=name,
            title="" if line.title is None else line.title.text,
            choices=tuple(choice.text for choice in line.choices),
            unit=_unit(line),
            readings=watches.readings(scope, line),
            heading=line.heading,
            names_round=line.names_round,
            words=words(line),
            span=line.span,
        )


def _unit(line: syntax.Mark | syntax.Fact) -> Unit | None:
    if line.heading:
        return UNITS["deg"]
    if isinstance(line, syntax.Fact) and line.number:
        return COUNT
    return None if line.unit is None else UNITS[line.unit.text]


def _declare_facts(scope: Scope, tree: syntax.Standard) -> None:
    written = [line for block in of(tree.blocks, syntax.Candidate) for line in of(block.lines, syntax.Fact)]
    first: dict[str, syntax.Fact] = {}
    for line in written:
        name = line.name.text
        if first.setdefault(name, line) is not line:
            also = Label(first[name].name.span, "the other one")
            scope.refuse(fact_codes.FACT_DECLARED_TWICE, line.name.span, also, name=name)
            continue
        once(scope, line.choices)
        scope.facts[name] = Fact(
            name=name,
            title=None if line.title is None else line.title.text,
            words=words(line),
            choices=tuple(choice.text for choice in line.choices),
            unit=_unit(line),
            heading=line.heading,
            span=line.span,
        )


def _title(scope: Scope, tree: syntax.Standard) -> str:
    if tree.title is None:
        scope.refuse(codes.NO_TITLE, tree.name.span, name=tree.name.text)
        return ""
    return tree.title.text


def _edition(scope: Scope, tree: syntax.Standard) -> str:
    lines = of(tree.header, syntax.Edition)
    only_one(scope, lines, codes.LINE_TWICE, word="edition")
    if not lines:
        scope.refuse(codes.NO_EDITION, tree.name.span, name=tree.name.text)
        return ""
    written = lines[0].text
    if not written.text.strip():
        scope.refuse(codes.BLANK_EDITION, written.span, name=tree.name.text)
    return written.text


def _in_force(scope: Scope, tree: syntax.Standard) -> date:
    lines = of(tree.header, syntax.InForce)
    only_one(scope, lines, codes.LINE_TWICE, word="in force from")
    if not lines:
        scope.refuse(codes.NO_DATE, tree.name.span, name=tree.name.text)
        return date.min
    return date.fromisoformat(lines[0].date.text)


def _said(scope: Scope, tree: syntax.Standard, kind: type[syntax.HeaderLine], word: str) -> bool:
    """Whether the header has a line of this kind; a second one is refused."""
    lines = of(tree.header, kind)
    only_one(scope, lines, codes.LINE_TWICE, word=word)
    return bool(lines)


def _times_within(scope: Scope, tree: syntax.Standard) -> Quantity | None:
    lines = of(tree.header, syntax.TimesWithin)
    only_one(scope, lines, codes.LINE_TWICE, word="times within")
    return amounts.length(scope, lines[0].length) if lines else None


def _shared(tree: syntax.Standard) -> Iterator[tuple[str, tuple[syntax.Line, ...]]]:
    """The lines of the blocks that are no event's, in canonical order, each with the path of its block."""
    yield from (("candidate", block.lines) for block in of(tree.blocks, syntax.Candidate))
    yield from (("conditions", block.lines) for block in of(tree.blocks, syntax.Conditions))
    yield from (("marks", block.lines) for block in of(tree.blocks, syntax.Marks))
    yield from (("always", block.lines) for block in of(tree.blocks, syntax.Always))
    yield from ((f"grades.{block.name.text}", block.lines) for block in of(tree.blocks, syntax.Grade))


def _guidance(tree: syntax.Standard) -> Iterator[str]:
    """The guidance for the whole test: of the header, then of the blocks that are no event's."""
    for written in (tree.header, *(lines for _, lines in _shared(tree))):
        yield from (line.text.text for line in of(written, syntax.Guidance))


def _acceptances(tree: syntax.Standard) -> Iterator[Acceptance]:
    """Every `accept`, in canonical order, with the path of the block it stands in (the header: none)."""
    yield from _accepted("", tree.header)
    for path, lines in _shared(tree):
        yield from _accepted(path, lines)
    for event in of(tree.blocks, syntax.Block):
        yield from _accepted_inside(event.name.text, event)


def _accepted_inside(path: str, block: syntax.Block) -> Iterator[Acceptance]:
    yield from _accepted(path, block.lines)
    for conditions in of(block.lines, syntax.Conditions):
        yield from _accepted(f"{path}.conditions", conditions.lines)
    for item in of(block.lines, syntax.Block):
        yield from _accepted_inside(f"{path}.{item.name.text}", item)


def _accepted(path: str, lines: tuple[object, ...]) -> Iterator[Acceptance]:
    for line in of(lines, syntax.Accept):
        yield Acceptance(line.code.text, line.why.text, path, line.span)
