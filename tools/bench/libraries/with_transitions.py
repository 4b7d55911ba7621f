"""The boat crew's entry check by `transitions`: one machine, a model for each session, guards by name."""

from collections.abc import Iterator
from typing import Any

from transitions import Machine

from bench.by_hand import Log, LogEntry
from bench.libraries.crew import OUTCOMES, Registers
from bench.readable import unmet_conditions

SPENT = {"heaving": "both_spent", "engine": "all_three_spent", "water": "both_spent"}
_STATES = {
    "heaving": ["throwing"],
    "engine": ["checking", "fuelling", "resting", "pulling"],
    "water": ["treading", "recovering", "called", "reaching", "towing"],
}
NEXT = {"heaving": "engine_waits", "engine": "water_waits", "water": "passed"}


def way(trigger: str, source: str, dest: str | None, after: str | None = None, *conditions: str) -> dict[str, Any]:
    return {
        "trigger": trigger,
        "source": source,
        "dest": dest,
        "conditions": list(conditions),
        "after": after or [],
    }


def _fails(trigger: str, event: str, source: str, *conditions: str) -> Iterator[dict[str, Any]]:
    yield way(trigger, source, "not_passed", None, *conditions, SPENT[event])
    yield way(trigger, source, f"{event}_waits", None, *conditions)


def _ways() -> Iterator[dict[str, Any]]:
    for event, states in _STATES.items():
        yield way("go", f"{event}_waits", states[0], "open_attempt")
        for state in states:
            yield way("stop_call", state, f"{event}_waits", "give_back")

    yield from _fails("time_passes", "heaving", "throwing", "throws_late")
    yield from _fails("throw", "heaving", "throwing", "fourth_throw_was")
    yield way("throw", "throwing", None, "count_throw")
    yield way("hit", "throwing", NEXT["heaving"], "pass_event", "second_hit_comes")
    yield way("hit", "throwing", None, "count_hit")

    for state in _STATES["engine"]:
        yield from _fails("time_passes", "engine", state, "engine_late")
    yield way("check", "checking", "fuelling", "check_off", "other_check_is_done")
    yield way("check", "checking", None, "check_off", "is_one_of_the_two")
    yield way("check", "fuelling", "resting", "begin", "is_fuel")
    for state in ("checking", "fuelling"):
        yield from _fails("pull", "engine", state)
    yield from _fails("pull", "engine", "resting", "too_soon")
    yield way("pull", "resting", "pulling", "count_pull")
    yield from _fails("pull", "engine", "pulling", "third_pull_was")
    yield way("pull", "pulling", None, "count_pull")
    yield way("running", "pulling", NEXT["engine"], "pass_event")

    yield from _fails("time_passes", "water", "treading", "silent")
    yield way("time_passes", "treading", "recovering", "begin_recovering", "trodden")
    yield way("answer", "treading", None, "hear_answer")
    yield from _fails("hand_down", "water", "treading", "second_hand_was")
    yield way("hand_down", "treading", None, "count_hand")
    yield from _fails("time_passes", "water", "recovering", "recovery_late")
    yield way("line_in", "recovering", "called", "recover", "enough_comes")
    yield way("line_in", "recovering", None, "recover")
    yield from _fails("time_passes", "water", "called", "water_late")
    yield way("ready", "called", "reaching", "begin")
    yield from _fails("time_passes", "water", "reaching", "reach_late")
    yield way("contact", "reaching", "towing", "begin")
    yield from _fails("time_passes", "water", "towing", "tow_late")
    for state in ("reaching", "towing"):
        yield from _fails("let_go", "water", state, "let_go_before")
        yield way("let_go", state, "reaching", "let_go_once")
    yield way("ashore", "towing", NEXT["water"], "pass_event")


class Session(Registers):
    """One session; the machine adds its state and a method for each mark."""

    state: str
    trigger: Any
    time_passes: Any


MACHINE = Machine(
    model=None,
    states=[
        *(f"{event}_waits" for event in _STATES),
        *(state for states in _STATES.values() for state in states),
        "passed",
        "not_passed",
    ],
    transitions=list(_ways()),
    initial="heaving_waits",
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
