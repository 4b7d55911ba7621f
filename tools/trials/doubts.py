"""Close calls held against every shift of every time, on small random standards and logs.

Times and limits are a few microseconds, the grain of time itself, so the shifts tried are all there are: each time
by each whole number of microseconds within the doubt, in every combination that keeps the order. What becomes of
the verdict then is asked of the definition, which knows nothing of machines and zones. Every second standard is
one of those with everything in it, its seconds made as short.
"""

import re
import time
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, product
from multiprocessing import Pool
from random import Random

from attrs import define, field
from plausible import random_standard
from plausible_logs import random_log

from standfast.definition import judge
from standfast.doubt import moved_log, timeline_of, weighed
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.shifting import Timeline
from standfast.machine.values import value_classes
from standfast.pipeline import load_standard
from standfast.quantity import decimal
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import CloseCall, Doubt, Firmness, Outcome, Verdict
from trials.small import small_standard

LOGS = 8
"""Of each standard."""
_SHARE = 20
_WORDS = ("best by", "plus", "points", "rate of", "rest", "rounds", "score")
_OFF = (0, 0, -1, 1)
_LENGTH = re.compile(r"(?P<number>[\d.]+) (?P<unit>s|ms|min|per s|per min)\b(?! \d)")
_HALVES = {"s": Fraction(2), "ms": Fraction(2, 1000), "min": Fraction(120)}

Said = tuple[Outcome, str | None]
Times = tuple[int, ...]


@define
class Trial:
    counts: Counter[str] = field(factory=Counter)
    wrong: list[str] = field(factory=list)


def hold_one(seed: str, trial: Trial) -> None:
    """One standard and some logs of it."""
    rng = Random(seed)
    small = rng.random() < 0.5
    text, machine = _small(rng) if small else _shortened(rng)
    trial.counts["small standards" if small else "shortened standards"] += 1
    for number in range(LOGS):
        log = small_log(rng, machine) if small else random_log(rng, machine, longest=5, off=_OFF, stride=1)
        within = 2 if len(log.entries) < 4 and rng.random() < 0.4 else 1
        for verdict in weighed(machine, log, replay(machine, log), within):
            assert verdict.doubt is not None
            trial.counts["verdicts"] += 1
            if verdict.doubt.firmness is Firmness.CLOSE_CALL:
                trial.counts.update(f"close calls beside `{words}`" for words in _WORDS if words in text)
            wrong = _wrong(machine, log, verdict, verdict.doubt, trial.counts)
            if wrong:
                trial.wrong.append(f"--- {seed}, log {number}\n{text}\n{_shown(log)}\n{verdict.doubt}\n{wrong}\n")


def _small(rng: Random) -> tuple[str, Machine]:
    text, standard = small_standard(rng)
    return text, compile_standard(standard)


def _shortened(rng: Random) -> tuple[str, Machine]:
    """A random standard in which half a second is one microsecond."""
    while True:
        text = re.sub(_LENGTH, _short, random_standard(rng))
        standard, _ = load_standard(Source("shortened", text))
        if standard is not None:
            return text, compile_standard(standard)


def _short(length: re.Match[str]) -> str:
    number, unit = Fraction(length["number"]), length["unit"]
    if unit.startswith("per "):
        return f"{decimal(number * 500_000)} {unit}"
    return f"{decimal(Fraction(round(number * _HALVES[unit]), 1000))} ms"


def small_log(rng: Random, machine: Machine) -> SessionLog:
    """Up to four times, so close that most verdicts hang on some."""
    marks = machine.standard.marks
    shared = rng.random() < (0.5 if machine.standard.by_anyone else 0.1)
    entries: list[Entry] = []
    now = rng.choice((0, 0, 1, 2))
    for number in range(1, rng.choice((1, 2, 3, 3, 4, 4)) + 1):
        mark = marks[0] if number == 1 and rng.random() < 0.8 else rng.choice(marks)
        value, _ = rng.choice(list(value_classes(machine, mark)))
        entries.append(
            Entry(
                number=number,
                line=number + 1,
                at=now,
                mark=mark.name,
                value=value,
                candidate=rng.choice((None, "C-1", "C-2")) if shared else "C-1",
                by=rng.choice(("G-1", "G-2")),
            )
        )
        now += rng.choice((0, 1, 1, 2, 2, 3, 4))
    return SessionLog(
        session="trial",
        standard=machine.standard.name,
        edition=None,
        candidates=("C-1", "C-2") if shared else ("C-1",),
        conditions={},
        entries=tuple(entries),
        end=now if len(entries) < 4 and rng.random() < 0.7 else None,
        grader=None,
        started=None,
        digest="",
    )


def _wrong(machine: Machine, log: SessionLog, verdict: Verdict, doubt: Doubt, counts: Counter[str]) -> str:
    """What is wrong with what is said of the doubt, nothing if all is right."""
    if verdict.outcome is Outcome.VOID:
        counts["VOID"] += 1
        return "" if doubt.firmness is Firmness.STANDS else "a session that does not count hangs on times"
    timeline = timeline_of(machine, log, verdict.candidate)
    said = (verdict.outcome, verdict.grade)
    others: dict[Times, Said] = {}
    for times in shifted(timeline, doubt.within):
        counts["shifts"] += 1
        (moved,) = judge(machine.standard, moved_log(timeline, log, verdict.candidate, times))
        if (moved.outcome, moved.grade) != said:
            others[times] = (moved.outcome, moved.grade)
    counts[f"{verdict.outcome.value} {doubt.firmness.value}"] += 1
    if doubt.firmness is Firmness.NOT_DECIDED:
        return "it is not decided"
    if {(other.outcome, other.grade) for other in doubt.others} != set(others.values()):
        return f"others by brute force: {others}"
    left = log.left(verdict.candidate)
    for other in doubt.others:
        wrong = _wrong_call(timeline, None if left is None else left.number, other, others)
        if wrong:
            return wrong
        others = {times: each for times, each in others.items() if each != (other.outcome, other.grade)}
    return ""


def _wrong_call(timeline: Timeline, end: int | None, other: CloseCall, others: dict[Times, Said]) -> str:
    """What is wrong with a close call, when what is nearer has been left out of the others; `end` is the number of
    the last time where that is a leaving.
    """
    off = {times: tuple(abs(a - b) for a, b in zip(times, timeline.times, strict=True)) for times in others}
    least = min(max(each) for each in off.values())
    if other.least != least:
        return f"the least doubt by brute force: {least}"
    moves = {shift.entry: shift.by for shift in other.shifts}
    numbers = [entry.number for entry, _ in timeline.entries] + [end]
    shown = tuple(at + moves.get(number, 0) for at, number in zip(timeline.times, numbers, strict=False))
    if others.get(shown) != (other.outcome, other.grade) or max(off[shown]) > least:
        return f"the times shown do not do it: {shown}"
    fewer = [times for times, each in off.items() if max(each) <= least and _moved(each) < _moved(off[shown])]
    return f"fewer times do it: {fewer[0]}" if fewer else ""


def _moved(off: Times) -> frozenset[int]:
    return frozenset(number for number, by in enumerate(off) if by)


def shifted(timeline: Timeline, within: int) -> Iterator[Times]:
    """All times within the doubt, in the order of the log."""
    shifts = range(-within, within + 1)
    for by in product(shifts, repeat=len(timeline.times)):
        times = tuple(at + each for at, each in zip(timeline.times, by, strict=True))
        if all(one <= other for one, other in pairwise(times)):
            yield times


def _share(job: tuple[str, int]) -> Trial:
    seed, count = job
    trial = Trial()
    for number in range(count):
        hold_one(f"{seed}.{number}", trial)
    return trial


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    started = time.monotonic()
    work = [(f"{seed}.{part}", min(_SHARE, count - part * _SHARE)) for part in range(-(-count // _SHARE))]
    whole = Trial()
    with Pool(jobs) as pool:
        for trial in pool.imap_unordered(_share, work):
            whole.counts += trial.counts
            whole.wrong += trial.wrong
    for wrong in whole.wrong[:3]:
        print(wrong)
    print(f"standards: {count}, seed {seed}, wrong: {len(whole.wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(whole.counts.items()):
        print(f"    {name}: {number}")
    return 1 if whole.wrong else 0


def _shown(log: SessionLog) -> str:
    lines = [f"{e.number}: {e.at} {e.mark} {e.value or ''} {e.candidate or 'all'} {e.by}" for e in log.entries]
    return "\n".join([*lines, f"end {log.end}"])
