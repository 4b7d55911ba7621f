"""Inputs that a fuzzer found, the few of each reader that cover most of what all of them do."""

from collections.abc import Callable
from itertools import count
from pathlib import Path
from random import Random

import fuzz
import pytest
from attrs import evolve
from fuzzing import readers
from fuzzing.distilling import distilled
from fuzzing.fresh import fresh
from fuzzing.seeds import LARGEST, dictionary, seeds

from standfast.codes.files import NOT_KEPT
from standfast.diagnostic import Diagnostic
from standfast.pipeline import load_log

_HERE = Path(__file__).resolve().parent
KEPT = sorted(_HERE.glob("*/*.input"))
LOG = (readers.ROOT / "standards" / "boat_crew_entry" / "logs" / "passed_first_time.jsonl").read_bytes()


@pytest.mark.parametrize("path", KEPT, ids=lambda path: f"{path.parent.name} {path.stem}")
def test_each_is_read_as_its_reader_must(path: Path) -> None:
    readers.READERS[path.parent.name](path.read_bytes())


def test_every_reader_has_some_and_none_is_large() -> None:
    assert {path.parent.name for path in KEPT} == set(readers.READERS)
    assert len(KEPT) <= 68
    assert max(path.stat().st_size for path in KEPT) <= LARGEST


@pytest.mark.parametrize("reader", readers.READERS)
def test_what_the_fuzzer_starts_from(reader: str) -> None:
    assert len(seeds(reader)) > (50 if reader != "rosters" else 3)
    assert len(dictionary(reader)) > 50
    readers.READERS[reader](seeds(reader)[-1])


@pytest.mark.parametrize("reader", readers.READERS)
def test_what_the_fuzzer_begins_anew_with(reader: str) -> None:
    made = [fresh(reader, Random(seed)) for seed in range(8)]
    assert made == [fresh(reader, Random(seed)) for seed in range(8)] and len(set(made)) > 4
    for data in made:
        readers.READERS[reader](data)


Loading = Callable[..., tuple[object, tuple[Diagnostic, ...]]]


def _neither(name: str, data: bytes, standard: object) -> tuple[object, tuple[Diagnostic, ...]]:
    return None, ()


def _both(name: str, data: bytes, standard: object) -> tuple[object, tuple[Diagnostic, ...]]:
    _, found = load_log(name, data + b"{", readers.standards()[0])
    assert found
    return object(), found


def _many(name: str, data: bytes, standard: object) -> tuple[object, tuple[Diagnostic, ...]]:
    return None, _both(name, data, standard)[1] * 60


@pytest.mark.parametrize(
    ("loading", "broken"), [(_neither, "or neither"), (_both, "value and errors"), (_many, "diagnostics")]
)
def test_a_promise_that_is_broken_is_seen(loading: Loading, broken: str, monkeypatch: pytest.MonkeyPatch) -> None:
    readers.READERS["logs"](LOG)
    monkeypatch.setattr(readers, "load_log", loading)
    with pytest.raises(AssertionError, match=broken):
        readers.READERS["logs"](LOG)


@pytest.mark.parametrize("writer", ["log_bytes", "csv_bytes"])
def test_a_log_that_is_not_kept_is_seen(writer: str, monkeypatch: pytest.MonkeyPatch) -> None:
    write = getattr(readers, writer)
    number = count()
    monkeypatch.setattr(readers, writer, lambda log: write(evolve(log, session=f"S-{next(number)}")))
    with pytest.raises(AssertionError, match="another log"):
        readers.READERS["logs"](LOG)


def test_a_standard_that_is_not_kept_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    lost = Diagnostic(NOT_KEPT, None, {"name": "rules.standard", "lost": "a comment"})
    monkeypatch.setattr(readers, "tidied", lambda source: (None, (lost,)))
    with pytest.raises(AssertionError, match="not kept"):
        readers.READERS["rules"](b"standard a")


def test_of_many_inputs_those_are_picked_that_cover_most() -> None:
    inputs = {Path("short"): b"{}", Path("other"): b"[", Path("whole"): LOG}
    chosen, covered, whole = distilled(inputs, readers.READERS["logs"], 1)
    assert chosen == [Path("whole")]
    assert 100 < covered < whole
    again, covered_by_more, _ = distilled(inputs, readers.READERS["logs"], 9)
    assert again[0] == Path("whole") and covered_by_more == whole


def test_without_the_fuzzer_it_says_how_to_get_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.argv", ["fuzz.py", "run", "logs"])
    monkeypatch.setattr(fuzz, "find_spec", lambda name: None)
    assert fuzz.main() == 2
    assert "pip install .[fuzzing]" in capsys.readouterr().out
