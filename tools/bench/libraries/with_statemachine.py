"""The boat crew's entry check by `python-statemachine`: states and events of a class, an object a session."""

from typing import Any

from statemachine import State, StateMachine

from bench.by_hand import Log, LogEntry
from bench.libraries.crew import OUTCOMES, Registers
from bench.readable import unmet_conditions


class BoatCrew(StateMachine):  # type: ignore[misc] # the checks do not install it
    """An event is named by its mark; of its ways from a state the first whose guards hold is taken."""

    allow_event_without_transition = True

    heaving_waits = State(initial=True)
    throwing = State()
    engine_waits = State()
    checking = State()
    fuelling = State()
    resting = State()
    pulling = State()
    water_waits = State()
    treading = State()
    recovering = State()
    called = State()
    reaching = State()
    towing = State()
    passed = State(final=True)
    not_passed = State(final=True)

    go = (
        heaving_waits.to(throwing, on="open_attempt")
        | engine_waits.to(checking, on="open_attempt")
        | water_waits.to(treading, on="open_attempt")
    )
    stop_call = (
        throwing.to(heaving_waits, on="give_back")
        | engine_waits.from_(checking, fuelling, resting, pulling, on="give_back")
        | water_waits.from_(treading, recovering, called, reaching, towing, on="give_back")
    )
    time_passes = (
        throwing.to(not_passed, cond=["throws_late", "both_spent"])
        | throwing.to(heaving_waits, cond="throws_late")
        | not_passed.from_(checking, fuelling, resting, pulling, cond=["engine_late", "all_three_spent"])
        | engine_waits.from_(checking, fuelling, resting, pulling, cond="engine_late")
        | treading.to(not_passed, cond=["silent", "both_spent"])
        | treading.to(water_waits, cond="silent")
        | treading.to(recovering, cond="trodden", on="begin_recovering")
        | recovering.to(not_passed, cond=["recovery_late", "both_spent"])
        | recovering.to(water_waits, cond="recovery_late")
        | called.to(not_passed, cond=["water_late", "both_spent"])
        | called.to(water_waits, cond="water_late")
        | reaching.to(not_passed, cond=["reach_late", "both_spent"])
        | reaching.to(water_waits, cond="reach_late")
        | towing.to(not_passed, cond=["tow_late", "both_spent"])
        | towing.to(water_waits, cond="tow_late")
    )
    throw = (
        throwing.to(not_passed, cond=["fourth_throw_was", "both_spent"])
        | throwing.to(heaving_waits, cond="fourth_throw_was")
        | throwing.to.itself(on="count_throw", internal=True)
    )
    hit = throwing.to(engine_waits, cond="second_hit_comes", on="pass_event") | throwing.to.itself(
        on="count_hit", internal=True
    )
    check = (
        checking.to(fuelling, cond="other_check_is_done", on="check_off")
        | checking.to.itself(cond="is_one_of_the_two", on="check_off", internal=True)
        | fuelling.to(resting, cond="is_fuel", on="begin")
    )
    pull = (
        not_passed.from_(checking, fuelling, cond="all_three_spent")
        | engine_waits.from_(checking, fuelling)
        | resting.to(not_passed, cond=["too_soon", "all_three_spent"])
        | resting.to(engine_waits, cond="too_soon")
        | resting.to(pulling, on="count_pull")
        | pulling.to(not_passed, cond=["third_pull_was", "all_three_spent"])
        | pulling.to(engine_waits, cond="third_pull_was")
        | pulling.to.itself(on="count_pull", internal=True)
    )
    running = pulling.to(water_waits, on="pass_event")
    answer = treading.to.itself(on="hear_answer", internal=True)
    hand_down = (
        treading.to(not_passed, cond=["second_hand_was", "both_spent"])
        | treading.to(water_waits, cond="second_hand_was")
        | treading.to.itself(on="count_hand", internal=True)
    )
    line_in = recovering.to(called, cond="enough_comes", on="recover") | recovering.to.itself(
        on="recover", internal=True
    )
    ready = called.to(reaching, on="begin")
    contact = reaching.to(towing, on="begin")
    let_go = (
        not_passed.from_(reaching, towing, cond=["let_go_before", "both_spent"])
        | water_waits.from_(reaching, towing, cond="let_go_before")
        | reaching.from_(reaching, towing, on="let_go_once")
    )
    ashore = towing.to(passed, on="pass_event")


def outcome(log: Log) -> str:
    machine: Any = BoatCrew(Registers())
    for entry in log.entries:
        _pass_time(machine, entry)
        machine.send(entry.mark, entry)
    if log.end is not None:
        _pass_time(machine, LogEntry(0, 0, log.end, "", None))
    state = machine.current_state_value
    return "VOID" if unmet_conditions(log.conditions) else OUTCOMES.get(state, "UNFINISHED")


def _pass_time(machine: Any, entry: LogEntry) -> None:
    """Treading ends by itself, and what follows may be late as well."""
    treading = machine.treading.is_active
    machine.send("time_passes", entry)
    if treading and machine.recovering.is_active:
        machine.send("time_passes", entry)
