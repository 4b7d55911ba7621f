"""A picture of time drawn: entries above as labelled ticks, below them clauses and limits as rows, and a scale."""

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from standfast.quantity import clock
from standfast.report.lines import safe
from standfast.report.shapes import Box, Drawing, Shape, Stroke, Words, text_width, wrapped
from standfast.report.verdict_page.labels import BESIDE, SIZE, Label, labels
from standfast.report.verdict_page.scale import Scale
from standfast.report.verdict_page.timeline import Bar, Extent, Look, Row, Tick, Timeline

WIDTH = 860
_NAMES = 210  # of the column of names
_PAD = 8
_INDENT = 12
_LANE = 14
_TICK = 9
_ROW, _NAME, _BAR = 17, 13, 10
_FOOT = 19
_ROWS = 640  # of the rows of one picture, so that it is printed at nine tenths of its size or more
_BEYOND = 4  # a limit that ends within a fourth of the time shown after its end is shown whole
_LEAST = 1_000_000  # microseconds that a picture shows


def drawings(shown: Timeline) -> tuple[Drawing, ...]:
    """The picture; where its rows would not fit a printed page, several, each with some of them."""
    parts: list[list[Row]] = [[]]
    for row in shown.rows:
        if parts[-1] and sum(map(_height, parts[-1])) + _height(row) > _ROWS:
            parts.append([])
        parts[-1].append(row)
    return tuple(_drawn(shown, rows) for rows in parts)


def _drawn(shown: Timeline, rows: Sequence[Row]) -> Drawing:
    room = WIDTH - _PAD
    found, scale = labels(shown, Scale(shown.since, _until(shown), _NAMES, room), room)
    line = _PAD + (1 + max((each.lane for each in found), default=-1)) * _LANE + _TICK
    bottom = line + _PAD + sum(map(_height, rows))
    shapes = [*_foot(scale, line, bottom), *_guides(shown.ticks, scale, line, bottom)]
    down = line + _PAD
    for row in rows:
        shapes += _row(row, scale, down)
        down += _height(row)
    shapes += [Stroke(((scale.left, line), (scale.right, line)), "axis")]
    for tick in shown.ticks:
        x = scale.at(tick.at)
        look = "gone" if tick.is_gone else tick.look.value
        shapes.append(Stroke(((x, line - _TICK), (x, line)), f"tick-{look}"))
        if tick.shifted is not None:
            shapes += _shifted(x, scale.at(tick.shifted), line)
    for label in found:
        shapes += _label(label, scale, line, bottom)
    return Drawing(WIDTH, bottom + _FOOT, tuple(shapes))


def _until(shown: Timeline) -> int:
    """The last instant shown: the end, or that of a limit which is not far beyond it."""
    until = max(shown.until, shown.since + _LEAST)
    ends = [end for row in shown.rows for extent in row.extents for end in extent.ends]
    return max([until, *(end for end in ends if end <= until + (until - shown.since) // _BEYOND)])


def _foot(scale: Scale, line: int, bottom: int) -> Iterator[Shape]:
    for instant in scale.steps():
        text, x = clock(instant), scale.at(instant)
        yield Stroke(((x, line), (x, bottom)), "grid")
        wide = text_width(text, SIZE)
        yield Words(min(x - wide // 2, WIDTH - wide), bottom + _NAME, text, "scale")


def _guides(ticks: Sequence[Tick], scale: Scale, line: int, bottom: int) -> Iterator[Shape]:
    """A line down from each entry that did something."""
    for x in sorted({scale.at(tick.at) for tick in ticks if tick.told and tick.look is not Look.CUT}):
        yield Stroke(((x, line), (x, bottom)), "guide")


def _shifted(x: int, other: int, line: int) -> Iterator[Shape]:
    """A box from where an entry is to where it would be, wide enough to be seen."""
    left, right = min(x, other), max(x, other)
    right = max(right, left + 4)
    yield Box(left, line - 5, right - left, 4, "close")


def _label(label: Label, scale: Scale, line: int, bottom: int) -> Iterator[Shape]:
    x = scale.at(label.at)
    base = line - _TICK - label.lane * _LANE - 4
    if label.kind == "decided":
        yield Stroke(((x, base - 10), (x, bottom)), "decided")
    else:
        yield Stroke(((x, base - 10), (x, line - _TICK)), "leader")
    yield Words(x + BESIDE, base, label.text, label.kind)


def _height(row: Row) -> int:
    return max(_ROW, len(_name(row)) * _NAME + 4)


def _name(row: Row) -> list[str]:
    return wrapped(safe(row.words), _NAMES - _PAD - _indent(row), SIZE, bold=bool(row.bars))


def _indent(row: Row) -> int:
    return min(row.depth, 6) * _INDENT


def _row(row: Row, scale: Scale, top: int) -> Iterator[Shape]:
    kind = "row-limit" if row.extents else "row-name"
    for number, line in enumerate(_name(row), 1):
        yield Words(_indent(row), top + number * _NAME, line, kind)
    for bar in row.bars:
        yield _bar(bar, scale, top + 4)
    for extent, after in zip_longest(row.extents, row.extents[1:]):
        yield from _extent(extent, None if after is None else after.since, scale, top + 4 + _BAR // 2)


def _bar(bar: Bar, scale: Scale, top: int) -> Box:
    left = scale.at(bar.since)
    return Box(left, top, max(2, scale.at(bar.until) - left), _BAR, f"bar-{bar.look.value}")


def _extent(extent: Extent, again: int | None, scale: Scale, level: int) -> Iterator[Shape]:
    """A line as far as the limit reaches, or to where it ran `again`; a wall at each end that it reached."""
    kind = "limit" if extent.broken is None else "limit-noted" if extent.noted else "limit-broken"
    far = extent.ends[-1] if again is None else min(extent.ends[-1], again)
    left, right = scale.at(extent.since), scale.at(far)
    beyond = far > scale.until
    yield Stroke(((left, level), (right, level)), "arrow" if beyond else kind)
    for x in (scale.at(end) for end in extent.ends if end <= min(far, scale.until)):
        yield Stroke(((x, level - 5), (x, level + 5)), kind)
    if extent.broken is not None:
        x = scale.at(extent.broken)
        yield Stroke(((x - 4, level - 4), (x + 4, level + 4)), kind)
        yield Stroke(((x - 4, level + 4), (x + 4, level - 4)), kind)
