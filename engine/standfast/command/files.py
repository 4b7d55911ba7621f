"""Opening what the command line names: files, folders, standard input.

Whatever cannot be opened becomes a diagnostic, and the rest is still read.
"""

import os
import sys
from collections.abc import Iterator, Sequence

from standfast.codes import Code, files
from standfast.command.exits import Mistake
from standfast.diagnostic import Diagnostic
from standfast.source import Source
from standfast.values import define, field, frozen

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from pathlib import Path

STANDARD_INPUT = "-"
INPUT_NAME = "standard input"
"""What it is called where a file has its name."""
LOG_ENDINGS = (".jsonl", ".csv", ".jsonl.gz", ".csv.gz", ".zip")
ARCHIVE_ENDING = ".zip"
STANDARD_ENDING = ".standard"
PACKED = (".gz", ".zip")
GZIP, ZIP = b"\x1f\x8b", (b"PK\x03\x04", b"PK\x05\x06")
"""The first bytes of what is packed, of an archive with something in it or nothing."""
_BEGINNING = 1024  # bytes that tell whether a file is text at all
Endings = str | tuple[str, ...]


@frozen
class Opened:
    """A file's bytes; `name` is what messages call it, `given` whether it was named itself, not found, `packed`
    whether the file itself holds other bytes, which were unpacked. Of an `archive` in a file `data` has only the
    beginning, and the rest is read from there.
    """

    name: str
    data: bytes
    given: bool
    packed: bool = False
    archive: str | None = None


@frozen
class Named:
    """A file that is to be opened; `given` whether it was named itself, not found."""

    place: str
    given: bool


def opened(places: Sequence[str], ending: Endings, empty: Code) -> Iterator[Opened | Diagnostic]:
    """The files that `named` finds, read one at a time. Those of `LOG_ENDINGS` may be packed, and are given so."""
    for one in named(places, ending, empty):
        yield one if isinstance(one, Diagnostic) else read_file(one, packed=ending == LOG_ENDINGS)


def named(places: Sequence[str], ending: Endings, empty: Code) -> Iterator[Named | Diagnostic]:
    """The files named, and of the folders named all files of this ending, each file once.

    A folder's files come sorted by path. `empty` is the finding about a folder that has none.
    """
    if "" in places:
        raise Mistake("a name is empty; name a file or a folder")
    met = _Met(ending)
    for place in places:
        if os.path.isdir(place):
            yield from _within(place, ending, empty, met)
        elif met.first_time(place):
            yield of_other_kind(place, ending) or Named(place, given=True)


@define
class _Met:
    """Which files were met before. Of a folder it is kept how far it was walked, and not each of its files."""

    _ending: Endings
    _folders: dict[str, str] = field(factory=dict)
    _files: set[str] = field(factory=set)

    def first_time(self, place: str) -> bool:
        """Of a file by itself, or a link to one."""
        identity = place if place == STANDARD_INPUT else os.path.realpath(place)
        folder, name = os.path.split(identity)
        walked = name.endswith(self._ending) and name <= self._folders.get(folder, "")
        if walked or identity in self._files:
            return False
        self._files.add(identity)
        return True

    def walked(self, folder: str, name: str) -> bool:
        """Of a file, no link, that is next in a folder of which the true place is given; whether it is new."""
        if name <= self._folders.get(folder, ""):
            return False
        self._folders[folder] = name
        return not self._files or os.path.join(folder, name) not in self._files


def decoded(file: Opened) -> Source | Diagnostic:
    """The text of a standard's file."""
    try:
        return Source(file.name, file.data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        source = Source(file.name, error.object.decode("utf-8", "replace"))
        offset = len(error.object[: error.start].decode("utf-8"))
        byte = f"{error.object[error.start]:#04x}"
        return Diagnostic(files.NOT_UTF8, source.span(offset, offset + 1), {"byte": byte})


def folder_to_write(place: str | None, option: str = "--write") -> "Path | None":
    """The folder that an option names, which need not be there yet; another thing there is a mistake."""
    if place == "":
        raise Mistake(f"the name after {option} is empty; name a folder")
    if place is not None and os.path.exists(place) and not os.path.isdir(place):
        raise Mistake(f"`{place}` after {option} is a file; name a folder")
    if place is None:
        return None
    from pathlib import Path  # only where something is written

    return Path(place)


def shipped_standards() -> str:
    """The folder of the standards that come with standfast: in the package, or beside its source root."""
    package = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
    installed = os.path.join(package, "standards")
    beside = os.path.join(os.path.dirname(os.path.dirname(package)), "standards")
    return installed if os.path.isdir(installed) else beside


def _within(folder: str, ending: Endings, empty: Code, met: _Met) -> Iterator[Named | Diagnostic]:
    """The files in a folder and those inside it, sorted by path, that were not met before."""
    nothing = True
    for found in _walked(folder, ending, met):
        nothing = False
        if found is not None:
            yield found
    if nothing:
        yield Diagnostic(empty, None, {"name": folder})


def _beginning(folder: str) -> str:
    """What stands before the names of its files, without what says nothing (`./`, `//`)."""
    plain = folder.rstrip("/")
    if os.sep == "/" and not folder.startswith("//") and f"/{plain}/".count("/./") == f"{plain}/".count("//") == 0:
        return f"{plain}/"
    from pathlib import Path  # only where there is such a thing

    return str(Path(folder, "x"))[:-1]


def _walked(folder: str, ending: Endings, met: _Met | None) -> Iterator[Named | Diagnostic | None]:
    """None for a file that was met before; the names of files of one folder at a time are held. Folders that are
    links are not entered.
    """
    names: list[str] = []
    folders, links = set(), set()
    try:
        with os.scandir(folder) as entries:
            for entry in entries:
                if entry.is_dir():
                    if entry.is_symlink():
                        continue
                    folders.add(entry.name)
                elif not entry.name.endswith(ending):
                    continue
                elif entry.is_symlink():
                    links.add(entry.name)
                names.append(entry.name)
    except OSError as error:
        yield unreadable(str(error.filename), error)
        return
    names.sort()
    before, true_place = _beginning(folder), os.path.realpath(folder)
    for name in names:
        if name in folders:
            yield from _walked(os.path.join(folder, name), ending, met)
            continue
        new = met is None or (met.first_time(before + name) if name in links else met.walked(true_place, name))
        yield Named(before + name, given=False) if new else None


def how_many(places: Sequence[str], ending: Endings) -> int:
    """About how many files are named and in the folders named; those in archives are not looked for."""
    folders = (_walked(place, ending, None) if os.path.isdir(place) else (place,) for place in places)
    return sum(1 for found in folders for _ in found)


def of_other_kind(place: str, ending: Endings) -> Diagnostic | None:
    """The finding about a log where standards are read, or a standard where logs are."""
    if ending == LOG_ENDINGS and place.endswith(STANDARD_ENDING) and os.path.exists(place):
        facts = {"name": place, "found": "a standard", "wanted": "a session log"}
        return Diagnostic(files.OTHER_KIND, None, facts)
    if ending == STANDARD_ENDING and place.endswith(LOG_ENDINGS) and os.path.exists(place):
        from shlex import quote  # only where something is wrong

        facts = {"name": place, "found": "a session log", "wanted": "a standard", "log": quote(place)}
        return Diagnostic(files.OTHER_KIND, None, facts)
    return None


def text_only(file: Opened) -> Opened | Diagnostic:
    """The file, or the finding that it is no text."""
    return Diagnostic(files.BINARY, None, {"name": file.name}) if b"\0" in file.data[:_BEGINNING] else file


def read_file(file: Named, *, packed: bool) -> Opened | Diagnostic:
    """Its bytes; where it may be `packed`, of an archive only the beginning."""
    place = file.place
    name = INPUT_NAME if place == STANDARD_INPUT else place
    try:
        if place != STANDARD_INPUT:
            with open(place, "rb") as stream:
                data = stream.read(_BEGINNING)
                if packed and data.startswith(ZIP):
                    return Opened(name, data, file.given, archive=place)
                data += stream.read()
        elif sys.stdin is None:
            return Diagnostic(files.UNREADABLE, None, {"name": name, "why": "it is closed"})
        else:
            data = sys.stdin.buffer.read()
    except OSError as error:
        return unreadable(name, error)
    found = Opened(name, data, file.given)
    return found if packed and data.startswith((GZIP, *ZIP)) else text_only(found)


def unwritable(name: str, error: OSError) -> Diagnostic:
    return Diagnostic(files.UNWRITABLE, None, {"name": name, "why": _why(error)})


def unreadable(name: str, error: OSError) -> Diagnostic:
    if isinstance(error, FileNotFoundError):
        return Diagnostic(files.MISSING, None, {"name": name})
    return Diagnostic(files.UNREADABLE, None, {"name": name, "why": _why(error)})


def _why(error: OSError) -> str:
    return (error.strerror or "the system does not say why").lower()
