"""Logs that may come packed. Only where one does, what unpacks them is loaded."""

from collections.abc import Iterable, Iterator

from standfast.command.files import GZIP, ZIP, Opened
from standfast.diagnostic import Diagnostic


def unpacked(opened: Iterable[Opened | Diagnostic]) -> Iterator[Opened | Diagnostic]:
    """The logs as they are, those of gzip files unpacked, of zip archives all logs by name, one at a time."""
    for one in opened:
        if isinstance(one, Diagnostic) or not one.data.startswith((GZIP, *ZIP)):
            yield one
            continue
        from standfast.command.archives import gunzipped, zipped

        if one.data.startswith(ZIP):
            yield from zipped(one)
        else:
            yield gunzipped(one)
