"""How replay grows: `.venv/bin/python tools/bench/replay.py`. Ratios of medians, measured in turn in one run.

Groups in any order of 4, 8 and 16 items, each entry answered by one of them: were positions multiplied out, 16
items would have 65,536 of them. Logs of 100 and 1,000 entries: the time an entry takes must not grow with the log.
And machine against definition, on the same log.
"""

import sys
import time
from collections.abc import Callable
from functools import partial
from statistics import median

from standfast.definition import judge
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.pipeline import load_standard
from standfast.replay import replay
from standfast.source import Source

ROUNDS = 7


def machine_of(items: int) -> Machine:
    marks = "".join(f'    mark_{n} "Mark {n}"\n' for n in range(items))
    steps = "".join(f"        step step_{n}\n            until 100 mark_{n}\n" for n in range(items))
    text = 'standard bench "Bench"\n    edition "1"\n    in force from 2026-01-01\n'
    text += f'marks\n    go "The signal"\n{marks}event all_of_them\n    attempts 1\n    start on go\n'
    standard, found = load_standard(Source("bench.standard", f"{text}    in any order group\n{steps}"))
    assert standard is not None, found
    return compile_standard(standard)


def log_of(items: int, entries: int) -> SessionLog:
    marks = ["go", *(f"mark_{n % items}" for n in range(entries - 1))]
    return SessionLog(
        session="bench",
        standard="bench",
        edition=None,
        candidates=("C-1",),
        conditions={},
        entries=tuple(Entry(number=n, line=n + 1, at=n * 1000, mark=mark) for n, mark in enumerate(marks, 1)),
        end=None,
        grader=None,
        started=None,
        digest="",
    )


def main() -> int:
    machines = {items: machine_of(items) for items in (4, 8, 16)}
    jobs: dict[str, Callable[[], object]] = {
        f"{items} items, {entries} entries": partial(replay, machines[items], log_of(items, entries))
        for items in machines
        for entries in (100, 1000)
    }
    jobs["definition, 4 items, 100 entries"] = partial(judge, machines[4].standard, log_of(4, 100))
    times: dict[str, list[float]] = {name: [] for name in jobs}
    for _ in range(ROUNDS):
        for name, job in jobs.items():
            began = time.perf_counter()
            job()
            times[name].append(time.perf_counter() - began)
    middle = {name: median(taken) for name, taken in times.items()}
    for name, seconds in middle.items():
        print(f"{name:36} {seconds * 1000:8.1f} ms")
    print("ratios")
    wide = middle["16 items, 1000 entries"] / middle["4 items, 1000 entries"]
    print(f"  16 items to 4 items, 1000 entries  {wide:.2f}")
    per_entry = middle["8 items, 1000 entries"] / middle["8 items, 100 entries"] / 10
    print(f"  one entry of 1000 to one of 100    {per_entry:.2f}")
    ratio = middle["definition, 4 items, 100 entries"] / middle["4 items, 100 entries"]
    print(f"  definition to machine              {ratio:.2f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
