"""The files of a folder of records, and how each is written so that it outlives a kill.

`register.records` has a record in each line; `copies` a copy of each standard and log, named by its SHA-256;
`aside` what there was of lines that were cut short.
"""

import os
from pathlib import Path

from standfast.codes import files
from standfast.diagnostic import Diagnostic

REGISTER = "register.records"
LOCK = "register.lock"
COPIES = "copies"
ASIDE = "aside"


def standard_copy(digest: str) -> str:
    """The name of the copy in the folder."""
    return f"{COPIES}/{digest}.rules"


def log_copy(digest: str) -> str:
    """The name of the copy in the folder."""
    return f"{COPIES}/{digest}.log"


def unreadable(path: Path, error: OSError) -> Diagnostic:
    return Diagnostic(files.UNREADABLE, None, {"name": str(path), "why": why_not(error)})


def unwritable(path: Path, error: OSError) -> Diagnostic:
    return Diagnostic(files.UNWRITABLE, None, {"name": str(error.filename or path), "why": why_not(error)})


def why_not(error: OSError) -> str:
    """What the system says, in the words of a message."""
    return (error.strerror or "the system does not say why").lower()


def place(path: Path, data: bytes) -> None:
    """Puts a whole file there in one move; after it the file outlives a fall of the system."""
    path.parent.mkdir(parents=True, exist_ok=True)
    new = path.with_name(f".{path.name}.new")
    with new.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)
    settle(path.parent)


def settle(folder: Path) -> None:
    """Makes the names in a folder outlive a fall of the system, where the system can."""
    if os.name == "nt":
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)
