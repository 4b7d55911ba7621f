"""The boat crew's entry check by `rtamt`, a monitor of signal temporal logic over dense time.

A formula of the past says of each instant of an attempt whether it is passed, another whether it is failed; what
comes first, or a stop, ends the attempt, and the next is looked for. Marks are pulses of a quarter of a
microsecond, which is the unit of time, and counts are steps.
"""

from collections.abc import Iterator
from typing import Any

import rtamt

from bench.by_hand import Log, LogEntry
from bench.readable import unmet_conditions

_SECOND = 4_000_000
_EVER = 10_000 * _SECOND
_Signal = list[list[float]]


def _over(seconds: int) -> str:
    """The bounds of more than so many seconds, counted in whole microseconds."""
    return f"{seconds * _SECOND + 2}"


_TRODDEN = f"once[{240 * _SECOND}:{_EVER}](go >= 0.5)"
_RECOVERED = "once(line_in >= 59999999.5)"
_CALLED = f"once((ready >= 0.5) and {_RECOVERED})"
_TOWING = f"((not (let_go >= 0.5)) since ((contact >= 0.5) and {_CALLED}))"
_FUELLED = "once((fuel >= 0.5) and once(cord >= 0.5) and once(gear >= 0.5))"
_LOSING = f"((let_go >= 0.5) and {_CALLED})"

_EVENTS: tuple[tuple[str, int, int, str, str], ...] = (
    (
        "heaving",
        2,
        90,
        "hits >= 1.5",
        f"(throws >= 4.5) or once[{_over(90)}:{_EVER}](go >= 0.5)",
    ),
    (
        "engine",
        3,
        360,
        "(running >= 0.5) and (pulls >= 0.5)",
        f"(pulls >= 3.5) or once[{_over(360)}:{_EVER}](go >= 0.5)"
        f" or ((pull >= 0.5) and not (historically[0:{20 * _SECOND}]({_FUELLED})))",
    ),
    (
        "water",
        2,
        1200,
        f"(ashore >= 0.5) and {_TOWING}",
        f"once[{_over(1200)}:{_EVER}](go >= 0.5)"
        f" or ((hands >= 2.5) and not ({_TRODDEN}))"
        f" or ((not (once[0:{45 * _SECOND}]((go >= 0.5) or (answer >= 0.5)))) and not ({_TRODDEN}))"
        f" or historically[0:{_over(300)}]({_TRODDEN} and not ({_RECOVERED}))"
        f" or historically[0:{_over(30)}]({_CALLED} and (not {_TOWING}) and not (let_go >= 0.5))"
        f" or historically[0:{_over(180)}]({_TOWING})"
        f" or ({_LOSING} and once[1:{_EVER}]({_LOSING}))",
    ),
)
_COUNTED = {"throw": "throws", "hit": "hits", "pull": "pulls", "hand_down": "hands"}
_PULSES = ("pull", "running", "answer", "ready", "contact", "let_go", "ashore")
_CHECKS = {"kill_cord": "cord", "neutral": "gear", "fuel": "fuel"}
_COUNTS = (*_COUNTED.values(), "line_in")
_NAMES = ("go", *_PULSES, *_CHECKS.values(), *_COUNTS)


def _monitor(formula: str) -> tuple[Any, tuple[str, ...]]:
    monitor = rtamt.StlDenseTimeOfflineSpecification()
    named = tuple(name for name in _NAMES if f"({name} >=" in f"({formula}")
    for name in named:
        monitor.declare_var(name, "float")
    monitor.declare_var("told", "float")
    monitor.spec = f"told = {formula}"
    monitor.parse()
    return monitor, named


_MONITORS = {label: (_monitor(passed), _monitor(failed)) for label, _, _, passed, failed in _EVENTS}


def outcome(log: Log) -> str:
    return "VOID" if unmet_conditions(log.conditions) else _outcome(log)


def _outcome(log: Log) -> str:
    place = 0
    for label, allowed, seconds, _, _ in _EVENTS:
        charged = 0
        while True:
            place = next(
                (n for n in range(place, len(log.entries)) if log.entries[n].mark == "go"), len(log.entries)
            )
            if place == len(log.entries):
                return "UNFINISHED"
            opened, longest = log.entries[place].at, (seconds + 1) * _SECOND
            entries = [(_since(opened, e.at), e) for e in log.entries[place:] if _since(opened, e.at) <= longest]
            goes_on = place + len(entries) < len(log.entries)
            last = longest if goes_on else entries[-1][0] if log.end is None else _since(opened, log.end)
            signals = _signals(entries, last)
            passed, failed = (_first(monitor, signals, last) for monitor in _MONITORS[label])
            stopped = next((at for at, e in entries if e.mark == "stop_call"), _EVER)
            ended = min(passed, failed, stopped)
            if ended == _EVER:
                return "UNFINISHED"
            place += sum(at < ended for at, _ in entries)
            place += place < len(log.entries) and _since(opened, log.entries[place].at) == ended
            if ended == passed:
                break
            charged += ended == failed
            if charged == allowed:
                return "NO-GO"
    return "GO"


def _since(opened: int, at: int) -> int:
    return 4 * (at - opened)


def _first(monitor: tuple[Any, tuple[str, ...]], signals: dict[str, _Signal], last: int) -> float:
    """The first instant at which the formula holds, to the last one."""
    specification, named = monitor
    robustness = specification.evaluate(*([name, signals[name]] for name in named))
    return next((at for at, margin in robustness if margin > 0 and at <= last), _EVER)


def _signals(entries: list[tuple[int, LogEntry]], last: int) -> dict[str, _Signal]:
    """Each signal from the opening to the last instant, by steps."""
    signals: dict[str, _Signal] = {name: [[0, 0.0]] for name in _NAMES}
    signals["go"] = [[0, 1.0], [1, 0.0]]
    for at, entry in entries[1:]:
        for name, value in _values(entry, at, signals):
            _step(signals[name], at, value)
            if name not in _COUNTS:
                _step(signals[name], at + 1, 0.0)
    for signal in signals.values():
        _step(signal, last + 4, signal[-1][1])
    return signals


def _values(entry: LogEntry, at: int, signals: dict[str, _Signal]) -> Iterator[tuple[str, float]]:
    mark = entry.mark
    if mark in _COUNTED:
        yield _COUNTED[mark], signals[_COUNTED[mark]][-1][1] + 1
    if mark == "line_in" and at >= 240 * _SECOND:
        assert isinstance(entry.value, int)
        yield "line_in", signals["line_in"][-1][1] + entry.value
    pulse = _CHECKS.get(str(entry.value)) if mark == "check" else mark if mark in _PULSES else None
    if pulse is not None:
        yield pulse, 1.0


def _step(signal: _Signal, at: float, value: float) -> None:
    if signal[-1][0] < at:
        signal.append([at, value])
    else:
        signal[-1][1] = value
