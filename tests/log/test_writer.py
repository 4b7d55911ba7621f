"""A log written is the log that is read again."""

from collections import Counter
from random import Random

import pytest
from attrs import evolve
from plausible import random_standard
from plausible_corrections import corrected
from plausible_logs import random_log
from trials.pairs import legal_standard

from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.machine.compile import compile_standard
from standfast.pipeline import load_log, load_standard
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


@pytest.mark.parametrize("seed", range(60))
def test_a_corrected_log_is_written_as_it_was_with_its_corrections(seed: int) -> None:
    rng = Random(f"corrected {seed}")
    _, machine, _ = legal_standard(rng)
    log = corrected(rng, random_log(rng, machine), machine.standard)
    again, found = load_log("a.jsonl", log_bytes(log), machine.standard)
    assert again is not None, [d.message for d in found]
    assert without_places(again) == without_places(log)
    assert (again.uncorrected is None) == (log.uncorrected is None)
    if again.uncorrected is not None and log.uncorrected is not None:
        assert without_places(again.uncorrected) == without_places(log.uncorrected)


def test_the_logs_that_are_tried_have_corrections_of_each_kind() -> None:
    made = Counter[str]()
    for seed in range(60):
        rng = Random(f"corrected {seed}")
        _, machine, _ = legal_standard(rng)
        log = corrected(rng, random_log(rng, machine), machine.standard)
        made["refused without"] += bool(log.corrections) and log.uncorrected is None
        for each in log.corrections:
            made[f"{'end' if each.of_end else 'entry'} {'struck' if each.after is None else 'amended'}"] += 1
    assert len(made) == 5 and min(made.values()) > 2, made


def without_places(log: SessionLog) -> SessionLog:
    """The log without what depends on the order of its lines."""
    corrections = sorted(
        (evolve(each, line=0, on_line=0) for each in log.corrections), key=lambda each: (each.of_end, each.place)
    )
    entries = tuple(evolve(entry, line=0) for entry in log.entries)
    return evolve(log, digest="", entries=entries, corrections=tuple(corrections), uncorrected=None)
