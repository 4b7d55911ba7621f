"""Archives: how fast logs without number are graded, by one process and by two, and what memory that takes."""

from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from zipfile import ZIP_DEFLATED, ZipFile

from bench.commands import environment, standfast
from bench.graders import STANDARDS
from bench.rows import Row
from bench.section import Section, ratio_row
from bench.sessions import STANDARD, sessions
from bench.taking import Job, Times, peak_memory, run_process

_SIZES = (1_000, 10_000, 100_000, 1_000_000)
"""Events of the archives of which the memory is looked at."""
_TIMED = 1_000_000
_DISTINCT = 200  # sessions; an archive has each of them many times, as another session
_ONE, _TWO = "archive, one process", "archive, two processes"
_WORKED = 100_000
_WORK_OF_ONE, _WORK_OF_TWO = "archive, work of one process", "archive, work of two processes"
_SELDOM = 3


def section() -> Section:
    folder = TemporaryDirectory()
    logs = tuple(sessions(11, _DISTINCT))
    places = {events: Path(folder.name, f"{events}.zip") for events in _SIZES}
    for events, place in places.items():
        _write(place, logs, events)
    cache = environment(str(Path(folder.name, "cache")))

    def command(place: Path, processes: int) -> tuple[str, ...]:
        standard = str(STANDARDS / STANDARD)
        given = ("--standard", standard, "--jobs", str(processes), str(place))
        return standfast("grade", "--format", "csv", *given)

    def seconds(processes: int) -> float:
        return run_process(command(places[_TIMED], processes), cache).clock

    def work(processes: int) -> float:
        return run_process(command(places[_WORKED], processes), cache).processor

    jobs = {
        _ONE: Job(partial(seconds, 1), _TIMED, _SELDOM),
        _TWO: Job(partial(seconds, 2), _TIMED, _SELDOM),
        _WORK_OF_ONE: Job(partial(work, 1), _WORKED),
        _WORK_OF_TWO: Job(partial(work, 2), _WORKED),
    }

    def rows(times: Times) -> list[Row]:
        peaks = {events: peak_memory(command(place, 1), cache) for events, place in places.items()}
        grown = peaks[_SIZES[-1]] - peaks[_SIZES[0]]
        told = ", ".join(f"{peaks[events]:.1f}" for events in _SIZES)
        return [
            ratio_row(
                times,
                "an archive of 1,000,000 entries on two cores, to one (by the clock)",
                _TWO,
                _ONE,
                bar=0.6,
                stretch=0.52,
                guarded=False,  # whoever else uses the machine decides it
            ),
            ratio_row(
                times,
                "the processor time of both, to that of one, for 100,000 entries",
                _WORK_OF_TWO,
                _WORK_OF_ONE,
            ),
            Row(name="entries a second, one core", figure=1 / times.seconds(_ONE)),
            Row(name="entries a second, two cores", figure=1 / times.seconds(_TWO)),
            Row(
                name=f"growth of memory from 1,000 entries to 1,000,000 ({told} MiB at each power of ten)",
                figure=grown,
                unit="MiB",
                bar=5,
                stretch=1,
            ),
        ]

    return Section(jobs, rows, folder)


def _write(place: Path, logs: tuple[bytes, ...], events: int) -> None:
    """Logs until there are so many events; each has a session of its own."""
    number, left = 0, events
    with ZipFile(place, "w", ZIP_DEFLATED, compresslevel=1) as archive:
        while left > 0:
            data = logs[number % len(logs)]
            session = f'"bench/{number % len(logs)}"'.encode()
            archive.writestr(f"{number}.jsonl", data.replace(session, f'"bench/{number}"'.encode(), 1))
            left -= data.count(b"\n") - 1
            number += 1
