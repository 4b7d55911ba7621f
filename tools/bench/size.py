"""The language at scale: what reading, compiling, proof and comparing cost, against the size of the standard."""

from collections.abc import Callable
from functools import partial

from bench.graders import STANDARDS
from bench.rows import Row
from bench.rules import rules_of
from bench.section import Section, ratio_row, seconds_row
from bench.taking import Job, Times
from standfast.difference.behaviour import compare
from standfast.difference.clauses import clause_changes
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.boundary import boundary_book
from standfast.proofing.cases import case_findings
from standfast.proofing.findings import proof
from standfast.source import Source

_READ = ((3, 100), (30, 1000), (200, 10_000))
"""Events, and about how many lines, of the standards that are read and compiled."""
_PROVED = ((1, 40), (3, 100), (10, 300))
"""Of those that are proved and compared, where every event is looked at in full."""
_LARGEST = "rope_rescue_check/rope_rescue_check.standard"
_SELDOM = 3  # what takes seconds is run in each third round


_LOOP = "a loop of plain Python"
_HELD = {
    "reading and compiling 1000 lines": "reading and compiling a line of 1,000",
    "proof of the largest": "proof of the largest shipped standard",
    "compare of the largest": "compare of the largest with one changed limit",
}
"""The jobs of which seconds are told and a ratio to the loop is guarded, by what its row is called."""


def section() -> Section:
    jobs: dict[str, Job] = {_LOOP: Job(_plain_loop)}
    for events, lines in _READ:
        text = rules_of(events, lines)
        jobs[_read_name(lines)] = Job(partial(_compiled, text), text.count("\n"), 1 if lines < 10_000 else _SELDOM)
    for events, lines in _PROVED:
        text = rules_of(events, lines)
        old = _loaded(text)
        new = _loaded(text.replace('edition "1"', 'edition "2"').replace("within 5 min", "within 6 min", 1))
        size = text.count("\n")
        jobs[f"proof of {lines} lines"] = Job(partial(_proved, old), size, _SELDOM)
        jobs[f"compare of {lines} lines"] = Job(partial(_compared, old, new), size, _SELDOM)
    text = _shipped(_LARGEST)
    jobs["proof of the largest"] = Job(partial(_proved, _loaded(text)), 1, _SELDOM)
    jobs["boundary book of the largest"] = Job(partial(_booked, _loaded(text)), 1, _SELDOM)
    changed = text.replace('edition "2026"', 'edition "2027"').replace("within 12 min", "within 11 min")
    jobs["compare of the largest"] = Job(partial(_compared, _loaded(text), _loaded(changed)), 1, _SELDOM)
    return Section(jobs, _rows)


def _read_name(lines: int) -> str:
    return f"reading and compiling {lines} lines"


def _shipped(name: str) -> str:
    return (STANDARDS / name).read_text(encoding="utf-8")


def _loaded(text: str) -> Standard:
    standard, found = load_standard(Source("bench.standard", text))
    assert standard is not None, found
    return standard


def _compiled(text: str) -> None:
    compile_standard(_loaded(text))


def _plain_loop() -> None:
    """What seconds are held against, so that they can be guarded: strings, tuples, sorting and looking up."""
    known: dict[str, tuple[int, str]] = {}
    for number in range(60_000):
        text = str(number * 7919 % 60_000)
        known[text] = number, text
    sorted(known.values())


def _proved(standard: Standard) -> None:
    for case in standard.cases:
        case_findings(standard, case)
    proof(standard)


def _booked(standard: Standard) -> None:
    boundary_book(standard)


def _compared(old: Standard, new: Standard) -> None:
    compare(old, new)
    clause_changes(old, new)


def _rows(times: Times) -> list[Row]:
    thousand = times.seconds(_read_name(1000)) * 1000
    return [
        Row(
            name="reading and compiling, for 1,000 lines of rules",
            figure=thousand * 1000,
            unit="ms",
            bar=100,
            stretch=25,
        ),
        _growth(times, "reading and compiling, a line of 10,000 to one of 1,000", _read_name, 10_000, 1000),
        _growth(times, "proof, a line of 300 to one of 40", "proof of {} lines".format, 300, 40),
        _growth(times, "compare, a line of 300 to one of 40", "compare of {} lines".format, 300, 40),
        *(ratio_row(times, f"{name}, to {_LOOP}", job, _LOOP, shown=False) for job, name in _HELD.items()),
        seconds_row(times, "proof of the largest shipped standard", "proof of the largest", bar=2, stretch=0.5),
        seconds_row(times, "boundary book of the same", "boundary book of the largest", bar=10),
        seconds_row(
            times,
            "compare of the largest shipped standard with one changed limit",
            "compare of the largest",
            bar=1,
            stretch=0.1,
        ),
    ]


def _growth(times: Times, name: str, job: Callable[[int], str], large: int, small: int) -> Row:
    return ratio_row(times, name, job(large), job(small))
