"""A standard as an outline of sentences: what every page is made from."""

from collections.abc import Iterable, Iterator
from enum import Enum

from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    Rest,
    RestBound,
    Rule,
    Silence,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Condition, Event, Kind, Standard
from standfast.report.brief import course, points, rules
from standfast.report.brief.setting import Setting, Voice
from standfast.report.brief.spoken import day, name
from standfast.report.cautions import usual_cautions
from standfast.report.lines import safe
from standfast.values import frozen


class Sort(Enum):
    """What kind of line a sentence is made from."""

    PAUSE = "pause"
    BEGINNING = "beginning"
    GOAL = "goal"
    LIMIT = "limit"
    FAULT = "fault"
    CONDITION = "condition"


class Task(Enum):
    """What the grader does about it."""

    WATCH = "Watch"
    COUNT = "Count"
    TIME = "Time"
    ADD = "Add up"
    CHECK = "Check"
    READ = "Read"  # nothing to be filled in


@frozen(kw_only=True)
class Said:
    """One rule in a sentence; `quoted` is the author's, `effect` what a breach does, if anything."""

    path: str
    sort: Sort
    task: Task
    text: str
    quoted: str | None = None
    effect: Effect | None = None

    @property
    def fails(self) -> bool:
        return self.effect in (Effect.FAIL, Effect.DISQUALIFY)


@frozen(kw_only=True)
class Part:
    """An event, step or group. `number` is `1.2` for a place.

    `tries`, `conditions` and whether a rule `halts` a try are only of an event.
    """

    number: str
    name: str
    title: str | None
    kind: Kind
    path: str
    guidance: tuple[str, ...]
    beginning: Said
    goal: Said
    pauses: tuple[Said, ...]
    rules: tuple[Said, ...]
    parts: "tuple[Part, ...]"
    tries: str | None = None
    attempts: int | None = None
    carry_on: str | None = None
    conditions: tuple[Said, ...] = ()
    halts: bool = False

    @property
    def sentences(self) -> tuple[Said, ...]:
        """All of its own, a pause before it first."""
        return (*self.pauses, self.beginning, self.goal, *self.rules)

    @property
    def read(self) -> tuple[Said, ...]:
        return tuple(each for each in self.sentences if each.task is Task.READ)

    @property
    def tasks(self) -> tuple[Said, ...]:
        return tuple(each for each in self.sentences if each.task is not Task.READ)

    def walk(self) -> "Iterator[Part]":
        yield self
        for part in self.parts:
            yield from part.walk()


@frozen(kw_only=True)
class Logged:
    """A mark: its name, and what is seen and logged with it."""

    name: str
    text: str


@frozen(kw_only=True)
class Outline:
    """Author's texts in it are safe to print; none is marked up. `usual` are the cautions of our own."""

    name: str
    title: str
    edition: str
    in_force: str
    authority: str | None
    digest: str
    cautions: tuple[str, ...]
    usual: tuple[str, ...]
    guidance: tuple[str, ...]
    course: tuple[str, ...]
    conditions: tuple[Said, ...]
    always: tuple[Said, ...]
    events: tuple[Part, ...]
    marks: tuple[Logged, ...]
    examples: tuple[str, ...]
    acceptances: tuple[str, ...]

    @property
    def outcomes(self) -> tuple[str, ...]:
        """What the verdict on the test can be; it is VOID only by a condition."""
        conditions = any((self.conditions, *(event.conditions for event in self.events)))
        return ("GO", "NO-GO", "UNFINISHED", *(("VOID",) if conditions else ()))

    def said(self) -> Iterator[Said]:
        """Every sentence that is made from a rule."""
        yield from self.conditions
        yield from self.always
        for event in self.events:
            yield from event.conditions
            for part in event.walk():
                yield from part.sentences


def outline(standard: Standard, voice: Voice) -> Outline:
    whole, graded = Setting(standard, voice), standard.once_a_grader
    return Outline(
        name=standard.name,
        title=safe(standard.title),
        edition=safe(standard.edition),
        in_force=day(standard.in_force),
        authority=None if standard.authority is None else safe(standard.authority),
        digest=standard.digest,
        cautions=tuple(map(safe, standard.cautions)),
        usual=usual_cautions(standard),
        guidance=tuple(map(safe, standard.guidance)),
        course=course.of_the_test(standard),
        conditions=_conditions(standard.conditions),
        always=(
            *_limits(standard.always.limits, whole),
            *_faults(standard.always.faults, whole),
            *_grades(whole),
        ),
        events=tuple(_event(event, whole, number) for number, event in enumerate(standard.events, 1)),
        marks=tuple(
            Logged(name=each.name, text=course.mark(each, graded=each.name in graded)) for each in standard.marks
        ),
        examples=tuple(map(course.example, standard.cases)),
        acceptances=tuple(map(course.acceptance, standard.acceptances)),
    )


def _event(event: Event, whole: Setting, number: int) -> Part:
    setting = Setting(whole.standard, whole.voice, event, event.clause)
    return _part(
        setting,
        str(number),
        pauses=_pauses(event.rest_between, setting, between=True),
        tries=course.tries(event, whole),
        attempts=event.attempts,
        carry_on=course.carry_on() if event.carry_on else None,
        conditions=_conditions(event.conditions),
        halts=any(_halts(rule) for rule in (*event.rules(), *whole.standard.always.faults)),
    )


def _halts(rule: Rule) -> bool:
    return isinstance(rule, Fault | RestBound) and rule.effect is Effect.HALT


def _part(
    setting: Setting,
    number: str,
    *,
    pauses: tuple[Said, ...],
    tries: str | None = None,
    attempts: int | None = None,
    carry_on: str | None = None,
    conditions: tuple[Said, ...] = (),
    halts: bool = False,
) -> Part:
    clause = setting.clause
    assert clause is not None
    insides = [setting.inside(place) for place in range(len(clause.items))]
    return Part(
        number=number,
        name=name(clause.label).capitalize(),
        title=None if clause.title is None else safe(clause.title),
        kind=clause.kind,
        path=clause.path,
        guidance=tuple(map(safe, clause.guidance)),
        beginning=Said(
            path=f"{clause.path}.start",
            sort=Sort.BEGINNING,
            task=Task.READ if clause.start is None and setting.around is not None else Task.TIME,
            text=course.begins(setting),
        ),
        goal=Said(path=f"{clause.path}.goal", sort=Sort.GOAL, task=_goal_task(clause), text=course.goal(setting)),
        pauses=pauses,
        rules=(*_limits(clause.limits, setting), *_score(setting), *_faults(clause.faults, setting)),
        parts=tuple(
            _part(inside, f"{number}.{place}", pauses=_pauses(item.rest, inside, between=False))
            for place, (inside, item) in enumerate(zip(insides, clause.items, strict=True), 1)
        ),
        tries=tries,
        attempts=attempts,
        carry_on=carry_on,
        conditions=conditions,
        halts=halts,
    )


def _goal_task(clause: Clause) -> Task:
    match clause.goal:
        case UntilTotals():
            return Task.ADD
        case For():
            return Task.TIME
        case Until(number=number):
            return Task.COUNT if number > 1 else Task.WATCH
    return Task.READ


def _pauses(rest: Rest | None, setting: Setting, *, between: bool) -> tuple[Said, ...]:
    if rest is None:
        return ()
    sentence = rules.pause_between if between else rules.pause
    said = []
    for bound, greatest in ((rest.least, False), (rest.greatest, True)):
        if bound is not None:
            text = sentence(bound, setting, greatest=greatest)
            effect = None if setting.clause is None or setting.clause.start is None else bound.effect
            said.append(_said(bound, Sort.PAUSE, Task.TIME, text, effect))
    return tuple(said)


_TASKS = {
    FigureKind.TIME: Task.TIME,
    FigureKind.SILENCE: Task.TIME,
    FigureKind.RATE: Task.TIME,
    FigureKind.COUNT: Task.COUNT,
    FigureKind.TOTAL: Task.ADD,
    FigureKind.SUM: Task.ADD,
    FigureKind.POINTS: Task.ADD,
}


def _limits(limits: Iterable[Limit], setting: Setting) -> tuple[Said, ...]:
    return tuple(
        _said(
            limit,
            Sort.LIMIT,
            _TASKS.get(limit.figure.kind, Task.WATCH),
            rules.limit(limit, setting),
            Effect.MISS if limit.misses else Effect.FAIL,
        )
        for limit in limits
    )


def _score(setting: Setting) -> tuple[Said, ...]:
    return tuple(
        _said(
            rule,
            Sort.LIMIT,
            Task.ADD,
            points.score(rule, setting),
            Effect.FAIL if rule.otherwise is None else None,
        )
        for rule in (() if setting.clause is None else setting.clause.scores)
    )


def _grades(whole: Setting) -> tuple[Said, ...]:
    standard = whole.standard
    return tuple(
        _said(
            limit,
            Sort.LIMIT,
            Task.ADD,
            points.grade(standard, each, limit, whole),
            Effect.FAIL if each is standard.grades[-1] else None,
        )
        for each in standard.grades
        for limit in each.limits
    )


def _faults(faults: Iterable[Fault], setting: Setting) -> tuple[Said, ...]:
    return tuple(
        _said(fault, Sort.FAULT, _fault_task(fault), rules.fault(fault, setting), fault.effect) for fault in faults
    )


def _fault_task(fault: Fault) -> Task:
    match fault.trigger:
        case Silence():
            return Task.TIME
        case Occurrence(more_than=0) | OutOfOrder():
            return Task.WATCH
        case Occurrence() | Misses():
            return Task.COUNT


def _conditions(conditions: Iterable[Condition]) -> tuple[Said, ...]:
    return tuple(
        _said(each, Sort.CONDITION, Task.CHECK, f"{name(each.name).capitalize()}: {rules.condition(each)}.", None)
        for each in conditions
    )


def _said(rule: Rule, sort: Sort, task: Task, text: str, effect: Effect | None) -> Said:
    quoted = None if rule.sentence is None else safe(rule.sentence)
    return Said(path=rule.path, sort=sort, task=task, text=text, quoted=quoted, effect=effect)
