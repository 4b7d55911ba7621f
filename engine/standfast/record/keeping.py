"""Adding to a register: whole lines at its end, one program at a time.

Promise: once `append` has returned records, they are on the disk and whole, whenever and however the program or
another ends; until then the register has of them nothing, or lines that are whole, or one last line without its
line end. The next `append` moves such a line to a file of its own before it adds anything.
"""

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from filelock import FileLock, Timeout

from standfast.codes import record as codes
from standfast.diagnostic import Diagnostic
from standfast.record.entry import SCHEMA, Record, begun, digest_of, line_of, own_digest, whole_record
from standfast.record.files import ASIDE, LOCK, REGISTER, place, settle, unwritable
from standfast.values import evolve, frozen

PATIENCE = 20  # seconds that another program is waited for
_STRETCH = 65536  # bytes looked back at a time for the last line


@frozen
class Kept:
    """The records that were added, and what else was found in the register."""

    records: tuple[Record, ...]
    found: tuple[Diagnostic, ...]


@frozen
class _End:
    """The number and digest of the last record; 0 and None before the first."""

    number: int
    digest: str | None


def append(folder: Path, records: Iterable[Record], copies: Mapping[str, bytes]) -> Kept | Diagnostic:
    """Adds records to the register of a folder, which is made if it is not there, and before that the copies, by
    their names in the folder; or says why nothing was added. `number` and `before` of a record are set here.
    """
    path = folder / REGISTER
    try:
        _made(folder)
        with FileLock(folder / LOCK, timeout=PATIENCE):
            for name, data in copies.items():
                damaged = _copied(folder, name, data)
                if damaged is not None:
                    return damaged
            with _opened(path) as file:
                return _added(file, path, records)
    except Timeout:
        return Diagnostic(codes.LOCKED, None, {"name": str(path), "seconds": str(PATIENCE)})
    except OSError as error:
        return unwritable(path, error)


def _made(folder: Path) -> None:
    if not folder.is_dir():
        folder.mkdir(parents=True, exist_ok=True)
        settle(folder.parent)


def _copied(folder: Path, name: str, data: bytes) -> Diagnostic | None:
    """A copy that is there and is another is never replaced: it is what tells that it was changed."""
    path = folder / name
    if not path.exists():
        place(path, data)
    elif (there := path.read_bytes()) != data:
        what = "the standard" if name.endswith(".rules") else "the log"
        facts = {"what": what, "file": str(path), "found": f"`{digest_of(there)[:12]}...`"}
        return Diagnostic(codes.COPY_CHANGED, None, facts)
    return None


@contextmanager
def _opened(path: Path) -> Iterator[BinaryIO]:
    with os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_APPEND, 0o666), "r+b", buffering=0) as file:
        if file.seek(0, os.SEEK_END) == 0:  # it may be new, and its name not yet on the disk
            settle(path.parent)
        yield file


def _added(file: BinaryIO, path: Path, records: Iterable[Record]) -> Kept | Diagnostic:
    found: list[Diagnostic] = []
    last, cut = _tail(file)
    end = _End(0, None) if last is None else _end(last)
    ours = begun(cut) if last is None else end is not None or (last != b"" and begun(last))
    if not ours:
        return Diagnostic(codes.NOT_OURS, None, {"name": str(path), "schema": SCHEMA})
    if end is None or _end(cut[:-1]) is not None:  # a record with another line end than it was given
        return Diagnostic(codes.NOT_ADDED_TO, None, {"name": str(path), "command": str(path.parent)})
    if (complete := _end(cut)) is not None:  # it was stopped just before the line end
        end = complete
        _write(file, b"\n")
    elif cut:
        found.append(_set_aside(file, path, cut))
    number, before = end.number, end.digest
    added = []
    for record in records:
        number += 1
        added.append(evolve(record, number=number, before=before))
        before = own_digest(added[-1])
    _write(file, b"".join(map(line_of, added)))
    return Kept(tuple(added), tuple(found))


def _end(line: bytes) -> _End | None:
    """Of a line that is a whole record; None of any other."""
    record = whole_record(line)
    return None if record is None else _End(record.number, own_digest(record))


def _tail(file: BinaryIO) -> tuple[bytes | None, bytes]:
    """The last line with a line end, without it, None where there is none; and what stands behind it."""
    start = file.seek(0, os.SEEK_END)
    data = b""
    while start > 0 and data.count(b"\n") < 2:
        size = min(_STRETCH, start)
        start = file.seek(start - size)
        data = _read(file, size) + data
    whole, end, cut = data.rpartition(b"\n")
    return (whole.rpartition(b"\n")[2], cut) if end else (None, data)


def _read(file: BinaryIO, size: int) -> bytes:
    parts = []
    while size > 0 and (part := file.read(size)):
        parts.append(part)
        size -= len(part)
    return b"".join(parts)


def _set_aside(file: BinaryIO, path: Path, cut: bytes) -> Diagnostic:
    """Moves a line that was cut short: it is in its own file before it goes from the register."""
    aside = path.parent / ASIDE / f"{digest_of(cut)}.cut"
    place(aside, cut)
    os.ftruncate(file.fileno(), file.seek(0, os.SEEK_END) - len(cut))
    os.fsync(file.fileno())
    facts = {"name": str(path), "size": str(len(cut)), "aside": str(aside)}
    return Diagnostic(codes.SET_ASIDE_NOW, None, facts)


def _write(file: BinaryIO, data: bytes) -> None:
    """All of it to the disk, or an OSError with the file as long as it was."""
    start = file.seek(0, os.SEEK_END)
    try:
        left = memoryview(data)
        while left:
            left = left[file.write(left) or 0 :]
        os.fsync(file.fileno())
    except OSError:
        os.ftruncate(file.fileno(), start)
        raise
