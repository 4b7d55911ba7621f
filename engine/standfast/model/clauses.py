"""Blocks as meant: events, steps and groups become clauses, `always` its rules, conditions their demands.

A block's lines may stand in any order; they are resolved in the canonical one (start, goal, limits, score, faults,
each kind as written, then the items, a rest before its item), which is the order that decides among equals.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import TypeVar

from standfast.codes import Code
from standfast.codes import best as best_codes
from standfast.codes import facts as fact_codes
from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.codes import scores as score_codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.language.printer import words
from standfast.model import amounts, bands, figures, lines, rounds, scores
from standfast.model.patterns import choice, once
from standfast.model.rules import Fault, FigureKind, Limit, OnlyFor, Rest, Score, Test
from standfast.model.scope import Place, Scope
from standfast.model.standard import Always, Best, Clause, Condition, Event, Kind
from standfast.quantity import Dimension

_KINDS = {
    syntax.BlockWord.EVENT: Kind.IN_ORDER,
    syntax.BlockWord.STEP: Kind.STEP,
    syntax.BlockWord.IN_ORDER: Kind.IN_ORDER,
    syntax.BlockWord.ANY_ORDER: Kind.ANY_ORDER,
    syntax.BlockWord.ONE_OF: Kind.ONE_OF,
    syntax.BlockWord.ROUNDS: Kind.ROUNDS,
}
_GOALS = (syntax.Until, syntax.UntilTotals, syntax.For)
_LIMITS = (syntax.TimeLimit, syntax.CountLimit, syntax.SilenceLimit, syntax.FigureLimit)
_IN_TURN = (Kind.IN_ORDER, Kind.ROUNDS)

T = TypeVar("T")


def of(written: Iterable[object], kind: type[T]) -> list[T]:
    """The lines of one kind, as written."""
    return [line for line in written if isinstance(line, kind)]


def only_one(scope: Scope, written: Sequence[syntax.Line], code: Code, **facts: str) -> None:
    """Refuse every line after the first."""
    for line in written[1:]:
        scope.refuse(code, line.span, Label(written[0].span, "the first one"), **facts)


def always(scope: Scope, blocks: Iterable[syntax.Always]) -> Always:
    written = tuple(line for block in blocks for line in block.lines)
    place = Place("always", 0)
    limits, faults = _limits(scope, place, written), _faults(scope, place, written)
    for fault in faults:
        if fault.effect is syntax.Effect.RESTART:
            scope.refuse(codes.RESTART_IN_ALWAYS, fault.span)
    return Always(limits, faults)


def _limits(scope: Scope, place: Place, written: Iterable[object]) -> tuple[Limit, ...]:
    return tuple(lines.limit(scope, place, line) for line in written if isinstance(line, _LIMITS))


def _scores(scope: Scope, place: Place, tables: Sequence[syntax.Score]) -> tuple[Score, ...]:
    name = place.path.rpartition(".")[2]
    bare = [words(table) for table in tables if table.band is not None]
    given = tuple(
        scores.score(scope if table is tables[0] or bare.count(words(table)) == 1 else scope.apart(), place, table)
        for table in tables
    )
    if tables and place.rounds not in (None, place.path):
        scope.refuse(score_codes.IN_ROUND, tables[0].span, name=name)
    if tables:
        bands.check(scope, name, tables, given)
    return given


def _faults(scope: Scope, place: Place, written: Iterable[object]) -> tuple[Fault, ...]:
    return tuple(
        rounds.out(scope, place, line) if isinstance(line, syntax.Out) else lines.fault(scope, place, line)
        for line in written
        if isinstance(line, syntax.Fault | syntax.Out)
    )


def conditions(scope: Scope, path: str, blocks: Iterable[syntax.Conditions]) -> tuple[Condition, ...]:
    """The facts demanded under one path: `conditions`, or an event's `EVENT.conditions`."""
    seen: dict[str, syntax.Condition] = {}
    found = []
    for line in of((line for block in blocks for line in block.lines), syntax.Condition):
        name = line.name.text
        first = seen.setdefault(name, line)
        if first is line:
            found.append(_condition(scope, Place(path, 0), line))
        else:
            scope.refuse(codes.CONDITION_TWICE, line.name.span, Label(first.name.span, "the other one"), name=name)
    return tuple(found)


def _condition(scope: Scope, place: Place, line: syntax.Condition) -> Condition:
    demand: Test | bool
    if isinstance(line.demand, bool):
        demand = line.demand
    else:
        dimension = None if line.demand.of is not None else amounts.dimension_of(line.demand.first)
        demand = amounts.test(scope, line.demand, dimension)
    return Condition(
        path=scope.claim_rule(place, line.name.text, line.span),
        words=words(line),
        sentence=None if line.title is None else line.title.text,
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        name=line.name.text,
        demand=demand,
    )


def event(scope: Scope, block: syntax.Block) -> Event:
    """An event with everything in it. One that does not say its attempts (which is refused) is given one."""
    path = block.name.text
    if not scope.claim_clause(path, block.name):
        scope = scope.apart()
    order = scope.next_order()
    held = conditions(scope, f"{path}.conditions", of(block.lines, syntax.Conditions))
    attempts = of(block.lines, syntax.Attempts)
    only_one(scope, attempts, codes.ATTEMPTS_TWICE, name=path)
    carry_on = of(block.lines, syntax.CarryOn)
    only_one(scope, carry_on, codes.LINE_TWICE, word="carry on")
    number: int | None = 1
    between = None
    if attempts:
        number = _attempts(scope, attempts[0])
        between = _between(scope, path, attempts[0], ends_by_mark=_waits(block))
    else:
        scope.refuse(codes.NO_ATTEMPTS, block.name.span, name=path)
    best = _best(scope, Place(path, 1), of(block.lines, syntax.Best), block)
    for line in of(block.lines, syntax.Out) if best is None else ():
        scope.refuse(best_codes.OUT_WITHOUT_BEST, line.span, words=words(line), event=path)
    return Event(_inside(scope, block, Place(path, 1), order, None), number, between, bool(carry_on), held, best)


def _best(scope: Scope, place: Place, written: list[syntax.Best], block: syntax.Block) -> Best | None:
    if not written:
        return None
    line = written[0]
    only_one(scope, written, codes.LINE_TWICE, word="best by")
    figure = figures.figure(scope, place, line.figure)
    if figure.kind is FigureKind.EACH:
        scope.refuse(best_codes.NOT_ONE_FIGURE, line.figure.span, figure=words(line).removeprefix("best by "))
    if not of(block.lines, syntax.Start):
        scope.refuse(best_codes.BEST_WITHOUT_START, line.span, event=place.path)
    return Best(
        path=scope.claim_rule(place, "best", line.span),
        words=words(line),
        sentence=None,
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        figure=figure,
        least=figures.dimension(scope, line.figure.parts[0]) is Dimension.TIME,
    )


def _attempts(scope: Scope, line: syntax.Attempts) -> int | None:
    return None if line.number is None else amounts.number(scope, line.number, amounts.MOST, "`without limit`")


def _between(scope: Scope, path: str, line: syntax.Attempts, *, ends_by_mark: bool) -> Rest | None:
    if line.least is None and line.greatest is None:
        return None
    bounds = [each for each in (line.least, line.greatest) if each is not None]
    for bound in bounds[:1] if line.as_range else bounds:
        does = bound.consequence
        if does is not None and does.effect in (syntax.Effect.RESTART, syntax.Effect.HALT):
            scope.refuse(codes.EFFECT_BETWEEN_ATTEMPTS, does.span, effect=does.effect.value)
    return lines.rest(scope, Place(path, 1), "rest_between", line, ends_by_mark=ends_by_mark)


def _waits(block: syntax.Block) -> bool:
    """Whether it has a start mark, which ends a rest before it."""
    return bool(of(block.lines, syntax.Start))


def _item(scope: Scope, block: syntax.Block, around: Place, before: syntax.Rest | None) -> Clause:
    path = f"{around.path}.{block.name.text}"
    if not scope.claim_clause(path, block.name):
        scope = scope.apart()
    rest = None
    if before is not None:
        at = Place(path, around.depth, around.rounds)
        rest = lines.rest(scope, at, "rest", before, ends_by_mark=_waits(block))
    order = scope.next_order()
    inside = around.rounds
    if block.word is syntax.BlockWord.ROUNDS:
        if inside is not None:
            scope.refuse(round_codes.ROUNDS_IN_ROUNDS, block.name.span, name=block.name.text)
        inside = path
    return _inside(scope, block, Place(path, around.depth + 1, inside), order, rest)


def _inside(scope: Scope, block: syntax.Block, place: Place, order: int, rest: Rest | None) -> Clause:
    name = block.name.text
    starts = of(block.lines, syntax.Start)
    goals = [line for line in block.lines if isinstance(line, _GOALS)]
    only_one(scope, starts, codes.TWO_STARTS, name=name)
    only_one(scope, goals, codes.TWO_GOALS, name=name)
    kind = _KINDS[block.word]
    if block.word is syntax.BlockWord.EVENT and goals and not of(block.lines, syntax.Block):
        kind = Kind.STEP
    _check_kind(scope, block, kind, goals)
    held = rounds.rounds(scope, block) if kind is Kind.ROUNDS else None
    start = lines.start(scope, place, starts[0]) if starts else None
    goal = lines.goal(scope, place, goals[0]) if goals else None
    for second in starts[1:]:
        lines.start(scope.apart(), place, second)
    for other in goals[1:]:
        lines.goal(scope.apart(), place, other)
    only_one(scope, of(block.lines, syntax.OnlyIfBegun), codes.LINE_TWICE, word="only if begun")
    limits = _limits(scope, place, block.lines)
    if held is not None and place.path not in scope.spoken_of:
        limits = (*limits, rounds.all_made(scope, place, block, held))
    given = _scores(scope, place, of(block.lines, syntax.Score))
    faults = _faults(scope, place, block.lines)
    return Clause(
        label=name,
        path=place.path,
        title=None if block.title is None else block.title.text,
        kind=kind,
        depth=place.depth,
        order=order,
        start=start,
        goal=goal,
        limits=limits,
        faults=faults,
        scores=given,
        rest=rest,
        items=_items(scope, block, place, kind),
        only_for=_only_for(scope, of(block.lines, syntax.OnlyFor)),
        only_if_begun=bool(of(block.lines, syntax.OnlyIfBegun)),
        guidance=tuple(line.text.text for written in _guided(block) for line in of(written, syntax.Guidance)),
        rounds=held,
        span=block.span,
    )


def _only_for(scope: Scope, written: Sequence[syntax.OnlyFor]) -> OnlyFor | None:
    only_one(scope, written, codes.LINE_TWICE, word="only for")
    for line in written:
        fact = scope.fact(line.fact)
        if fact is not None and not fact.choices:
            scope.refuse(fact_codes.NO_CHOICES_OF_FACT, line.fact.span, name=fact.name)
        elif fact is not None:
            for name in line.choices:
                choice(scope, fact, name)
            once(scope, line.choices)
    if not written:
        return None
    line = written[0]
    return OnlyFor(line.fact.text, tuple(name.text for name in line.choices), words(line), line.span)


def _guided(block: syntax.Block) -> Iterator[Iterable[object]]:
    """The lines among which guidance may stand: the block's own and those of its conditions."""
    yield block.lines
    yield from (inner.lines for inner in of(block.lines, syntax.Conditions))


def _check_kind(scope: Scope, block: syntax.Block, kind: Kind, goals: Sequence[lines.GoalLine]) -> None:
    """A step has a goal, rounds a goal or items, everything else items, and nothing has both."""
    name = block.name.text
    if kind is Kind.ROUNDS:
        if bool(goals) is bool(of(block.lines, syntax.Block)):
            code = round_codes.GOAL_AND_ITEMS if goals else round_codes.NO_GOAL_NO_ITEMS
            scope.refuse(code, goals[0].span if goals else block.name.span, name=name)
        return
    if kind is Kind.STEP:
        if not goals:
            scope.refuse(codes.NO_GOAL, block.name.span, name=name)
    elif not of(block.lines, syntax.Block):
        empty = codes.EMPTY_EVENT if block.word is syntax.BlockWord.EVENT else codes.EMPTY_GROUP
        scope.refuse(empty, block.name.span, name=name)
    elif goals:
        scope.refuse(codes.GOAL_WITH_ITEMS, goals[0].span, name=name)


def _items(scope: Scope, block: syntax.Block, place: Place, kind: Kind) -> tuple[Clause, ...]:
    items: list[Clause] = []
    waiting: syntax.Rest | None = None
    for line in block.lines:
        if isinstance(line, syntax.Block):
            items.append(_item(scope, line, place, waiting))
            waiting = None
        elif not isinstance(line, syntax.Rest):
            continue
        elif kind not in _IN_TURN:
            _stray(scope, place, line)
            scope.refuse(codes.REST_OUTSIDE_ORDER, line.span, name=block.name.text)
        elif not items:
            _stray(scope, place, line)
            scope.refuse(codes.REST_FIRST, line.span, name=block.name.text)
        elif waiting is not None:
            _stray(scope, place, line)
            scope.refuse(codes.REST_TWICE, line.span, Label(waiting.span, "the first one"))
        else:
            waiting = line
    if waiting is not None:
        _stray(scope, place, waiting)
        scope.refuse(codes.REST_LAST, waiting.span, name=block.name.text)
    return tuple(items)


def _stray(scope: Scope, place: Place, line: syntax.Rest) -> None:
    """Look for what else is wrong with a rest that stands where none can."""
    lines.rest(scope.apart(), place, "rest", line, ends_by_mark=False)
