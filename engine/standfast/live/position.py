"""Where a candidate stands while the log still grows: values only."""

from enum import Enum

from standfast.log.entry import Entry, Presence, SessionLog
from standfast.model.rules import Effect
from standfast.values import frozen
from standfast.verdict import Measure, Outcome, Owed, ReasonKind, Verdict


@frozen
class Wanted:
    """Something owed; of a goal that counts or adds up, what there is of it `so_far`."""

    owed: Owed
    so_far: Measure | None = None


class Ticks(Enum):
    """What a clock that runs is for."""

    HOLD = "hold"  # reaching its end completes something, at that instant still if something of it is wanting
    REST = "rest"  # reaching its end begins something
    LIMIT = "limit"
    SILENCE = "silence"
    REST_TOO_LONG = "rest at most"
    REST_TOO_SHORT = "rest at least"  # to begin before its end breaks it
    TOO_EARLY = "not before"  # to be done before its end breaks it


@frozen(kw_only=True)
class Running:
    """A clock: from when to when it runs, how much of that is left, all in microseconds, and what acts then or, of
    the last two kinds, before then.

    `reached`: it acts when nothing is left; else, of what acts then, only a moment later.
    """

    kind: Ticks
    path: str
    words: str
    since: int
    until: int
    left: int
    effect: Effect | None
    reached: bool


@frozen(kw_only=True)
class Attempts:
    """The attempts at one event: those charged, the open one too, and how many more there may be.

    `left` is None where there is no limit; 0 once the event is decided.
    """

    event: str
    charged: int
    left: int | None
    open: bool
    outcome: Outcome


class Doing(Enum):
    """What an entry can do that is no breach of a rule."""

    OPENS = "opens an attempt"
    BEGINS = "begins"
    COMPLETES = "completes"
    ROUND = "makes the round"
    COUNTS = "counts"


@frozen
class Does:
    """What an entry would do, and to what; without a path, it counts towards something."""

    kind: Doing | ReasonKind
    path: str | None


@frozen(kw_only=True)
class Range:
    """Some of the amounts a mark can have, from `least` to `most` (None: without an end), each itself or not."""

    least: Measure | None
    with_least: bool
    most: Measure | None
    with_most: bool


@frozen(kw_only=True)
class MarkNow:
    """A mark that something would come of now, with any value or with these."""

    mark: str
    choices: tuple[str, ...] = ()
    amounts: Range | None = None
    does: tuple[Does, ...]


@frozen(kw_only=True)
class Position:
    """One candidate at the instant `at` (microseconds), by the log so far; `verdict` is what grading it gives.

    Where the verdict is VOID for want of a fact about the candidate, there is nothing but the verdict.
    """

    verdict: Verdict
    at: int
    owed: tuple[Wanted, ...] = ()
    clocks: tuple[Running, ...] = ()
    attempts: tuple[Attempts, ...] = ()
    marks: tuple[MarkNow, ...] = ()


@frozen(kw_only=True)
class Stand:
    """Where all candidates of a log stand once its last line so far is read.

    `anew`: something before that line is not what it was, by a correction or else, so everything was begun anew.
    """

    log: SessionLog
    positions: tuple[Position, ...]
    anew: bool

    @property
    def last(self) -> Entry | Presence | None:
        """What stands last in the log but for its end and corrections."""
        lasts: list[Entry | Presence] = [*self.log.entries[-1:], *self.log.presence[-1:]]
        return max(lasts, key=lambda each: each.number, default=None)

    def is_news_of(self, position: Position) -> bool:
        """Whether the last line can have moved this candidate; nobody else stands elsewhere than before."""
        last, candidate = self.last, position.verdict.candidate
        return self.anew or self.log.end is not None or last is None or last.candidate in (None, candidate)
