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
from fractions import Fraction

from standfast.machine.bests import BestRow as BestRow
from standfast.machine.kinds import Deed as Deed
from standfast.machine.kinds import Gauge as Gauge
from standfast.machine.kinds import Keep as Keep
from standfast.machine.kinds import Location as Location
from standfast.machine.kinds import Phase as Phase
from standfast.model.rules import (
    Closing,
    Effect,
    Figure,
    FigureKind,
    Goal,
    Limit,
    Pattern,
    Readings,
    Rule,
    Score,
    ScoreRow,
    Start,
    Test,
)
from standfast.model.standard import Grade, Kind, Standard
from standfast.quantity import Quantity
from standfast.values import field, frozen

LIMITS = 0
FAULTS = 1
LIVE = frozenset({Location.OPEN, Location.LATE})


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

    @property
    def ends_event(self) -> bool:
        """Whether it says that no other attempt follows."""
        return self.effect is Effect.OUT and self.rounds is None


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

    @property
    def test(self) -> Test:
        return _limit_of(self.breach).test

    @property
    def figure(self) -> Figure:
        return _limit_of(self.breach).figure


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


Dial = tuple[Gauge, int]
"""Where a figure is read: the gauge and the number of its register."""


@frozen
class Judged:
    """A limit on values, a rate or a sum, judged when its place would complete; of a grade, on any figure."""

    breach: Breach
    gauge: Gauge
    register: int

    @property
    def test(self) -> Test:
        return _limit_of(self.breach).test

    @property
    def figure(self) -> Figure:
        return _limit_of(self.breach).figure


@frozen
class Rung:
    """One row of a score: the figure it is tried on; `test` is that of the figure before it is rounded."""

    row: ScoreRow
    test: Test
    gauge: Gauge
    register: int

    @property
    def figure(self) -> Figure:
        return self.row.figure


@frozen
class Scale:
    """The score of a place; `breach` is what happens when no row fits and `otherwise` fails."""

    score: Score
    rungs: tuple[Rung, ...]
    breach: Breach


@frozen
class GradeRow:
    """A grade with its limits and the rows of their figures."""

    grade: Grade
    limits: tuple[Judged, ...]
    rows: "tuple[Row, ...]"


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
    """While a place waits for its start: the counter and roll of one that is counted. `begun`: the flag that it
    has begun, of an item that is only owed then.
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
    scale: Scale | None
    rounds: RoundsRow | None = None


@frozen
class EventRow:
    """An event: its outermost place, attempts (None: without limit), the counter of those charged.

    `failing` is the flag of a failure held under `carry on`; `fresh` is what each attempt starts anew.
    """

    place: int
    attempts: int | None
    charged: int
    carry_on: bool
    failing: int
    fresh_counters: tuple[int, ...]
    fresh_flags: tuple[int, ...]
    best: BestRow | None = None


@frozen
class Machine:
    """A standard, compiled. `places[0]` and `places[1]` are those of the test itself.

    `dues_when`: those that can be live with no event open, then with each. `round_marks`: the place whose rounds
    a mark names. `of_candidates`: the machines made of it, by what is stated of a candidate. `point_bounds`: for
    each place the greatest number that its points are compared with, -1 for none.
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
    dues_when: tuple[tuple[Due, ...], ...]
    round_marks: Mapping[str, int]
    grades: tuple[GradeRow, ...]
    point_bounds: tuple[int, ...]
    has_rounds: bool = field(init=False, eq=False, repr=False)
    has_scores: bool = field(init=False, eq=False, repr=False)
    of_candidates: "dict[tuple[tuple[str, Quantity | str], ...], Machine]" = field(
        init=False, eq=False, repr=False, factory=dict
    )

    @has_rounds.default
    def _any_rounds(self) -> bool:
        return any(place.rounds is not None for place in self.places)

    @has_scores.default
    def _any_scores(self) -> bool:
        return any(place.scale is not None for place in self.places)


def _limit_of(breach: Breach) -> Limit:
    assert isinstance(breach.rule, Limit)
    return breach.rule
