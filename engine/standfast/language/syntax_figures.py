"""Figures and limits on them, and scores, as written."""

from enum import Enum

from attrs import frozen

from standfast.language.syntax_parts import Line, Name, Test, Text, Whole
from standfast.source import Span


@frozen
class Whose:
    """Whose entries a number counts; `span` is that of what says so, None where nothing does."""

    once_a_grader: bool = False
    by_anyone: bool = False
    span: Span | None = None


UNSAID = Whose()


class FigureWord(Enum):
    TIME = "time"
    COUNT = "count"
    TOTAL = "total"
    LARGEST = "largest"
    SMALLEST = "smallest"
    EACH = "each"
    LAST = "last"
    RATE = "rate"
    POINTS = "points"
    READING = "reading"


@frozen
class FigurePart:
    """`largest of load`, `time of carry`; `path` names the clause inside that it is the figure of."""

    word: FigureWord
    mark: Name | None
    path: tuple[Name, ...]
    span: Span


@frozen
class Figure:
    """One part, or several added up."""

    parts: tuple[FigurePart, ...]
    span: Span


@frozen(kw_only=True)
class FigureLimit(Line):
    figure: Figure
    test: Test
    whose: Whose = UNSAID
    sentence: Text | None
    label: Name | None


@frozen(kw_only=True)
class ScoreRow(Line):
    """`under 6 min gives 5`; with its own `figure` where the score has none."""

    figure: Figure | None
    test: Test
    points: Whole


@frozen(kw_only=True)
class Otherwise(Line):
    """What no row fits: `points`, or None for `otherwise fails`."""

    points: Whole | None
    sentence: Text | None


@frozen(kw_only=True)
class Score(Line):
    """A table of points: of one `figure`, or (None) of rows that each have their own."""

    figure: Figure | None
    lines: tuple[ScoreRow | Otherwise, ...]
    below: tuple[str, ...] = ()
