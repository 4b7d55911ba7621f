"""Standards read from their text, or from what was kept of the same text before.

What is kept hangs on the text, the version, the Python and the very files of this program, so that whoever changes
the program never meets what an earlier one made of a text. Only a standard without an error is kept, with all that
was found in it: what a command says is the same either way.
"""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from hashlib import sha256

import standfast
from standfast import pipeline
from standfast.command.cache import keep, kept
from standfast.diagnostic import Diagnostic
from standfast.model.packing import NotPacked, packed, unpacked
from standfast.model.standard import Standard
from standfast.source import Source

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from standfast.language import syntax

_DECIDING = ("", "codes", "language", "model", "values")
"""The folders of the package whose files decide what a standard becomes; the first is the package's own."""


def load_standard(source: Source) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    """What `pipeline.load_standard` gives."""
    key = _key("standard", source.text)
    rows = None if key is None else kept(key)
    if rows is not None:
        try:
            return unpacked(json.loads(rows), Source(source.name, source.text.removeprefix("\ufeff")))
        except (ValueError, RecursionError, NotPacked):
            pass
    _use_tables()
    standard, found = pipeline.load_standard(source)
    if standard is not None and key is not None:
        with suppress(ValueError, NotPacked):  # of what has no row, or too many digits
            keep(key, json.dumps(packed(standard, found), separators=(",", ":")).encode())
    return standard, found


def read(source: Source) -> "tuple[syntax.Standard | None, tuple[Diagnostic, ...]]":
    """What `language.reader.read` gives."""
    _use_tables()
    from standfast.language.reader import read

    return read(source)


def _use_tables() -> None:
    """Lets the tables of the grammar be kept too."""
    from standfast.language.reader import use_tables  # only where a text is read

    def kept_tables(name: str) -> bytes | None:
        key = _key("tables", name)
        return None if key is None else kept(key)

    def keep_tables(name: str, tables: bytes) -> None:
        key = _key("tables", name)
        if key is not None:
            keep(key, tables)

    use_tables(kept_tables, keep_tables)


def _key(kind: str, text: str) -> str | None:
    """None where the files of this program cannot be looked at."""
    try:
        made_by = [standfast.__version__, sys.version, repr(_files()), kind]
    except OSError:
        return None
    return sha256("\0".join([*made_by, text]).encode("utf-8", "surrogatepass")).hexdigest()


@cache
def _files() -> tuple[tuple[str, int, int], ...]:
    return tuple(sorted(_looked_at()))


def _looked_at() -> Iterator[tuple[str, int, int]]:
    package = os.path.dirname(standfast.__file__)
    for folder in _DECIDING:
        with os.scandir(os.path.join(package, folder)) as found:
            for each in found:
                if each.name.endswith((".py", ".lark")):
                    about = each.stat()
                    yield f"{folder}/{each.name}", about.st_mtime_ns, about.st_size
