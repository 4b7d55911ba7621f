"""Exploring against concrete runs: every sight is a log that shows it, and every run shows only what was seen."""

from collections.abc import Callable, Iterator
from itertools import count, islice
from random import Random

import pytest
from attrs import evolve
from plausible_logs import random_log
from trials.enumeration import ZERO, Enumeration
from trials.pairs import legal_standard
from trials.sights import unkept
from trials.small import small_standard

from standfast.machine.compile import compile_standard
from standfast.machine.explore import Explorer, Node
from standfast.machine.parts import Machine
from standfast.machine.state import Began, Breached, Completed, Ended, Opened, Signal
from standfast.machine.step import end, enter, initial
from standfast.model.candidate import representatives, specialised
from standfast.model.standard import Event, Standard
from standfast.pipeline import load_standard
from standfast.proofing import survey
from standfast.proofing.sights import Survey
from standfast.proofing.survey import Surveys, surveyed
from standfast.source import Source

HEAD = """\
standard sample "Sample"
    edition "1"
    in force from 2026-03-01

marks
    go "A signal"
    tap "A tap"
    slip "A slip"

event main "Main"
    attempts 1
    start on go
"""


def machine_of(lines: str) -> Machine:
    return compile_standard(standard_of(lines))


def standard_of(lines: str) -> Standard:
    standard, found = load_standard(Source("sample", HEAD + lines))
    assert standard is not None, [d.message for d in found]
    return standard


# --- sights and runs -----------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def plausible() -> list[tuple[Standard, Surveys]]:
    """Random standards that look like real ones, with all that exploring them shows within bounds."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(survey, "MOST_POSITIONS", 300)
        endless = (legal_standard(Random(f"explore {number}"))[1].standard for number in count())
        standards = [*islice(endless, 12), *islice((each for each in endless if each.facts), 2)]
        kinds = [specialised(each, representatives(each)[-1]) if each.facts else each for each in standards]
        return [(standard, surveyed(standard)) for standard in kinds]


def test_every_sight_of_a_plausible_standard_is_a_log_that_shows_it(
    plausible: list[tuple[Standard, Surveys]],
) -> None:
    number = 0
    for standard, surveys in plausible:
        for event in standard.events:
            sights = surveys.events[event.label]
            number += len(sights.broken) + len(sights.completed)
            assert list(unkept(standard, event, sights)) == []
    assert number > 100


def test_every_sight_of_a_small_standard_is_a_log_that_shows_it() -> None:
    for number in range(40):
        _, standard = small_standard(Random(f"explore {number}"))
        for event in standard.events:
            assert list(unkept(standard, event, surveyed(standard).events[event.label])) == []


def test_the_way_to_a_clause_has_as_few_entries_as_can_be() -> None:
    """Also where a position is first found by one entry more than another way to it needs."""
    compared = 0
    for seed in (*(f"explore {number}" for number in range(30)), "t/319"):
        _, standard = small_standard(Random(seed))
        if len(standard.events) > 1:
            continue
        sights = surveyed(standard).events[standard.events[0].label]
        every_log = Enumeration(compile_standard(standard))
        fewest: dict[str, int] = {}
        for step in every_log.steps:
            entries = every_log.entered[step.before] + (step.mark is not None and step.mark != ZERO)
            for signal in step.signals:
                match signal:
                    case Began(place=place):
                        what = every_log.machine.places[place].path
                    case Ended(effect=None):
                        what = "GO"
                    case _:
                        continue
                fewest[what] = min(entries, fewest.get(what, entries))
        for path, sight in sights.began.items():
            compared += 1
            assert sight.node.entries == fewest[path]
        if sights.go is not None:
            assert sights.go.node.entries == fewest["GO"]
    assert compared > 60


def test_nothing_happens_in_a_run_that_was_not_seen(plausible: list[tuple[Standard, Surveys]]) -> None:
    looked_through = 0
    for number, (standard, surveys) in enumerate(plausible):
        for event in standard.events:
            if event.label in surveys.undecided:
                continue
            looked_through += 1
            rng = Random(f"runs {number}")
            alone = compile_standard(evolve(standard, events=(event,)))
            for signals in (_signals(rng, alone) for _ in range(60)):
                assert list(_unseen(alone, event, surveys.events[event.label], signals)) == []
    assert looked_through > 5


def _signals(rng: Random, machine: Machine) -> list[Signal]:
    log = random_log(rng, machine)
    state, found = initial(machine)
    signals = [*found]
    for entry in log.entries:
        state, found = enter(machine, state, entry)
        signals += found
    return [*signals, *end(machine, state, state.now + 10**8)[1]]


def _unseen(machine: Machine, event: Event, sights: Survey, signals: list[Signal]) -> Iterator[str]:
    own = {rule.path for rule in event.rules()}
    opened = 0
    for signal in signals:
        match signal:
            case Began(place=place) if place > 1 and machine.places[place].path not in sights.began:
                yield f"{machine.places[place].path} begins"
            case Completed(place=place) if machine.places[place].path not in sights.completed:
                yield f"{machine.places[place].path} ends"
            case Breached(breach=breach, asked=asked):
                path = breach.rule.path if asked is None else f"{breach.rule.path}.at_most"
                if breach.rule.path in own and path not in sights.broken:
                    yield f"{path} acts"
            case Opened(at=at):
                opened = at
            case Ended(at=at, effect=None):
                assert sights.shortest is not None
                if not sights.shortest <= at - opened <= (sights.longest or at):
                    yield f"a GO after {at - opened}"
            case _:
                pass


# --- single positions ----------------------------------------------------------------------------------------


def nodes_of(machine: Machine, when: Callable[[Node], bool], *, timed: bool = False) -> list[Node]:
    return [node for node in Explorer(machine, timed=timed).nodes() if when(node)]


def test_no_entry_comes_at_the_instant_of_an_expiry_that_entries_come_before() -> None:
    """A rest that begins when a time limit is broken is a microsecond old before a mark can end it."""
    text = HEAD.replace("attempts 1", "attempts 2, rest at least 0.001 ms between, else note")
    lines = "    within 1 s\n    until tap\n"
    standard, _ = load_standard(Source("sample", text + lines))
    assert standard is not None
    assert "main.rest_between" not in surveyed(standard).events["main"].broken
    longer, _ = load_standard(Source("sample", text.replace("0.001", "0.002") + lines))
    assert longer is not None
    assert "main.rest_between" in surveyed(longer).events["main"].broken


def test_an_attempt_kept_going_beside_a_clock_that_ran_out_has_no_longest_time() -> None:
    """The exploration comes to an end although the attempt's age goes with that of a rest long over."""
    lines = """\
    fail on no slip for 2 s or more
    step hold
        for 3 s
    rest at least 1 s, else fail
    step wait
        start with first tap
        until go
"""
    sights = surveyed(standard_of(lines)).events["main"]
    assert (sights.shortest, sights.longest) == (4_000_000, None)


def test_what_two_showings_of_one_entry_trigger_is_not_triggered_together() -> None:
    """The `always` fault finds nothing open; the restart sees the mark only after it has opened the attempt."""
    text = HEAD.replace("start on go", "start with first go\n    restart on go, at most once")
    always = text.replace("event main", "always\n    fail on go\n\nevent main") + "    until tap\n"
    standard, found = load_standard(Source("sample", always))
    assert standard is not None, [d.message for d in found]
    sights = surveyed(standard).events["main"]
    assert {"always.go", "main.go"} <= sights.broken.keys()
    assert sights.clashes == {}


def test_a_step_waits_a_microsecond_after_such_an_expiry() -> None:
    lines = "    note on no slip for over 1 s\n    until 2 taps\n"
    waits = {node.wait for node in nodes_of(machine_of(lines), lambda node: node.move.mark == "tap")}
    assert waits == {0, 1}
