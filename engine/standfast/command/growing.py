"""A log that is still being written: all that is there of it, each time there is more.

A file is looked at again and again. Where it has not grown but changed, it may be half rewritten: it is taken only
when it is found the same twice running. A file that is away for a moment is waited for.
"""

import sys
import time
from collections.abc import Iterator
from pathlib import Path

from standfast.codes import files
from standfast.command.files import INPUT_NAME, STANDARD_INPUT, unreadable
from standfast.diagnostic import Diagnostic

PAUSE = 0.2
"""Seconds between two looks at a file."""
_CHUNK = 1 << 16


def growing(place: str) -> Iterator[bytes | Diagnostic]:
    """Of standard input until it ends; of a file for ever. A finding is the last thing that comes."""
    return _input() if place == STANDARD_INPUT else _file(place)


def _input() -> Iterator[bytes | Diagnostic]:
    if sys.stdin is None:
        yield Diagnostic(files.UNREADABLE, None, {"name": INPUT_NAME, "why": "it is closed"})
        return
    data = b""
    stream = sys.stdin.buffer
    read = getattr(stream, "read1", stream.read)  # what there is of it, and not only once a buffer is full
    while True:
        try:
            chunk: bytes = read(_CHUNK)
        except OSError as error:
            yield unreadable(INPUT_NAME, error)
            return
        if not chunk:
            return
        data += chunk
        yield data


def _file(place: str) -> Iterator[bytes | Diagnostic]:
    path = Path(place)
    try:
        data = path.read_bytes()
    except OSError as error:
        yield unreadable(place, error)
        return
    yield data
    seen: tuple[int, int] | None = None
    doubtful: bytes | None = None
    while True:
        time.sleep(PAUSE)
        try:
            now = path.stat()
            if doubtful is None and (now.st_size, now.st_mtime_ns) == seen:
                continue
            found = path.read_bytes()
        except OSError:
            continue
        seen = (now.st_size, now.st_mtime_ns)
        if found == data:
            doubtful = None
        elif found.startswith(data) or found == doubtful:
            data, doubtful = found, None
            yield data
        else:
            doubtful = found
