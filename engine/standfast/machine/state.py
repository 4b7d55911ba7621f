"""Where a machine stands, and what a step reports."""

from fractions import Fraction

from standfast.log.entry import Entry
from standfast.machine.parts import Breach, Location, Row
from standfast.model.rules import Closing, Effect, RestBound, Score
from standfast.values import frozen


@frozen
class State:
    """The whole position at the instant `now` (microseconds).

    `clocks` hold the instant of the last reset, None while off. `values` and `kept` hold what has been logged and
    looked back at (None: not there), `readings` all readings of a watch. `bests` hold for each event that takes
    the best of its attempts the figures of the best so far, nothing before there is one. `longest` holds each
    silence's longest finished stretch: it is read for figures only and never decides. `standings`: None undecided,
    else whether the event is GO. `open` is the event whose attempt is open. `decided`: None, else whether the test
    is GO. `rolls` hold for each count of one entry a grader those who were counted. `points`
    hold for each place those of what is inside it and has completed (None: it failed to give any); the first has
    those of the test.
    """

    now: int
    locations: tuple[Location, ...]
    counters: tuple[int, ...]
    totals: tuple[Fraction, ...]
    values: tuple[Fraction | None, ...]
    kept: tuple[Fraction | None, ...]
    readings: tuple[tuple[Fraction, ...], ...]
    bests: tuple[tuple[Fraction | None, ...], ...]
    flags: tuple[bool, ...]
    clocks: tuple[int | None, ...]
    longest: tuple[int, ...]
    standings: tuple[bool | None, ...]
    open: int | None
    decided: bool | None
    rolls: tuple[tuple[str, ...], ...]
    points: tuple[int | None, ...]


Reading = Fraction | int | None
"""What a breach measured: microseconds, a count, a value in base units; None: nothing."""


@frozen
class Awarded:
    """What a score gave: the number of the `row` (None: `otherwise`), and the figure it was tried on, if there."""

    score: Score
    row: int | None
    points: int | None
    figure: Reading


Figures = tuple[tuple[Row, Fraction | int], ...]


@frozen(kw_only=True)
class Signal:
    """Something that happened, at an instant, by an entry or (None) by time."""

    at: int
    entry: Entry | None


@frozen(kw_only=True)
class Opened(Signal):
    event: int


@frozen(kw_only=True)
class Began(Signal):
    place: int


@frozen(kw_only=True)
class Completed(Signal):
    """`figures`: each row of the place with its raw figure (microseconds, counts, base units)."""

    place: int
    figures: Figures
    scored: "Awarded | None" = None


@frozen(kw_only=True)
class Rested(Signal):
    """A rest before `place` was ended by a mark after `length` microseconds."""

    place: int
    bound: RestBound
    length: int


@frozen(kw_only=True)
class Restarted(Signal):
    place: int


@frozen(kw_only=True)
class Breached(Signal):
    """A rule acted. `asked` is the number of restarts asked for where the greatest number was used up.

    `readings` is the number of the readings of which none counts, `round` the name of the round that was open
    where the rule stands.
    """

    breach: Breach
    figure: Reading
    asked: int | None = None
    readings: int | None = None
    round: str | None = None


@frozen(kw_only=True)
class Retried(Signal):
    """A try at the open round of a place began: what stands in it begins anew."""

    place: int


@frozen(kw_only=True)
class Closed(Signal):
    """A round of a place (its number, from 0) closed."""

    place: int
    round: int
    ended: Closing


@frozen(kw_only=True)
class RoundsOver(Signal):
    """No round of a place is open any more."""

    place: int


@frozen(kw_only=True)
class Ended(Signal):
    """An attempt ended: by the effect of a breach (FAIL, HALT, DISQUALIFY), or (None) GO; `best` so far."""

    event: int
    effect: Effect | None
    charged: bool
    best: bool = False


@frozen(kw_only=True)
class Settled(Signal):
    event: int
    go: bool


@frozen(kw_only=True)
class Decided(Signal):
    go: bool
    figures: Figures
    grade: str | None = None


@frozen(kw_only=True)
class Unused(Signal):
    """An entry with no use or after the verdict, or (`breach`) a fault with no attempt to act on.

    `unfit`: something would have used the mark with another value.
    """

    breach: Breach | None = None
    after_verdict: bool = False
    unfit: bool = False
