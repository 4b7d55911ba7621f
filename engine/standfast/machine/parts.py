"""The parts of a compiled standard: places, clocks, counters, and transitions with guards and effects.

A machine is deterministic and finite. Its position is not one state but a vector: each clause is a *place* with
a location of its own (asleep, resting, waiting, open, late, done), so that items running side by side add up and
do not multiply. Beside the locations there are clocks (read only against constants), counters (read only up to
one past a constant), totals and flags. Two places stand for the test itself: `LIMITS`, open from the first
opening of an attempt, and `FAULTS`, open from the first entry; they hold the `always` rules.

Everything that can happen is listed: `Due` (time alone), and for each mark a `Watch` with what it counts, what
silences it ends, what it may break and what it may be used for. What a place does when it begins or is complete
follows from its kind and its row here.
"""

from collections.abc import Mapping
from enum import IntEnum
from fractions import Fraction

from attrs import field, frozen

from standfast.model.rules import Closing, Effect, FigureKind, Goal, Pattern, Readings, Rule, Start, Test
from standfast.model.standard import Kind, Standard
from standfast.quantity import Quantity

LIMITS = 0
FAULTS = 1


class Location(IntEnum):
    """Where one clause stands."""

    ASLEEP = 0  # not reached
    RESTING = 1  # in a rest that time alone ends
    WAITING = 2  # for its start mark
    OPEN = 3
    LATE = 4  # its `for` is over, but an `at least` of it is not met: open for this instant only
    DONE = 5


LIVE = frozenset({Location.OPEN, Location.LATE})


class Phase(IntEnum):
    """The order of what happens at one instant (rule 1); entries stand between STRICT and LAST."""

    COMPLETION = 0
    STRICT = 1
    LAST = 3


@frozen
class Clock:
    """Counts from its last reset; `bound` is the greatest constant it is compared with, in microseconds."""

    name: str
    bound: int


@frozen
class Counter:
    """`bound` is the greatest number it is compared with: one more is all that can matter."""

    name: str
    bound: int


class Keep(IntEnum):
    """Which of a mark's values a register keeps."""

    LARGEST = 0
    SMALLEST = 1
    LAST = 2
    NEAREST = 3  # with the smallest margin to the test


@frozen
class ValueRow:
    """A register of one of the values logged for a mark while its place is live; `test` is that of NEAREST."""

    mark: str
    place: int
    keep: Keep
    test: Test | None = None


@frozen
class TotalRow:
    """A sum of measured values: of those a goal took (`mark` None), or of all logged while the place is live."""

    name: str
    place: int
    mark: str | None = None
    bound: Fraction = Fraction(0)


@frozen
class RateRow:
    """A rate: the counter of its entries, the clocks since the first and since the last of them."""

    mark: str
    place: int
    counter: int
    first: int
    last: int


@frozen
class ReadingRow:
    """A register of the readings of a watch while its place is live, and how they make one."""

    mark: str
    place: int
    readings: Readings


@frozen
class Breach:
    """What a rule does when it is broken or triggered.

    `place` is the clause it stands in, the one a restart puts back. `kept` is the flag that says that an event
    with `carry on` already holds this failure. `restarts` counts the restarts that took place in the attempt.
    `ends_test` marks a limit of `always`; `between` a rest between attempts. `rounds` is the place with rounds
    that it stands in, the one whose round is missed, passed or over.
    """

    rule: Rule
    effect: Effect
    place: int
    kept: int
    at_once: bool = False
    restarts: int | None = None
    at_most: int | None = None
    charged: bool = False
    ends_test: bool = False
    between: bool = False
    rounds: int | None = None


@frozen
class Count:
    """An entry that fits adds one to the counter while the place is live, or (`waits`) waits for its start.

    `once` is the roll of graders of whom one entry counts. With `anyone` other candidates' entries count;
    `compared` is then the counter of what the count was when it was last compared.
    """

    pattern: Pattern
    place: int
    counter: int
    waits: bool = False
    once: int | None = None
    anyone: bool = False
    compared: int | None = None


@frozen
class Hush:
    """A mark that ends a silence: the clock starts again and the silence can act again."""

    mark: str
    place: int
    silence: int


@frozen
class Strike:
    """An entry that fits triggers the breach while the place is live and the counter stands over `allowed`.

    Without a counter every entry that fits does. `out_of_order`: only one that nothing else uses. `once` is the
    counter's roll of graders, `figure` the counter that keeps its figure for a verdict.
    """

    pattern: Pattern
    place: int
    breach: Breach
    counter: int | None = None
    allowed: int = 0
    out_of_order: bool = False
    once: int | None = None
    figure: int | None = None


@frozen
class Bar:
    """A limit on values that an entry can break at once, by its own value (gauge None) or by a register's."""

    mark: str
    place: int
    breach: Breach
    gauge: "Gauge | None"
    register: int


@frozen
class Use:
    """The one more thing an entry may do: begin a waiting place, or advance the goal of an open one.

    It begins one only when `counter`, where there is one, stands over `allowed`. `once` is the roll of graders of
    the goal or start; with `anyone` other candidates' entries raise the goal's count.
    """

    pattern: Pattern
    place: int
    begins: bool
    counter: int | None = None
    allowed: int = 0
    once: int | None = None
    anyone: bool = False


@frozen
class Watch:
    """All that one mark can do. `uses` in written order; `places` are those that note its values or its rate."""

    counts: tuple[Count, ...]
    hushes: tuple[Hush, ...]
    strikes: tuple[Strike, ...]
    bars: tuple[Bar, ...]
    uses: tuple[Use, ...]
    places: tuple[int, ...]


class Deed(IntEnum):
    """What a `Due` does."""

    COMPLETE = 0  # the goal of the place is reached; without an `at least` it becomes late
    BEGIN = 1  # the rest before the place is over
    BREAK = 2  # a time limit is broken
    SILENCE = 3  # a silence acts
    OVERSTAY = 4  # a rest has lasted too long
    TOO_FEW = 5  # a late place is judged


@frozen
class Due:
    """A transition by time alone: while the place is at one of `locations`, `after` microseconds of the clock.

    `silence` is the silence that must be armed; `spent` a flag that must be down.
    """

    deed: Deed
    place: int
    locations: frozenset[Location]
    clock: int
    after: int
    phase: Phase
    breach: Breach | None = None
    silence: int | None = None
    spent: int | None = None


@frozen
class SilenceRow:
    """A silence: its clock, the flag that it can act, the gauge of its longest stretch, its rule and place."""

    rule: Rule
    place: int
    clock: int
    armed: int


@frozen
class AtLeast:
    """`at least N MARK`, judged when its place would complete."""

    breach: Breach
    counter: int
    number: int


@frozen
class NotBefore:
    """`not before D`, judged after every `at least`."""

    breach: Breach
    clock: int
    length: int


class Gauge(IntEnum):
    """Where the figure of a row is read."""

    CLOCK = 0
    COUNTER = 1
    SILENCE = 2
    TOTAL = 3
    RESTARTS = 4
    VALUE = 5
    RATE = 6
    KEPT = 7  # the figure of a clause inside, from when it was completed
    SUM = 8
    ROUNDS = 9  # rounds made, missed, or the furthest made
    MISSES = 10  # tries missed, in all or in the longest row
    READING = 11


Dial = tuple[Gauge, int]
"""Where a figure is read: the gauge and the number of its register."""


@frozen
class Judged:
    """A limit on values, a rate or a sum, judged when its place would complete."""

    breach: Breach
    gauge: Gauge
    register: int


@frozen
class Keeping:
    """A figure to be kept when the place is completed."""

    dial: Dial
    register: int


@frozen
class Row:
    """A figure to be given when the place completes: the rule it belongs to and the register that has it."""

    rule: Rule
    gauge: Gauge
    register: int


@frozen
class MissedOut:
    """`out on N misses`: the breach that acts when the counter of misses reaches the number."""

    breach: Breach
    counter: int
    number: int


@frozen
class RoundsRow:
    """The rounds of a place: their names in order, and the counters of what becomes of them.

    `open` is the number of the open round from 0 (as many as there are: none is open), `tried` the tries missed
    at it, `row` the misses since the last round made and `longest` the longest such row, `misses` those in all,
    `made` and `missed` rounds that closed so, `furthest` the number of the greatest made, from 1. `goal_roll` is
    that of the graders whose entries the goal took at this try.
    """

    names: tuple[str, ...]
    tries: int
    unmarked: Closing | None
    open: int
    tried: int
    row: int
    longest: int
    misses: int
    made: int
    missed: int
    furthest: int
    goal_roll: int | None
    outs: tuple[MissedOut, ...]

    def counter_of(self, kind: FigureKind) -> int:
        """The counter that a figure of rounds is read from."""
        return {FigureKind.MADE: self.made, FigureKind.MISSED: self.missed}.get(kind, self.furthest)


@frozen
class RestRow:
    """The rest before a place: its clock, the flag that its greatest length has acted, and its breaches."""

    clock: int
    spent: int
    least: Breach | None
    least_length: int
    greatest: Breach | None


@frozen
class Waiting:
    """What a place has while it waits for its start: the counter and the roll of a start that is counted.

    `begun` is the flag, of an item that is only owed if it has begun, that it has.
    """

    counter: int | None = None
    roll: int | None = None
    begun: int | None = None


@frozen
class Place:
    """One clause of an event. Its subtree is the places from `index` up to `end` (excluded).

    `counters` and `rolls` (of graders counted) are those that begin anew with it.
    """

    index: int
    end: int
    path: str
    kind: Kind
    event: int
    parent: int | None
    children: tuple[int, ...]
    depth: int
    order: int
    start: Start | None
    goal: Goal | None
    goal_register: int | None
    rest: RestRow | None
    clock: int
    counters: tuple[int, ...]
    rolls: tuple[int, ...]
    waiting: "Waiting"
    silences: tuple[int, ...]
    at_least: tuple[AtLeast, ...]
    judged: tuple[Judged, ...]
    not_before: tuple[NotBefore, ...]
    totals: tuple[int, ...]
    values: tuple[int, ...]
    rates: tuple[int, ...]
    readings: tuple[int, ...]
    keepings: tuple[Keeping, ...]
    rows: tuple[Row, ...]
    rounds: RoundsRow | None = None


@frozen
class EventRow:
    """An event: its outermost place, attempts (None: without limit), the counter of those charged.

    `failing` is the flag that an attempt under `carry on` holds a failure; `fresh` the counters and flags that
    each attempt starts anew.
    """

    place: int
    attempts: int | None
    charged: int
    carry_on: bool
    failing: int
    fresh_counters: tuple[int, ...]
    fresh_flags: tuple[int, ...]


@frozen
class Machine:
    """A standard, compiled. `places[0]` and `places[1]` are those of the test itself.

    `round_marks` has the place whose rounds a mark names. `of_candidates` keeps the machines made of it for
    candidates, by what is stated of them.
    """

    standard: Standard
    places: tuple[Place, ...]
    events: tuple[EventRow, ...]
    clocks: tuple[Clock, ...]
    counters: tuple[Counter, ...]
    totals: tuple[TotalRow, ...]
    values: tuple[ValueRow, ...]
    rates: tuple[RateRow, ...]
    readings: tuple[ReadingRow, ...]
    sums: tuple[tuple[Dial, ...], ...]
    kept: tuple[str, ...]
    flags: tuple[str, ...]
    rolls: tuple[str, ...]
    silences: tuple[SilenceRow, ...]
    watches: Mapping[str, Watch]
    dues: tuple[Due, ...]
    round_marks: Mapping[str, int]
    of_candidates: "dict[tuple[tuple[str, Quantity | str], ...], Machine]" = field(
        init=False, eq=False, repr=False, factory=dict
    )
