"""Every construct of the language has a sentence of its own, in the briefing, on the sheet and in the picture."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from attrs import evolve, fields

from standfast.model import rules as model
from standfast.model.rules import (
    Effect,
    Figure,
    FigureKind,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    Part,
    Pattern,
    Rule,
    Silence,
    Until,
)
from standfast.model.standard import (
    Best,
    Given,
    Kind,
    Standard,
)
from standfast.pipeline import load_standard
from standfast.quantity import UNITS, Comparison, Quantity, Rounding, Way, count
from standfast.report.brief import course, rules, sketch
from standfast.report.brief.outline import outline
from standfast.report.brief.setting import Setting, Voice
from standfast.source import Source

Find = Callable[[str, Voice], Setting]

# A step that waits for its start mark, one inside an event that carries on, and the whole test.
PLACES = ("engine.pulls", "heaving", "")
WITHOUT_FACTS = [each for each in Comparison if each is not Comparison.WITHIN]
OF_ROUNDS = (FigureKind.MADE, FigureKind.MISSED, FigureKind.FURTHEST)
SECONDS = {20: "20 seconds", 100: "1 minute 40 seconds"}


def seconds(number: int) -> Quantity:
    if number < 60:
        return Quantity(((Fraction(number), UNITS["s"]),))
    return Quantity(((Fraction(number // 60), UNITS["min"]), (Fraction(number % 60), UNITS["s"])))


def comparisons(first: Quantity, second: Quantity) -> Iterator[model.Test]:
    for comparison in WITHOUT_FACTS:
        yield model.Test(comparison, first, second if comparison is Comparison.FROM_TO else None)


def patterns() -> Iterator[Pattern]:
    yield Pattern("throw")
    yield Pattern("check", ("fuel",))
    yield Pattern("check", ("kill_cord", "fuel"))
    yield Pattern("check", ("fuel",), other=True)
    weights = (Quantity(((Fraction(each), UNITS["kg"]),)) for each in (20, 30))
    yield from (Pattern("load", test=test) for test in comparisons(*weights))


def named(pattern_mark: str, standard: Standard, voice: Voice) -> str:
    mark = standard.mark(pattern_mark)
    assert mark is not None
    return mark.title if voice is Voice.CANDIDATE else f"`{mark.name}`"


def distinct(said: Iterable[str]) -> list[str]:
    """The sentences, none of them empty, unfinished or said twice."""
    found = list(said)
    assert len(set(found)) == len(found) > 0
    assert all(len(each) > 3 and "None" not in each for each in found)
    return found


@pytest.fixture(params=list(Voice))
def voice(request: pytest.FixtureRequest) -> Voice:
    assert isinstance(request.param, Voice)
    return request.param


def limits(like: Limit) -> Iterator[Limit]:
    for kind in FigureKind:
        if kind in OF_ROUNDS:
            continue
        if kind is FigureKind.COUNT:
            amounts = [(count(1), count(4)), (count(2), count(5)), (count(3), count(7))]
        else:
            amounts = [(seconds(20), seconds(50)), (seconds(100), seconds(200))]
        for first, second in amounts:
            for test in comparisons(first, second):
                unmarked = kind in (FigureKind.TIME, FigureKind.POINTS)
                figure = Figure(kind, None if unmarked else "throw")
                if kind is FigureKind.SUM:
                    figure = Figure(
                        kind, parts=(Part(FigureKind.TIME, None, "heaving"), Part(FigureKind.TIME, None, None))
                    )
                yield evolve(like, figure=figure, test=test)


@pytest.mark.parametrize("path", PLACES)
def test_limits(path: str, voice: Voice, setting: Find, harbour: Standard) -> None:
    where = setting(path, voice)
    made = list(limits(harbour.always.limits[0]))
    assert len(made) == (3 + 2 * (len(FigureKind) - 1 - len(OF_ROUNDS))) * len(WITHOUT_FACTS)
    for limit, said in zip(made, distinct(rules.limit(limit, where) for limit in made), strict=True):
        first = limit.test.first
        assert said.endswith(".") and " from " in said
        assert rules.lost(where) in said
        if limit.figure.kind is FigureKind.COUNT:
            number = int(first.base)
            forms = {1: ("once", "1st", "2nd"), 2: ("twice", "2nd"), 3: ("3 times", "3rd")}[number]
            assert any(form in said for form in forms) and named("throw", harbour, voice) in said
            if limit.test.comparison is Comparison.AT_MOST:
                assert f"on the {['2nd', '3rd', '4th'][number - 1]} " in said
            if limit.test.comparison is Comparison.UNDER:
                assert f"on the {['1st', '2nd', '3rd'][number - 1]} " in said
        else:
            assert SECONDS[int(first.base) // 1_000_000] in said
            assert limit.figure.mark is None or named(limit.figure.mark, harbour, voice) in said
            assert " to " in said
    distinct(sketch.limit(limit) for limit in made)


def triggers() -> Iterator[Occurrence | OutOfOrder | Silence]:
    for pattern in patterns():
        yield OutOfOrder(pattern)
        yield from (Occurrence(pattern, number) for number in (0, 1, 2))
    yield from (Silence("throw", seconds(number), more) for number in SECONDS for more in (False, True))


def modified(effects: Iterable[Effect]) -> Iterator[Mapping[str, object]]:
    """Each effect with all that may go with it."""
    for effect in effects:
        match effect:
            case Effect.RESTART:
                for at_once, at_most in product((False, True), (None, 1, 2, 3)):
                    yield {"effect": effect, "at_once": at_once, "at_most": at_most}
            case Effect.HALT:
                yield from ({"effect": effect, "charged": charged} for charged in (False, True))
            case _:
                yield {"effect": effect}


@pytest.mark.parametrize("path", PLACES)
def test_faults(path: str, voice: Voice, setting: Find, harbour: Standard) -> None:
    where = setting(path, voice)
    inside = (Effect.PASS, Effect.RESTART, Effect.MISS, Effect.OUT)  # of no use in `always`
    effects = [effect for effect in Effect if path or effect not in inside]
    like = harbour.always.faults[0]
    made = [
        evolve(like, trigger=trigger, **changes)  # type: ignore[arg-type]
        for trigger, changes in product(triggers(), list(modified(effects)))
    ]
    assert len(made) == (4 * (4 + len(WITHOUT_FACTS)) + 4) * (16 if path else 5)
    for fault, said in zip(made, distinct(rules.fault(fault, where) for fault in made), strict=True):
        assert said.endswith(".") and ": " in said
        trigger = fault.trigger
        assert not isinstance(trigger, Misses)
        mark = trigger.mark if isinstance(trigger, Silence) else trigger.pattern.mark
        assert named(mark, harbour, voice) in said
        if isinstance(trigger, Occurrence) and trigger.more_than:
            assert f"the {['2nd', '3rd'][trigger.more_than - 1]} " in said and "counted from" in said
        if isinstance(trigger, Silence):
            assert SECONDS[int(trigger.length.base) // 1_000_000] in said and " from " in said
        if fault.at_most is not None:
            nth = ["2nd", "3rd", "4th"][fault.at_most - 1]
            assert ["once", "twice", "3 times"][fault.at_most - 1] in said and f"the {nth} time" in said
    event, clause = where.event, where.clause
    distinct(f"{sketch.trigger(fault)}: {sketch.leads(fault, clause, event)}" for fault in made)


def test_pauses(voice: Voice, setting: Find, harbour: Standard) -> None:
    inside, event = setting("engine.pulls", voice), setting("heaving", voice)
    like = harbour.events[0].rest_between
    assert like is not None and like.least is not None
    made = [
        evolve(like.least, length=seconds(number), **changes)  # type: ignore[arg-type]
        for number, changes in product(SECONDS, list(modified(each for each in Effect if each is not Effect.OUT)))
    ]
    said = [
        sentence(bound, where, greatest=greatest)
        for sentence, where in ((rules.pause, inside), (rules.pause_between, event))
        for greatest, bound in product((False, True), made)
    ]
    assert len(said) == 2 * 2 * 2 * 15
    for each, bound in zip(distinct(said), made * 4, strict=True):
        assert SECONDS[int(bound.length.base) // 1_000_000] in each
        assert named("pull", harbour, voice) in each or named("go", harbour, voice) in each


def test_pauses_that_no_mark_ends(voice: Voice, setting: Find, harbour: Standard) -> None:
    cool = setting("engine.cool", voice)
    assert cool.clause is not None and cool.clause.rest is not None and cool.clause.rest.least is not None
    said = rules.pause(cool.clause.rest.least, cool, greatest=False)
    assert said == (
        f"A pause of 30 seconds after {cool.seen(Pattern('running'))}; then the step “cool” begins by itself."
    )
    event = setting("heaving", voice)
    assert event.clause is not None
    alone = evolve(event, clause=evolve(event.clause, start=None))
    assert rules.pause_between(cool.clause.rest.least, alone, greatest=False) == (
        "When a try has ended, 30 seconds pass; then the next opens by itself."
    )


def test_goals(voice: Voice, setting: Find) -> None:
    where = setting("engine.pulls", voice)
    clause = where.clause
    assert clause is not None and isinstance(clause.goal, Until)
    until = [evolve(clause.goal, pattern=each, number=number) for each in patterns() for number in (1, 2, 3)]
    others = [setting(path, voice).clause for path in ("engine.ways.by_line", "engine.cool")]
    goals = [*until, *(other.goal for other in others if other is not None)]
    kinds = {type(goal) for goal in goals}
    assert kinds == set(model.Goal.__args__)
    made = [evolve(where, clause=evolve(clause, goal=goal)) for goal in goals]
    said = distinct(course.goal(each) for each in made)
    distinct(each.completion() for each in made)
    assert all(
        f"the {'2nd' if goal.number == 2 else '3rd'} " in each
        for goal, each in zip(until, said, strict=False)
        if goal.number > 1
    )
    assert "60 metres" in said[-2] and "5 minutes" in said[-1]


def test_groups(voice: Voice, setting: Find) -> None:
    where = setting("engine.checks", voice)
    clause = where.clause
    assert clause is not None
    kinds = [kind for kind in Kind if kind not in (Kind.STEP, Kind.ROUNDS)]
    said = distinct(course.goal(evolve(where, clause=evolve(clause, kind=kind))) for kind in kinds)
    assert all("2 parts" in each for each in said)
    single = evolve(where, clause=evolve(clause, items=clause.items[:1]))
    assert course.goal(single) == "It has one part."


def test_beginnings(voice: Voice, setting: Find) -> None:
    by_itself = (
        "engine.checks",
        "engine.checks.neutral",
        "engine.cool",
        "engine.ways",
        "engine.ways.by_load.weigh",
    )
    said = [course.begins(setting(path, voice)) for path in (*by_itself, "heaving", "engine", "engine.pulls")]
    event = setting("heaving", voice)
    assert event.clause is not None
    said.append(course.begins(evolve(event, clause=evolve(event.clause, start=None))))
    distinct(said)
    assert said[2] == "Begins by itself, at the end of the pause of 30 seconds."


def test_what_counts_with_the_mark_that_begins(voice: Voice, setting: Find, harbour: Standard) -> None:
    pulls = setting("engine.pulls", voice)
    assert pulls.clause is not None and pulls.clause.start is not None
    limit = evolve(
        harbour.always.limits[0],
        figure=Figure(FigureKind.COUNT, "pull"),
        test=model.Test(Comparison.AT_MOST, count(3)),
    )
    assert ", that one included; on the 4th the try fails." in rules.limit(limit, pulls)
    signal = evolve(pulls, clause=evolve(pulls.clause, start=evolve(pulls.clause.start, first=False)))
    assert ", that one not included; on the 4th the try fails." in rules.limit(limit, signal)


def test_whose_entries_are_counted(voice: Voice, setting: Find, harbour: Standard) -> None:
    where = setting("engine.pulls", voice)
    assert where.clause is not None and where.clause.start is not None
    countings = [model.Counting(once, anyone) for once, anyone in product((False, True), repeat=2)]
    limit, fault = harbour.always.limits[0], harbour.always.faults[0]
    start = evolve(where.clause.start, first=False, more_than=2)
    said: list[list[str]] = [[], [], [], []]
    drawn: list[list[str]] = [[], [], [], []]
    for counting in countings:
        figure = Figure(FigureKind.COUNT, "throw", counting)
        counted = evolve(limit, figure=figure, test=model.Test(Comparison.AT_MOST, count(3)))
        often = evolve(fault, trigger=Occurrence(Pattern("throw"), 2, counting))
        goal = Until(**_like(limit), pattern=Pattern("throw"), number=2, counting=counting)
        begins = evolve(where.clause, start=evolve(start, counting=counting))
        said[0].append(rules.limit(counted, where))
        said[1].append(rules.fault(often, where))
        said[2].append(course.goal(evolve(where, clause=evolve(where.clause, goal=goal))))
        said[3].append(course.begins(evolve(where, clause=begins)))
        drawn[0].append(sketch.limit(counted))
        drawn[1].append(sketch.trigger(often))
    for sentences in (*said, *drawn[:2]):
        distinct(sentences)
        assert ["one from each grader" in each for each in sentences] == [False, False, True, True]
        assert ["those of all other candidates" in each for each in sentences] == [False, True, False, True]
    assert said[3][0].startswith("Begins on the 3rd ")


def _like(rule: Rule) -> dict[str, Any]:
    """What every rule has, of one."""
    return {each.name: getattr(rule, each.name) for each in fields(Rule)}


def test_a_duty_that_may_arise(voice: Voice, setting: Find) -> None:
    where = setting("engine.checks", voice)
    assert where.clause is not None and where.clause.kind is Kind.ANY_ORDER
    first, *others = where.clause.items
    group = evolve(where, clause=evolve(where.clause, items=(evolve(first, only_if_begun=True), *others)))
    distinct([course.goal(where), course.goal(group)])
    pulls = setting("engine.pulls", voice)
    assert pulls.clause is not None
    duty = evolve(pulls, clause=evolve(pulls.clause, only_if_begun=True))
    assert course.begins(duty) == f"{course.begins(pulls)} It need not begin; once it has, it must be done."


def test_who_logs_is_said_where_it_counts(harbour: Standard) -> None:
    mark = harbour.marks[0]
    assert course.mark(mark, graded=True) == f"{course.mark(mark, graded=False)} Log by whom."


def test_which_of_several_readings_counts_is_said(harbour: Standard) -> None:
    load = harbour.mark("load")
    assert load is not None
    step = Quantity(((Fraction(1, 2), UNITS["kg"]),))
    picks = ((3, model.PickWord.MIDDLE), (2, model.PickWord.MEAN))
    rounded = [Rounding(way, step) for way in Way]
    every = [model.Readings(some, each) for some in ((), picks) for each in (None, *rounded) if some or each]
    said = distinct(course.mark(evolve(load, readings=each), graded=False) for each in every)
    assert all(each.startswith(course.mark(load, graded=False)) for each in said)
    both = next(text for text in said if "middle" in text and "up to" in text)
    assert both.endswith(
        " Of 3 readings the middle and of 2 readings the mean counts, "
        "rounded up to a multiple of 0.5 kilograms, an exact one as it is."
    )


def test_header_lines(harbour: Standard) -> None:
    said = {
        (carry_on, any_order, owed): course.of_the_test(
            evolve(harbour, carry_on=carry_on, events_in_any_order=any_order, owed_fails=owed)
        )
        for carry_on, any_order, owed in product((False, True), repeat=3)
    }
    distinct(" ".join(each) for each in said.values())
    assert "“heaving” then “engine”" in said[False, False, False][0]
    single = evolve(harbour, events=harbour.events[:1])
    distinct([*course.of_the_test(single), *course.of_the_test(harbour)[:3]])
    doubted = evolve(harbour, times_within=Quantity(((Fraction(3, 10), UNITS["s"]),)))
    assert set(course.of_the_test(doubted)) - set(course.of_the_test(harbour)) == {
        "Logged times may be wrong by up to 0.3 seconds: a verdict that hangs on so much is marked a close call."
    }


CREW = """standard crew "Crew"
    edition "1"
    in force from 2026-03-01
candidate
    body_mass in kg "Weighed on the day"
    duty is one of shore, boat
    wind_from is a heading
conditions
    spare_mass at most 10 % of body_mass
marks
    go "The signal"
    belt in kg "The belt as weighed"
    steered is a heading "The course that is called"
event lift
    only for duty shore or boat
    attempts 1
    start on go
    fail on belt from 4 % to 5 % of body_mass
    until steered within 10 deg of wind_from
case "a heading"
    with duty shore for C-1
    with body_mass 80 kg
    log
        0:00 go for C-1
    gives UNFINISHED for C-1
"""


def test_facts_of_the_candidate(voice: Voice) -> None:
    crew, found = load_standard(Source("crew.standard", CREW))
    assert crew is not None, found
    said = outline(crew, voice)
    assert said.course[1:4] == (
        "Stated of the candidate before the test: body mass, in kilograms (“Weighed on the day”).",
        "Stated of the candidate before the test: duty, one of shore or boat.",
        "Stated of the candidate before the test: wind from, a heading, from 0 to under 360 degrees.",
    )
    assert "or a fact of the candidate that is needed is not stated; then" in said.course[-1]
    (lift,) = said.events
    assert lift.beginning.text.startswith("Only for candidates with duty shore or boat. Begins on ")
    assert (
        lift.rules[0].text.startswith("On ") and "(from 4 percent to 5 percent of body mass" in lift.rules[0].text
    )
    assert lift.goal.text.endswith("(within 10 degrees of wind from).")
    assert said.conditions[0].text == "Spare mass: at most 10 percent of body mass."
    assert "Log its heading, from 0 to under 360 degrees" in said.marks[2].text
    assert "with duty shore for C-1 and body mass 80 kilograms: " in said.examples[0]
    drawn = [text for piece in sketch.pieces(crew) for _, text in piece.lines()]
    assert "only for candidates with duty shore or boat" in drawn


def test_attempts(harbour: Standard, voice: Voice) -> None:
    event = harbour.events[0]
    setting = Setting(harbour, voice)
    said = distinct(course.tries(evolve(event, attempts=number), setting) for number in (None, 1, 2, 3))
    assert [each.split(" tr")[0].split()[-1] for each in said] == ["many", "1", "2", "3"]
    assert "1 try:" in said[1] and "2 tries:" in said[2]
    assert len(course.carry_on()) > 20
    figure = Figure(FigureKind.TIME)
    best = Best(
        path="", words="", sentence=None, order=0, depth=1, span=event.clause.span, figure=figure, least=True
    )
    said = distinct(course.tries(evolve(event, attempts=number, best=best), setting) for number in (None, 2))
    assert all("least figure: the time" in each and "more may follow" in each for each in said)


def test_conditions(harbour: Standard) -> None:
    like = harbour.conditions[0]
    lengths = [Quantity(((Fraction(each), UNITS["m"]),)) for each in (2, 3)]
    demands: list[model.Test | bool] = [
        True,
        False,
        *comparisons(lengths[0], lengths[1]),
        *comparisons(count(2), count(3)),
    ]
    said = [rules.condition(evolve(like, demand=demand)) for demand in demands]
    assert len(set(said)) == len(said) == 2 + 2 * len(WITHOUT_FACTS)
    assert all("2" in each for each in said[2:]) and all(
        "2 metres" in each for each in said[2 : 2 + len(WITHOUT_FACTS)]
    )


def test_marks_cases_and_acceptances(harbour: Standard) -> None:
    said = distinct(each.text for each in outline(harbour, Voice.GRADER).marks)
    assert "Log which: kill_cord, fuel or neutral." in said[3] and "in metres (`m`)" in said[6]
    case = harbour.cases[0]
    expected = case.expectations[1]
    given = [evolve(case, expectations=(evolve(expected, word=word, points=3, grade="boat"),)) for word in Given]
    whole = [evolve(case, expectations=(evolve(expected, path=None, word=word),)) for word in list(Given)[:4]]
    event = [evolve(case, expectations=(evolve(expected, at=None, word=word),)) for word in list(Given)[:2]]
    for each in distinct(course.example(each) for each in (*given[4:], *whole, *event)):
        assert each.startswith("too shallow: with water depth 2.4 metres and fins no: ") and "for C-2" in each
    header = harbour.acceptances[0]
    distinct(
        course.acceptance(each) for each in (header, evolve(header, path="engine.pulls"), evolve(header, why="x"))
    )
