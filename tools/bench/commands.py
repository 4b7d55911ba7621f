"""The commands as somebody waits for them: each a new process, against a Python that does nothing.

Cold means with the cache as an earlier command has left it, and beside it with no cache yet.
"""

import os
import sys
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from shutil import rmtree
from tempfile import TemporaryDirectory

from bench.graders import STANDARDS
from bench.rows import Row
from bench.section import Section, ratio_row, seconds_row
from bench.taking import Job, Times, run_process

ENGINE = STANDARDS.parent / "engine"
_NOTHING = "python -c pass"
_BOAT = STANDARDS / "boat_crew_entry"
_STANDARD = str(_BOAT / "boat_crew_entry_2.standard")
_LOG = str(_BOAT / "logs" / "passed_first_time.jsonl")
_GRADE = ("grade", "--standard", _STANDARD, _LOG)
_FIRST = "grade, empty cache"
_COMMANDS: Mapping[str, tuple[str, ...]] = {
    "--version": ("--version",),
    "--help": ("--help",),
    "grade --standard FILE LOG": _GRADE,
    "grade LOG": ("grade", _LOG),
    "tidy": ("tidy", "--ask", _STANDARD),
    "brief": ("brief", _STANDARD),
}
_BARS = {"--version": (2.5, 1.8), "--help": (2.5, 1.8), "grade --standard FILE LOG": (7.0, 4.0)}


def environment(cache: str) -> dict[str, str]:
    """What a command is started with: this checkout's package, and folders for what it and Python itself keep."""
    own = {"PYTHONPATH": str(ENGINE), "STANDFAST_CACHE": cache, "PYTHONPYCACHEPREFIX": f"{cache}_of_python"}
    return {**os.environ, **own, "PYTHONDONTWRITEBYTECODE": ""}


def standfast(*words: str) -> tuple[str, ...]:
    return sys.executable, "-m", "standfast", *words


def section() -> Section:
    folder = TemporaryDirectory()
    cache, none_yet = Path(folder.name, "cache"), Path(folder.name, "none_yet")

    def with_cache(words: tuple[str, ...]) -> float:
        return run_process(standfast(*words), environment(str(cache))).processor

    def without_cache() -> float:
        rmtree(none_yet, ignore_errors=True)
        return run_process(standfast(*_GRADE), environment(str(none_yet))).processor

    jobs = {_NOTHING: Job(lambda: run_process((sys.executable, "-c", "pass"), environment(str(cache))).processor)}
    jobs |= {name: Job(partial(with_cache, words)) for name, words in _COMMANDS.items()}
    jobs[_FIRST] = Job(without_cache)

    def rows(times: Times) -> list[Row]:
        found = [
            ratio_row(times, f"`{name}`, cold, to `{_NOTHING}`", name, _NOTHING, bar=bar, stretch=stretch)
            for name in _COMMANDS
            for bar, stretch in (_BARS.get(name, (None, None)),)
        ]
        found.insert(3, ratio_row(times, f"the same with an empty cache, to `{_NOTHING}`", _FIRST, _NOTHING))
        return [*found, seconds_row(times, f"`{_NOTHING}`", _NOTHING, unit="ms")]

    return Section(jobs, rows, folder)
