"""Proof and boundary book of a standard that is not the same for every candidate."""

import pytest

from standfast.model.candidate import leaves_some_out, representatives
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.boundary import boundary_book
from standfast.proofing.findings import proof
from standfast.source import Source

HEAD = """\
standard check "A check"
    edition "1"
    in force from 2026-01-01
candidate
    mass in kg
    reach in m
    duty is one of deck, bridge
    wind is a heading
marks
    go "The signal"
    load in kg "A load"
    line in m "Line recovered"
    steered is a heading "A course called"
    hit "A hit"
    turn "A turn"
"""


def loaded(rules: str) -> Standard:
    standard, found = load_standard(Source("check.standard", HEAD + rules))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def kinds(rules: str) -> list[dict[str, str]]:
    return [{name: str(value) for name, value in facts.items()} for facts in representatives(loaded(rules))]


def doubts(rules: str) -> list[tuple[str, int, tuple[str, ...]]]:
    """Code, line counted from the event's first, and what is said beside."""
    first = HEAD.count("\n")
    return [
        (one.code.number, one.span.line - first, tuple(label.text for label in one.also))
        for one in proof(loaded(rules)).findings
        if one.span is not None and one.code.number not in ("D108", "D130", "A101", "D116")
    ]


EVENT = """event lift
    attempts 1
    start on go
    within 5 min
"""


@pytest.mark.parametrize(
    ("rules", "values"),
    [
        ("    until load at least 5 % of mass\n", ["100 kg"]),
        # 3 kg is 5 % of 60 kg: below, above, at.
        ("    fail on load over 3 kg\n    until load at least 5 % of mass\n", ["30 kg", "90 kg", "60 kg"]),
        ("    fail on line over 3 m\n    until load at least 5 % of mass\n", ["100 kg"]),
        # what is logged at most decides what it can come to
        (
            "    until 2 loads\n    each of load at most 3 kg\n    total of load at least 5 % of mass\n",
            ["30 kg", "90 kg", "60 kg"],
        ),
        ("    until load totals 3 kg\n    last of load under 5 % of mass\n", ["30 kg", "90 kg", "60 kg"]),
        # 3 kg lies 1 kg from 2 kg and from 4 kg.
        (
            "    fail on load over 3 kg\n    until load within 1 kg of mass\n",
            ["1 kg", "3 kg", "6 kg", "2 kg", "4 kg"],
        ),
    ],
)
def test_a_fact_is_looked_at_below_at_and_above_what_its_share_is_compared_with(
    rules: str, values: list[str]
) -> None:
    assert [kind["mass"] for kind in kinds(EVENT + rules)] == values


def test_choices_are_looked_at_where_they_matter() -> None:
    assert kinds(EVENT + "    until hit\n") == [{}]
    split = (
        EVENT
        + "    step one_hit\n        until hit\n    step turned\n        only for duty deck\n        until turn\n"
    )
    assert [kind["duty"] for kind in kinds(split)] == ["deck", "bridge"]
    assert not leaves_some_out(loaded(split))


@pytest.mark.parametrize(
    ("rules", "out"),
    [
        ("    until load at least 10 % of mass\n    fail on load over 3 kg\n", False),
        (
            "    until hit\n    each of load from 5 % to 8 % of mass\n    largest of line at most 10 % of reach\n",
            False,
        ),
        ("    until steered within 10 deg of wind\n    note on steered under 90 deg\n", False),
        ("    until hit\n    each of load at most 20 kg\n    total of load at least 50 % of mass\n", True),
        ("    until load totals 20 kg\n    each of load at most 10 % of mass\n", True),
        (
            "    until hit\n    each of line at least 10 % of reach\n    note on line within 1 m of reach\n",
            True,
        ),
        (
            "    until hit\n    last of load plus largest of load under 9 kg\n    each of load over 5 % of mass\n",
            True,
        ),
    ],
)
def test_where_amounts_add_up_a_share_can_tell_more_apart_than_is_looked_at(rules: str, out: bool) -> None:
    """Two loads of 20 kg reach a half of 80 kg, three that of 120 kg, and so on."""
    assert leaves_some_out(loaded(EVENT + rules)) is out


def test_a_line_that_acts_for_some_is_not_doubted() -> None:
    """Of a candidate under 30 kg, 10 % are less than 3 kg."""
    rules = EVENT + "    fail on load over 3 kg\n    disqualify on load at least {} as heavy\n    until hit\n"
    assert [code for code, _, _ in doubts(rules.format("2 kg"))] == ["D101", "D107"]
    assert [code for code, _, _ in doubts(rules.format("10 % of mass"))] == ["D107"]


def test_what_some_cannot_pass_is_told_with_for_whom() -> None:
    rules = (
        EVENT + "    fail on load over 3 kg\n    fail on hit out of order\n    until load at least 5 % of mass\n"
    )
    found = doubts(rules)
    assert [(code, line) for code, line, _ in found] == [("P101", 1), ("D106", 7)]
    assert [beside[-1] for _, _, beside in found] == ["for a candidate with mass 90 kg"] * 2


def test_a_clause_for_some_is_looked_at_for_them_alone() -> None:
    rules = EVENT + (
        "    step one_hit\n        until hit\n"
        "    step turned\n        only for duty deck\n        until turn\n        fail on hit\n"
        "    step steer\n        only for duty bridge\n        until steered within 5 deg of wind\n"
    )
    assert doubts(rules) == []
    assert proof(loaded(rules)).undecided == ()


def test_every_number_of_a_clause_for_some_has_its_pages() -> None:
    rules = EVENT + (
        "    step lift_it\n        until load at least 5 % of mass\n        fail on load under 5 % of mass\n"
        "    step steer\n        only for duty bridge\n        until steered within 5 deg of wind\n"
    )
    book = boundary_book(loaded(rules))
    assert [pair.path for pair in book.pairs if pair.missing] == []
    assert all(page.alike for page in book.pages)
    paths = [pair.path for pair in book.pairs]
    assert [path for path in paths if path.startswith("candidate.")] == [
        "candidate.mass",
        "candidate.duty",
        "candidate.wind",
    ]
    steered = [page for page in book.pages if page.path == "lift.steer.goal"]
    assert [page.lines[-1].split(" ", 1)[1] for page in steered] == [
        "steered 10 deg",
        "steered 10.000001 deg",
        "steered 0 deg",
        "steered 359.999999 deg",
    ]
    assert {page.log.facts["C-1"]["duty"] for page in steered} == {"bridge"}
