"""What is kept of standards: used only where it can be trusted, and never seen in what a command says."""

import json
import marshal
import os
import stat
import sys
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest

import standfast
from standfast import pipeline
from standfast.codes import CODES
from standfast.command import cache, standards
from standfast.command.cache import VARIABLE, keep, kept
from standfast.command.line import main
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, Label
from standfast.language import reader
from standfast.model.packing import NotPacked, packed, unpacked
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[2]
STANDARDS = sorted(ROOT.glob("standards/*/*.standard")) + sorted(ROOT.glob("tests/**/*.standard"))
LOGS = sorted(ROOT.glob("standards/*/logs"))
KEY = "0f" * 32


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "kept"
    monkeypatch.setenv(VARIABLE, str(folder))
    return folder


@pytest.fixture
def unread(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """From its call on no standard can be read from its text."""

    def forbid() -> None:
        def fail(source: Source) -> None:
            raise AssertionError(f"{source.name} is read anew")

        monkeypatch.setattr(pipeline, "load_standard", fail)

    return forbid


def source_of(path: Path) -> Source:
    return Source(str(path), path.read_text(encoding="utf-8"))


def shown(capfd: pytest.CaptureFixture[str], *command: str) -> tuple[int, str, str]:
    code = main(command)
    out = capfd.readouterr()
    return code, out.out, out.err


@pytest.mark.parametrize("form", ["text", "json"])
def test_every_shipped_log_is_graded_the_same_with_and_without(
    place: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    unread: Callable[[], None],
    form: str,
) -> None:
    command = ("grade", "--format", form, *map(str, LOGS))
    monkeypatch.setenv(VARIABLE, "off")
    without = shown(capfd, *command)
    monkeypatch.setenv(VARIABLE, str(place))
    first = shown(capfd, *command)
    unread()
    again = shown(capfd, *command)
    assert without == first == again and len(without[1]) > 100_000
    assert len(list(place.iterdir())) > 10


def test_a_standard_is_what_it_was_and_at_its_place(
    place: Path, unread: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cache, "_MOST_ENTRIES", 10_000)
    sources = [source_of(path) for path in STANDARDS]
    fresh = {source: standard for source in sources if (standard := load_standard(source)[0]) is not None}
    assert len(fresh) > 50
    unread()
    for source, standard in fresh.items():
        other = Source(f"other/{source.name}", source.text)
        again, found = load_standard(other)
        assert again == standard and repr(again).replace("other/", "") == repr(standard) and found == ()
        assert again is not None and again.span.source == other
        assert packed(again, ()) == packed(standard, ())


def test_what_was_found_in_a_standard_is_found_again() -> None:
    source = source_of(STANDARDS[0])
    standard, _ = load_standard(source)
    assert standard is not None
    also = (Label(source.span(3, 5), "beside"),)
    finding = Diagnostic(CODES["D101"], source.span(1, 2), {"name": "a"}, also, ("line",), "why")
    rows = json.loads(json.dumps(packed(standard, [finding])))
    other = Source("other", source.text)
    again, (found,) = unpacked(rows, other)
    assert again == standard and found == finding and found.code is finding.code
    assert found.span is not None and found.span.source is other is found.also[0].span.source


@pytest.mark.parametrize(
    "rows",
    [
        None,
        [],
        {},
        [["tuple"]],
        [["tuple", [0]]],
        [["tuple", [3]]],
        [["Standard"]],
        [["os.system", "true"]],
        [["dict", 1]],
        [["Fraction", 1, 0]],
        [["date", -1]],
        [["code", "X999"]],
        [["unit", "furlong"]],
        [["Dimension", "DEPTH"]],
        [["tuple"], ["tuple", 1, [0]]],
        [[["list"]]],
        [5],
    ],
)
def test_rows_that_no_standard_was_packed_to_are_refused(rows: object) -> None:
    with pytest.raises(NotPacked):
        unpacked(rows, Source("a", ""))


def test_the_folder_and_what_is_in_it_is_the_users_alone(place: Path) -> None:
    keep(KEY, b"held")
    assert kept(KEY) == b"held"
    assert stat.S_IMODE(place.stat().st_mode) == 0o700
    (entry,) = place.iterdir()
    assert stat.S_IMODE(entry.stat().st_mode) == 0o600


def _tamper(place: Path) -> None:
    entry = place / KEY
    entry.write_bytes(entry.read_bytes()[:-1] + b"?")


def _truncate(place: Path) -> None:
    entry = place / KEY
    entry.write_bytes(entry.read_bytes()[:-1])


def _empty(place: Path) -> None:
    (place / KEY).write_bytes(b"")


def _of_another_key(place: Path) -> None:
    keep("1" * 64, b"other")
    (place / ("1" * 64)).replace(place / KEY)


def _writable_entry(place: Path) -> None:
    (place / KEY).chmod(0o620)


def _link(place: Path) -> None:
    (place / KEY).rename(place.parent / "elsewhere")
    (place / KEY).symlink_to(place.parent / "elsewhere")


def _folder_as_entry(place: Path) -> None:
    (place / KEY).unlink()
    (place / KEY).mkdir()


def _pipe(place: Path) -> None:
    (place / KEY).unlink()
    os.mkfifo(place / KEY)


def _writable_folder(place: Path) -> None:
    place.chmod(0o720)


def _readable_folder(place: Path) -> None:
    place.chmod(0o705)


def _linked_folder(place: Path) -> None:
    place.rename(place.parent / "elsewhere")
    place.symlink_to(place.parent / "elsewhere")


def _writable_above(place: Path) -> None:
    place.parent.chmod(0o777)


@pytest.mark.parametrize(
    "spoil",
    [
        _tamper,
        _truncate,
        _empty,
        _of_another_key,
        _writable_entry,
        _link,
        _folder_as_entry,
        _pipe,
        _writable_folder,
        _readable_folder,
        _linked_folder,
        _writable_above,
    ],
)
def test_what_another_may_have_made_is_not_used(place: Path, spoil: Callable[[Path], None]) -> None:
    keep(KEY, b"held")
    spoil(place)
    assert kept(KEY) is None
    keep(KEY, b"again")
    assert kept(KEY) in (None, b"again")


@pytest.mark.parametrize("given", [f"kept/{KEY}", "kept", "."], ids=["entry", "folder", "above"])
def test_what_belongs_to_another_is_not_used(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, given: str
) -> None:
    keep(KEY, b"held")
    assert kept(KEY) == b"held"
    of_another = (tmp_path / given).stat().st_ino

    def as_another(looked_at: Callable[..., os.stat_result]) -> Callable[..., os.stat_result]:
        def told(*of: Any) -> os.stat_result:
            about = list(looked_at(*of))
            if about[stat.ST_INO] == of_another:
                about[stat.ST_UID] = os.geteuid() + 12345
            return os.stat_result(about)

        return told

    for name in ("fstat", "lstat"):
        monkeypatch.setattr(os, name, as_another(getattr(os, name)))
    assert kept(KEY) is None
    keep(KEY, b"again")
    assert kept(KEY) in (None, b"again")


def test_where_many_may_write_but_move_only_their_own_it_is_used(place: Path) -> None:
    place.parent.chmod(0o1777)
    keep(KEY, b"held")
    assert kept(KEY) == b"held"


@pytest.mark.parametrize("spoil", [_writable_folder, _linked_folder, _writable_above])
def test_a_folder_that_is_not_trusted_is_not_written_in(place: Path, spoil: Callable[[Path], None]) -> None:
    keep(KEY, b"held")
    spoil(place)
    keep("1" * 64, b"more")
    assert [each.name for each in place.iterdir()] == [KEY]


def test_a_spoiled_entry_changes_nothing_that_is_said(place: Path, capfd: pytest.CaptureFixture[str]) -> None:
    command = ("grade", str(LOGS[0]))
    first = shown(capfd, *command)
    rows = json.dumps([["tuple", "Standard", []]]).encode()
    entries = sorted(place.iterdir())
    for held in (b"", b"{", rows, b"\xff", b"[" * 100_000):
        for entry in entries:
            keep(entry.name, held)
            assert kept(entry.name) == held
        assert shown(capfd, *command) == first
        assert all(kept(entry.name) != held for entry in entries)


def test_it_can_be_done_without(
    place: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    first = shown(capfd, "grade", str(LOGS[0]))
    for stated in ("off", "kept", str(place / "a" / "b" / "c"), str(next(place.iterdir()) / "below"), "/proc/1/x"):
        monkeypatch.setenv(VARIABLE, stated)
        assert shown(capfd, "grade", str(LOGS[0])) == first
    assert not Path("kept").exists() and not (place / "a").exists()


def test_it_lies_where_such_things_lie(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    monkeypatch.setattr("sys.platform", "linux")
    keep(KEY, b"held")
    monkeypatch.setenv("XDG_CACHE_HOME", "xdg")
    keep(KEY, b"held")
    monkeypatch.setattr("sys.platform", "darwin")
    (tmp_path / "Library").mkdir()
    keep(KEY, b"held")
    found = {str(path.relative_to(tmp_path)) for path in tmp_path.rglob(KEY)}
    assert found == {f"{place}/standfast/{KEY}" for place in ("xdg", ".cache", "Library/Caches")}


def test_the_oldest_go(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache, "_MOST_ENTRIES", 3)
    for number in range(5):
        keep(f"{number:064}", b"held")
        os.utime(place / f"{number:064}", ns=(number, number))
    assert sorted(int(each.name) for each in place.iterdir()) == [2, 3, 4]
    monkeypatch.setattr(cache, "_MOST_BYTES", 2 * len((place / f"{4:064}").read_bytes()))
    keep(f"{5:064}", b"held")
    assert sorted(int(each.name) for each in place.iterdir()) == [4, 5]
    monkeypatch.setattr(cache, "_LARGEST", 100)
    keep(f"{6:064}", b"held")
    assert len(list(place.iterdir())) == 2


def test_only_what_was_kept_goes(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keep(KEY, b"held")
    own = [place / name for name in ("notes.txt", ".notes", "f" * 63, "G" * 64, f".{KEY}", f"{KEY}.txt")]
    for file in own:
        file.write_bytes(b"mine" * 1000)
        os.utime(file, ns=(0, 0))
    (place / "a").mkdir()
    os.utime(place / "a", ns=(0, 0))
    left = place / f".{KEY}.123"
    left.write_bytes(b"a command that was stopped")
    os.utime(left, ns=(1, 1))
    monkeypatch.setattr(cache, "_MOST_ENTRIES", 1)
    monkeypatch.setattr(cache, "_MOST_BYTES", 1000)
    keep("1" * 64, b"held")
    assert {*place.iterdir()} == {place / ("1" * 64), place / "a", *own}


def _standards_in(place: Path) -> int:
    """How many; the tables of the grammar may be kept beside them."""
    return sum(entry.read_bytes().partition(b"\n")[2].startswith(b"[") for entry in place.iterdir())


def test_another_version_or_another_file_of_the_program_reads_anew(
    place: Path, monkeypatch: pytest.MonkeyPatch, unread: Callable[[], None]
) -> None:
    source = source_of(STANDARDS[0])
    load_standard(source)
    changes: list[tuple[object, str, object]] = [
        (standfast, "__version__", "9.9"),
        (sys, "version", "9.9"),
        (standards, "_files", lambda: (("model/rules.py", 1, 1),)),
    ]
    for where, name, other in changes:
        with monkeypatch.context() as patch:
            patch.setattr(where, name, other)
            load_standard(source)
    assert _standards_in(place) == 1 + len(changes)
    load_standard(Source(source.name, source.text + "\n"))
    assert _standards_in(place) == 2 + len(changes)
    unread()
    load_standard(source)


def test_the_files_that_decide_are_looked_at() -> None:
    names = {name for name, _, _ in standards._files()}
    assert {
        "language/grammar.lark",
        "language/build.py",
        "model/resolve.py",
        "/quantity.py",
        "values/recipe.py",
    } <= names


def test_the_tables_of_the_grammar_are_kept_too(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def anew() -> object:
        reader._grammar.cache_clear()
        return [standards.read(source) for source in sources]

    sources = [source_of(path) for path in STANDARDS[:3]]
    sources += [Source("wrong", source.text.replace("attempts", "attemps")) for source in sources]
    of_text = reader._of_text
    first = anew()
    monkeypatch.setattr(reader, "_of_text", None)
    assert anew() == first
    entries = sorted(place.iterdir())
    assert len(entries) == 2
    monkeypatch.setattr(reader, "_of_text", of_text)
    for spoiled in (b"\xff" * 100, marshal.dumps(({}, {}))):
        keep(entries[0].name, spoiled)
        keep(entries[1].name, spoiled)
        assert anew() == first
        assert kept(entries[0].name) != spoiled and kept(entries[1].name) != spoiled
    reader._grammar.cache_clear()


def _write_and_read(number: int) -> bool:
    held = bytes([number]) * 100_000
    seen = []
    for _ in range(50):
        keep(KEY, held)
        seen.append(kept(KEY))
    return all(each is None or (len(each) == 100_000 and len(set(each)) == 1) for each in seen) and any(seen)


def test_many_may_write_at_once(place: Path) -> None:
    with get_context("spawn").Pool(4) as pool:
        assert all(pool.map(_write_and_read, range(4)))
    assert [each.name for each in place.iterdir()] == [KEY]
