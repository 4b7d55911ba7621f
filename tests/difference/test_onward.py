"""An edition in which nothing fails is passed by all who pass one that asks for as much, however they may fail."""

from random import Random

import pytest
from plausible_logs import AT_THE_LIMIT, random_log
from trials.editions import editions

from standfast.difference.bearing import bearing
from standfast.difference.behaviour import compare
from standfast.difference.onward import only_goes_on
from standfast.machine.compile import compile_standard
from standfast.replay import replay
from standfast.verdict import Outcome

from .conftest import edition

TEST = """
event drill
    attempts 2
    start on go
    note on slip
    step first_part
        start with first throw
        until 2 throws
    step second_part
        until load totals 4 kg
        score from time
            at most 9 s gives 2
            otherwise gives 0
    rest at least 2 s
    in order rest_of_it
        step third_part
            for 5 s
        step last_part
            start on slip more than once
            until knot red

event tow
    attempts 1
    until hit
"""


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("note on slip", "fail on slip\n    within 20 s"),
        ("note on slip", "restart at once on slip, at most twice"),
        ("note on slip", "halt on slip out of order"),
        ("note on slip", "carry on\n    no slip for over 3 s"),
        ("attempts 2", "attempts without limit, rest at least 3 s between, else disqualify\n    within 9 min"),
        ("until 2 throws", "until 3 throws\n        no slip for over 3 s"),
        ("totals 4 kg", "totals 5 kg\n        each of load under 2 kg"),
        ("for 5 s", "for 6 s\n            fail on hit"),
        ("at least 2 s", "at least 3 s"),
        ("more than once", "more than twice\n            restart on slip, at most once"),
        ("otherwise gives 0", "otherwise fails"),
        ("    step last_part", "    step one_more\n            until hit\n        step last_part"),
        ("event tow", "event one_more\n    attempts 1\n    until throw\n    within 9 s\n\nevent tow"),
        ("event drill", "always\n    within 1 min\n\nevent drill"),
    ],
)
def test_all_who_pass_the_new_pass_the_old(was: str, now: str) -> None:
    assert TEST.count(was) == 1
    old, new = edition(TEST), edition(TEST.replace(was, now))
    assert only_goes_on(bearing(old), bearing(new))
    assert not only_goes_on(bearing(new), bearing(old))
    assert compare(old, new, 20).whole.gained.word is False


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("until 2 throws", "until 1 throw\n        fail on hit"),
        ("totals 4 kg", "totals 3 kg\n        fail on hit"),
        ("for 5 s", "for 4 s\n            fail on hit"),
        ("at least 2 s", "at least 1 s"),
        (" more than once", ""),
        ("start with first throw", "start on throw"),
        ("until knot red", "until knot"),
        ("until hit", "until 2 hits, once a grader"),
        ("until hit", "until 2 hits, by anyone"),
        ("for 5 s", "until hit"),
        ("in order rest_of_it", "in any order rest_of_it"),
    ],
)
def test_who_passes_the_new_may_not_pass_the_old(was: str, now: str) -> None:
    assert TEST.count(was) == 1
    assert not only_goes_on(bearing(edition(TEST)), bearing(edition(TEST.replace(was, now))))


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("note on slip", "fail on slip"),
        ("note on slip", "restart on slip"),
        ("note on slip", "within 5 min"),
        ("otherwise gives 0", "otherwise fails"),
        ("event drill", "always\n    disqualify on slip\n\nevent drill"),
        ("        start with first throw", "        start with first throw\n        no slip for over 1 min"),
        ("        step last_part", "        rest at least 9 s, else fail\n        step last_part"),
        ("attempts 2", "attempts 2\n    best by count of throw"),
        ("event tow", "grade pass_mark\n    time of drill at least 9 s\n\nevent tow"),
    ],
)
def test_an_edition_in_which_something_fails_may_come_later(was: str, now: str) -> None:
    """Even if the new one has the same line and more."""
    text = TEST.replace(was, now).replace("    until hit", "    start on knot\n    until hit")
    old = edition(text)
    new = edition(text.replace("for 5 s", "for 5 s\n            fail on hit"))
    assert not only_goes_on(bearing(old), bearing(new))


def test_of_random_editions_that_is_so() -> None:
    said = passed = 0
    for number in range(400):
        rng = Random(f"onward/{number}")
        _, old, _, new = editions(rng, small=True)
        if old.facts or new.facts or not only_goes_on(bearing(old), bearing(new)):
            continue
        said += 1
        machines = compile_standard(old), compile_standard(new)
        for place in range(20):
            log = random_log(rng, machines[1], off=AT_THE_LIMIT) if place % 2 else random_log(rng, machines[1])
            by_old, by_new = (replay(machine, log)[0].outcome for machine in machines)
            passed += by_new is Outcome.GO
            assert by_old is Outcome.GO or by_new is not Outcome.GO
    assert said >= 8
    assert passed >= 8
