"""A whole standard as meant: names looked up, paths given, refusals made.

Steps, groups and events are one kind of value, `Clause`: each may have a start, limits, faults, and either a
goal or items. What only events have stands in `Event`.
"""

from collections.abc import Iterator, Mapping
from datetime import date
from enum import Enum

from standfast.model.rules import (
    Effect,
    Fault,
    Figure,
    Goal,
    Limit,
    OnlyFor,
    Readings,
    Rest,
    RestBound,
    Rounds,
    Rule,
    Score,
    Start,
    Test,
    counted,
    marks_named,
)
from standfast.quantity import COUNT, Quantity, Unit
from standfast.source import Span
from standfast.values import field, frozen


@frozen
class Mark:
    """One thing a grader can log: bare, one of `choices`, measured in the dimension of `unit`, or of a round.

    A `heading` is measured in degrees, from 0 to under 360. Only of a measured mark several `readings` may be
    joined; None where nothing is said of that.
    """

    name: str
    title: str
    choices: tuple[str, ...] = ()
    unit: Unit | None = None
    readings: Readings | None = None
    heading: bool = False
    names_round: bool = False
    words: str = field(kw_only=True, eq=False, repr=False)
    span: Span = field(kw_only=True, eq=False, repr=False)


@frozen(kw_only=True)
class Fact:
    """What is stated of a candidate for the whole session: one of `choices`, or measured in `unit`.

    A `heading` is measured in degrees, from 0 to under 360, and a number in the unit of a count. Of one that is
    `shared` some rule takes a share.
    """

    name: str
    title: str | None
    words: str
    choices: tuple[str, ...] = ()
    unit: Unit | None = None
    heading: bool = False
    shared: bool = False
    span: Span = field(eq=False, repr=False)

    @property
    def path(self) -> str:
        return f"candidate.{self.name}"

    @property
    def is_number(self) -> bool:
        return self.unit is COUNT


Facts = Mapping[str, Quantity | str]
"""What is stated of one candidate, by name: a quantity or a choice."""


@frozen(kw_only=True)
class Condition(Rule):
    """A fact that must hold; `demand` is a test on a quantity, or yes (True) or no (False)."""

    name: str
    demand: Test | bool


class Kind(Enum):
    """How a clause is completed."""

    STEP = "step"  # by its goal
    IN_ORDER = "in order"  # by its items, one after another; an event with items is one
    ANY_ORDER = "in any order"  # by its items, side by side
    ONE_OF = "any one of"  # by the item that was chosen
    ROUNDS = "rounds"  # by the last round, or by an `out`; a round by its goal or by its items in order


@frozen
class Acceptance:
    """`accept CODE "why"`, in the block with this path (empty: the header)."""

    code: str
    why: str
    path: str
    span: Span = field(eq=False, repr=False)


@frozen(kw_only=True)
class Clause:
    """An event, step or group.

    INVARIANT: a STEP has a goal and no items, ROUNDS one or the other, the others have items and no goal.
    `rest` is the pause before this clause; only a later item of an IN_ORDER clause or of ROUNDS has one. `order`
    is that of its first line. Only an item of an ANY_ORDER clause, with a start, is `only_if_begun`. `rounds` is
    there for ROUNDS alone. With `only_for` it is in the test for some candidates alone. Of several `scores`
    each has a band, and every candidate is in one.
    """

    label: str
    path: str
    title: str | None
    kind: Kind
    depth: int
    order: int
    start: Start | None
    goal: Goal | None
    limits: tuple[Limit, ...]
    faults: tuple[Fault, ...]
    rest: Rest | None
    items: "tuple[Clause, ...]"
    only_for: OnlyFor | None = None
    only_if_begun: bool = False
    scores: tuple[Score, ...] = ()
    guidance: tuple[str, ...] = ()
    rounds: Rounds | None = None
    span: Span = field(eq=False, repr=False)

    def walk(self) -> "Iterator[Clause]":
        """This clause and all inside it, in written order."""
        yield self
        for item in self.items:
            yield from item.walk()

    def rules(self) -> Iterator[Rule]:
        """The rules of this clause itself, as printed: rest before it, start, goal, limits, score, faults."""
        if self.rest is not None:
            yield from bounds(self.rest)
        if self.start is not None:
            yield self.start
        if self.goal is not None:
            yield self.goal
        yield from self.limits
        yield from self.scores
        yield from self.faults

    @property
    def score(self) -> Score | None:
        """Its only one: of a standard for one candidate there is no other."""
        return next(iter(self.scores), None)


def rules_inside(clause: Clause) -> Iterator[Rule]:
    """The rules of a clause and of all in it, but not what comes before it begins."""
    for inner in clause.walk():
        for rule in inner.rules():
            if inner is not clause or not (rule is clause.start or isinstance(rule, RestBound)):
                yield rule


def bounds(rest: Rest) -> Iterator[RestBound]:
    """The bounds a rest has, the least first."""
    if rest.least is not None:
        yield rest.least
    if rest.greatest is not None:
        yield rest.greatest


@frozen(kw_only=True)
class Best(Rule):
    """`best by FIGURE`: of the attempts that end GO the one that counts; with `least` the least is best."""

    figure: Figure
    least: bool


@frozen
class Event:
    """What one attempt covers. `attempts` None is without limit; `clause.rest` is None."""

    clause: Clause
    attempts: int | None
    rest_between: Rest | None
    carry_on: bool
    conditions: tuple[Condition, ...]
    best: Best | None = None

    @property
    def label(self) -> str:
        return self.clause.label

    @property
    def stops(self) -> tuple[Fault, ...]:
        """The marks that say that no other attempt follows; only an event that takes the best has some."""
        return tuple(fault for fault in self.clause.faults if fault.effect is Effect.OUT)

    def rules(self) -> Iterator[Rule]:
        """Every rule of the event, those of inner clauses included."""
        yield from self.conditions
        if self.rest_between is not None:
            yield from bounds(self.rest_between)
        for clause in self.clause.walk():
            yield from clause.rules()


@frozen
class Always:
    """The rules for the whole test: limits from the first opening of an attempt, faults from the first entry."""

    limits: tuple[Limit, ...] = ()
    faults: tuple[Fault, ...] = ()


@frozen
class Grade:
    """What a GO is worth: its limits are judged when the test would be GO."""

    name: str
    title: str | None
    limits: tuple[Limit, ...]
    span: Span = field(eq=False, repr=False)


class Given(Enum):
    """What a case may say it gives."""

    GO = "GO"
    NO_GO = "NO-GO"
    UNFINISHED = "UNFINISHED"
    VOID = "VOID"
    FAILS = "fails"
    RESTARTS = "restarts"
    NOTES = "notes"
    DISQUALIFIES = "disqualifies"
    HALTS = "halts"
    BEGINS = "begins"
    OUT = "out"
    FURTHEST = "furthest"
    POINTS = "points"
    GRADE = "grade"


@frozen
class CaseEntry:
    at: int
    mark: str
    value: str | Quantity | None
    by: str | None
    candidate: str | None
    span: Span = field(eq=False, repr=False)


@frozen
class Expectation:
    """One `gives` line. `path` None with GO, NO-GO, UNFINISHED, VOID or points is that of the whole test.

    `furthest` is the round that FURTHEST says, in words; None: no round. `points` are there with the word
    points alone, and `grade` with grade.
    """

    path: str | None
    word: Given
    at: int | None
    candidate: str | None
    furthest: str | None = None
    points: int | None = None
    grade: str | None = None
    span: Span = field(kw_only=True, eq=False, repr=False)


@frozen
class Case:
    """A worked example. `event` None: a log of the whole test. Times in microseconds.

    `given` are conditions of the session, `facts` those of a candidate, or (None) of all.
    """

    title: str
    given: tuple[tuple[str, Quantity | bool], ...]
    facts: tuple[tuple[str, Quantity | str, str | None], ...] = field(kw_only=True, default=())
    event: str | None
    entries: tuple[CaseEntry, ...]
    end: int | None
    expectations: tuple[Expectation, ...]
    span: Span = field(eq=False, repr=False)


@frozen(kw_only=True)
class Standard:
    """A standard as meant; `grades` from the highest. `digest` is the SHA-256, in hexadecimal, of its
    canonical text without comments.

    `times_within` is by how much a logged time may be wrong, to either side; None: nothing is said of it.
    `facts` are those it asks of each candidate. One that is specialised for a candidate asks for none; `settled`
    holds those it was specialised by.
    """

    name: str
    title: str
    edition: str
    in_force: date
    authority: str | None
    cautions: tuple[str, ...]
    guidance: tuple[str, ...]
    carry_on: bool
    events_in_any_order: bool
    owed_fails: bool
    times_within: Quantity | None = None
    facts: tuple[Fact, ...] = ()
    settled: Facts = field(factory=dict)
    conditions: tuple[Condition, ...]
    marks: tuple[Mark, ...]
    always: Always
    events: tuple[Event, ...]
    grades: tuple[Grade, ...] = ()
    cases: tuple[Case, ...]
    acceptances: tuple[Acceptance, ...]
    digest: str
    span: Span = field(eq=False, repr=False)

    def mark(self, name: str) -> Mark | None:
        return next((mark for mark in self.marks if mark.name == name), None)

    def fact(self, name: str) -> Fact | None:
        return next((fact for fact in self.facts if fact.name == name), None)

    @property
    def once_a_grader(self) -> frozenset[str]:
        """The marks of which some rule counts one entry of each grader: every entry of them says by whom."""
        counts = [counted(rule) for rule in self.rules()]
        return frozenset(each[0] for each in counts if each is not None and each[1].once_a_grader)

    @property
    def by_anyone(self) -> frozenset[str]:
        """The marks of which some rule counts the entries of all candidates."""
        counts = [counted(rule) for rule in self.rules()]
        return frozenset(each[0] for each in counts if each is not None and each[1].by_anyone)

    def round_marks(self) -> dict[str, Clause]:
        """The clause of kind ROUNDS that each mark names a round of."""
        inside = {}
        for clause in (clause for event in self.events for clause in event.clause.walk()):
            if clause.kind is Kind.ROUNDS:
                inside.update({name: clause for rule in rules_inside(clause) for name in marks_named(rule)})
        return {mark.name: inside[mark.name] for mark in self.marks if mark.names_round and mark.name in inside}

    def rules(self) -> Iterator[Rule]:
        """Every rule of the standard, in canonical order."""
        yield from self.conditions
        yield from self.always.limits
        yield from self.always.faults
        for grade in self.grades:
            yield from grade.limits
        for event in self.events:
            yield from event.rules()

    def scores(self) -> Iterator[tuple[Clause, Score]]:
        """Every score with its clause, in written order."""
        for event in self.events:
            for clause in event.clause.walk():
                yield from ((clause, score) for score in clause.scores)
