"""`boat_crew_entry`, edition 3.1, graded by hand once more: one function, tuned for speed and for nothing else.

`due` is the first instant after which something falls due by itself, so that most entries cost one comparison for
the time and one or two for the mark. A verdict is told in plain tuples (`Told`).
"""

from typing import TypeAlias

from bench.by_hand import Log, Told

Row: TypeAlias = tuple[int, str, str | int | None]
"""An entry: when, mark, value. Its number is its place, its line one more."""

THROWING, CHECKING, FUELLING, RESTED, PULLING, TREADING, RECOVERING, CALLED, REACHING, TOWING = range(10)
_FIRST = (THROWING, CHECKING, TREADING)
_LASTS = (90_000_000, 360_000_000, 45_000_000)
_LABELS = ("heaving", "engine", "water")
_ALLOWED = (2, 3, 2)
_LIMITS = {
    THROWING: "heaving.throws.within",
    CHECKING: "engine.within",
    FUELLING: "engine.within",
    RESTED: "engine.within",
    PULLING: "engine.within",
    TREADING: "water.tread.no_answer",
    RECOVERING: "water.recover.within",
    CALLED: "water.within",
    REACHING: "water.casualty.reach.within",
    TOWING: "water.casualty.tow.within",
}
_NEVER = 1 << 62
_WATER = 1_200_000_000


def rows_of(log: Log) -> list[Row]:
    return [(entry.at, entry.mark, entry.value) for entry in log.entries]


def grade(conditions: dict[str, int | bool], rows: list[Row], end: int | None) -> Told:
    attempts: tuple[list[Told], ...] = ([], [], [])
    outcome, decided_at = "UNFINISHED", None
    event = charged = number = opened = ended = state = count = other = since = restarts = 0
    ready = True  # for a start signal: no attempt is open
    due = _NEVER
    reasons: list[Told] = []
    for at, mark, value in rows if end is None else [*rows, (end, "", None)]:
        number += 1
        if at >= due:
            if state == TREADING and since <= due:
                state, due, count = RECOVERING, since + 300_000_000, 0
            if at > due:
                path = "water.within" if state >= REACHING and due == opened + _WATER != since else _LIMITS[state]
                reasons.append(("fail", path, due, None, None, None, None))
                attempts[event].append((len(attempts[event]) + 1, opened, due, "failed", True, tuple(reasons)))
                ready, ended = True, due
                if charged == _ALLOWED[event]:
                    outcome, decided_at = "NO-GO", due
                    break
                due = _NEVER
        if ready:
            if mark == "go":
                ready, opened, charged, state = False, at, charged + 1, _FIRST[event]
                count = other = restarts = 0
                due = at + _LASTS[event]
                reasons = []
                if event == 2:
                    since = at + 240_000_000
                elif event == 0 and attempts[0] and at - ended < 120_000_000:
                    rested = at - ended
                    note = ("note", "heaving.rest_between", at, number, number + 1, rested, rested - 120_000_000)
                    reasons.append(note)
            continue
        broken: Told | None = None
        if state == RECOVERING:
            if mark == "line_in":
                count += value  # type: ignore[operator] # a length, as the log was read by the standard
                if count >= 60_000_000:
                    state, due = CALLED, opened + _WATER
                continue
        elif state == TREADING:
            if mark == "answer":
                due = at + 45_000_000
                if due > since:
                    due = since
                continue
            if mark == "hand_down":
                count += 1
                if count > 2:
                    broken = ("fail", "water.tread.hand_down", at, number, number + 1, count, 2 - count)
        elif state == THROWING:
            if mark == "throw":
                count += 1
                if count > 4:
                    broken = ("fail", "heaving.throws.within_throw", at, number, number + 1, count, 4 - count)
            elif mark == "hit":
                other += 1
                if other == 2:
                    state = -1
        elif state == PULLING:
            if mark == "running":
                state = -1
            elif mark == "pull":
                count += 1
                if count > 3:
                    broken = ("fail", "engine.pulls.within_pull", at, number, number + 1, count, 3 - count)
        elif state == RESTED:
            if mark == "pull":
                rested = at - since
                if rested < 20_000_000:
                    broken = ("fail", "engine.pulls.rest", at, number, number + 1, rested, rested - 20_000_000)
                else:
                    state, count = PULLING, 1
        elif state < RESTED:
            if mark == "pull":
                broken = ("fail", "engine.pull.out_of_order", at, number, number + 1, None, None)
            elif mark == "check":
                if state == FUELLING:
                    if value == "fuel":
                        state, since = RESTED, at
                elif value != "fuel":
                    count |= 1 if value == "kill_cord" else 2
                    if count == 3:
                        state = FUELLING
        elif state == CALLED:
            if mark == "ready":
                state, since = REACHING, at + 30_000_000
                due = min(since, opened + _WATER)
        elif mark == "let_go":
            restarts += 1
            if restarts > 1:
                broken = ("fail", "water.casualty.let_go.at_most", at, number, number + 1, restarts, 1 - restarts)
            else:
                reasons.append(("restart", "water.casualty.let_go", at, number, number + 1, None, None))
                state, since = REACHING, at + 30_000_000
                due = min(since, opened + _WATER)
        elif state == REACHING:
            if mark == "contact":
                state, since = TOWING, at + 180_000_000
                due = min(since, opened + _WATER)
        elif mark == "ashore":
            state = -1
        if broken is not None:
            reasons.append(broken)
            attempts[event].append((len(attempts[event]) + 1, opened, at, "failed", True, tuple(reasons)))
            ready, ended, due = True, at, _NEVER
            if charged == _ALLOWED[event]:
                outcome, decided_at = "NO-GO", at
                break
        elif state < 0:
            attempts[event].append((len(attempts[event]) + 1, opened, at, "GO", True, tuple(reasons)))
            ready, due, charged = True, _NEVER, 0
            event += 1
            if event == 3:
                outcome, decided_at = "GO", at
                break
        elif mark == "stop_call":
            reasons.append(("halt", "always.stop_call", at, number, number + 1, None, None))
            attempts[event].append((len(attempts[event]) + 1, opened, at, "halted", False, tuple(reasons)))
            ready, ended, due, charged = True, at, _NEVER, charged - 1
    if not ready:
        attempts[event].append((len(attempts[event]) + 1, opened, None, "open", True, tuple(reasons)))
    events: list[Told] = []
    for place, label in enumerate(_LABELS):
        if place < event:
            standing = "GO"
        elif not attempts[place]:
            standing = "NOT BEGUN"
        else:
            standing = outcome
        events.append((label, standing, tuple(attempts[place])))
    unmet = _unmet(conditions)
    if unmet:
        return "VOID", None, tuple(events), tuple(unmet)
    return outcome, decided_at, tuple(events), ()


def _unmet(conditions: dict[str, int | bool]) -> list[Told]:
    enough = conditions.get("water_depth", 0) >= 2_500_000 and conditions.get("lookouts", 0) >= 2
    if enough and conditions.get("buoyancy_aid"):
        return []
    unmet: list[Told] = []
    for name, least in (("water_depth", 2_500_000), ("lookouts", 2), ("buoyancy_aid", 1)):
        stated = conditions.get(name)
        if stated is None:
            unmet.append(("not stated", f"conditions.{name}", None, None, None, None, None))
        elif stated is False:
            unmet.append(("unmet", f"conditions.{name}", None, None, None, None, None))
        elif stated < least:
            unmet.append(("unmet", f"conditions.{name}", None, None, None, stated, stated - least))
    return unmet
