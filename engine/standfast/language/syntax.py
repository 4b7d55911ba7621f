"""The syntax tree: a standard as written.

One attrs class for each line or block, with names and numbers as written and the span of everything. Nothing is
looked up: that `hit` is a mark is the model's business. Blocks keep their written order; the printer has another.

Comments: `above` holds the whole-line comments before a line, `beside` the comment at its end (both without
the `#` and the blank after it). A block's `below` holds comments after its last line.
"""

from enum import Enum

from standfast.language.syntax_choices import Effect as Effect
from standfast.language.syntax_choices import PickWord as PickWord
from standfast.language.syntax_figures import UNSAID
from standfast.language.syntax_figures import Band as Band
from standfast.language.syntax_figures import Figure as Figure
from standfast.language.syntax_figures import FigureLimit as FigureLimit
from standfast.language.syntax_figures import FigurePart as FigurePart
from standfast.language.syntax_figures import FigureWord as FigureWord
from standfast.language.syntax_figures import Otherwise as Otherwise
from standfast.language.syntax_figures import Score as Score
from standfast.language.syntax_figures import ScoreRow as ScoreRow
from standfast.language.syntax_figures import Whose as Whose
from standfast.language.syntax_parts import Amount as Amount
from standfast.language.syntax_parts import Choices as Choices
from standfast.language.syntax_parts import Line as Line
from standfast.language.syntax_parts import Name as Name
from standfast.language.syntax_parts import Pattern as Pattern
from standfast.language.syntax_parts import Round as Round
from standfast.language.syntax_parts import Test as Test
from standfast.language.syntax_parts import Text as Text
from standfast.language.syntax_parts import Whole as Whole
from standfast.language.syntax_rounds import Heights as Heights
from standfast.language.syntax_rounds import Levels as Levels
from standfast.language.syntax_rounds import NumberOfRounds as NumberOfRounds
from standfast.language.syntax_rounds import Out as Out
from standfast.language.syntax_rounds import Paced as Paced
from standfast.language.syntax_rounds import Tries as Tries
from standfast.language.syntax_rounds import Unmarked as Unmarked
from standfast.language.syntax_watches import Pick as Pick
from standfast.language.syntax_watches import Rounding as Rounding
from standfast.source import Source, Span
from standfast.values import field, frozen

# --- rules ---------------------------------------------------------------------------------------------


@frozen
class Consequence:
    """What a breach does: the effect, its sentence, and its modifiers."""

    effect: Effect
    at_once: bool
    sentence: Text | None
    at_most: Whole | None
    charged: bool
    span: Span


@frozen(kw_only=True)
class TimeLimit(Line):
    """`within D`, `under D`, `not before D`."""

    word: str
    length: Amount
    sentence: Text | None
    label: Name | None


@frozen(kw_only=True)
class CountLimit(Line):
    """`within N MARK`, `before N MARK`, `at least N MARK`."""

    word: str
    number: Whole
    mark: Name
    whose: Whose = UNSAID
    sentence: Text | None
    label: Name | None


@frozen(kw_only=True)
class SilenceLimit(Line):
    """`no MARK for over D`; `or_more` for `no MARK for D or more`."""

    mark: Name
    length: Amount
    or_more: bool
    sentence: Text | None
    label: Name | None


@frozen
class Occurrence:
    """A mark, acting on each one after the first `more_than` (0: on every one)."""

    pattern: Pattern
    more_than: Whole | None


@frozen
class OutOfOrder:
    pattern: Pattern


@frozen
class Silence:
    mark: Name
    length: Amount
    or_more: bool


@frozen(kw_only=True)
class Fault(Line):
    consequence: Consequence
    trigger: Occurrence | OutOfOrder | Silence
    whose: Whose = UNSAID
    label: Name | None


# --- goals, starts, items ------------------------------------------------------------------------------


@frozen(kw_only=True)
class Until(Line):
    """`until 2 hits`, `until check fuel`; `number` None for one."""

    number: Whole | None
    pattern: Pattern
    whose: Whose = UNSAID


@frozen(kw_only=True)
class UntilTotals(Line):
    mark: Name
    amount: Amount


@frozen(kw_only=True)
class For(Line):
    length: Amount


@frozen(kw_only=True)
class Start(Line):
    """`start on MARK`, or with `first`: `start with first MARK`; on each one after the first `more_than`."""

    first: bool
    pattern: Pattern
    more_than: Whole | None = None
    whose: Whose = UNSAID


@frozen(kw_only=True)
class OnlyIfBegun(Line):
    pass


@frozen
class Bound:
    """One bound of a rest; `consequence` None where it is left out, as is right if no mark ends the rest."""

    length: Amount
    consequence: Consequence | None
    span: Span


@frozen(kw_only=True)
class Rest(Line):
    """A pause between two items. `from A to B, else ...` gives both bounds the same consequence."""

    least: Bound | None
    greatest: Bound | None
    as_range: bool


@frozen(kw_only=True)
class Best(Line):
    figure: Figure


@frozen(kw_only=True)
class Guidance(Line):
    text: Text


@frozen(kw_only=True)
class Accept(Line):
    code: Name
    why: Text


@frozen(kw_only=True)
class CarryOn(Line):
    pass


@frozen(kw_only=True)
class OnlyFor(Line):
    """`only for FACT CHOICE or CHOICE`: the clause is in the test for such candidates alone."""

    fact: Name
    choices: tuple[Name, ...]


@frozen(kw_only=True)
class Attempts(Line):
    """`attempts N` or, with `number` None, `attempts without limit`; `rest` is the one between attempts."""

    number: Whole | None
    least: Bound | None
    greatest: Bound | None
    as_range: bool


class BlockWord(Enum):
    EVENT = "event"
    STEP = "step"
    IN_ORDER = "in order"
    ANY_ORDER = "in any order"
    ONE_OF = "any one of"
    ROUNDS = "rounds"


@frozen(kw_only=True)
class Block(Line):
    """An event, a step or a group with its lines: rules, goals, starts, rests, nested blocks, conditions."""

    word: BlockWord
    name: Name
    title: Text | None
    lines: "tuple[BlockLine, ...]"
    below: tuple[str, ...] = ()


# --- the whole file ------------------------------------------------------------------------------------


@frozen(kw_only=True)
class Edition(Line):
    text: Text


@frozen(kw_only=True)
class InForce(Line):
    """`in force from DATE`; the date as written (ISO 8601 calendar date)."""

    date: Name


@frozen(kw_only=True)
class Authority(Line):
    text: Text


@frozen(kw_only=True)
class Caution(Line):
    text: Text


@frozen(kw_only=True)
class EventsInAnyOrder(Line):
    pass


@frozen(kw_only=True)
class OwedFails(Line):
    pass


@frozen(kw_only=True)
class TimesWithin(Line):
    """By how much a logged time may be wrong, to either side."""

    length: Amount


_OfVerdicts = CarryOn | EventsInAnyOrder | OwedFails | TimesWithin
HeaderLine = Edition | InForce | Authority | Caution | Guidance | _OfVerdicts | Accept


@frozen(kw_only=True)
class Condition(Line):
    """A fact that must hold: `demand` is a test, or True for `yes`, False for `no`."""

    name: Name
    demand: Test | bool
    title: Text | None


@frozen(kw_only=True)
class Conditions(Line):
    lines: tuple[Condition | Guidance | Accept, ...]
    below: tuple[str, ...] = ()


@frozen(kw_only=True)
class Mark(Line):
    """A mark: bare, with `choices`, a `heading`, with a measured value (`unit`), or one that names a round.

    `title` is the observation. Several readings of a measured one are joined by `picks` and then rounded.
    """

    name: Name
    choices: tuple[Name, ...] = ()
    unit: Name | None = None
    picks: tuple[Pick, ...] = ()
    rounding: Rounding | None = None
    heading: bool = False
    names_round: bool = False
    title: Text | None


@frozen(kw_only=True)
class Fact(Line):
    """A fact of the candidate: with `choices`, a `heading`, a whole `number`, or (`unit`) measured.

    `title` says how it is found.
    """

    name: Name
    choices: tuple[Name, ...] = ()
    unit: Name | None = None
    heading: bool = False
    number: bool = False
    title: Text | None


@frozen(kw_only=True)
class Candidate(Line):
    lines: tuple[Fact | Guidance | Accept, ...]
    below: tuple[str, ...] = ()


@frozen(kw_only=True)
class Marks(Line):
    lines: tuple[Mark | Guidance | Accept, ...]
    below: tuple[str, ...] = ()


@frozen(kw_only=True)
class Always(Line):
    lines: "tuple[BlockLine, ...]"
    below: tuple[str, ...] = ()


@frozen(kw_only=True)
class Grade(Line):
    """What a GO is worth, with the limits that it asks for."""

    name: Name
    title: Text | None
    lines: tuple[FigureLimit | Guidance | Accept, ...]
    below: tuple[str, ...] = ()


BlockLine = (
    Attempts
    | Best
    | CarryOn
    | OnlyFor
    | OnlyIfBegun
    | Guidance
    | Accept
    | Start
    | Until
    | UntilTotals
    | For
    | TimeLimit
    | CountLimit
    | SilenceLimit
    | FigureLimit
    | Score
    | Fault
    | Levels
    | Heights
    | NumberOfRounds
    | Paced
    | Tries
    | Unmarked
    | Out
    | Rest
    | Block
    | Conditions
)


# --- cases ---------------------------------------------------------------------------------------------


@frozen
class Clock:
    """`m:ss.ffffff` or `h:mm:ss`; the instant in microseconds from the session's zero."""

    micros: int
    span: Span


@frozen(kw_only=True)
class Given(Line):
    """`with FACT VALUE`: a quantity, a choice, or True for `yes`, False for `no`; of one `candidate` or of all."""

    name: Name
    value: Amount | Name | bool
    candidate: Name | None = None


@frozen(kw_only=True)
class CaseEntry(Line):
    """One line of a case's log; with `mark` None it is the `end`."""

    at: Clock
    mark: Name | None
    value: Name | Amount | Round | None = None
    by: Name | None = None
    candidate: Name | None = None


@frozen(kw_only=True)
class Gives(Line):
    """`gives GO`, or `gives PATH fails at TIME`.

    `word` is GO, NO-GO, UNFINISHED, VOID, fails, restarts, notes, disqualifies, halts, begins, out or furthest;
    `path` and `at` stand with all from `fails` on, but `furthest` has `furthest` (None: no round) for a time, and
    `path` may be an event's label before GO and NO-GO. With the word points there is
    `points`, of the whole test or of the clause at `path`; with the word grade there is `grade`.
    """

    path: tuple[Name, ...]
    word: str
    at: Clock | None
    candidate: Name | None
    furthest: Amount | Round | None = None
    points: Whole | None = None
    grade: Name | None = None


@frozen(kw_only=True)
class Case(Line):
    """A worked example; with `event` None the log is of the whole test.

    `log_above` and `log_beside` are the comments of the line that opens the log.
    """

    title: Text
    given: tuple[Given, ...]
    event: Name | None
    entries: tuple[CaseEntry, ...]
    gives: tuple[Gives, ...]
    log_above: tuple[str, ...] = ()
    log_beside: str | None = None
    below: tuple[str, ...] = ()


FileBlock = Candidate | Conditions | Marks | Always | Grade | Block | Case


@frozen(kw_only=True)
class Standard:
    """One file. `blocks` in written order."""

    source: Source = field(repr=False, eq=False)
    span: Span
    name: Name
    title: Text | None
    header: tuple[HeaderLine, ...]
    blocks: tuple[FileBlock, ...]
    above: tuple[str, ...] = ()
    beside: str | None = None
    below: tuple[str, ...] = ()
