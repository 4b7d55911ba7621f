"""A standard in rows of plain values, and out of them again: the random ones of the laws, to the last field."""

import json
from random import Random

from plausible import random_standard

from standfast.model.packing import packed, unpacked
from standfast.pipeline import Ready, load_standard
from standfast.source import Source

SEEDS = range(60)


def test_a_random_standard_comes_back_as_it_was() -> None:
    tried = 0
    for seed in SEEDS:
        source = Source(f"{seed}.standard", random_standard(Random(seed)))
        standard, found = load_standard(source)
        if standard is None:
            continue
        tried += 1
        rows = json.loads(json.dumps(packed(standard, found)))
        again, found_again = unpacked(rows, source)
        assert again == standard and found_again == found and again is not standard
        assert repr(again) == repr(standard)
        assert packed(again, found_again) == rows
        machines = (Ready(standard).machine, Ready(again).machine)
        assert machines[0] == machines[1] and repr(machines[0]) == repr(machines[1])
    assert tried > len(SEEDS) / 2
