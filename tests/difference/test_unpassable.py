"""That nobody can pass, proved of a part of a standard; and where leaving out more would be wrong."""

from collections.abc import Callable
from itertools import count
from random import Random

import pytest
from trials.pairs import legal_standard

from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.difference.unpassable import nobody_passes
from standfast.machine import ahead
from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer

from .conftest import edition

Compared = Callable[..., Comparison]

BEFORE = """\
event drill
    attempts {attempts}
    start on go
"""


def drill(rules: str, attempts: str = "1") -> str:
    return BEFORE.format(attempts=attempts) + rules


SCORED = """\
    step {name}
        until {mark}
        score
            time at most 9 s gives 2
            otherwise gives 1
"""

NOBODY = {
    "a mark that disqualifies is the goal": "always\n    disqualify on hit\n\n"
    + drill("    step first_part\n        until throw\n    step second_part\n        until hit\n", "3"),
    "the second step takes longer than it may": drill(
        "    step first_part\n        until hit\n    step second_part\n        for 5 s\n        under 4 s\n"
    ),
    "more points than there are": drill(
        "    in any order both\n"
        + "".join(
            f"        step {name}\n            until {mark}\n"
            "            score\n                time at most 9 s gives 2\n                otherwise gives 1\n"
            for name, mark in (("hitting", "hit"), ("throwing", "throw"), ("slipping", "slip"))
        )
        + "        points at least 7\n"
    ),
    "more points, and a restart out of order": drill(
        "    in order both\n        restart on throw out of order, at most twice\n        points at least 2\n"
        "        step first_part\n            until hit\n"
        "            score\n                time at most 9 s gives 1\n                otherwise gives 0\n"
    ),
    "points of one clause that it never gives": "always\n    points in drill.hitting exactly 3\n\n"
    + drill(SCORED.format(name="hitting", mark="hit") + SCORED.format(name="throwing", mark="throw")),
    "the lowest grade asks for too many": drill(SCORED.format(name="hitting", mark="hit"))
    + "\ngrade high\n    points at least 4\n\ngrade low\n    points at least 3\n",
    "only the way that takes too long has the figure": drill(
        "    any one of ways\n        in any order first_way\n            start on hit\n            under 4 s\n"
        "            step tying\n                for 6 s\n        step throwing\n            start on throw\n"
        "            until throw\n        count of slip in first_way.tying at least 1\n"
    ),
    "a total beyond the greatest": drill(
        "    total of load at most 5 kg\n    step first_part\n        until load totals 6 kg\n", "without limit"
    ),
    "the second of two events": drill("    until hit\n")
    + "\nevent second\n    attempts 2\n    start on throw\n    until 2 hits\n    before 2 hits\n",
}


@pytest.mark.parametrize("name", NOBODY)
def test_nobody_passes(name: str) -> None:
    assert nobody_passes(edition(NOBODY[name]))


SOMEBODY = {
    "an item beside it takes the first two": drill(
        "    in any order both\n        step first_part\n            until 2 hits\n"
        "        step second_part\n            until hit\n            at least 3 hits\n"
    ),
    "an item beside it restarts on the first": drill(
        "    in any order both\n        step first_part\n            until slip\n"
        "            restart on hit, at most 3 times\n        step second_part\n"
        "            until hit\n            at least 2 hits\n"
    ),
    "an item that is not needed": drill(
        "    in any order both\n        step first_part\n            until hit\n        step second_part\n"
        "            only if begun\n            start on slip\n            for 5 s\n            under 4 s\n"
    ),
    "one way of two": drill(
        "    any one of ways\n        step first_part\n            start on hit\n            for 5 s\n"
        "        step second_part\n            start on slip\n            for 5 s\n            under 4 s\n"
    ),
    "always counts over both events": "always\n    at least 4 hits\n    not before 10 s\n\n"
    + drill("    until 2 hits\n    within 5 s\n    within 2 hits\n")
    + "\nevent second\n    attempts 2\n    start on throw\n    until 2 hits\n    within 5 s\n",
    "a total that is just reached": drill(
        "    total of load at most 6 kg\n    step first_part\n        until load totals 6 kg\n"
    ),
    "a limit of the round does not end the attempt": drill(
        "    rounds series\n        2 rounds\n        missed at least 1\n        step first_part\n"
        "            for 5 s\n            under 4 s\n"
    ),
    "points that are not there are not too many": drill(
        "    in any order both\n        points at most 1\n        step throwing\n            until throw\n"
        "        step hitting\n            only if begun\n            start on slip\n            until hit\n"
        "            score\n                time at most 9 s gives 2\n                otherwise gives 3\n"
    ),
    "points of both events": "always\n    points at least 4\n\n"
    + drill(SCORED.format(name="hitting", mark="hit"))
    + "\nevent second\n    attempts 1\n    start on throw\n"
    + SCORED.format(name="slipping", mark="slip"),
    "a higher grade asks for too many": drill(SCORED.format(name="hitting", mark="hit"))
    + "\ngrade high\n    points at least 3\n\ngrade low\n    points at least 1\n",
    "the third signal opens": "event drill\n    attempts 1\n    start on go more than twice\n    until hit\n",
}


@pytest.mark.parametrize("name", SOMEBODY)
def test_somebody_passes(name: str) -> None:
    """By a way that the machine of the whole standard goes."""
    standard = edition(SOMEBODY[name])
    machine = compile_standard(standard)
    assert any(map(ahead.test_go, Explorer(machine).onward(None, ahead.left(machine))))
    assert not nobody_passes(standard)


def test_what_nobody_passes_is_the_same_for_all_that_differs(compared: Compared) -> None:
    """However large the rest is: it is not walked through."""
    rest = "".join(
        f"        step {name}\n            until 9 {mark}\n            no {mark} for over 50 s\n"
        for name, mark in (("hitting", "hit"), ("throwing", "throw"), ("slipping", "slip"), ("tying", "knot"))
    )
    body = drill(f"    in any order all_of_them\n{rest}    step resting\n        for 5 s\n        under 4 s\n")
    comparison = compared(body, body.replace("until 9 hit", "until 8 hit"), most=40)
    assert comparison.word is Word.SAME
    assert comparison.whole.told.word is None


def test_an_edition_that_nobody_passes_is_harder(compared: Compared) -> None:
    comparison = compared(drill("    until hit\n"), drill("    until hit\n    not before 5 s\n    under 4 s\n"))
    assert comparison.word is Word.HARDER


def test_of_random_standards_none_that_is_proved_unpassable_is_passed() -> None:
    """The machine of the whole standard is led towards GO by all means, as far as the effort goes."""
    proved = 0
    for number in count():
        _, machine, _ = legal_standard(Random(f"unpassable/{number}"))
        if proved == 12:
            break
        if machine.standard.facts or not nobody_passes(machine.standard):
            continue
        proved += 1
        led = Explorer(machine, effort=Effort(600))
        assert not any(map(ahead.test_go, led.onward(None, ahead.left(machine))))


BOTH_ENDS = """\
always
    last of load in drill from 2 kg to 5 kg

event drill
    attempts 2
    start on go
    step throwing
        until 3 throws
        no slip for over 1 min
    step hitting
        until 3 hits
        within {within} min
    smallest of load over 5 kg
"""


def test_all_that_one_edition_can_do_is_less_than_what_both_can(compared: Compared) -> None:
    """The last load may be no more than 5 kg, and none no more."""
    editions = [BOTH_ENDS.format(within=within) for within in (3, 2)]
    assert not any(nobody_passes(edition(each)) for each in editions)
    assert compared(*editions, most=120).word is Word.SAME
