"""How the plain step function grows, with items side by side and with the log; and the definition beside it.

Were positions multiplied out, 16 items in any order would have 65,536 of them; the time that an entry takes must
not grow with the log either.
"""

from functools import partial

from bench.rows import Row
from bench.section import Section, ratio_row
from bench.taking import Job, Times
from standfast.definition import judge
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.replay import replay
from standfast.source import Source

_DEFINED = "definition, 4 items, 100 entries"


def section() -> Section:
    jobs: dict[str, Job] = {}
    for items in (4, 16):
        standard = _standard(items)
        machine = compile_standard(standard)
        for entries in (100, 1000):
            jobs[_name(items, entries)] = Job(partial(_replayed, machine, _log(items, entries)), entries)
    four = _standard(4)
    jobs[_DEFINED] = Job(partial(_judged, four, _log(4, 100)), 100)
    return Section(jobs, _rows)


def _name(items: int, entries: int) -> str:
    return f"the plain way, {items} items, {entries} entries"


def _replayed(machine: Machine, log: SessionLog) -> None:
    replay(machine, log)


def _judged(standard: Standard, log: SessionLog) -> None:
    judge(standard, log)


def _standard(items: int) -> Standard:
    marks = "".join(f'    mark_{n} "Mark {n}"\n' for n in range(items))
    steps = "".join(f"        step step_{n}\n            until 100 mark_{n}\n" for n in range(items))
    text = 'standard bench "Bench"\n    edition "1"\n    in force from 2026-01-01\n'
    text += f'marks\n    go "The signal"\n{marks}event all_of_them\n    attempts 1\n    start on go\n'
    standard, found = load_standard(Source("bench.standard", f"{text}    in any order group\n{steps}"))
    assert standard is not None, found
    return standard


def _log(items: int, entries: int) -> SessionLog:
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


def _rows(times: Times) -> list[Row]:
    few, many = _name(4, 1000), _name(16, 1000)
    return [
        ratio_row(times, "the plain way, 16 items in any order, to 4", many, few),
        ratio_row(times, "the plain way, an entry of 1,000, to one of 100", few, _name(4, 100)),
        ratio_row(times, "the definition, to the plain way", _DEFINED, _name(4, 100), guarded=False),
    ]
