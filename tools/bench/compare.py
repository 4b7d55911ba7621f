"""Two editions compared, each shipped pair by a process of its own, against comparing an edition with itself."""

from collections.abc import Iterator
from functools import partial
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory

from bench.commands import environment, standfast
from bench.graders import STANDARDS
from bench.rows import Row
from bench.section import Section, ratio_row, seconds_row
from bench.taking import Job, Times, peak_memory, run_process

_SELF = "compare with itself"
_SELDOM = 3  # run in each third round
_MOST_SECONDS, _HOPED_SECONDS = 5, 1
_MOST_MEMORY = 500  # MiB


def shipped_pairs() -> Iterator[tuple[Path, Path]]:
    """Every older edition of a shipped standard with every newer one."""
    for folder in sorted(STANDARDS.iterdir()):
        editions = sorted(folder.glob(f"{folder.name}_*.standard"))
        yield from combinations(editions, 2)


def section() -> Section:
    folder = TemporaryDirectory()
    around = environment(str(Path(folder.name, "cache")))
    commands = {
        f"{old.stem} and {new.stem}": standfast("compare", str(old), str(new)) for old, new in shipped_pairs()
    }
    first = next(shipped_pairs())[0]
    commands[_SELF] = standfast("compare", str(first), str(first))

    def run(command: tuple[str, ...]) -> float:
        return run_process(command, around).processor

    jobs = {name: Job(partial(run, command), 1, _SELDOM) for name, command in commands.items()}

    def rows(times: Times) -> list[Row]:
        pairs = [name for name in commands if name != _SELF]
        slowest = max(pairs, key=times.seconds)
        memory = max(peak_memory(commands[name], around) for name in pairs)
        return [
            *(
                seconds_row(times, f"`compare` of {name}", name, bar=_MOST_SECONDS, stretch=_HOPED_SECONDS)
                for name in pairs
            ),
            ratio_row(times, "`compare` of the slowest pair, to that of an edition with itself", slowest, _SELF),
            Row(name="`compare`, most memory", figure=memory, unit="MiB", bar=_MOST_MEMORY),
        ]

    return Section(jobs, rows, folder)
