"""Standards and logs made at random that are sound, or nearly so: what changing bytes would seldom lead to."""

from functools import cache
from random import Random

from plausible import random_standard
from plausible_corrections import corrected
from plausible_logs import random_log
from trials.spoiling import spoilt

from fuzzing.readers import standards
from standfast.log.sheet_writer import csv_bytes
from standfast.log.writer import log_bytes
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine


def fresh(reader: str, rng: Random) -> bytes:
    """For the reader of that name; half of them with a slip or a few."""
    text = random_standard(rng) if reader == "rules" else _log(reader, rng)
    return spoilt(rng, text) if rng.random() < 0.5 else text.encode()


def _log(reader: str, rng: Random) -> str:
    machine = rng.choice(_machines())
    log = corrected(rng, random_log(rng, machine), machine.standard)
    return (log_bytes if reader == "logs" else csv_bytes)(log).decode("utf-8")


@cache
def _machines() -> tuple[Machine, ...]:
    return tuple(compile_standard(standard) for standard in standards())
