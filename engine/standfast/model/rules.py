"""What is meant by one line: tests, patterns, figures, limits, faults, starts, rests, goals.

Every rule knows its dotted path, the author's sentence, the words of the clause in canonical form (for a
verdict to cite) and its `order`: its place in the canonical written order of the whole standard, which
decides among equals (a tidied file therefore means what it meant before).
"""

from enum import Enum
from fractions import Fraction

from standfast.language.syntax_choices import Effect as Effect
from standfast.language.syntax_choices import PickWord as PickWord
from standfast.model.comparing import FULL_CIRCLE as FULL_CIRCLE
from standfast.model.comparing import Test as Test
from standfast.quantity import Quantity, Rounding
from standfast.source import Span
from standfast.values import field, frozen


@frozen
class OnlyFor:
    """`only for FACT CHOICE or CHOICE`."""

    fact: str
    choices: tuple[str, ...]
    words: str
    span: Span = field(eq=False, repr=False)


@frozen
class Pattern:
    """A mark and what its value must be: any (`None`), one of `choices` (or none of them), or a test."""

    mark: str
    choices: tuple[str, ...] = ()
    other: bool = False
    test: Test | None = None

    def fits(self, mark: str, value: "str | Quantity | None") -> bool:
        if mark != self.mark:
            return False
        if self.choices:
            return (value in self.choices) != self.other
        if self.test is not None:
            return isinstance(value, Quantity) and self.test.holds(value.base)
        return True


@frozen(kw_only=True)
class Rule:
    """What all rules have. `depth` is that of the clause it stands in: `always` 0, an event 1, and so on."""

    path: str
    words: str
    sentence: str | None
    order: int
    depth: int
    span: Span = field(eq=False, repr=False)


@frozen
class Readings:
    """How several readings of one watch make one: which counts of so many (of one, itself), then rounded once."""

    picks: tuple[tuple[int, PickWord], ...] = ()
    rounding: Rounding | None = None

    @property
    def most(self) -> int:
        """The greatest number of readings that has a rule."""
        return max((number for number, _ in self.picks), default=1)


class FigureKind(Enum):
    """A fixed phrase for something measured in a clause, from its beginning to its completion."""

    TIME = "time"
    COUNT = "count"
    SILENCE = "silence"  # the longest stretch without the mark
    TOTAL = "total"  # of the mark's measured values
    LARGEST = "largest"
    SMALLEST = "smallest"
    EACH = "each"  # every value by itself
    LAST = "last"
    POINTS = "points"  # of the clause's own score and those inside it
    RATE = "rate"  # (count - 1) / (last - first), entries a microsecond
    READING = "reading"  # of several readings of a watch, joined and rounded
    SUM = "sum"  # of parts, or one part of another clause
    MADE = "made"  # rounds
    MISSED = "missed"
    FURTHEST = "furthest"  # the number of the greatest round made, 0 for none


OF_ROUNDS = (FigureKind.MADE, FigureKind.MISSED, FigureKind.FURTHEST)


@frozen
class Part:
    """One figure in a sum; `path` is the clause it belongs to, None for the clause with the line."""

    kind: FigureKind
    mark: str | None
    path: str | None
    readings: Readings | None = None


@frozen
class Counting:
    """Whose entries a number of marks counts: one of each grader, those of all candidates."""

    once_a_grader: bool = False
    by_anyone: bool = False


OWN = Counting()
"""Every entry that is the candidate's own or for all."""


@frozen
class Figure:
    """A figure of the clause with the line; only a SUM has `parts`, and no mark; only a READING `readings`."""

    kind: FigureKind
    mark: str | None = None
    counting: Counting = OWN
    parts: tuple[Part, ...] = ()
    readings: Readings | None = None

    def all_parts(self) -> tuple[Part, ...]:
        """Its parts, or itself as the only one."""
        return self.parts or (Part(self.kind, self.mark, None, self.readings),)

    @property
    def step(self) -> Quantity | None:
        """Of readings that are all rounded, the least step to which they are."""
        roundings = [None if part.readings is None else part.readings.rounding for part in self.all_parts()]
        known = [rounding.step for rounding in roundings if rounding is not None]
        return min(known, key=lambda step: step.base) if len(known) == len(roundings) else None

    @property
    def must_be_there(self) -> bool:
        """Whether a limit on it is broken, whatever its test, where the figure is not there."""
        return FigureKind.READING in (self.kind, *(part.kind for part in self.parts))


@frozen(kw_only=True)
class Limit(Rule):
    """A test on a figure of the clause it stands in; broken, it fails the attempt (in `always`, the test).

    The short forms: `within D` is TIME at most D, `under D` TIME under D, `not before D` TIME at least D,
    `within N M` COUNT at most N, `before N M` COUNT under N, `at least N M` COUNT at least N,
    `no M for over D` SILENCE at most D, `no M for D or more` SILENCE under D.

    With `misses` it stands inside a round and misses the try instead.
    """

    figure: Figure
    test: Test
    misses: bool = False

    @property
    def acts_at_once(self) -> bool:
        """Whether something short of completion can break it for good."""
        match self.figure.kind:
            case FigureKind.TIME | FigureKind.COUNT | FigureKind.TOTAL | FigureKind.LARGEST:
                return self.test.has_most
            case FigureKind.SMALLEST:
                return self.test.has_least
            case FigureKind.EACH | FigureKind.SILENCE:
                return True
            case FigureKind.LAST | FigureKind.RATE | FigureKind.POINTS | FigureKind.READING | FigureKind.SUM:
                return False
            case FigureKind.MADE | FigureKind.MISSED | FigureKind.FURTHEST:
                return False

    @property
    def judged_late(self) -> bool:
        """Whether there is something to judge when the clause would complete."""
        match self.figure.kind:
            case FigureKind.TIME | FigureKind.COUNT | FigureKind.TOTAL | FigureKind.LARGEST:
                return self.test.has_least
            case FigureKind.SMALLEST:
                return self.test.has_most
            case FigureKind.EACH | FigureKind.SILENCE:
                return False
            case FigureKind.LAST | FigureKind.RATE | FigureKind.POINTS | FigureKind.READING | FigureKind.SUM:
                return True
            case FigureKind.MADE | FigureKind.MISSED | FigureKind.FURTHEST:
                return True


@frozen
class Band:
    """Some of the candidates, by the fact they are told apart by: `duty boat`, `age from 30 to 39`."""

    fact: str
    choices: tuple[str, ...]
    test: Test | None
    words: str

    def holds(self, stated: Quantity | str | None) -> bool:
        """Whether one of whom this is stated is of them; with nothing stated, none is."""
        if isinstance(stated, Quantity):
            return self.test is not None and self.test.holds(stated.base)
        return stated in self.choices


@frozen
class ScoreRow:
    """One row of a score; `words` are its own in canonical form."""

    figure: Figure
    test: Test
    points: int
    words: str
    span: Span = field(eq=False, repr=False)


@frozen(kw_only=True)
class Score(Rule):
    """What a completed clause is worth: the points of the first row that fits, else of `otherwise` (None: fails).

    INVARIANT: rows of a table, which are all of its `figure`, are open to one side and reach further one by one.
    Only a table has a `rounding`: its rows are tried on the figure as rounded. With a `band` it is for some of the
    candidates.
    """

    figure: Figure | None
    rounding: Rounding | None = None
    band: Band | None = None
    rows: tuple[ScoreRow, ...]
    otherwise: int | None
    last_words: str

    @property
    def figures(self) -> tuple[Figure, ...]:
        return tuple(row.figure for row in self.rows)

    def rounded(self, amount: Fraction | int) -> Fraction:
        """The amount that the rows are tried on, in base units."""
        return Fraction(amount) if self.rounding is None else self.rounding.of(Fraction(amount))


@frozen
class Occurrence:
    """Each entry that fits, after the first `more_than` of them."""

    pattern: Pattern
    more_than: int = 0
    counting: Counting = OWN


@frozen
class OutOfOrder:
    pattern: Pattern


@frozen
class Silence:
    """`length` without the mark: passed (`no M for over D`) or, with `or_more`, reached."""

    mark: str
    length: Quantity
    or_more: bool


@frozen
class Misses:
    """The `number`th miss in a row, or in all."""

    number: int
    in_a_row: bool


@frozen(kw_only=True)
class Fault(Rule):
    """What a mark, a silence or a number of misses does.

    `at_most` bounds the restarts that take place in one attempt (None: no bound); the reason of one more is
    cited as `path` + `.at_most`. `charged` is a halt's; `at_once` a restart's.
    """

    effect: Effect
    trigger: Occurrence | OutOfOrder | Silence | Misses
    at_once: bool = False
    at_most: int | None = None
    charged: bool = False


@frozen(kw_only=True)
class RestBound(Rule):
    """One bound of a rest and what its breach does.

    The path ends in `rest` for the least and `rest_at_most` for the greatest (`rest_between` and
    `rest_between_at_most` for the rest between attempts). `says_breach` is whether the author said what a breach
    does; where a mark ends the rest it is always said.
    """

    length: Quantity
    effect: Effect
    at_once: bool = False
    at_most: int | None = None
    charged: bool = False
    says_breach: bool = True


@frozen
class Rest:
    """The pause before an item, or between attempts; at least one of the bounds is there."""

    least: RestBound | None
    greatest: RestBound | None


@frozen(kw_only=True)
class Start(Rule):
    """The mark a clause begins with: a signal (consumed), or with `first` the first act itself.

    Of a signal, each entry that fits after the first `more_than` since the clause began to wait.
    """

    pattern: Pattern
    first: bool
    more_than: int = 0
    counting: Counting = OWN


@frozen(kw_only=True)
class Until(Rule):
    """Complete at the `number`th entry that fits."""

    pattern: Pattern
    number: int
    counting: Counting = OWN


@frozen(kw_only=True)
class UntilTotals(Rule):
    """Complete when the values of the mark add up to at least `amount`."""

    mark: str
    amount: Quantity


@frozen(kw_only=True)
class For(Rule):
    """Complete when the clause has lasted `length`."""

    length: Quantity


Goal = Until | UntilTotals | For


def counted(rule: Rule) -> tuple[str, Counting] | None:
    """The mark of which a rule counts a number, and whose; None if it counts none."""
    match rule:
        case Limit(figure=Figure(kind=FigureKind.COUNT, mark=mark, counting=counting)) if mark is not None:
            return mark, counting
        case Fault(trigger=Occurrence(pattern=pattern, counting=counting)):
            return pattern.mark, counting
        case Start(pattern=pattern, counting=counting) | Until(pattern=pattern, counting=counting):
            return pattern.mark, counting
        case _:
            return None


class Closing(Enum):
    """How a round ends."""

    MADE = "made"
    MISSED = "missed"
    PASSED = "passed"


@frozen
class Round:
    """One round: its name in words (`level 6 shuttle 10`, `1.93 m`, `round 3`), the parts of it, or its length.

    `pace` is the speed of its level, for the briefing only.
    """

    words: str
    parts: tuple[tuple[str, int], ...] = ()
    length: Quantity | None = None
    pace: Quantity | None = None


@frozen
class Rounds:
    """The rounds of a clause, in order; a round closes as missed after `tries` missed tries.

    `unmarked` is what becomes of rounds that an entry passes over by naming a later one (None: it may not).
    `paced` is a length, for the briefing only.
    """

    rounds: tuple[Round, ...]
    tries: int
    unmarked: Closing | None
    paced: Quantity | None

    def index(self, words: str) -> int:
        """The place of a round by its name in words, from 0; it must be one of them."""
        return next(number for number, each in enumerate(self.rounds) if each.words == words)

    def named(self, parts: tuple[tuple[str, int], ...], length: Quantity | None) -> Round | None:
        """The round with these parts, or with this length, in whatever unit."""
        for each in self.rounds:
            if length is None and parts and each.parts == parts:
                return each
            if length is not None and each.length is not None and each.length.base == length.base:
                return each
        return None

    def time_of(self, number: int) -> Fraction | None:
        """How many microseconds the round (its place, from 0) takes at the pace of its level; None for no pace."""
        pace = self.rounds[number].pace
        return None if pace is None or self.paced is None else self.paced.base * 1_000_000 / pace.base

    def readings(self, number: str) -> tuple[Round, ...]:
        """The rounds that may be meant by a bare number such as `6.1`, where the name of one was to be written."""
        whole, _, decimals = number.partition(".")
        inner = [each.lstrip("0") or "0" for each in (decimals.rstrip("0"), f"{decimals.rstrip('0')}0") if each]
        return tuple(
            each
            for each in self.rounds
            if (each.length is not None and str(each.length).split()[0] == number)
            or (len(each.parts) == 1 and str(each.parts[0][1]) == number)
            or (len(each.parts) == 2 and str(each.parts[0][1]) == whole and str(each.parts[1][1]) in inner)
        )


def marks_named(rule: Rule) -> tuple[str, ...]:
    """The marks a rule names; several only where it adds or scores figures."""
    match rule:
        case Limit(figure=Figure(parts=parts)) if parts:
            return tuple(dict.fromkeys(part.mark for part in parts if part.mark is not None))
        case Score():
            named = [(figure.mark, *(part.mark for part in figure.parts)) for figure in rule.figures]
            return tuple(dict.fromkeys(mark for marks in named for mark in marks if mark is not None))
        case Limit(figure=Figure(mark=str(mark))) | UntilTotals(mark=mark) | Fault(trigger=Silence(mark=mark)):
            return (mark,)
        case Start(pattern=pattern) | Until(pattern=pattern):
            return (pattern.mark,)
        case Fault(trigger=Occurrence(pattern=pattern) | OutOfOrder(pattern=pattern)):
            return (pattern.mark,)
        case _:
            return ()
