"""Taking times: all jobs in turn, round after round, so that what disturbs the machine disturbs all of them alike.

A job is timed by the processor time that it takes, its own and that of the processes it starts; what is compared
is always two jobs of one round, and of these ratios the median counts.
"""

import gc
import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from statistics import median

from attrs import field, frozen


@frozen
class Job:
    """What is timed. `size` is how much it does, in whatever is compared; it is run in every `every`th round.

    `run` gives nothing, or the processor time that the job wants counted in place of its own.
    """

    run: Callable[[], float | None]
    size: float = 1
    every: int = 1


@frozen
class Times:
    """Seconds for one unit of a job's size, by the job's name and the round."""

    by_job: Mapping[str, Mapping[int, float]] = field(factory=dict)

    def seconds(self, job: str) -> float:
        return median(self.by_job[job].values())

    def ratio(self, job: str, to: str) -> float:
        return median(self.ratios(job, to))

    def ratios(self, job: str, to: str) -> Sequence[float]:
        """One for each round in which both were run."""
        ours, theirs = self.by_job[job], self.by_job[to]
        return [ours[turn] / theirs[turn] for turn in sorted(ours.keys() & theirs.keys())]

    def __contains__(self, job: str) -> bool:
        return job in self.by_job


def take(jobs: Mapping[str, Job], rounds: int, told: Callable[[str], None]) -> Times:
    """Each job once before it counts, then all in turn; the turn begins with another job in each round."""
    for name, job in jobs.items():
        told(f"once: {name}")
        job.run()
    names = list(jobs)
    times: dict[str, dict[int, float]] = {name: {} for name in names}
    for turn in range(rounds):
        first = turn * 7 % len(names)
        for name in (*names[first:], *names[:first]):
            if turn % jobs[name].every == 0:
                told(f"round {turn + 1} of {rounds}: {name}")
                times[name][turn] = _timed(jobs[name]) / jobs[name].size
    return Times(times)


def _timed(job: Job) -> float:
    gc.collect()
    began = time.process_time()
    counted = job.run()
    own = time.process_time() - began
    return own if counted is None else counted


@frozen
class Ended:
    """A process that has ended: its seconds, of the processor and of the clock."""

    processor: float
    clock: float


class WentWrong(Exception):
    """A command ended with an error: its time would mean nothing."""


def run_process(command: Sequence[str], environment: Mapping[str, str]) -> Ended:
    """Run a command to its end, its output thrown away, those of its own processes counted with it."""
    began = time.perf_counter()
    started = subprocess.Popen(
        command, env=dict(environment), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(started.pid, 0)
    started.returncode = os.waitstatus_to_exitcode(status)
    if started.returncode not in (0, 1):
        raise WentWrong(f"exit code {started.returncode}: {' '.join(command)}")
    return Ended(used.ru_utime + used.ru_stime, time.perf_counter() - began)


_ASKING = """
import os, resource, sys
process = os.posix_spawn(sys.argv[1], sys.argv[1:], os.environ, file_actions=[
    (os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0), (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0)])
code = os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss if code in (0, 1) else 0)
"""


def peak_memory(command: Sequence[str], environment: Mapping[str, str]) -> float:
    """The most memory that a command held, in MiB.

    It is started by a process of its own: what a system tells of a process is never less than its parent held.
    """
    asked = (sys.executable, "-I", "-S", "-c", _ASKING, *command)
    told = subprocess.run(asked, env=dict(environment), capture_output=True, text=True, check=True).stdout
    if not int(told):
        raise WentWrong(" ".join(command))
    return int(told) / 1024
