"""Which candidates had a verdict in a session already.

What is known of them lies in a file that the system keeps only for as long, so that a hundred thousand logs take
no more memory than a thousand.
"""

import sqlite3
from collections.abc import Sequence

from standfast.codes import files
from standfast.diagnostic import Diagnostic
from standfast.source import Span
from standfast.values import define, field

_NAMED = 5  # candidates named in one message


@define
class Before:
    """Of each standard, session and candidate that had a verdict, the log that gave the first."""

    _store: sqlite3.Connection = field(init=False)

    def __attrs_post_init__(self) -> None:
        self._store = sqlite3.connect("", isolation_level=None)
        self._store.execute("PRAGMA journal_mode = OFF")
        self._store.execute("CREATE TABLE verdict (key TEXT PRIMARY KEY, log BLOB) WITHOUT ROWID")
        self._store.execute("BEGIN")

    def again(
        self, standard: str, session: str, candidates: Sequence[str], log: str, place: Span | None
    ) -> tuple[Diagnostic, ...]:
        """A finding, at the `place`, for each log that gave some of these a verdict; now all have one."""
        twice: dict[str, list[str]] = {}
        for candidate in candidates:
            key = repr((standard, session, candidate))
            found = self._store.execute("SELECT log FROM verdict WHERE key = ?", (key,)).fetchone()
            if found is None:
                self._store.execute("INSERT INTO verdict VALUES (?, ?)", (key, _bytes(log)))
            else:
                twice.setdefault(found[0].decode("utf-8", "surrogatepass"), []).append(f"`{candidate}`")
        return tuple(_finding(session, first, names, place) for first, names in twice.items())


def _finding(session: str, first: str, names: Sequence[str], place: Span | None) -> Diagnostic:
    return Diagnostic(files.GRADED_BEFORE, place, {"who": some(names), "session": session, "file": first})


def some(names: Sequence[str]) -> str:
    """The first of the names, and how many more there are."""
    return ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")


def _bytes(text: str) -> bytes:
    """Names of files may hold bytes that are no text, and names in a log halves of a character."""
    return text.encode("utf-8", "surrogatepass")
