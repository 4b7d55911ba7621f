"""Figures as meant: what is measured, of which mark, in which clause; and the tests on them."""

from collections.abc import Collection

from standfast.codes import facts as fact_codes
from standfast.codes import figures as codes
from standfast.codes import rounds as rounds_codes
from standfast.codes import scores, watches
from standfast.language import syntax
from standfast.language.printer import figure_words, words
from standfast.model import amounts, rounds
from standfast.model.rules import OF_ROUNDS, Figure, FigureKind, Part, Rounds, Test
from standfast.model.scope import Place, Scope, near
from standfast.quantity import Comparison, Dimension, count

_SINGLE = frozenset({FigureKind.EACH, FigureKind.LAST})
_ALONE = frozenset({FigureKind.EACH, FigureKind.RATE})
OF_ROUNDS_WORDS = frozenset({syntax.FigureWord.MADE, syntax.FigureWord.MISSED, syntax.FigureWord.FURTHEST})
"""The figures that only clauses with rounds have."""
_DIMENSIONS = {
    **dict.fromkeys(OF_ROUNDS, Dimension.COUNT),
    FigureKind.COUNT: Dimension.COUNT,
    FigureKind.RATE: Dimension.RATE,
    FigureKind.POINTS: Dimension.COUNT,
}


def figure(scope: Scope, place: Place, written: syntax.Figure) -> Figure:
    """The figure of a line in the clause at `place`; every mark and clause it names looked up."""
    parts = tuple(_part(scope, place, part) for part in written.parts)
    if len(parts) == 1 and parts[0].path is None:
        return Figure(parts[0].kind, parts[0].mark, readings=parts[0].readings)
    if len(parts) > 1 and any(part.kind is FigureKind.FURTHEST for part in parts):
        scope.refuse(rounds_codes.ROUNDS_ADDED, written.span, figure=figure_words(written))
    if any(part.kind in _ALONE for part in parts):
        scope.refuse(codes.NOT_ADDED, written.span, figure=figure_words(written))
    dimensions = [dimension(scope, part) for part in written.parts]
    for other in dimensions[1:]:
        if None not in (other, dimensions[0]) and other is not dimensions[0]:
            first, second = (amounts.SPOKEN[each] for each in (dimensions[0], other) if each is not None)
            scope.refuse(
                codes.UNLIKE_FIGURES, written.span, figure=figure_words(written), first=first, second=second
            )
            break
    return Figure(FigureKind.SUM, parts=parts)


def _part(scope: Scope, place: Place, part: syntax.FigurePart) -> Part:
    kind = FigureKind(part.word.value)
    mark = readings = None
    if part.mark is not None:
        known = scope.mark(part.mark)
        mark = part.mark.text if known is None else known.name
        if known is not None and known.unit is None and kind not in _DIMENSIONS:
            words_of = figure_words(syntax.Figure((part,), part.span))
            scope.refuse(codes.UNMEASURED, part.mark.span, figure=words_of, mark=known.name)
        elif known is not None and kind is FigureKind.READING:
            readings = known.readings
            if readings is None and known.unit is not None:
                scope.refuse(watches.NO_WATCH, part.mark.span, mark=known.name, unit=known.unit.name)
    path = _path(scope, place, part)
    if kind is FigureKind.POINTS:
        _has_points(scope, place, part, path)
    elif kind in OF_ROUNDS:
        _has_rounds(scope, place, part, path)
    return Part(kind, mark, path, readings)


def _has_points(scope: Scope, place: Place, part: syntax.FigurePart, path: str | None) -> None:
    around = place.path if path is None else path
    whole_test = path is None and place.depth == 0
    known = path is None or path in scope.clause_paths
    if known and not any(whole_test or f"{each}.".startswith(f"{around}.") for each in scope.scored_paths):
        scope.refuse(scores.NO_POINTS, part.span, name="the whole test" if whole_test else around)


def _has_rounds(scope: Scope, place: Place, part: syntax.FigurePart, path: str | None) -> None:
    around = place.path if path is None else path
    if around not in scope.rounds and (path is None or path in scope.clause_paths):
        facts = {"path": around, "found": "no block of `rounds`", "figure": part.word.value}
        scope.refuse(rounds_codes.NOT_ROUNDS, part.span, **facts)


def _path(scope: Scope, place: Place, part: syntax.FigurePart) -> str | None:
    if not part.path:
        return None
    around = "" if place.depth == 0 else place.path
    found = clause_at(scope.clause_paths, around, part.path)
    if found is not None:
        return found
    written = ".".join(name.text for name in part.path)
    span = part.path[0].span.to(part.path[-1].span)
    known = {path.removeprefix(f"{around}.") for path in scope.clause_paths if path.startswith(around)}
    scope.refuse(codes.NO_SUCH_CLAUSE, span, around=place.path, **near(written, known))
    return written


def clause_at(paths: Collection[str], around: str, written: tuple[syntax.Name, ...]) -> str | None:
    """The path of the clause that is named inside the one at `around` (empty: in the test), in full or from it."""
    said, before = ".".join(name.text for name in written), f"{around}." if around else ""
    return next((path for path in (f"{before}{said}", said) if path.startswith(before) and path in paths), None)


def dimension(scope: Scope, part: syntax.FigurePart) -> Dimension | None:
    """What kind of amount the figure is; None where its mark is not one that is measured."""
    kind = FigureKind(part.word.value)
    if kind is FigureKind.TIME:
        return Dimension.TIME
    if kind in _DIMENSIONS:
        return _DIMENSIONS[kind]
    mark = None if part.mark is None else scope.marks.get(part.mark.text)
    return None if mark is None or mark.unit is None else mark.unit.dimension


def test(scope: Scope, place: Place, line: syntax.FigureLimit | syntax.ScoreRow, figure: syntax.Figure) -> Test:
    wanted = dimension(scope, figure.parts[0])
    written = line.test
    furthest = next((part for part in figure.parts if part.word is syntax.FigureWord.FURTHEST), None)
    if furthest is not None:
        held, name = _rounds(scope, place, furthest)
        return Test(Comparison.AT_LEAST, count(1)) if held is None else rounds.test(scope, name, written, held)
    known = amounts.dimension_of(written.first) if wanted is None else wanted
    if wanted is None and written.of is not None:
        scope.fact(written.of)
        found = Test(Comparison.AT_MOST, count(1))
    elif wanted is Dimension.TIME and written.of is not None and figure.parts[0].mark is None:
        scope.refuse(fact_codes.TIME_OF_FACT, written.span, words=words(line))
        found = Test(Comparison.AT_MOST, count(1))
    else:
        found = amounts.test(scope, written, known, heading=_of_values(scope, figure, written))
    if found.first.base == 0 and found.comparison in (Comparison.AT_LEAST, Comparison.UNDER):
        says = "is met whatever happens" if found.comparison is Comparison.AT_LEAST else "can never be met"
        scope.refuse(codes.DECIDES_NOTHING, written.span, words=words(line), found=says)
    if wanted is Dimension.COUNT and written.of is None:
        amounts.whole(scope, written)
    if len(figure.parts) == 1 and figure.parts[0].word in OF_ROUNDS_WORDS:
        _no_more_than_there_are(scope, place, written, figure.parts[0])
    return found


def _rounds(scope: Scope, place: Place, part: syntax.FigurePart) -> tuple[Rounds | None, str]:
    """The rounds that a part is a figure of, and the label of their clause; None where it has none."""
    around = "" if place.depth == 0 else place.path
    path = clause_at(scope.clause_paths, around, part.path) if part.path else around
    return (None, "") if path is None else (scope.rounds.get(path), path.rpartition(".")[2])


def _no_more_than_there_are(scope: Scope, place: Place, written: syntax.Test, part: syntax.FigurePart) -> None:
    held, name = _rounds(scope, place, part)
    for amount in (written.first, written.second):
        if held is not None and isinstance(amount, syntax.Amount) and amount.quantity.base > len(held.rounds):
            facts = {"words": str(amount.quantity), "number": str(len(held.rounds)), "name": name}
            scope.refuse(rounds_codes.MORE_THAN_ROUNDS, amount.span, **facts)


def _of_values(scope: Scope, figure: syntax.Figure, test: syntax.Test) -> bool:
    """Whether the figure is of headings; refused are figures that only amounts have."""
    (first, *others) = figure.parts
    kind = FigureKind(first.word.value)
    single = kind in _SINGLE and not others and not first.path
    marks = [scope.marks.get(part.mark.text) for part in figure.parts if part.mark is not None]
    heading = next((mark for mark in marks if mark is not None and mark.heading), None)
    if heading is not None and kind not in _DIMENSIONS and not single:
        facts = {"figure": figure_words(figure), "mark": heading.name}
        scope.refuse(fact_codes.FIGURE_OF_HEADINGS, figure.span, **facts)
    elif test.comparison is Comparison.WITHIN and not single and first.mark is not None:
        facts = {"figure": figure_words(figure), "mark": first.mark.text}
        scope.refuse(fact_codes.WITHIN_OF_FIGURE, figure.span, **facts)
    return heading is not None and kind not in _DIMENSIONS


def path_part(written: syntax.Figure) -> str:
    """The last part of a limit's path: `largest_load`, `time_of_carry`, `count_slip_plus_count_touch`."""
    return "_plus_".join(map(_path_part, written.parts))


def _path_part(part: syntax.FigurePart) -> str:
    said = [part.word.value, *([] if part.mark is None else [part.mark.text])]
    if part.path:
        of_time = part.word is syntax.FigureWord.TIME
        said += ["of" if of_time else "in", part.path[-1].text]
    return "_".join(said)
