"""A log written as a table is the log that is read again, and a spreadsheet runs none of it."""

import csv
from random import Random

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st
from plausible_corrections import corrected
from plausible_logs import random_log
from trials.pairs import legal_standard

from standfast.log.cells import as_it_was, neutral, quoted
from standfast.log.entry import Correction, SessionLog, Stated
from standfast.log.reader import read_log
from standfast.log.sheet_writer import csv_bytes
from standfast.pipeline import load_log

STRANGE = (
    "=cmd()",
    "+1",
    "-1",
    "@sum(A1)",
    "'=1",
    "''=1",
    "'t Hart",
    " =1 ",
    "a;=1",
    "a, @b",
    '"=1',
    'say "x";-2',
    "<script>alert(1)</script>",
    "\u05d0\u05d1\u05d2",
    "\uff1d1",
    "C,1",
    "C;1",
    "# C",
    "#",
    "end",
    "all of them",
    "a:b",
    "C-1 ",
    " C-1",
    "x for y",
    "\u00a0=1",
    "|=1",
    "-",
)
NOTES = (*STRANGE, "two\nlines", "two\r\nlines", "\t=1", "\r=1", "tab\t-1", "\n", "'\n=1")
TEXTS = st.text(st.sampled_from("=+-@'\"\t\r\n,;| ax1\u00a0\uff0b"), max_size=12)


def with_strange_names(rng: Random, log: SessionLog) -> SessionLog:
    names = dict(zip(log.candidates, rng.sample(STRANGE, len(log.candidates)), strict=True))
    entries = tuple(
        evolve(
            entry,
            candidate=None if entry.candidate is None else names[entry.candidate],
            by=rng.choice((entry.by, *STRANGE)) if entry.by else None,
            note=rng.choice((None, *NOTES)) if rng.random() < 0.5 else None,
        )
        for entry in log.entries
    )
    return evolve(
        log,
        session=rng.choice(STRANGE),
        candidates=tuple(names.values()),
        presence=tuple(evolve(each, candidate=names[each.candidate]) for each in log.presence),
        facts={names[whose]: facts for whose, facts in log.facts.items()},
        entries=tuple(evolve(e, note=None) if e.note is not None and not e.note.strip() else e for e in entries),
        grader=rng.choice((None, *STRANGE)),
    )


def bare(log: SessionLog) -> SessionLog:
    """The log without its places and the way that times of corrected entries are written."""

    def plain(stated: Stated) -> Stated:
        at = stated.at
        return evolve(stated, at=at.removesuffix(".0") if at else at)

    def of(each: Correction) -> Correction:
        after = None if each.after is None else plain(each.after)
        return evolve(each, line=0, on_line=0, before=plain(each.before), after=after)

    corrections = sorted((of(each) for each in log.corrections), key=lambda each: (each.of_end, each.place))
    entries = tuple(evolve(entry, line=0) for entry in log.entries)
    presence = tuple(evolve(each, line=0) for each in log.presence)
    alone = evolve(log, digest="", corrections=tuple(corrections), uncorrected=None)
    return evolve(alone, entries=entries, presence=presence)


@pytest.mark.parametrize("seed", range(80))
def test_written_as_a_table_and_read_again_is_the_same_log(seed: int) -> None:
    rng = Random(f"table {seed}")
    _, machine, _ = legal_standard(rng)
    log = random_log(rng, machine)
    log = with_strange_names(rng, log) if seed % 2 else corrected(rng, log, machine.standard)
    data = csv_bytes(log)
    again, found = load_log("a.csv", data, machine.standard)
    assert again is not None, [d.message for d in found]
    only = log.candidates[0] if len(log.candidates) == 1 else None
    entries = tuple(evolve(e, candidate=only or e.candidate) for e in log.entries)
    assert bare(again) == bare(evolve(log, entries=entries))
    # As a spreadsheet of any separator splits it, no cell begins like a formula.
    for separator in ",;\t":
        rows = csv.reader(data.decode("utf-8-sig").splitlines(keepends=True), delimiter=separator)
        assert not [
            cell for row in rows for cell in row if cell.lstrip(" \u00a0").startswith(tuple("=+@\t\r\uff1d"))
        ]


@given(TEXTS)
def test_what_is_neutralised_comes_back(text: str) -> None:
    out = neutral(text)
    assert as_it_was(out) == text
    for part in (part for line in out.splitlines() for piece in line.split(",") for part in piece.split(";")):
        assert not part.lstrip(" \u00a0").startswith(tuple("=+-@"))


@given(TEXTS)
def test_a_cell_comes_back(text: str) -> None:
    if not text.strip():
        return
    row = f"# session: S\n# standard: N\n# candidate: C\nat,mark,note\n0:00.0,go,{quoted(neutral(text))}\n"
    raw, found = read_log("a.csv", row.encode())
    assert raw is not None, [d.message for d in found]
    assert raw.entries[0].note == text


def test_a_name_with_an_apostrophe_that_no_formula_follows_is_left_alone() -> None:
    assert neutral("'t Hart") == as_it_was("'t Hart") == "'t Hart"
    assert neutral("=1") == "'=1" and as_it_was("=1") == "=1"
