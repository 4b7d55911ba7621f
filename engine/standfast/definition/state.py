"""What a lawyer would keep on the table while reading a log: clauses in progress, attempts, reasons filed.

Nothing is counted up as the log goes by. A clause in progress keeps every entry that was shown to it since its
beginning, and whatever is asked (how many, how long silent, how much in all) is worked out from that list.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise

from standfast.log.entry import Entry
from standfast.model.rules import OWN, Closing, Counting, Fault, Limit, Pattern, Rest, Start
from standfast.model.standard import Clause, Event, Kind, Standard
from standfast.quantity import Quantity
from standfast.values import define, field, frozen
from standfast.verdict import Ending, Moment, Outcome, Reason, Remark


def micros(length: Quantity) -> int:
    """A duration in microseconds; a standard's durations are whole ones."""
    return int(length.base)


def taken(counting: Counting, entries: Iterable[Entry]) -> list[Entry]:
    """Rule 38: of entries that fit those that are counted: with `once a grader` the first of each."""
    counted: list[Entry] = []
    for entry in entries:
        if not (counting.once_a_grader and any(each.by == entry.by for each in counted)):
            counted.append(entry)
    return counted


@define(eq=False)
class Tally:
    """Limits and faults in force since an instant, and every entry shown to them since then.

    `heard` are those shown and, among them in their places, those of other candidates (rule 38). `run` is the
    clause in progress whose rules they are, None for those of `always`. `silences_acted` holds, for each silence
    that acted, its path and how many of its marks had come by then.
    """

    limits: tuple[Limit, ...]
    faults: tuple[Fault, ...]
    since: int
    run: "Run | None" = None
    shown: list[Entry] = field(factory=list)
    heard: list[Entry] = field(factory=list)
    silences_acted: list[tuple[str, int]] = field(factory=list)

    def counted(self, mark: str, counting: Counting = OWN) -> int:
        """Rule 10: with any value."""
        return self.fitting(Pattern(mark), counting)

    def fitting(self, pattern: Pattern, counting: Counting) -> int:
        """Rule 10: those that fit."""
        return len(self.taken(pattern, counting))

    def taken(self, pattern: Pattern, counting: Counting) -> list[Entry]:
        """Rules 10 and 38: those that fit and are counted."""
        entries = self.heard if counting.by_anyone else self.shown
        return taken(counting, [e for e in entries if pattern.fits(e.mark, e.value)])

    def compared(self, pattern: Pattern, counting: Counting) -> int:
        """Rule 38: the count when it was last compared, which is when an own entry was counted."""
        entries = self.taken(pattern, counting)
        own = [number for number, entry in enumerate(entries, 1) if entry in self.shown]
        return max(own, default=0)

    def values(self, mark: str) -> list[Fraction]:
        """Rule 28: the measured values of a mark, as logged."""
        return [e.value.base for e in self.shown if e.mark == mark and isinstance(e.value, Quantity)]

    def rate(self, mark: str) -> Fraction | None:
        """Rule 28: entries a microsecond; one entry, or several at one instant, have none."""
        at = [e.at for e in self.shown if e.mark == mark]
        if len(at) < 2 or at[-1] == at[0]:
            return None
        return Fraction(len(at) - 1, at[-1] - at[0])

    def silent_since(self, mark: str) -> int:
        """Rule 12: from the beginning, then from each of its marks."""
        return max([self.since] + [e.at for e in self.shown if e.mark == mark])

    def longest_silence(self, mark: str, until: int) -> int:
        """Rule 23: the longest stretch, the last one included."""
        instants = [self.since] + [e.at for e in self.shown if e.mark == mark] + [until]
        return max(later - earlier for earlier, later in pairwise(instants))


@frozen
class Trial:
    """A try at a round (its place, from 0) that was made or missed, or a round that was passed."""

    round: int
    ended: Closing


@define(eq=False)
class Run:
    """A clause in progress. It waits (for its start mark or for a rest to end), is open, or is completed.

    `heard` are the entries since it began to wait that its start may count. `has_begun` tells that it has, in this
    run of the clause around it, also if it was put back since. `advanced` are the entries its goal took.
    `rest_since` is when the rest before it started, where there is one that still lasts. `rests` are those between
    its items that a mark ended, and how long each was.

    Of rounds: `trials` are the tries that were decided, `closed` how each round that is over ended, in order, and
    `is_out` that an `out` acted. What the goal took, the items and the rests are those of the try that goes on.
    """

    clause: Clause
    parent: "Run | None"
    tally: Tally | None = None
    completed_at: int | None = None
    has_begun: bool = False
    heard: list[Entry] = field(factory=list)
    items: "list[Run]" = field(factory=list)
    advanced: list[Entry] = field(factory=list)
    rest_since: int | None = None
    rest_was_too_long: bool = False
    rests: list[tuple[Rest, int]] = field(factory=list)
    trials: list[Trial] = field(factory=list)
    closed: list[Closing] = field(factory=list)
    is_out: bool = False

    @property
    def start(self) -> Start | None:
        return self.clause.start

    @property
    def waits(self) -> bool:
        return self.tally is None

    @property
    def is_owed(self) -> bool:
        """Rule 39: not if it is only owed once it has begun."""
        return self.completed_at is None and (self.has_begun or not self.clause.only_if_begun)

    @property
    def is_open(self) -> bool:
        return self.tally is not None and self.completed_at is None

    @property
    def open_round(self) -> int | None:
        """Rule 32: one round is open at a time, none when the clause is over."""
        rounds = self.clause.rounds
        is_over = rounds is None or self.waits or self.is_out or len(self.closed) >= len(rounds.rounds)
        return None if is_over else len(self.closed)

    def rounds_around(self) -> "Run | None":
        """The rounds it is in or is itself."""
        run: Run | None = self
        while run is not None and run.clause.kind is not Kind.ROUNDS:
            run = run.parent
        return run

    def total(self) -> Fraction:
        """Of the measured values its goal took, in the base unit."""
        return sum((e.value.base for e in self.advanced if isinstance(e.value, Quantity)), Fraction(0))

    def open_runs(self) -> "Iterator[Run]":
        """Rule 9: the open clauses from here inwards; a clause that waits sleeps with all inside it."""
        if self.is_open:
            yield self
            for item in self.items:
                yield from item.open_runs()

    def open_tallies(self) -> list[Tally]:
        return [run.tally for run in self.open_runs() if run.tally is not None]

    def waiting_runs(self) -> "Iterator[Run]":
        """Those from here inwards that wait, inside clauses that are open."""
        if self.waits:
            yield self
        elif self.is_open:
            for item in self.items:
                yield from item.waiting_runs()

    def completed_runs(self) -> "Iterator[Run]":
        """Rule 23: of each clause the run that completed; one that was restarted is no longer here."""
        if self.completed_at is not None:
            yield self
        for item in self.items:
            yield from item.completed_runs()


@define(eq=False)
class Attempt:
    """One attempt at an event. `root` is None for one that a rest between attempts opened and failed.

    `kept` holds the paths of rules that failed it and let it run on, `restarts` a path for each restart that took
    place. `rest_before` is the length of the rest before it where there was one that a mark ended.
    `rest_after_was_too_long` tells that the greatest length of the rest after it has acted.
    """

    number: int
    opened_at: int
    root: Run | None = None
    ended_at: int | None = None
    ending: Ending = Ending.OPEN
    charged: bool = True
    moments: list[Moment] = field(factory=list)
    kept: list[str] = field(factory=list)
    restarts: list[str] = field(factory=list)
    rest_before: int | None = None
    rest_after_was_too_long: bool = False


@define(eq=False)
class Course:
    """How one event has gone so far; `outcome` is None until it is decided.

    `heard` are the entries since the last attempt ended that its start may count.
    """

    event: Event
    attempts: list[Attempt] = field(factory=list)
    heard: list[Entry] = field(factory=list)
    outcome: Outcome | None = None

    @property
    def start(self) -> Start | None:
        return self.event.clause.start

    @property
    def last(self) -> Attempt | None:
        return self.attempts[-1] if self.attempts else None

    @property
    def spent(self) -> bool:
        """Rules 15, 17 and 21: whether as many attempts were charged as there are."""
        allowed = self.event.attempts
        return allowed is not None and len([a for a in self.attempts if a.charged]) >= allowed

    @property
    def has_go(self) -> bool:
        return any(attempt.ending is Ending.GO for attempt in self.attempts)

    @property
    def rest_since(self) -> int | None:
        """Rule 18: the rest between attempts starts when the attempt ends, however it ended."""
        if self.event.rest_between is None or self.outcome is not None or self.last is None:
            return None
        return self.last.ended_at


@define(eq=False)
class Filed:
    """A reason and whose it is: an attempt's, the test's (None), or the next attempt's of a course."""

    reason: Reason
    owner: Attempt | Course | None


@define(eq=False)
class Hearing:
    """One candidate's log, as far as it has been read.

    `limits` and `faults` are those of `always`, None while they sleep. `attempt` is the open one and `course` its
    event's; `last_ended` is the attempt that ended last. `outcome` is what has become certain, `decided_at` since
    when; `over` tells that nothing can happen any more. `heard_before` are others' entries before the first.
    """

    standard: Standard
    courses: list[Course]
    now: int = 0
    limits: Tally | None = None
    faults: Tally | None = None
    course: Course | None = None
    attempt: Attempt | None = None
    last_ended: Attempt | None = None
    outcome: Outcome | None = None
    decided_at: int | None = None
    over: bool = False
    filed: list[Filed] = field(factory=list)
    remarks: list[Remark] = field(factory=list)
    heard_before: list[Entry] = field(factory=list)

    @property
    def root(self) -> Run | None:
        """The event of the open attempt, as a clause in progress."""
        return None if self.attempt is None else self.attempt.root

    def tallies(self) -> list[Tally]:
        """Rule 4: all rules in play. Rule 17: between attempts and events, those of `always` alone."""
        always = [tally for tally in (self.limits, self.faults) if tally is not None]
        return always + (self.root.open_tallies() if self.root is not None else [])

    def can_open(self) -> list[Course]:
        """Rules 17 and 21: no event while an attempt is open; else the next, or with events in any order each."""
        undecided = [course for course in self.courses if course.outcome is None]
        if self.attempt is not None or self.over:
            return []
        if self.standard.events_in_any_order:
            return undecided
        if undecided and undecided[0].has_go:
            return [undecided[0], *(later for later in undecided[1:2] if later.start is not None)]  # Rule 40
        return undecided[:1]

    def after_halt(self) -> bool:
        """Rule 15: whether the attempt that ended last was halted."""
        return self.last_ended is not None and self.last_ended.ending is Ending.HALTED
