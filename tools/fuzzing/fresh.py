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
    if reader == "rules":
        text = random_standard(rng)
    else:
        text = _roster(rng) if reader == "rosters" else _log(reader, rng)
    return spoilt(rng, text) if rng.random() < 0.5 else text.encode()


def _log(reader: str, rng: Random) -> str:
    machine = rng.choice(_machines())
    log = corrected(rng, random_log(rng, machine), machine.standard)
    return (log_bytes if reader == "logs" else csv_bytes)(log).decode("utf-8")


def _roster(rng: Random) -> str:
    columns = rng.sample(("candidate", "body_mass", "duty", "tide_set"), 4)[: rng.choice((1, 2, 4, 4))]
    cells = {
        "body_mass": ("80 kg", "80,5 kg", "180 lb", "_", "", "eighty"),
        "duty": ("shore", "boat", "_", "", "ashore"),
        "tide_set": ("120 deg", "0 deg", "360 deg", "_", ""),
    }
    separator = rng.choice(",;\t")
    rows = [columns]
    for number in range(rng.choice((1, 2, 3, 9))):
        name = rng.choice((f"C-{number}", f'"C {number} for C"', f"'={number}", f'"a,b;{number}"'))
        rows.append([rng.choice(cells.get(column, (name,))) for column in columns])
    return "".join(separator.join(row) + "\r\n" for row in rows)


@cache
def _machines() -> tuple[Machine, ...]:
    return tuple(compile_standard(standard) for standard in standards())
