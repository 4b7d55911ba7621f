"""Scores and grades as meant: tables of points without holes, and what a GO is worth."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from standfast.codes import rounds as round_codes
from standfast.codes import scores as codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.language.printer import figure_words, words
from standfast.model import amounts, bands, figures, lines
from standfast.model.rules import Figure, FigureKind, Limit, Score, ScoreRow, Test
from standfast.model.scope import Place, Scope
from standfast.model.standard import Grade
from standfast.quantity import Comparison, Dimension, Quantity, Rounding, count

_UP_TO = (Comparison.AT_MOST, Comparison.UNDER)
_TWO_ENDS = (Comparison.FROM_TO, Comparison.EXACTLY)
_NEVER_SCORED = frozenset({FigureKind.EACH, FigureKind.POINTS})


def score(scope: Scope, place: Place, line: syntax.Score) -> Score:
    band = None if line.band is None else bands.band(scope, line.band)
    path = scope.claim_rule(place, "score" if band is None else f"score_{bands.path_part(band)}", line.span)
    name = place.path.rpartition(".")[2]
    order = scope.next_order()
    shared = None if line.figure is None else _figure(scope, place, line.figure)
    written = [each for each in line.lines if isinstance(each, syntax.ScoreRow)]
    rows = tuple(_row(scope, place, line, shared, each) for each in written)
    ends = [each for each in line.lines if isinstance(each, syntax.Otherwise)]
    if not ends:
        scope.refuse(codes.NO_OTHERWISE, line.span, name=name)
    else:
        for below in line.lines[line.lines.index(ends[0]) + 1 :]:
            scope.refuse(codes.AFTER_OTHERWISE, below.span, row=words(below))
    if line.figure is not None and all(each.figure is None for each in written):
        before = [each for each in written if not ends or each.span.start < ends[0].span.start]
        _one_way(scope, before, rows[: len(before)])
    last = ends[0] if ends else None
    return Score(
        path=path,
        words=words(line),
        sentence=None if last is None or last.sentence is None else last.sentence.text,
        order=order,
        depth=place.depth,
        span=line.span,
        figure=shared,
        rounding=_rounding(scope, line, shared),
        band=band,
        rows=rows,
        otherwise=None if last is None or last.points is None else _points(scope, last.points),
        last_words="otherwise fails" if last is None else words(last),
    )


def _figure(scope: Scope, place: Place, written: syntax.Figure) -> Figure:
    found = figures.figure(scope, place, written)
    if found.kind in _NEVER_SCORED or any(part.kind in _NEVER_SCORED for part in found.parts):
        scope.refuse(codes.NO_SCORED_FIGURE, written.span, figure=figure_words(written))
    return found


def _rounding(scope: Scope, line: syntax.Score, shared: Figure | None) -> Rounding | None:
    """That of a table; refused is one of readings that are rounded where their mark is declared."""
    if line.rounding is None or line.figure is None or shared is None:
        return None
    twice = [
        part for part in shared.all_parts() if part.readings is not None and part.readings.rounding is not None
    ]
    for part in twice[:1]:
        facts = {"figure": figure_words(line.figure), "mark": part.mark or ""}
        scope.refuse(codes.ROUNDED_TWICE, line.rounding.span, **facts)
    if any(part.kind is FigureKind.FURTHEST for part in shared.all_parts()):
        scope.refuse(round_codes.ROUND_ROUNDED, line.rounding.span, figure=figure_words(line.figure))
    return amounts.rounding(scope, line.rounding, figures.dimension(scope, line.figure.parts[0]))


def _row(scope: Scope, place: Place, table: syntax.Score, shared: Figure | None, row: syntax.ScoreRow) -> ScoreRow:
    figure, of = shared, table.figure
    if row.figure is not None:
        own = _figure(scope, place, row.figure)
        if table.figure is None:
            figure, of = own, row.figure
        else:
            of = row.figure
            scope.refuse(codes.FIGURE_TWICE, row.span, row=words(row), figure=figure_words(table.figure))
    points = _points(scope, row.points)
    _fixed(scope, row)
    if figure is None or of is None:
        scope.refuse(codes.NO_FIGURE, row.span, row=words(row))
        test = Test(row.test.comparison, count(1))
        return ScoreRow(Figure(FigureKind.TIME), test, points, words(row), row.span)
    return ScoreRow(figure, figures.test(scope, place, row, of), points, words(row), row.span)


def _fixed(scope: Scope, line: syntax.ScoreRow | syntax.FigureLimit) -> None:
    if line.test.of is not None:
        scope.refuse(codes.SHARE, line.test.span, words=words(line))


def _points(scope: Scope, written: syntax.Whole) -> int:
    if written.number > amounts.MOST:
        facts = {"points": written.span.text, "most": str(amounts.MOST)}
        scope.refuse(codes.TOO_MANY_POINTS, written.span, **facts)
    return written.number


# --- the rows of one table -------------------------------------------------------------------------------


def _one_way(scope: Scope, written: Sequence[syntax.ScoreRow], rows: Sequence[ScoreRow]) -> None:
    """Refuse rows that leave a hole or overlap, and those that do not run one way."""
    table = list(zip(written, rows, strict=True))
    for line, row in table:
        if _two_ends(row):
            _refuse_two_ends(scope, line, row, [other for other in rows if other is not row])
    if any(_two_ends(row) for row in rows):
        return
    for (above, before), (line, row) in pairwise(table):
        if (row.test.comparison in _UP_TO) is not (before.test.comparison in _UP_TO):
            scope.refuse(
                codes.OTHER_SIDE,
                line.span,
                Label(above.span, "the one above"),
                row=words(line),
                first=words(above),
            )
        elif not _reaches_further(before.test, row.test):
            facts = {"row": words(line), "before": words(above)}
            scope.refuse(codes.NOT_FURTHER, line.span, Label(above.span, "the one above"), **facts)


def _two_ends(row: ScoreRow) -> bool:
    return row.test.comparison in _TWO_ENDS


def _refuse_two_ends(scope: Scope, line: syntax.ScoreRow, row: ScoreRow, others: Sequence[ScoreRow]) -> None:
    for other in others:
        point = amounts.meeting_point(row.test, other.test)
        if point is not None:
            scope.refuse(codes.ROW_IN_TWO, line.test.span, point=str(point), other=other.words)
            return
    hole = next(_holes(row.test, [other.test for other in others]), None)
    if hole is None:
        scope.refuse(codes.ROW_OF_TWO_ENDS, line.test.span, row=words(line))
    else:
        scope.refuse(codes.HOLE, line.test.span, low=str(hole[0]), high=str(hole[1]))


def _holes(test: Test, others: Sequence[Test]) -> Iterator[tuple[Quantity, Quantity]]:
    """What lies between the ends of the test and the nearest end of another beyond it."""
    low, high = test.first, test.second or test.first
    tops = [other.second or other.first for other in others if other.has_most]
    bottoms = [other.first for other in others if other.has_least]
    below = max((end for end in tops if end.base < low.base), key=lambda end: end.base, default=None)
    above = min((end for end in bottoms if end.base > high.base), key=lambda end: end.base, default=None)
    for first, second in ((below, low), (high, above)):
        if first is not None and second is not None and not _adjacent(first, second):
            yield first, second


def _adjacent(first: Quantity, second: Quantity) -> bool:
    """Whether nothing lies between two numbers of entries."""
    return first.dimension is Dimension.COUNT and second.base - first.base <= 1


def _reaches_further(before: Test, test: Test) -> bool:
    """Whether a row takes something that the one above it has left."""
    one, other = before.first.base, test.first.base
    if one == other:
        loose = (Comparison.AT_MOST, Comparison.AT_LEAST)
        return test.comparison in loose and before.comparison not in loose
    return other > one if test.comparison in _UP_TO else other < one


# --- grades ----------------------------------------------------------------------------------------------


def grades(scope: Scope, blocks: Sequence[syntax.Grade]) -> tuple[Grade, ...]:
    """The grades from the highest; one that asks for more than the one above it is refused."""
    found: list[Grade] = []
    for block in blocks:
        name = block.name.text
        other = next((grade for grade in found if grade.name == name), None)
        if other is not None:
            scope.refuse(codes.GRADE_TWICE, block.name.span, Label(other.span, "the other one"), name=name)
            continue
        place = Place(f"grades.{name}", 0)
        limits = tuple(_limit(scope, place, line) for line in block.lines if isinstance(line, syntax.FigureLimit))
        if not limits:
            scope.refuse(codes.EMPTY_GRADE, block.name.span, name=name)
        if found:
            _asks_for_less(scope, found[-1], name, limits)
        title = None if block.title is None else block.title.text
        found.append(Grade(name, title, limits, span=block.name.span))
    return tuple(found)


def _limit(scope: Scope, place: Place, line: syntax.FigureLimit) -> Limit:
    if any(part.word is syntax.FigureWord.EACH for part in line.figure.parts):
        scope.refuse(codes.EACH_IN_GRADE, line.figure.span, words=words(line))
    _fixed(scope, line)
    return lines.limit(scope, place, line)


def _asks_for_less(scope: Scope, above: Grade, name: str, limits: tuple[Limit, ...]) -> None:
    for limit in limits:
        for other in above.limits:
            if other.figure != limit.figure or other.test.comparison is not limit.test.comparison:
                continue
            mine, theirs = limit.test.first.base, other.test.first.base
            asks_more = mine < theirs if limit.test.comparison in _UP_TO else mine > theirs
            if asks_more and limit.test.comparison not in _TWO_ENDS:
                scope.refuse(
                    codes.LOWER_ASKS_MORE,
                    limit.span,
                    Label(other.span, "the one above"),
                    name=name,
                    above=above.name,
                    words=limit.words,
                    other=other.words,
                )
