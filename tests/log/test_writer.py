"""A log written is the log that is read again."""

from random import Random

import pytest
from attrs import evolve
from plausible import random_standard
from plausible_logs import random_log

from standfast.log.bind import bind
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.machine.compile import compile_standard
from standfast.pipeline import load_standard
from standfast.source import Source


@pytest.mark.parametrize("seed", range(60))
def test_written_and_read_again_is_the_same_log(seed: int) -> None:
    rng = Random(seed)
    standard, _ = load_standard(Source("a.standard", random_standard(rng)))
    while standard is None:
        standard, _ = load_standard(Source("a.standard", random_standard(rng)))
    log = random_log(rng, compile_standard(standard))
    raw, found = read_log("a.jsonl", log_bytes(log))
    assert raw is not None, [d.message for d in found]
    again, found = bind(raw, standard)
    assert again is not None, [d.message for d in found]
    only = log.candidates[0] if len(log.candidates) == 1 else None
    entries = tuple(evolve(e, line=e.number + 1, candidate=only or e.candidate) for e in log.entries)
    assert evolve(again, digest="") == evolve(log, entries=entries, digest="")
