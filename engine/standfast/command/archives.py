"""Logs that come packed: one in a gzip file, many in a zip archive.

What a file is, its first bytes say. Unpacking is bounded, so that a small file that unpacks to a huge one gives an
error; what cannot be unpacked gives one too, and the other logs are still read. Archives in archives stay closed.
"""

import zlib
from collections.abc import Iterator
from gzip import GzipFile
from io import BytesIO
from struct import error as StructError
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from standfast.codes import files
from standfast.command.files import GZIP, LOG_ENDINGS, ZIP, Opened, text_only
from standfast.command.plain_zip import Directory, Member, directory, unpack
from standfast.diagnostic import Diagnostic

MEGABYTE = 1_000_000
LARGEST_LOG = 64 * MEGABYTE
LARGEST_ARCHIVE = 4_000 * MEGABYTE
"""Bytes of one log, and of all logs of an archive, once they are unpacked."""
_ENCRYPTED = 0x1
_NO_FILES_OF_ITS_OWN = "__MACOSX/"  # where one system puts notes on the files of an archive, under their names

# What the standard library raises on archives that are damaged, or made by no program.
_DAMAGED = (BadZipFile, EOFError, OSError, RuntimeError, ValueError, LookupError, StructError, zlib.error)


def gunzipped(log: Opened) -> Opened | Diagnostic:
    try:
        with GzipFile(fileobj=BytesIO(log.data)) as stream:
            data = stream.read(LARGEST_LOG + 1)
    except _DAMAGED as error:
        return _damaged(log.name, error)
    return _bounded(log.name, data, log.given)


def _bounded(name: str, data: bytes, given: bool) -> Opened | Diagnostic:
    if len(data) > LARGEST_LOG:
        return Diagnostic(files.UNPACKS_TOO_LARGE, None, {"name": name, "limit": str(LARGEST_LOG // MEGABYTE)})
    if data.startswith((GZIP, *ZIP)):
        why = "it is packed twice; unpack the outer one first"
        return Diagnostic(files.CANNOT_BE_UNPACKED, None, {"name": name, "why": why})
    return text_only(Opened(name, data, given, packed=True))


def zipped(archive: Opened) -> Iterator[Opened | Diagnostic]:
    told = None if archive.archive is None else plain(archive.name)
    if told is None:
        yield from _by_library(archive)
    else:
        yield from map(log_of, told.members())


def plain(archive: str) -> Directory | None:
    """What the archive in a file tells of its logs, if it is plain."""
    return directory(archive, LOG_ENDINGS, _NO_FILES_OF_ITS_OWN, LARGEST_ARCHIVE)


def log_of(member: Member) -> Opened | Diagnostic:
    name = f"{member.archive}: {member.name}"
    data = unpack(member, LARGEST_LOG)
    if data is not None:
        return _log(name, data)
    try:
        with ZipFile(member.archive) as opened:
            info = next(info for info in opened.infolist() if info.header_offset == member.offset)
            return _member(opened, info, name)
    except (*_DAMAGED, StopIteration) as error:
        return _damaged(name, error)


def _by_library(archive: Opened) -> Iterator[Opened | Diagnostic]:
    try:
        opened = ZipFile(archive.archive or BytesIO(archive.data))
    except _DAMAGED as error:
        yield _damaged(archive.name, error)
        return
    with opened:
        logs = sorted((info for info in opened.infolist() if _is_log(info)), key=lambda info: info.filename)
        if not logs:
            yield Diagnostic(files.NO_LOGS_IN_ARCHIVE, None, {"name": archive.name})
        size = 0
        for info in logs:
            log = _member(opened, info, f"{archive.name}: {info.filename}")
            if isinstance(log, Opened):
                size += len(log.data)
            if size > LARGEST_ARCHIVE:
                facts = {"name": archive.name, "limit": str(LARGEST_ARCHIVE // MEGABYTE)}
                yield Diagnostic(files.UNPACKS_TOO_LARGE, None, facts)
                return
            yield log


def _is_log(info: ZipInfo) -> bool:
    return info.filename.endswith(LOG_ENDINGS) and not info.filename.startswith(_NO_FILES_OF_ITS_OWN)


def _member(zipped: ZipFile, info: ZipInfo, name: str) -> Opened | Diagnostic:
    if info.flag_bits & _ENCRYPTED:
        return Diagnostic(files.CANNOT_BE_UNPACKED, None, {"name": name, "why": "it is locked with a password"})
    if info.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
        return Diagnostic(files.CANNOT_BE_UNPACKED, None, {"name": name, "why": "it is packed in an unusual way"})
    try:
        with zipped.open(info) as stream:
            data = stream.read(LARGEST_LOG + 1)
    except _DAMAGED as error:
        return _damaged(name, error)
    return _log(name, data)


def _log(name: str, data: bytes) -> Opened | Diagnostic:
    found = Opened(name, data, given=True)
    return gunzipped(found) if data.startswith(GZIP) else _bounded(name, data, given=True)


def _damaged(name: str, error: BaseException) -> Diagnostic:
    why = "it ends in the middle" if isinstance(error, EOFError) else "it is damaged"
    return Diagnostic(files.CANNOT_BE_UNPACKED, None, {"name": name, "why": why})
