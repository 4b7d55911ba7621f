"""Adding to a register and reading it: what is whole stays, what was cut short is set aside, nothing is hidden."""

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve
from filelock import FileLock
from trials.flips import trial as flipped
from trials.kills import trial as killed

from standfast.codes import Code
from standfast.codes import record as codes
from standfast.diagnostic import Diagnostic
from standfast.record import keeping
from standfast.record.entry import RulingRecord, document_of, line_of, own_digest
from standfast.record.files import ASIDE, COPIES, LOCK, REGISTER
from standfast.record.keeping import Kept, append
from standfast.record.reading import Held, held_in

RULING = RulingRecord(
    program="0.1.0", of=1, of_digest="ab" * 32, outcome="GO", by="E-2", reason="§ 4", at="2026-04-11T12:00:00Z"
)
"""It rules on a verdict that is not there, which reading says and adding does not look at."""


def added(folder: Path, reason: str = "a protest") -> Kept:
    kept = append(folder, [evolve(RULING, reason=reason)], {})
    assert isinstance(kept, Kept)
    return kept


def refused(folder: Path) -> Code:
    before = (folder / REGISTER).read_bytes()
    kept = append(folder, [RULING], {})
    assert isinstance(kept, Diagnostic)
    assert (folder / REGISTER).read_bytes() == before
    return kept.code


def held(folder: Path) -> list[Held]:
    return [one for one in held_in(folder) if isinstance(one, Held)]


def found(folder: Path) -> list[Code]:
    """Without what it says of the missing verdict."""
    codes_found = [one.code for one in held_in(folder) if isinstance(one, Diagnostic)]
    return [code for code in codes_found if code is not codes.OTHER_RULED]


def test_records_are_numbered_and_chained(tmp_path: Path) -> None:
    kept = append(tmp_path / "a" / "b", [RULING, evolve(RULING, by="E-3")], {"copies/x.log": b"log"})
    assert isinstance(kept, Kept) and kept.found == ()
    again = added(tmp_path / "a" / "b")
    first, second = kept.records
    (third,) = again.records
    assert [first.number, second.number, third.number] == [1, 2, 3]
    assert [first.before, second.before, third.before] == [None, own_digest(first), own_digest(second)]
    data = (tmp_path / "a" / "b" / REGISTER).read_bytes()
    assert data == b"".join(map(line_of, (first, second, third)))
    assert "§ 4".encode() in data and data.count(b"\n") == 3
    assert (tmp_path / "a" / "b" / COPIES / "x.log").read_bytes() == b"log"
    assert [one.record for one in held(tmp_path / "a" / "b")] == [first, second, third]


def test_a_line_is_the_record_and_the_digest_of_the_line_without_it() -> None:
    line = line_of(RULING)
    body, digest = line[:-1].rsplit(b',"digest":', 1)
    assert json.loads(digest[:-1]) == own_digest(RULING)
    assert json.loads(line) == document_of(RULING) and json.loads(body + b"}") == RULING.body


def test_a_last_line_cut_short_at_any_byte_is_set_aside_and_never_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        os, "fsync", lambda number: None
    )  # nothing is killed here: the disk need not be waited for
    added(tmp_path)
    path = tmp_path / REGISTER
    first = path.read_bytes()
    added(tmp_path, "another")
    second = path.read_bytes()[len(first) :]
    for cut in range(1, len(second)):
        path.write_bytes(first + second[:cut])
        assert [one.line for one in held(tmp_path)] == [1]
        assert found(tmp_path)[0] is codes.CUT_SHORT
        kept = added(tmp_path, "after it")
        assert kept.records[0].number == (2 if cut < len(second) - 1 else 3)
        if cut < len(second) - 1:
            (told,) = kept.found
            assert told.code is codes.SET_ASIDE_NOW
            assert Path(told.facts["aside"]).read_bytes() == second[:cut]
            assert found(tmp_path) == [codes.SET_ASIDE]
        else:  # only the line end was missing: the record is whole, and stays
            assert kept.found == () and path.read_bytes().startswith(first + second)
    assert len(list((tmp_path / ASIDE).iterdir())) == len(second) - 2


@pytest.mark.parametrize(
    ("end", "help_said", "added_then"),
    [
        (b"", "record 2 is whole, and need not be made again: the next one added to this folder gives it", 3),
        (b"\x0b", "record 2 is whole, but nothing is added behind it: put back the register from a copy", None),
        (None, "the next record added to this folder sets it aside; grade that log or give that ruling again", 2),
    ],
)
def test_what_becomes_of_a_line_without_its_end_is_said_as_it_is(
    tmp_path: Path, end: bytes | None, help_said: str, added_then: int | None
) -> None:
    added(tmp_path)
    added(tmp_path, "another")
    path = tmp_path / REGISTER
    whole = path.read_bytes()
    path.write_bytes(whole[:-9] if end is None else whole[:-1] + end)
    (told,) = (one for one in held_in(tmp_path) if isinstance(one, Diagnostic) and one.code is codes.CUT_SHORT)
    assert told.help.startswith(help_said)
    kept = append(tmp_path, [RULING], {})
    assert (kept.records[0].number if isinstance(kept, Kept) else None) == added_then


def test_a_first_line_cut_short_is_set_aside(tmp_path: Path) -> None:
    added(tmp_path)
    path = tmp_path / REGISTER
    whole = path.read_bytes()
    for cut in (1, 5, 30, len(whole) - 2):
        path.write_bytes(whole[:cut])
        assert found(tmp_path)[0] is codes.CUT_SHORT and codes.NOT_OURS not in found(tmp_path)
        assert [one.code for one in added(tmp_path).found] == [codes.SET_ASIDE_NOW]
        assert path.read_bytes() == whole


@pytest.mark.parametrize("data", [b"hello\n", b"hello", b'{"a":1}\n{"b":2}\n', b"\n", b"\xff\n"])
def test_a_register_of_another_program_is_left_alone(tmp_path: Path, data: bytes) -> None:
    (tmp_path / REGISTER).write_bytes(data)
    assert refused(tmp_path) is codes.NOT_OURS
    assert codes.NOT_OURS in found(tmp_path)


def test_nothing_is_added_behind_a_damaged_last_record(tmp_path: Path) -> None:
    added(tmp_path)
    path = tmp_path / REGISTER
    whole = path.read_bytes()
    for damaged in (whole.replace(b"protest", b"Protest"), whole[:-1] + b"\x0b", whole[:-2] + b"\n"):
        path.write_bytes(damaged)
        assert refused(tmp_path) is codes.NOT_ADDED_TO


def test_an_empty_register_is_one_and_is_begun(tmp_path: Path) -> None:
    (tmp_path / REGISTER).write_bytes(b"")  # its writer was stopped before the first record
    assert list(held_in(tmp_path)) == []
    assert added(tmp_path).records[0].number == 1


def test_a_register_that_is_being_written_to_is_waited_for_and_then_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    added(tmp_path)
    monkeypatch.setattr(keeping, "PATIENCE", 0.05)
    with FileLock(tmp_path / LOCK):
        assert refused(tmp_path) is codes.LOCKED
    assert added(tmp_path).records[0].number == 2


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / COPIES).write_bytes(b"a file where the copies go")
    kept = append(tmp_path, [RULING], {f"{COPIES}/x.log": b"log"})
    assert isinstance(kept, Diagnostic) and kept.code.number == "F515"
    assert "copies" in kept.facts["name"] and not (tmp_path / REGISTER).exists()


def test_a_full_disk_leaves_the_register_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    added(tmp_path)

    def full(number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    before = (tmp_path / REGISTER).read_bytes()
    kept = append(tmp_path, [RULING], {})
    assert isinstance(kept, Diagnostic) and kept.message.endswith("no space left on device")
    assert (tmp_path / REGISTER).read_bytes() == before


def test_a_copy_that_was_changed_is_never_replaced(tmp_path: Path) -> None:
    assert isinstance(append(tmp_path, [RULING], {"copies/x.log": b"log"}), Kept)
    (tmp_path / "copies" / "x.log").write_bytes(b"lug")
    kept = append(tmp_path, [RULING], {"copies/x.log": b"log"})
    assert isinstance(kept, Diagnostic) and kept.code is codes.COPY_CHANGED
    assert (tmp_path / "copies" / "x.log").read_bytes() == b"lug" and len(held(tmp_path)) == 1


def forged(change: Callable[[list[RulingRecord]], list[RulingRecord]]) -> bytes:
    """A register written anew after a change, each line with a digest that fits."""
    records: list[RulingRecord] = []
    for number in (1, 2, 3):
        before = own_digest(records[-1]) if records else None
        records.append(evolve(RULING, number=number, before=before, reason=f"reason {number}"))
    return b"".join(map(line_of, change(records)))


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda r: r, []),
        (lambda r: [r[0], r[2]], [(codes.CHAIN, 2), (codes.NUMBER, 2)]),
        (lambda r: [r[1], r[0], r[2]], None),
        (lambda r: [r[0], evolve(r[1], reason="forged"), r[2]], [(codes.CHAIN, 3)]),
        (lambda r: [r[0], r[1], r[1], r[2]], None),
        (lambda r: [evolve(r[0], number=2), r[1], r[2]], [(codes.NUMBER, 1), (codes.CHAIN, 2)]),
    ],
)
def test_what_is_taken_out_put_in_moved_or_forged_is_found_on_its_line(
    tmp_path: Path, change: Any, told: list[tuple[Code, int]] | None
) -> None:
    (tmp_path / REGISTER).write_bytes(forged(change))
    places = [
        (one.code, one.span.line)
        for one in held_in(tmp_path)
        if isinstance(one, Diagnostic) and one.code is not codes.OTHER_RULED and one.span is not None
    ]
    assert places and (codes.CHAIN in {code for code, _ in places}) if told is None else places == told


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"[]",
        b"{}",
        b'{"schema":"record/1"}',
        b"[" * 100_000,
        b'{"schema":"record/1","number":' + b"9" * 5000 + b"}",
        line_of(RULING)[:-1].replace(b'"number":0', b'"number":true'),
        line_of(RULING)[:-1].replace(b'"by":"E-2",', b""),
        line_of(RULING)[:-1].replace(b'"by":"E-2"', b'"by":"E-2","by":"E-2"'),
        line_of(RULING)[:-1].replace(b":", b": ", 1),
        line_of(RULING)[:-1].replace("§".encode(), b"\\u00a7"),
        line_of(RULING)[:-1].replace(b'"ruling"', b'"remark"'),
    ],
)
def test_a_line_that_is_not_written_as_records_are_is_no_record(tmp_path: Path, line: bytes) -> None:
    first = added(tmp_path).records[0]
    with (tmp_path / REGISTER).open("ab") as file:
        file.write(line + b"\n")
    assert [one.record for one in held(tmp_path)] == [first]
    assert found(tmp_path) == [codes.NOT_A_RECORD]


def test_a_name_that_is_no_text_is_kept(tmp_path: Path) -> None:
    kept = append(tmp_path, [evolve(RULING, by="E-\udcff")], {})
    assert isinstance(kept, Kept) and found(tmp_path) == []
    assert [one.record for one in held(tmp_path)] == list(kept.records)
    assert b'"by":"E-\\udcff"' in (tmp_path / REGISTER).read_bytes()


def test_a_folder_without_a_register_is_named(tmp_path: Path) -> None:
    assert found(tmp_path / "nothing") == [codes.NO_REGISTER]


def test_after_twenty_kills_everything_acknowledged_is_there_and_whole() -> None:
    seen, wrong = killed("twenty", 20)
    assert wrong == []
    assert seen["kills"] == 20 and seen["acknowledged"] > 3 and seen["records"] >= seen["acknowledged"]


def test_five_hundred_flipped_bits_are_found_on_their_lines() -> None:
    seen, wrong = flipped("five hundred", 500)
    assert wrong == []
    assert seen.total() == 500
    assert all(
        seen[kind] > 60 for kind in ("a record", "a copy of a log", "a copy of a standard", "a log", "a standard")
    )
