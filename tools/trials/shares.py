"""A trial's seeds shared out to processes, and what all of them found printed."""

import time
from collections import Counter
from collections.abc import Callable
from multiprocessing import Pool
from typing import TypeVar

W = TypeVar("W")

Tried = Callable[[str, int], tuple[Counter[str], list[W]]]
"""From a seed and a number of tries what was seen, and what was wrong; a function of a module."""


def held(name: str, wrong_as: str, tried: Tried[W], most: int, count: int, seed: int, jobs: int) -> int:
    """So many tries in shares of `most` at most; the result is the exit code."""
    return 1 if found_in_shares(name, wrong_as, tried, most, count, seed, jobs)[1] else 0


def found_in_shares(
    name: str, wrong_as: str, tried: Tried[W], most: int, count: int, seed: int, jobs: int
) -> tuple[Counter[str], list[W]]:
    """The same, with what was seen and what was wrong."""
    started = time.monotonic()
    share = max(1, min(most, count // jobs))
    work = [(f"{seed}.{part}", min(share, count - part * share)) for part in range(-(-count // share))]
    seen: Counter[str] = Counter()
    wrong: list[W] = []
    with Pool(jobs) as pool:
        for found in [pool.apply_async(tried, job) for job in work]:
            counts, offences = found.get()
            seen += counts
            wrong += offences
    for each in wrong[:3]:
        print(each)
    print(f"{name}: {count}, seed {seed}, {wrong_as}: {len(wrong)}, {time.monotonic() - started:.0f} s")
    for what, number in sorted(seen.items()):
        print(f"    {what}: {number}")
    return seen, wrong
