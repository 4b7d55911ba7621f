"""One line of a clause as meant: limits, faults, starts, goals, and the bounds of a rest.

Each takes its path, then its place in the written order, so lines are to be resolved in canonical order.
"""

from standfast.codes import counting
from standfast.codes import facts as fact_codes
from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.language import syntax
from standfast.language.printer import otherwise_words, words
from standfast.model import amounts, figures
from standfast.model.patterns import pattern
from standfast.model.rules import (
    OWN,
    Counting,
    Fault,
    Figure,
    FigureKind,
    For,
    Goal,
    Limit,
    Occurrence,
    OutOfOrder,
    Rest,
    RestBound,
    Silence,
    Start,
    Test,
    Until,
    UntilTotals,
)
from standfast.model.scope import Place, Scope
from standfast.quantity import Comparison, Quantity, count
from standfast.values import evolve

LimitLine = syntax.TimeLimit | syntax.CountLimit | syntax.SilenceLimit | syntax.FigureLimit
GoalLine = syntax.Until | syntax.UntilTotals | syntax.For

_TIME_LIMITS = {
    "within": Comparison.AT_MOST,
    "under": Comparison.UNDER,
    "not before": Comparison.AT_LEAST,
}
_COUNT_LIMITS = {
    "within": Comparison.AT_MOST,
    "before": Comparison.UNDER,
    "at least": Comparison.AT_LEAST,
}


def limit(scope: Scope, place: Place, line: LimitLine) -> Limit:
    bound: Quantity
    test: Test | None = None
    match line:
        case syntax.TimeLimit():
            figure, comparison = Figure(FigureKind.TIME), _TIME_LIMITS[line.word]
            bound = amounts.length(scope, line.length)
            part = line.word.replace(" ", "_")
        case syntax.CountLimit():
            mark = scope.mark_name(line.mark, line.number.number)
            number = amounts.number(scope, line.number, instead=_for_none(line.word, mark))
            figure = Figure(FigureKind.COUNT, mark, _counting(line.whose))
            comparison, bound = _COUNT_LIMITS[line.word], count(number)
            part = f"{line.word.replace(' ', '_')}_{figure.mark}"
        case syntax.SilenceLimit():
            figure = Figure(FigureKind.SILENCE, scope.mark_name(line.mark))
            comparison = Comparison.UNDER if line.or_more else Comparison.AT_MOST
            bound = amounts.length(scope, line.length)
            part = f"no_{figure.mark}"
        case syntax.FigureLimit():
            figure, test = figures.figure(scope, place, line.figure), figures.test(scope, place, line, line.figure)
            part = figures.path_part(line.figure)
            if figure.kind is FigureKind.COUNT:
                figure = evolve(figure, counting=_counting(line.whose))
            else:
                _uncounted(scope, line.whose)
    return Limit(
        path=scope.claim_rule(place, part, line.span, line.label),
        words=words(line),
        sentence=_text(line.sentence),
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        figure=figure,
        test=Test(comparison, bound) if test is None else test,
        misses=place.rounds not in (None, place.path),
    )


def _for_none(word: str, mark: str) -> str:
    """What says that not a single mark is allowed, or that none is asked for."""
    return "leave the line out" if word == "at least" else f"write `before 1 {mark}` to allow none"


def fault(scope: Scope, place: Place, line: syntax.Fault) -> Fault:
    trigger: Occurrence | OutOfOrder | Silence
    match line.trigger:
        case syntax.Occurrence(pattern=written, more_than=more_than):
            every = "take `more than` and the number away"
            after = 0 if more_than is None else amounts.number(scope, more_than, instead=every)
            whose = _counting(line.whose) if after else _uncounted(scope, line.whose)
            trigger = Occurrence(pattern(scope, written), after, whose)
            part = trigger.pattern.mark
        case syntax.OutOfOrder(pattern=written):
            trigger = OutOfOrder(pattern(scope, written))
            part = f"{trigger.pattern.mark}.out_of_order"
        case syntax.Silence() as silence:
            length = amounts.length(scope, silence.length)
            trigger = Silence(scope.mark_name(silence.mark), length, silence.or_more)
            part = f"no_{trigger.mark}"
    does = line.consequence
    if not isinstance(trigger, Occurrence):
        _uncounted(scope, line.whose)
    inside_rounds(scope, place, does)
    if isinstance(trigger, Silence):
        _by_time_alone(scope, does, words(line))
    path = scope.claim_rule(place, part, line.span, line.label)
    return Fault(
        path=path,
        words=words(line),
        sentence=_text(does.sentence),
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        effect=does.effect,
        trigger=trigger,
        at_once=does.at_once,
        at_most=_at_most(scope, path, does),
        charged=does.charged,
    )


def inside_rounds(scope: Scope, place: Place, does: syntax.Consequence | None) -> None:
    """Refuse what is done to a round where there is none."""
    if does is not None and does.effect in (syntax.Effect.MISS, syntax.Effect.PASS) and place.rounds is None:
        scope.refuse(round_codes.NO_ROUND_TO_CLOSE, does.span, effect=does.effect.value)


def _by_time_alone(scope: Scope, does: syntax.Consequence, what: str) -> None:
    """Refuse what would go on for ever while nobody does anything."""
    if does.effect is syntax.Effect.RESTART and does.at_most is None:
        scope.refuse(codes.ENDLESS_RESTART, does.span, what=what)
    if does.effect is syntax.Effect.HALT and not does.charged:
        scope.refuse(codes.ENDLESS_HALT, does.span, what=what)


def _at_most(scope: Scope, path: str, does: syntax.Consequence | None) -> int | None:
    """The greatest number of restarts, whose path is added to that of its rule."""
    if does is None or does.at_most is None:
        return None
    scope.claim_rule(Place(path, 0), "at_most", does.at_most.span)
    return amounts.number(scope, does.at_most, amounts.MOST, "write `fail` for `restart` and no number")


def _counting(whose: syntax.Whose) -> Counting:
    return Counting(whose.once_a_grader, whose.by_anyone)


def _uncounted(scope: Scope, whose: syntax.Whose) -> Counting:
    """Refuse to say whose entries are counted where no number of marks is."""
    if whose.span is not None:
        scope.refuse(counting.WHOSE_WITHOUT_NUMBER, whose.span, words=whose.span.text.lstrip(", "))
    return OWN


def start(scope: Scope, place: Place, line: syntax.Start) -> Start:
    after = 0 if line.more_than is None else amounts.number(scope, line.more_than)
    if line.first and line.more_than is not None:
        facts = {"mark": line.pattern.span.text, "times": f"{after} times"}
        scope.refuse(counting.FIRST_COUNTED, line.span, **facts)
    return Start(
        path=scope.claim_rule(place, "start", line.span),
        words=words(line),
        sentence=None,
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        pattern=pattern(scope, line.pattern),
        first=line.first,
        more_than=after,
        counting=_counting(line.whose) if after else _uncounted(scope, line.whose),
    )


def goal(scope: Scope, place: Place, line: GoalLine) -> Goal:
    path = scope.claim_rule(place, "goal", line.span)
    order = scope.next_order()
    match line:
        case syntax.Until():
            number = 1 if line.number is None else amounts.number(scope, line.number)
            counted = line.number is not None
            return Until(
                path=path,
                words=words(line),
                sentence=None,
                order=order,
                depth=place.depth,
                span=line.span,
                pattern=pattern(scope, line.pattern, number),
                number=number,
                counting=_counting(line.whose) if counted else _uncounted(scope, line.whose),
            )
        case syntax.UntilTotals():
            mark = scope.mark(line.mark)
            if mark is not None and mark.unit is None:
                scope.refuse(codes.TOTALS_UNMEASURED, line.mark.span, mark=mark.name)
            elif mark is not None and mark.heading:
                scope.refuse(fact_codes.TOTAL_OF_HEADINGS, line.mark.span, mark=mark.name)
            dimension = mark.unit.dimension if mark is not None and mark.unit is not None else None
            return UntilTotals(
                path=path,
                words=words(line),
                sentence=None,
                order=order,
                depth=place.depth,
                span=line.span,
                mark=line.mark.text,
                amount=amounts.above_nought(scope, line.amount, dimension),
            )
        case syntax.For():
            return For(
                path=path,
                words=words(line),
                sentence=None,
                order=order,
                depth=place.depth,
                span=line.span,
                length=amounts.length(scope, line.length),
            )


def rest(
    scope: Scope, place: Place, part: str, line: syntax.Rest | syntax.Attempts, *, ends_by_mark: bool
) -> Rest:
    """Both bounds, under the path of `place` and standing at its depth; only what a mark ends can be breached."""
    bounds = [each for each in (line.least, line.greatest) if each is not None]
    for bound in bounds[:1] if line.as_range else bounds:
        if bound.consequence is None and ends_by_mark:
            scope.refuse(codes.REST_WITHOUT_ELSE, bound.span, bound=words(line))
    if line.greatest is not None and line.greatest.consequence is not None:
        _by_time_alone(scope, line.greatest.consequence, f"rest at most {line.greatest.length.quantity}")
    least = None if line.least is None else _bound(scope, place, part, "at least", line.least)
    greatest = None if line.greatest is None else _bound(scope, place, f"{part}_at_most", "at most", line.greatest)
    if least is not None and greatest is not None and least.length.base > greatest.length.base:
        facts = {"least": str(least.length), "greatest": str(greatest.length)}
        scope.refuse(codes.LEAST_OVER_GREATEST, line.span, **facts)
    return Rest(least, greatest)


def _bound(scope: Scope, place: Place, part: str, word: str, bound: syntax.Bound) -> RestBound:
    length = amounts.length(scope, bound.length)
    does = bound.consequence
    inside_rounds(scope, place, does)
    path = scope.claim_rule(place, part, bound.span)
    words = f"rest {word} {length}"
    if does is not None and does.at_most is not None:  # that number is cited in the same words
        words += otherwise_words(does)
    return RestBound(
        path=path,
        words=words,
        sentence=None if does is None else _text(does.sentence),
        order=scope.next_order(),
        depth=place.depth,
        span=bound.span,
        length=length,
        effect=syntax.Effect.NOTE if does is None else does.effect,
        at_once=does is not None and does.at_once,
        at_most=_at_most(scope, path, does),
        charged=does is not None and does.charged,
        says_breach=does is not None,
    )


def _text(text: syntax.Text | None) -> str | None:
    return None if text is None else text.text
