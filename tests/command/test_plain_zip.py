"""Plain zip archives: what is read of them is what `zipfile` reads of them."""

import json
import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from random import Random

import pytest

from standfast.command import archives
from standfast.command.files import Named, Opened, read_file
from standfast.command.line import main

Zip = zipfile.ZipFile


def both(path: Path) -> tuple[list[object], list[object]]:
    """By whichever way, and by the library."""
    archive = read_file(Named(str(path), given=True), packed=True)
    assert isinstance(archive, Opened)
    return list(archives.zipped(archive)), list(archives._by_library(archive))


def usual(archive: Zip) -> None:
    for name in ("b.jsonl", "a/c.csv", "é.jsonl", "no.txt", "__MACOSX/x.jsonl", "b.jsonl.gz"):
        archive.writestr(name, f"{name} " * 40)
    archive.writestr("stored.jsonl", "x" * 90, zipfile.ZIP_STORED)
    archive.writestr("empty.jsonl", "")
    archive.mkdir("folder.jsonl") if hasattr(archive, "mkdir") else None


def test_all_kinds_of_members_come_by_name(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    with Zip(path, "w", zipfile.ZIP_DEFLATED) as archive:
        usual(archive)
    told = archives.plain(str(path))
    assert told is not None and len(told.order) >= 6
    found, expected = both(path)
    assert found == expected and [isinstance(each, Opened) for each in found].count(True) >= 5


def _commented(archive: Zip) -> None:
    usual(archive)
    archive.comment = b"ours"


def _otherwise_packed(archive: Zip) -> None:
    usual(archive)
    archive.writestr("z.jsonl", "x", zipfile.ZIP_LZMA)


def _large(archive: Zip) -> None:
    with archive.open("z.jsonl", "w", force_zip64=True) as member:
        member.write(b"x")


@pytest.mark.parametrize("write", [_commented, _otherwise_packed, lambda archive: None])
def test_what_is_not_plain_is_left_to_the_library(tmp_path: Path, write: Callable[[Zip], None]) -> None:
    path = tmp_path / "a.zip"
    with Zip(path, "w", zipfile.ZIP_DEFLATED) as archive:
        write(archive)
    assert archives.plain(str(path)) is None
    found, expected = both(path)
    assert found == expected


def test_what_stands_before_an_archive_is_left_to_the_library(tmp_path: Path) -> None:
    made = BytesIO()
    with Zip(made, "w") as archive:
        usual(archive)
    path = tmp_path / "a.zip"
    path.write_bytes(b"PK\3\4 before" + made.getvalue())
    assert archives.plain(str(path)) is None
    found, expected = both(path)
    assert found == expected and any(isinstance(each, Opened) for each in found)


def test_a_program_that_unpacks_itself_is_the_same_to_every_format(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(b"#!/bin/sh\n")
    with Zip(path, "a") as archive:
        archive.writestr("a.jsonl", "{}\n")
    assert archives.plain(str(path)) is None
    assert main(["grade", "--format", "json", str(path)]) == 2
    document = json.loads(capfd.readouterr().out)
    assert main(["grade", "--format", "lines", str(path)]) == 2
    line = json.loads(capfd.readouterr().out.splitlines()[0])
    assert line["diagnostics"] == document["diagnostics"] != []


def test_files_of_64_bit_sizes_and_streamed_ones(tmp_path: Path) -> None:
    class Stream(BytesIO):
        def seekable(self) -> bool:
            return False

        def tell(self) -> int:
            raise OSError

    for number, (target, write) in enumerate(((BytesIO(), _large), (Stream(), usual))):
        with Zip(target, "w", zipfile.ZIP_DEFLATED) as archive:
            write(archive)
        path = tmp_path / f"{number}.zip"
        path.write_bytes(target.getvalue())
        found, expected = both(path)
        assert found == expected and isinstance(found[0], Opened)


def test_damaged_archives_are_told_as_the_library_finds_them(tmp_path: Path) -> None:
    made = BytesIO()
    with Zip(made, "w", zipfile.ZIP_DEFLATED) as archive:
        usual(archive)
    path = tmp_path / "a.zip"
    plainly = 0
    for number in range(500):
        rng, data = Random(number), bytearray(made.getvalue())
        for _ in range(rng.choice((1, 1, 2))):
            data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
        if rng.random() < 0.1:
            del data[rng.randrange(len(data)) :]
        path.write_bytes(bytes(data))
        if not data.startswith(b"PK\3\4"):
            continue
        found, expected = both(path)
        assert found == expected, number
        plainly += archives.plain(str(path)) is not None
    assert plainly > 100
