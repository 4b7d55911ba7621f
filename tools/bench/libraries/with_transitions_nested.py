"""The boat crew's entry check by `transitions` with nested states: what holds for an event is said of it once.

The documentation has `HierarchicalMachine` for states within states, as the clauses of the standard are; the flat
machine beside this file says the rules of an event of each of its steps, and is faster.
"""

from collections.abc import Iterator
from typing import Any

from transitions.extensions.nesting import HierarchicalMachine

from bench.by_hand import Log, LogEntry
from bench.libraries.crew import OUTCOMES, Registers
from bench.libraries.with_transitions import NEXT, SPENT, way
from bench.readable import unmet_conditions

_STATES = [
    {"name": "heaving", "initial": "waits", "children": ["waits", "throws"]},
    {
        "name": "engine",
        "initial": "waits",
        "children": [
            "waits",
            {
                "name": "goes",
                "initial": "checking",
                "children": ["checking", "fuelling", "resting", "pulling"],
            },
        ],
    },
    {
        "name": "water",
        "initial": "waits",
        "children": [
            "waits",
            {
                "name": "goes",
                "initial": "treading",
                "children": [
                    "treading",
                    "recovering",
                    "called",
                    {"name": "casualty", "children": ["reach", "tow"]},
                ],
            },
        ],
    },
    "passed",
    "not_passed",
]
_THROWS, _ENGINE, _WATER = "heaving_throws", "engine_goes", "water_goes"
_CASUALTY = f"{_WATER}_casualty"


def _fails(trigger: str, source: str, *conditions: str) -> Iterator[dict[str, Any]]:
    event = source.partition("_")[0]
    yield way(trigger, source, "not_passed", None, *conditions, SPENT[event])
    yield way(trigger, source, f"{event}_waits", None, *conditions)


def _ways() -> Iterator[dict[str, Any]]:
    for event, goes in (("heaving", _THROWS), ("engine", _ENGINE), ("water", _WATER)):
        yield way("go", f"{event}_waits", goes, "open_attempt")
        yield way("stop_call", goes, f"{event}_waits", "give_back")

    yield from _fails("time_passes", _THROWS, "throws_late")
    yield from _fails("throw", _THROWS, "fourth_throw_was")
    yield way("throw", _THROWS, None, "count_throw")
    yield way("hit", _THROWS, NEXT["heaving"], "pass_event", "second_hit_comes")
    yield way("hit", _THROWS, None, "count_hit")

    yield from _fails("time_passes", _ENGINE, "engine_late")
    yield way("check", f"{_ENGINE}_checking", f"{_ENGINE}_fuelling", "check_off", "other_check_is_done")
    yield way("check", f"{_ENGINE}_checking", None, "check_off", "is_one_of_the_two")
    yield way("check", f"{_ENGINE}_fuelling", f"{_ENGINE}_resting", "begin", "is_fuel")
    yield from _fails("pull", f"{_ENGINE}_resting", "too_soon")
    yield way("pull", f"{_ENGINE}_resting", f"{_ENGINE}_pulling", "count_pull")
    yield from _fails("pull", f"{_ENGINE}_pulling", "third_pull_was")
    yield way("pull", f"{_ENGINE}_pulling", None, "count_pull")
    yield from _fails("pull", _ENGINE)  # in any other step
    yield way("running", f"{_ENGINE}_pulling", NEXT["engine"], "pass_event")

    yield from _fails("time_passes", f"{_WATER}_treading", "silent")
    yield way("time_passes", f"{_WATER}_treading", f"{_WATER}_recovering", "begin_recovering", "trodden")
    yield from _fails("time_passes", f"{_WATER}_recovering", "recovery_late")
    yield from _fails("time_passes", f"{_CASUALTY}_reach", "reach_late")
    yield from _fails("time_passes", f"{_CASUALTY}_tow", "tow_late")
    yield from _fails("time_passes", _WATER, "water_late")
    yield way("answer", f"{_WATER}_treading", None, "hear_answer")
    yield from _fails("hand_down", f"{_WATER}_treading", "second_hand_was")
    yield way("hand_down", f"{_WATER}_treading", None, "count_hand")
    yield way("line_in", f"{_WATER}_recovering", f"{_WATER}_called", "recover", "enough_comes")
    yield way("line_in", f"{_WATER}_recovering", None, "recover")
    yield way("ready", f"{_WATER}_called", f"{_CASUALTY}_reach", "begin")
    yield way("contact", f"{_CASUALTY}_reach", f"{_CASUALTY}_tow", "begin")
    yield from _fails("let_go", _CASUALTY, "let_go_before")
    yield way("let_go", _CASUALTY, f"{_CASUALTY}_reach", "let_go_once")
    yield way("ashore", f"{_CASUALTY}_tow", NEXT["water"], "pass_event")


class Session(Registers):
    """One session; the machine adds its state and a method for each mark."""

    state: str
    trigger: Any
    time_passes: Any


MACHINE = HierarchicalMachine(
    model=None,
    states=_STATES,
    transitions=list(_ways()),
    initial="heaving",
    auto_transitions=False,
    ignore_invalid_triggers=True,
)


def outcome(log: Log) -> str:
    session = Session()
    MACHINE.add_model(session)
    for entry in log.entries:
        _pass_time(session, entry)
        session.trigger(entry.mark, entry)
    if log.end is not None:
        _pass_time(session, LogEntry(0, 0, log.end, "", None))
    MACHINE.remove_model(session)
    return "VOID" if unmet_conditions(log.conditions) else OUTCOMES.get(session.state, "UNFINISHED")


def _pass_time(session: Session, entry: LogEntry) -> None:
    while session.time_passes(entry):
        pass
