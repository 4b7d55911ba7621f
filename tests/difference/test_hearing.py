"""One step stands for the values of which the same is read: each by itself would lead to the same."""

from random import Random

import pytest
from trials.editions import editions

from standfast.difference.candidates import candidates
from standfast.difference.hearing import Hearing
from standfast.difference.marks import SharedMark, shared_marks
from standfast.difference.side import Kind, Outcome, Side
from standfast.machine.compile import compile_standard
from standfast.model.candidate import specialised
from standfast.model.standard import Standard
from standfast.values import evolve

from .conftest import edition

_POSITIONS = 60

Found = dict[tuple[int, Kind], list[tuple[object, ...]]]


def _walked(standard: Standard, marks: tuple[SharedMark, ...]) -> tuple[Found, int]:
    """What each entry and due leads to from the first positions, and how many entries share what they lead to."""
    side = Side(compile_standard(evolve(standard, conditions=())))
    side.first()
    kinds = [
        Kind(mark.name, place, "X" if mark.name in standard.once_a_grader else None, other, value=value, span=span)
        for mark in marks
        for place, (value, span) in enumerate(mark.values)
        for other in ((False, True) if mark.name in standard.by_anyone else (False,))
    ]
    found: Found = {}
    reached, shared = {0}, 0
    for number in range(_POSITIONS):
        if number not in reached:
            break
        mattering = side.mattering(number)
        here = [Kind(due=due.number) for due in side.dues(number)]
        here += [kind for kind in kinds if kind.mark in mattering]
        outcomes = {kind: side.outcomes(number, kind) for kind in here}
        shared += len(outcomes) - len({id(each) for each in outcomes.values()})
        for kind, ways in outcomes.items():
            reached |= {each.after for each in ways}
            found[number, kind] = [_told(each) for each in ways]
    return found, shared


def _told(outcome: Outcome) -> tuple[object, ...]:
    """All but the entry that its signals tell."""
    signals = [(type(signal), getattr(signal, "place", None)) for signal in outcome.signals]
    return (
        *(outcome.after, outcome.asked, outcome.answers, outcome.resets, dict(outcome.done), outcome.acts),
        *(outcome.changed, signals, outcome.added, outcome.noted, outcome.paced, outcome.judged),
    )


def _by_itself(monkeypatch: pytest.MonkeyPatch, standard: Standard, marks: tuple[SharedMark, ...]) -> Found:
    with monkeypatch.context() as patched:
        patched.setattr(Side, "_read", lambda side, number, kind: None)
        found, shared = _walked(standard, marks)
    assert not shared
    return found


IN_TURN = """\
event drill
    attempts 1
    start on go
    in order both
        step short_lift
            until load at least 20 kg
        step long_lift
            until load at least 40 kg
"""
AT_ONCE = """\
event drill
    attempts 1
    start with first load over 10 kg
    in order both
        step long_lift
            until load at least 40 kg
        step throwing
            until throw
"""


@pytest.mark.parametrize(("body", "at_least"), [(IN_TURN, 3), (AT_ONCE, 1)])
def test_values_that_no_rule_heard_tells_apart_share_a_step(
    body: str, at_least: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    standard = edition(body)
    machine = compile_standard(standard)
    marks = shared_marks(machine, machine)
    found, shared = _walked(standard, marks)
    assert shared >= at_least
    assert found == _by_itself(monkeypatch, standard, marks)


def test_a_value_that_goes_into_a_figure_is_read_wholly() -> None:
    body = """\
event drill
    attempts 1
    start on go
    largest of load at most 30 kg
    until load totals 60 kg
"""
    standard = edition(body)
    machine = compile_standard(standard)
    side = Side(machine)
    waits = side.first().after
    (started,) = side.outcomes(waits, Kind("go"))
    load = next(mark for mark in shared_marks(machine, machine) if mark.name == "load")
    read = [
        [
            Hearing(machine).read(number, side.state(number), "load", place, value)
            for number in (waits, started.after)
        ]
        for place, (value, _) in enumerate(load.values)
        if value is not None
    ]
    assert len(read) > 1
    assert all(before is not None and after is None for before, after in read)


@pytest.mark.parametrize("seed", range(12))
def test_of_random_standards(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    _, one, _, other = editions(Random(f"hearing/{seed}"))
    kind = candidates(one, other).kinds[0]
    old, new = (specialised(each, facts) for each, facts in zip((one, other), kind, strict=True))
    marks = shared_marks(compile_standard(old), compile_standard(new))
    for standard in (old, new):
        found, _ = _walked(standard, marks)
        assert found == _by_itself(monkeypatch, standard, marks)
