"""A standard with every construct, and what each line of it is taken to mean."""

from collections.abc import Iterator
from datetime import date
from hashlib import sha256
from typing import TypeVar

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from standfast.language import syntax
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model import rules as meant
from standfast.model.resolve import resolve
from standfast.model.rules import (
    Fault,
    Figure,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Pattern,
    RestBound,
    Rule,
    Silence,
    Until,
    UntilTotals,
)
from standfast.model.standard import Acceptance, Clause, Given, Kind, Standard
from standfast.quantity import UNITS, Comparison, Quantity, count
from standfast.source import Source

TEXT = """
standard estuary_check "Estuary check"
    edition "3.1"
    in force from 2026-03-01
    authority "Example Estuary Rescue, order 12"
    caution "Cold water can kill."
    caution "Two lookouts."
    guidance "Three events."
    owed at the end fails
    accept D601 "known"
conditions
    water_depth at least 2.5 m "Depth where the candidate swims"
    buoyancy_aid yes
    accept D602 "also known"
marks
    go "The starter's signal"
    throw "A throw leaves the hand"
    hit "The line falls within reach"
    check is one of kill_cord, fuel, neutral "A check"
    line_in in m "Line recovered"
    stop_call "Anyone calls stop"
always
    accept D603 "here too"
    halt on stop_call, charged
    within 2 h "too long"
    disqualify on no hit for over 1 h
event heaving "Heaving line"
    conditions
        wind from 3 kt to 12 kt
    attempts 2, rest at least 2 min between, else note, at most 1 h, else fail "gone"
    carry on
    start on go
    in any order both
        within 5 throws
        step near "The near one"
            accept D604 "so it is"
            until 2 hits
            before 3 throws as third
            at least 1 throw
            no throw for 10 s or more
            no hit for over 20 s as silent
            fail on check other than fuel or neutral out of order "no check now"
            restart at once on check fuel more than once "again", at most twice
        step far
            guidance "The far one."
            start with first throw
            until line_in totals 60 m
            note on line_in under 20 m more than 3 times
            note on no throw for over 1 min as dull
            not before 3 s
            under 1 min 40 s
    rest from 20 s to 30 s, else restart "out of time", at most 3 times
    step wait
        start on hit
        for 4 min
    rest at least 5 s, else halt
    any one of ways
        step left
            start on check kill_cord
            until hit
        in order right
            start on check fuel
            step aim
                until throw
event pause
    attempts without limit
    start on go
    for 5 s
case "all of it"
    with water_depth 3 m
    with buoyancy_aid no
    log heaving
        0:01 go by G-2
        0:02.5 check fuel for C-1
        0:03 line_in 40 ft
        0:04 end
    gives VOID
    gives heaving.both.near.third fails at 0:05 for C-1
    gives pause NO-GO
"""


def tree_of(text: str) -> syntax.Standard:
    tree, found = read(Source("a.standard", text))
    assert tree is not None, found
    return tree


def standard_of(tree: syntax.Standard) -> Standard:
    standard, found = resolve(tree)
    assert standard is not None, found
    assert found == ()
    return standard


@pytest.fixture(scope="module")
def standard() -> Standard:
    return standard_of(tree_of(TEXT))


@pytest.fixture(scope="module")
def rules(standard: Standard) -> dict[str, Rule]:
    return {rule.path: rule for rule in standard.rules()}


def seconds(number: int) -> Quantity:
    return Quantity(((count(number).base, UNITS["s"]),))


def test_every_rule_in_canonical_order_with_its_depth(standard: Standard) -> None:
    assert [f"{rule.depth} {rule.path}" for rule in standard.rules()] == [
        "0 conditions.water_depth",
        "0 conditions.buoyancy_aid",
        "0 always.within",
        "0 always.stop_call",
        "0 always.no_hit",
        "0 heaving.conditions.wind",
        "1 heaving.rest_between",
        "1 heaving.rest_between_at_most",
        "1 heaving.start",
        "2 heaving.both.within_throw",
        "3 heaving.both.near.goal",
        "3 heaving.both.near.third",
        "3 heaving.both.near.at_least_throw",
        "3 heaving.both.near.no_throw",
        "3 heaving.both.near.silent",
        "3 heaving.both.near.check.out_of_order",
        "3 heaving.both.near.check",
        "3 heaving.both.far.start",
        "3 heaving.both.far.goal",
        "3 heaving.both.far.not_before",
        "3 heaving.both.far.under",
        "3 heaving.both.far.line_in",
        "3 heaving.both.far.dull",
        "1 heaving.wait.rest",
        "1 heaving.wait.rest_at_most",
        "2 heaving.wait.start",
        "2 heaving.wait.goal",
        "1 heaving.ways.rest",
        "3 heaving.ways.left.start",
        "3 heaving.ways.left.goal",
        "3 heaving.ways.right.start",
        "4 heaving.ways.right.aim.goal",
        "1 pause.start",
        "1 pause.goal",
    ]


def test_orders_rise_and_a_clause_comes_before_its_rules_and_after_its_rest(standard: Standard) -> None:
    lines = list(written_lines(standard))
    assert lines == sorted(set(lines))


def written_lines(standard: Standard) -> Iterator[int]:
    for rule in (*standard.conditions, *standard.always.limits, *standard.always.faults):
        yield rule.order
    for event in standard.events:
        first, *others = clause_lines(event.clause)
        between = [] if event.rest_between is None else [event.rest_between.least, event.rest_between.greatest]
        yield first
        yield from (rule.order for rule in (*event.conditions, *between) if rule is not None)
        yield from others


def clause_lines(clause: Clause) -> Iterator[int]:
    rest = [] if clause.rest is None else [clause.rest.least, clause.rest.greatest]
    yield from (bound.order for bound in rest if bound is not None)
    yield clause.order
    yield from (rule.order for rule in clause.rules() if rule not in rest)
    for item in clause.items:
        yield from clause_lines(item)


def test_the_clause_tree(standard: Standard) -> None:
    heaving, pause = standard.events
    assert [(each.path, each.kind, each.depth) for each in heaving.clause.walk()] == [
        ("heaving", Kind.IN_ORDER, 1),
        ("heaving.both", Kind.ANY_ORDER, 2),
        ("heaving.both.near", Kind.STEP, 3),
        ("heaving.both.far", Kind.STEP, 3),
        ("heaving.wait", Kind.STEP, 2),
        ("heaving.ways", Kind.ONE_OF, 2),
        ("heaving.ways.left", Kind.STEP, 3),
        ("heaving.ways.right", Kind.IN_ORDER, 3),
        ("heaving.ways.right.aim", Kind.STEP, 4),
    ]
    assert pause.clause.kind is Kind.STEP
    assert (heaving.attempts, heaving.carry_on, pause.attempts, pause.carry_on) == (2, True, None, False)
    assert heaving.clause.items[0].items[0].title == "The near one"
    assert heaving.clause.items[0].items[1].guidance == ("The far one.",)


def test_the_header(standard: Standard) -> None:
    assert (standard.name, standard.title, standard.edition) == ("estuary_check", "Estuary check", "3.1")
    assert standard.in_force == date(2026, 3, 1)
    assert standard.authority == "Example Estuary Rescue, order 12"
    assert standard.cautions == ("Cold water can kill.", "Two lookouts.")
    assert standard.guidance == ("Three events.",)
    assert (standard.owed_fails, standard.carry_on, standard.events_in_any_order) == (True, False, False)
    assert [mark.name for mark in standard.marks] == ["go", "throw", "hit", "check", "line_in", "stop_call"]


@pytest.mark.parametrize(
    ("path", "figure", "test", "words"),
    [
        ("always.within", Figure(FigureKind.TIME), Comparison.AT_MOST, "within 2 h"),
        ("heaving.both.far.under", Figure(FigureKind.TIME), Comparison.UNDER, "under 1 min 40 s"),
        ("heaving.both.far.not_before", Figure(FigureKind.TIME), Comparison.AT_LEAST, "not before 3 s"),
        ("heaving.both.within_throw", Figure(FigureKind.COUNT, "throw"), Comparison.AT_MOST, "within 5 throws"),
        ("heaving.both.near.third", Figure(FigureKind.COUNT, "throw"), Comparison.UNDER, "before 3 throws"),
        (
            "heaving.both.near.at_least_throw",
            Figure(FigureKind.COUNT, "throw"),
            Comparison.AT_LEAST,
            "at least 1 throw",
        ),
        (
            "heaving.both.near.no_throw",
            Figure(FigureKind.SILENCE, "throw"),
            Comparison.UNDER,
            "no throw for 10 s or more",
        ),
        (
            "heaving.both.near.silent",
            Figure(FigureKind.SILENCE, "hit"),
            Comparison.AT_MOST,
            "no hit for over 20 s",
        ),
    ],
)
def test_limits_are_tests_on_figures(
    rules: dict[str, Rule], path: str, figure: Figure, test: Comparison, words: str
) -> None:
    limit = rules[path]
    assert isinstance(limit, Limit)
    assert (limit.figure, limit.test.comparison, limit.words) == (figure, test, words)
    assert str(limit.test.first) in words


def test_faults(rules: dict[str, Rule]) -> None:
    out_of_order, restart = rules["heaving.both.near.check.out_of_order"], rules["heaving.both.near.check"]
    assert isinstance(out_of_order, Fault) and isinstance(restart, Fault)
    assert out_of_order.trigger == OutOfOrder(Pattern("check", ("fuel", "neutral"), other=True))
    assert out_of_order.sentence == "no check now"
    assert restart.trigger == Occurrence(Pattern("check", ("fuel",)), more_than=1)
    assert (restart.effect, restart.at_once, restart.at_most) == (syntax.Effect.RESTART, True, 2)
    light, silent, halt = (
        rules[path] for path in ("heaving.both.far.line_in", "always.no_hit", "always.stop_call")
    )
    assert isinstance(light, Fault) and isinstance(silent, Fault) and isinstance(halt, Fault)
    twenty = Quantity(((count(20).base, UNITS["m"]),))
    assert light.trigger == Occurrence(Pattern("line_in", test=meant.Test(Comparison.UNDER, twenty)), more_than=3)
    assert isinstance(silent.trigger, Silence)
    assert (silent.trigger.mark, silent.trigger.or_more) == ("hit", False)
    assert silent.trigger.length.base == 3_600_000_000
    assert (halt.effect, halt.charged) == (syntax.Effect.HALT, True)


def test_goals(rules: dict[str, Rule]) -> None:
    hits, total, wait = (rules[f"heaving.{step}.goal"] for step in ("both.near", "both.far", "wait"))
    assert isinstance(hits, Until) and isinstance(total, UntilTotals) and isinstance(wait, For)
    assert (hits.pattern, hits.number, hits.words) == (Pattern("hit"), 2, "until 2 hits")
    assert total.mark == "line_in"
    assert total.amount.base == 60
    assert wait.length.base == 240_000_000


def test_rests(standard: Standard, rules: dict[str, Rule]) -> None:
    least, greatest = rules["heaving.wait.rest"], rules["heaving.wait.rest_at_most"]
    assert isinstance(least, RestBound) and isinstance(greatest, RestBound)
    assert (least.length, greatest.length) == (seconds(20), seconds(30))
    assert (least.words, greatest.words) == (
        "rest at least 20 s, else restart, at most 3 times",
        "rest at most 30 s, else restart, at most 3 times",
    )
    for bound in (least, greatest):
        assert (bound.effect, bound.sentence, bound.at_most) == (syntax.Effect.RESTART, "out of time", 3)
    between = standard.events[0].rest_between
    assert between is not None and between.least is not None and between.greatest is not None
    assert (between.least.effect, between.greatest.effect) == (syntax.Effect.NOTE, syntax.Effect.FAIL)
    assert (between.least.sentence, between.greatest.sentence) == (None, "gone")


def test_a_condition_cites_its_words(rules: dict[str, Rule]) -> None:
    assert rules["conditions.water_depth"].words == "water_depth at least 2.5 m"
    assert rules["conditions.water_depth"].sentence == "Depth where the candidate swims"
    assert rules["conditions.buoyancy_aid"].words == "buoyancy_aid yes"
    assert rules["heaving.conditions.wind"].words == "wind from 3 kt to 12 kt"


def test_acceptances_know_their_block(standard: Standard) -> None:
    places = [(each.code, each.path) for each in standard.acceptances]
    assert places == [("D601", ""), ("D602", "conditions"), ("D603", "always"), ("D604", "heaving.both.near")]
    assert isinstance(standard.acceptances[0], Acceptance) and standard.acceptances[0].why == "known"


def test_a_case(standard: Standard) -> None:
    (case,) = standard.cases
    assert (case.title, case.event, case.end) == ("all of it", "heaving", 4_000_000)
    assert [(name, str(value)) for name, value in case.given] == [
        ("water_depth", "3 m"),
        ("buoyancy_aid", "False"),
    ]
    assert [(each.at, each.mark, str(each.value), each.by, each.candidate) for each in case.entries] == [
        (1_000_000, "go", "None", "G-2", None),
        (2_500_000, "check", "fuel", None, "C-1"),
        (3_000_000, "line_in", "40 ft", None, None),
    ]
    assert [(each.path, each.word, each.at, each.candidate) for each in case.expectations] == [
        (None, Given.VOID, None, None),
        ("heaving.both.near.third", Given.FAILS, 5_000_000, "C-1"),
        ("pause", Given.NO_GO, None, None),
    ]


def test_the_digest_is_that_of_the_canonical_text_without_comments(standard: Standard) -> None:
    text = canonical(tree_of(TEXT), comments=False)
    assert standard.digest == sha256(text.encode()).hexdigest()
    assert standard_of(tree_of("# said beside it\n" + TEXT)) == standard


TopBlock = syntax.FileBlock
Lines = TypeVar("Lines", syntax.Block, syntax.Always)
KINDS = (
    (syntax.Until, syntax.UntilTotals, syntax.For),
    (syntax.TimeLimit, syntax.CountLimit, syntax.SilenceLimit),
    (syntax.Block, syntax.Rest),
)


@given(st.data())
@settings(derandomize=True, max_examples=40, deadline=None)
def test_the_written_order_of_unlike_lines_means_nothing(data: st.DataObject) -> None:
    tree = tree_of(TEXT)
    blocks = tuple(shuffled_whole(data, block) for block in tree.blocks)
    assert standard_of(evolve(tree, blocks=blocks)) == standard_of(tree)


def shuffled_whole(data: st.DataObject, block: TopBlock) -> TopBlock:
    match block:
        case syntax.Block():
            return shuffled(data, block)
        case syntax.Always():
            return shuffled(data, block)
        case _:
            return block


def shuffled(data: st.DataObject, block: Lines) -> Lines:
    """The block with its lines in another order, those of one kind as written, and so all inside it."""
    lines = [shuffled(data, line) if isinstance(line, syntax.Block) else line for line in block.lines]
    places = data.draw(st.permutations([kind_of(line) for line in lines]))
    waiting = {kind: [line for line in lines if kind_of(line) == kind] for kind in set(places)}
    return evolve(block, lines=tuple(waiting[kind].pop(0) for kind in places))


def kind_of(line: syntax.Line) -> str:
    return next((kinds[0].__name__ for kinds in KINDS if isinstance(line, kinds)), type(line).__name__)


def test_reading_the_canonical_text_gives_the_same_standard(standard: Standard) -> None:
    assert standard_of(tree_of(canonical(tree_of(TEXT)))) == standard


@given(st.data())
@settings(derandomize=True, max_examples=60, deadline=None)
def test_a_standard_comes_out_exactly_when_nothing_is_an_error(data: st.DataObject) -> None:
    lines = TEXT.strip().split("\n")
    for _ in range(data.draw(st.integers(1, 3))):
        at, to = (data.draw(st.integers(0, len(lines) - 1)) for _ in range(2))
        match data.draw(st.sampled_from(["leave out", "repeat", "swap words"])):
            case "leave out":
                del lines[at]
            case "repeat":
                lines.insert(to, lines[at])
            case _:
                word, other = (data.draw(st.sampled_from(lines[place].split() or [""])) for place in (at, to))
                lines[at] = lines[at].replace(word, other)
    tree, found = read(Source("a.standard", "\n".join(lines)))
    assert (tree is None) == bool(found)
    if tree is not None:
        standard, found = resolve(tree)
        assert (standard is None) == bool(found)
        assert all(each.message and each.help and each.span is not None for each in found)
