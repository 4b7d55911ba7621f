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

_DECIDING = ("", "codes", "language", "model", "values")
"""The folders of the package whose files decide what a standard becomes; the first is the package's own."""


def load_standard(source: Source) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    """What `pipeline.load_standard` gives."""
    key = _key(source.text)
    rows = None if key is None else kept(key)
    if rows is not None:
        try:
            return unpacked(json.loads(rows), Source(source.name, source.text.removeprefix("\ufeff")))
        except (ValueError, RecursionError, NotPacked):
            pass
    standard, found = pipeline.load_standard(source)
    if standard is not None and key is not None:
        with suppress(ValueError, NotPacked):  # of what has no row, or too many digits
            keep(key, json.dumps(packed(standard, found), separators=(",", ":")).encode())
    return standard, found


def _key(text: str) -> str | None:
    """None where the files of this program cannot be looked at."""
    try:
        made_by = [standfast.__version__, sys.version, repr(_files())]
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
