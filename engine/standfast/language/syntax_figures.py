"""Figures and limits on them, and scores, as written."""

from enum import Enum

from standfast.language.syntax_parts import Line, Name, Test, Text, Whole
from standfast.language.syntax_watches import Rounding
from standfast.source import Span
from standfast.values import frozen


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
    MADE = "made"
    MISSED = "missed"
    FURTHEST = "furthest"


@frozen
class FigurePart:
    """`largest of load`, `time of carry`, `made in ladder`; `path` names the clause inside it is the figure of."""

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


@frozen
class Band:
    """`for duty shore or boat`, `for age from 30 to 39`: candidates by choices of a fact, or by a test on it."""

    fact: Name
    choices: tuple[Name, ...]
    test: Test | None
    span: Span


@frozen(kw_only=True)
class Score(Line):
    """A table of points: of one `figure`, as rounded, or (None) of rows that each have their own."""

    figure: Figure | None
    rounding: Rounding | None = None
    band: Band | None = None
    lines: tuple[ScoreRow | Otherwise, ...]
    below: tuple[str, ...] = ()
