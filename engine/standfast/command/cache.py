"""What was worked out once, kept for later commands in a folder of the user's own.

It is used only where nobody else can have written: the folder is the user's and open to nobody else, and every
folder above it belongs to the user or the system and lets nobody else move what is in it. An entry says under
which key it was kept and has the digest of what it holds. Any doubt, and anything that fails, is as if nothing was
kept: it is not told, and what is asked for is worked out anew.
"""

import os
import re
import stat
import sys
from hashlib import sha256

VARIABLE = "STANDFAST_CACHE"
"""The environment variable: `off` for none, or else the folder, by its whole path."""
_OFF = "off"
_MOST_ENTRIES = 256
_MOST_BYTES = 32_000_000
_LARGEST = 4_000_000
"""Bytes of all entries together, and of one: the oldest go, and a larger one is not kept."""
_OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH
_OURS = r"[0-9a-f]{64}|\.[0-9a-f]{64}\.[0-9]+"
"""The names of entries, and of what a command left that was stopped while it wrote one."""


def kept(key: str) -> bytes | None:
    """What was kept under a key; None where nothing is that can be trusted."""
    folder = _folder()
    if folder is None:
        return None
    try:
        entry = os.open(key, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC, dir_fd=folder)
        with open(entry, "rb") as stream:
            about = os.fstat(entry)
            if not (stat.S_ISREG(about.st_mode) and about.st_size <= _LARGEST and _is_own(about)):
                return None
            first, _, held = stream.read(_LARGEST).partition(b"\n")
    except OSError:
        return None
    finally:
        os.close(folder)
    return held if first == _first_line(key, held) else None


def keep(key: str, held: bytes) -> None:
    """Keeps it, whole or not at all, whatever others do at the same time."""
    data = _first_line(key, held) + b"\n" + held
    folder = _folder(make=True) if len(data) <= _LARGEST else None
    if folder is None:
        return
    name = f".{key}.{os.getpid()}"
    try:
        entry = os.open(name, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o600, dir_fd=folder)
        try:
            with open(entry, "wb") as stream:
                stream.write(data)
            os.replace(name, key, src_dir_fd=folder, dst_dir_fd=folder)
        except OSError:
            os.unlink(name, dir_fd=folder)
        _remove_oldest(folder)
    except OSError:
        return
    finally:
        os.close(folder)


def _first_line(key: str, held: bytes) -> bytes:
    return f"standfast {key} {sha256(held).hexdigest()}".encode()


def _place() -> str | None:
    """The folder, there or not: by the XDG base directory specification, or where macOS has such things."""
    stated = os.environ.get(VARIABLE)
    if stated == _OFF or os.name != "posix":  # elsewhere it is not known who may write in a folder
        return None
    of_user = os.environ.get("XDG_CACHE_HOME", "")
    if sys.platform == "darwin":
        of_user = os.path.expanduser("~/Library/Caches")
    elif not os.path.isabs(of_user):
        of_user = os.path.expanduser("~/.cache")
    place = stated or os.path.join(of_user, "standfast")
    return place if os.path.isabs(place) else None


def _folder(*, make: bool = False) -> int | None:
    """The folder, open, if it can be trusted; it is made where it is wanted and not there."""
    place = _place()
    if place is None:
        return None
    try:
        above = os.path.dirname(os.path.normpath(place))
        if make and not os.path.lexists(place):
            if not os.path.lexists(above):
                os.mkdir(above, 0o700)
            os.mkdir(place, 0o700)
        above = os.path.realpath(above)
        if not _is_safe(above):
            return None
        place = os.path.join(above, os.path.basename(os.path.normpath(place)))
        folder = os.open(place, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC)
    except OSError:
        return None
    about = os.fstat(folder)
    if _is_own(about) and not about.st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        return folder
    os.close(folder)
    return None


def _is_own(about: os.stat_result) -> bool:
    return about.st_uid == os.geteuid() and not about.st_mode & _OTHERS_WRITE


def _is_safe(folder: str) -> bool:
    """Whether nobody else can put another thing in the place of what is in this folder or in those above.

    Where many may write but each may move only their own (`/tmp`), they cannot.
    """
    while True:
        about = os.lstat(folder)
        if about.st_uid not in (0, os.geteuid()) or not stat.S_ISDIR(about.st_mode):
            return False
        if about.st_mode & _OTHERS_WRITE and not about.st_mode & stat.S_ISVTX:
            return False
        above = os.path.dirname(folder)
        if above == folder:
            return True
        folder = above


def _remove_oldest(folder: int) -> None:
    """Of what was kept here; the folder may be one in which the user has other things, which stay."""
    with os.scandir(folder) as found:
        ours = (each for each in found if re.fullmatch(_OURS, each.name) and each.is_file(follow_symlinks=False))
        looked_at = [(each.stat(follow_symlinks=False), each.name) for each in ours]
    entries = sorted((about.st_mtime_ns, about.st_size, name) for about, name in looked_at)
    size = sum(each[1] for each in entries)
    while len(entries) > _MOST_ENTRIES or size > _MOST_BYTES:
        _, bytes_of_it, name = entries.pop(0)
        os.unlink(name, dir_fd=folder)
        size -= bytes_of_it
