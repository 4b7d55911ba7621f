"""The files of a plain zip archive, each read where it is graded; little more is held of one than its name.

Plain is an archive on one disk with nothing before or behind it and no 64-bit sizes, whose files are stored or
deflated and have names in ASCII or UTF-8. Nothing is ever found wrong here: any other archive, and a file that is
not as the directory of the archive says, is left to `zipfile`, which holds ten times as much of each. The records
are those of APPNOTE 6.3, 4.3.7 (before a file), 4.3.12 (in the directory) and 4.3.16 (at the end).
"""

import struct
import zlib
from collections.abc import Iterator

from standfast.values import frozen

_BEFORE = struct.Struct("<4sHHHHHLLLHH")
_TOLD = struct.Struct("<4sHHHHHHLLLHHHHHLL")
_END = struct.Struct("<4sHHHHLLH")
_EXTRA = struct.Struct("<HH")
_STORED, _DEFLATED = 0, 8
_UTF8 = 0x800
_USUAL = _UTF8 | 0x8 | 0x6  # its sizes may stand behind a file too; how hard it was packed
_VERSION = 20
_LARGE = 0xFFFFFFFF  # a number that stands elsewhere
_OTHERWISE = (0x0001, 0x7075, 0x9901)  # extra fields that change sizes, the name, or how a file is packed


@frozen
class Member:
    """A file in an archive: `packed` bytes, of which `size` come."""

    archive: str
    name: str
    offset: int
    method: int
    packed: int
    size: int
    crc: int


@frozen
class Directory:
    """`told` is the directory of the archive as written. `order` has, sorted, of each file that is wanted the
    name, a zero byte and the position in `told`.
    """

    archive: str
    told: bytes
    order: list[bytes]

    def members(self) -> Iterator[Member]:
        """By name; of one name as they stand in the archive."""
        for each in self.order:
            told = _TOLD.unpack_from(self.told, int.from_bytes(each[-8:], "big"))
            yield Member(self.archive, each[:-9].decode("utf-8"), told[16], told[4], told[8], told[9], told[7])


class _NotPlain(Exception):
    pass


def directory(archive: str, endings: tuple[str, ...], nowhere: str, most: int) -> Directory | None:
    """Of the files with these endings whose names do not begin with `nowhere`. None where the archive is not
    plain, has no such file, or they are more than so many bytes.
    """
    try:
        with open(archive, "rb") as file:
            begins = file.read(4) == b"PK\3\4"
            end_at = file.seek(0, 2) - _END.size
            file.seek(max(0, end_at))
            sign, disk, first_disk, here, number, size, start, comment = _END.unpack(file.read())
            whole = begins and sign == b"PK\5\6" and start + size == end_at
            if not whole or disk or first_disk or here != number or comment:
                return None
            file.seek(start)
            told = file.read(size)
        wanted, all_sizes = _wanted(told, number, tuple(each.encode() for each in endings), nowhere.encode())
    except (OSError, UnicodeDecodeError, struct.error, _NotPlain):
        return None
    return Directory(archive, told, sorted(wanted)) if wanted and all_sizes <= most else None


def _wanted(told: bytes, number: int, endings: tuple[bytes, ...], nowhere: bytes) -> tuple[list[bytes], int]:
    """The order, unsorted, and how many bytes the files have."""
    wanted, all_sizes, at = [], 0, 0
    for _ in range(number):
        sign, _, version, flags, method, _, _, _, packed, size, *lengths, disk, _, _, offset = _TOLD.unpack_from(
            told, at
        )
        name_at, extra_at = at + _TOLD.size, at + _TOLD.size + lengths[0]
        name = told[name_at:extra_at]
        usual = sign == b"PK\1\2" and version <= _VERSION and not flags & ~_USUAL and not disk
        if not usual or method not in (_STORED, _DEFLATED) or _LARGE in (packed, size, offset) or b"\0" in name:
            raise _NotPlain
        name.decode("utf-8" if flags & _UTF8 else "ascii")
        _look_at_extra(told[extra_at : extra_at + lengths[1]])
        if name.endswith(endings) and not name.startswith(nowhere):
            wanted.append(name + b"\0" + at.to_bytes(8, "big"))
            all_sizes += size
        at = extra_at + lengths[1] + lengths[2]
    if at != len(told):
        raise _NotPlain
    return wanted, all_sizes


def _look_at_extra(extra: bytes) -> None:
    at = 0
    while at < len(extra):
        kind, length = _EXTRA.unpack_from(extra, at)
        at += _EXTRA.size + length
        if kind in _OTHERWISE or at > len(extra):
            raise _NotPlain


def unpack(member: Member, most: int) -> bytes | None:
    """Its bytes; None where they are not as the directory says, or more than so many."""
    try:
        with open(member.archive, "rb") as file:
            file.seek(member.offset)
            sign, _, flags, method, _, _, _, _, _, name, extra = _BEFORE.unpack(file.read(_BEFORE.size))
            if sign != b"PK\3\4" or method != member.method or flags & ~_USUAL:
                return None
            if file.read(name).decode("utf-8" if flags & _UTF8 else "ascii") != member.name:
                return None
            file.seek(extra, 1)
            data = file.read(member.packed)
        if len(data) < member.packed or member.size > most:
            return None
        if method == _DEFLATED:
            unpacker = zlib.decompressobj(-zlib.MAX_WBITS)
            data = unpacker.decompress(data, member.size + 1)
            if not unpacker.eof or unpacker.unused_data:
                return None
    except (OSError, UnicodeDecodeError, struct.error, zlib.error):
        return None
    return data if len(data) == member.size and zlib.crc32(data) == member.crc else None
