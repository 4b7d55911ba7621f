"""That nobody can pass, by the lines alone; and what comes close to it."""

from itertools import islice
from random import Random

import pytest
from trials.pairs import legal_standard
from trials.small import small_standard

from standfast.difference.demands import asks_more_than_it_allows
from standfast.machine import ahead
from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer
from standfast.machine.parts import Machine
from standfast.machine.witness import log_of
from standfast.replay import replay
from standfast.verdict import Outcome

from .conftest import edition

WATCH = """
marks
    go "A signal"
    throw "A throw"
    hit "A hit"
    slip "A slip"
    load in kg "A load"
    watch in s, of 2 the longer "A watch"
    tape in m, of 2 the longer, rounded nearest to 1 m, ties up "A tape"
    knot is one of red, blue "A knot"
    made_it names a round "A round is made"
"""

FRAME = """\
{always}event drill
    attempts {attempts}
    start on go
{rules}
"""


def drill(rules: str, always: str = "", attempts: str = "2") -> str:
    lines = "".join(f"    {line}\n" for line in rules.strip("\n").splitlines())
    return FRAME.format(always=f"always\n    {always}\n\n" if always else "", attempts=attempts, rules=lines)


NOBODY = {
    "a goal around which the mark fails": drill("fail on hit\nstep throwing\n    until hit"),
    "three goals where the third fails": drill(
        "fail on hit more than twice\nstep first_part\n    until 2 hits\nstep second_part\n    until hit"
    ),
    "the start of an item around which it restarts": drill(
        "restart on slip, at most twice\nstep first_part\n    start on slip\n    until hit"
    ),
    "every way needs the mark that disqualifies": drill(
        "any one of ways\n    disqualify on knot\n    step tying\n        start on throw\n        until knot red\n"
        "    in order both\n        start on hit\n        step first_part\n            until slip\n"
        "        step second_part\n            until knot blue"
    ),
    "more entries at least than at most": drill(
        "step first_part\n    for 5 s\n    at least 3 hits\n    within 2 hits"
    ),
    "no silence, and few entries": drill(
        "step first_part\n    for 20 s\n    no hit for over 5 s\n    within 2 hits"
    ),
    "steps and rests take longer than the event may": drill(
        "within 11 s\nstep first_part\n    for 5 s\nrest at least 2 s, else fail\nstep second_part\n    for 5 s"
    ),
    "the whole test takes longer than it may": drill(
        "step first_part\n    for 5 s\n    not before 7 s", "within 6 s"
    ),
    "a reading where the mark fails": drill(
        "step first_part\n    until 2 hits\n    fail on watch\nreading of watch in first_part plus time over 3 s"
    ),
    "a total of small amounts, and few of them": drill(
        "step first_part\n    until load totals 8 kg\n    each of load at most 2 kg\n    within 3 loads"
    ),
    "a total in one step is more than `always` allows": drill(
        "step first_part\n    until load totals 8 kg", "total of load in drill at most 7 kg"
    ),
    "three rounds take longer than they may": drill(
        "rounds series\n    3 rounds\n    within 14 s\n    step first_part\n        for 5 s"
    ),
    "the round is missed by what makes it": drill(
        "rounds series\n    2 rounds\n    miss on hit\n    step first_part\n        until hit"
    ),
    "a step of a round misses the try": drill(
        "rounds series\n    2 rounds\n    step first_part\n"
        "        until 2 hits\n        miss on hit more than once"
    ),
    "two ways where one is taken": drill(
        "any one of ways\n    step tying\n        start on throw\n        until 2 knots\n    step hitting\n"
        "        start on hit\n        until slip\ntime of drill.ways.tying at least 1 s\n"
        "count of slip in ways.hitting at least 1"
    ),
    "the way that must be taken takes too long": drill(
        "within 4 s\nany one of ways\n    step tying\n        start on throw\n        for 5 s\n    step hitting\n"
        "        start on hit\n        until slip\ncount of knot in ways.tying at least 1"
    ),
    "an item that then must begin": drill(
        "within 4 s\nin any order both\n    step first_part\n        until hit\n    step second_part\n"
        "        only if begun\n        start on slip\n        for 9 s\n"
        "count of knot in both.second_part at least 1"
    ),
    "a sum that is exactly less than one part of it": drill(
        "step first_part\n    until load totals 3 kg\ntotal of load plus last of load in first_part exactly 2 kg"
    ),
    "a sum of times": drill(
        "step first_part\n    for 5 s\nstep second_part\n    for 5 s\n"
        "time of drill.first_part plus time of drill.second_part at most 9 s"
    ),
    "a step by time takes as long as it does": drill(
        "step first_part\n    start on hit\n    for 2 s\n    restart on slip, at most once",
        "time of drill.first_part exactly 8 s",
    ),
    "steps by time, one right after another": drill(
        "not before 12 s\nstep first_part\n    for 4 s\nrest at least 3 s\nin any order both\n"
        "    step second_part\n        for 4 s\n    step third_part\n        for 1 s"
    ),
    "times that limits keep short": drill(
        "time of first_part plus time of second_part over 9 s\nstep first_part\n    until hit\n    within 5 s\n"
        "step second_part\n    for 4 s"
    ),
    "few entries of small amounts": drill(
        "step first_part\n    for 5 s\n    fail on load more than twice\n    each of load at most 2 kg\n"
        "    total of load at least 5 kg"
    ),
    "a value that is greater than any": drill(
        "largest of load in first_part at least 5 kg\nfail on load over 4 kg\nstep first_part\n    until 2 loads"
    ),
    "a reading greater than any as rounded": drill(
        "step first_part\n    until tape\n    each of tape under 2.4 m\n    reading of tape over 2 m"
    ),
    "a reading that is no whole multiple": drill(
        "step first_part\n    until tape\n    reading of tape exactly 10 ft"
    ),
    "a sum of readings that none comes to": drill(
        "reading of tape in first_part plus reading of tape in second_part from 2.2 m to 2.8 m\n"
        "step first_part\n    until tape\nstep second_part\n    until tape"
    ),
    "too long for any row of a score": drill(
        "score from time plus time, rounded nearest to 300 ms, ties to even\n    at most 2 s gives 0\n"
        "    otherwise fails\nstep first_part\n    for 5 s\nstep second_part\n    until hit"
    ),
    "too few for any row of a score": drill(
        "within 2 hits\nscore\n    count of hit at least 3 gives 4\n    time over 8 s gives 1\n"
        "    otherwise fails\nstep first_part\n    for 8 s"
    ),
    "the lowest grade asks for more time than there is": drill("step first_part\n    for 5 s")
    + "\ngrade pass_mark\n    time of drill.first_part over 5 s\n",
    "a mark that `always` stops": drill("step first_part\n    until hit", "fail on hit"),
}


@pytest.mark.parametrize("name", NOBODY)
def test_the_lines_ask_more_than_they_allow(name: str) -> None:
    standard = edition(NOBODY[name], marks=WATCH)
    assert asks_more_than_it_allows(standard)
    assert not passed(compile_standard(standard))


SOMEBODY = {
    "another value is the goal": drill("fail on knot blue\nstep first_part\n    until knot red"),
    "as many as are allowed": drill("fail on hit more than twice\nstep first_part\n    until 2 hits"),
    "the signal of the clause itself": drill(
        "step first_part\n    start on slip\n    fail on slip\n    until hit"
    ),
    "one entry counts for both": drill(
        "within 2 hits\nin any order both\n    step first_part\n        for 5 s\n        at least 2 hits\n"
        "    step second_part\n        for 5 s\n        at least 2 hits"
    ),
    "the first act is the goal": drill(
        "within 1 throw\nstep first_part\n    start with first throw\n    until throw"
    ),
    "one way is open": drill(
        "any one of ways\n    disqualify on knot\n    step tying\n        start on throw\n        until knot red\n"
        "    step hitting\n        start on hit\n        until slip"
    ),
    "what completes by time does so before a strict limit": drill("step first_part\n    for 5 s\n    under 5 s"),
    "the entry that opens an attempt": "always\n    fail on hit\n\nevent drill\n    attempts 1\n"
    "    start with first hit\n    step first_part\n        until slip\n",
    "the restart begins the run": drill(
        "step first_part\n    start with first throw\n    restart at once on throw, at most twice\n    until hit"
    ),
    "a restart in its place that is deeper": drill(
        "in any order both\n    restart on hit more than twice, at most twice\n    step first_part\n"
        "        for 20 s\n        at least 3 hits\n    step second_part\n"
        "        restart on hit, at most 5 times\n        until slip"
    ),
    "amounts that send another back": drill(
        "in any order both\n    restart on load under 3 kg\n    total of load at most 5 kg\n"
        "    step first_part\n        for 5 s\n        at least 2 loads\n    step second_part\n"
        "        restart on load under 3 kg, at most twice\n        until slip"
    ),
    "the amount that opens an attempt": "always\n    fail on load over 2 kg\n\nevent drill\n    attempts 1\n"
    "    start with first load\n    within 3 loads\n    until load totals 8 kg\n",
    "a step by time, exactly so": drill(
        "step first_part\n    for 2 s", "time of drill.first_part from 2 s to 3 s"
    ),
    "an item is put back": drill(
        "not before 9 s\nstep first_part\n    for 4 s\nstep second_part\n    restart on slip, at most once\n"
        "    for 4 s"
    ),
    "something inside an item is put back": drill(
        "not before 9 s\nstep first_part\n    for 4 s\nin order both\n    step second_part\n"
        "        restart on slip, at most once\n        for 4 s"
    ),
    "an item waits for its mark": drill(
        "not before 9 s\nstep first_part\n    for 4 s\nstep second_part\n    start on slip\n    for 4 s"
    ),
    "rounds that are tried again": drill(
        "not before 9 s\nrounds series\n    2 rounds\n    tries 3\n    miss on slip\n    step first_part\n"
        "        for 4 s"
    ),
    "a time and something more of it": drill(
        "not before 10 s\nstep first_part\n    for 4 s\nrest at least 2 s\nstep second_part\n    for 4 s"
    ),
    "a reading rounded up to more than any": drill(
        "step first_part\n    until tape\n    each of tape under 2.6 m\n    reading of tape at least 3 m"
    ),
    "a reading that is a whole multiple": drill(
        "step first_part\n    until tape\n    reading of tape from 2.5 m to 3.4 m"
    ),
    "another reading that is not rounded": drill(
        "step first_part\n    until tape\n    at least 1 watch\n    reading of watch plus time exactly 2.5 s"
    ),
    "short enough as rounded": drill(
        "score from time, rounded down to 2 s\n    at most 8 s gives 0\n    otherwise fails\n"
        "step first_part\n    for 9 s"
    ),
    "a row that what is not there leaves": drill(
        "score\n    largest of load at least 3 kg gives 4\n    time at most 8 s gives 1\n    otherwise fails\n"
        "within 0 loads\nstep first_part\n    for 8 s".replace("within 0 loads\n", "")
    ),
    "entries that the opening one does not count among": "always\n    fail on hit\n\nevent drill\n    attempts 1\n"
    "    start with first hit\n    count of hit at least 1\n    step first_part\n        until slip\n",
    "others that are counted": drill(
        "step first_part\n    for 5 s\n    fail on knot red more than once\n    at least 2 knots"
    ),
    "an item that need not begin": drill(
        "within 4 s\nin any order both\n    step first_part\n        until hit\n    step second_part\n"
        "        only if begun\n        start on slip\n        for 9 s"
    ),
    "a rest that is only noted": drill(
        "within 4 s\nstep first_part\n    until hit\nrest at least 9 s, else note\n"
        "step second_part\n    start on slip\n    until hit"
    ),
    "rounds that may be missed": drill(
        "fail on hit\nrounds series\n    2 rounds\n    tries 1\n    missed at least 2\n    miss on slip\n"
        "    step first_part\n        until hit"
    ),
    "not all rounds must be made": drill(
        "rounds series\n    3 rounds\n    made at least 2\n    within 14 s\n    miss on slip\n    tries 1\n"
        "    step first_part\n        for 5 s"
    ),
    "a figure that need not be there": drill(
        "within 4 s\nany one of ways\n    step tying\n        start on throw\n        for 5 s\n    step hitting\n"
        "        start on hit\n        until slip\ncount of knot in ways.tying at most 1"
    ),
    "rounds may be made by naming a later one": drill(
        "rounds series\n    3 rounds\n    unmarked rounds are made\n    within 1 made_it\n    until made_it"
    ),
    "the silences are short enough": drill(
        "step first_part\n    for 15 s\n    no hit for over 5 s\n    within 2 hits"
    ),
    "amounts that are just enough": drill(
        "step first_part\n    until load totals 8 kg\n    each of load at most 2 kg\n    within 4 loads"
    ),
}


@pytest.mark.parametrize("name", SOMEBODY)
def test_somebody_can_meet_all(name: str) -> None:
    standard = edition(SOMEBODY[name], marks=WATCH)
    assert not asks_more_than_it_allows(standard)
    assert passed(compile_standard(standard))


def passed(machine: Machine, effort: int = 1500) -> bool:
    """Whether a log that is GO is found where the machine is led towards GO."""
    led = Explorer(machine, effort=Effort(effort)).onward(None, ahead.left(machine))
    logs = (log_of(machine, node, session="passed") for node in islice(filter(ahead.test_go, led), 20))
    return any(log is not None and replay(machine, log)[0].outcome is Outcome.GO for log in logs)


def test_no_log_passes_a_random_standard_of_which_that_is_said() -> None:
    said = others = 0
    for number in range(80):
        rng = Random(f"demands/{number}")
        machine = compile_standard(small_standard(rng)[1]) if number % 2 else legal_standard(rng)[1]
        if machine.standard.facts:
            continue
        if asks_more_than_it_allows(machine.standard):
            said += 1
            assert not passed(machine, 600)
        else:
            others += passed(machine, 600)
    assert said >= 8
    assert others >= 8
