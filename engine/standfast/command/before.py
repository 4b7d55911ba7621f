"""Which candidates had a verdict in a session already.

What is known of them lies in a file that the system keeps only for as long, so that a hundred thousand logs take
no more memory than a thousand.
"""

from collections.abc import Sequence

from standfast.codes import files
from standfast.diagnostic import Diagnostic
from standfast.source import Span
from standfast.values import define, field

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from sqlite3 import Connection

_NAMED = 5  # candidates named in one message


@define
class Before:
    """Of each standard, session and candidate that had a verdict, the log that gave the first.

    INVARIANT: where there is a `_store` it has all; without one no more than `_first` is known, all of one log.
    """

    _first: list[tuple[str, bytes]] = field(init=False, factory=list)
    _store: "Connection | None" = field(init=False, default=None)

    def again(
        self, standard: str, session: str, candidates: Sequence[str], log: str, place: Span | None
    ) -> tuple[Diagnostic, ...]:
        """A finding, at the `place`, for each log that gave some of these a verdict; now all have one."""
        keys = [repr((standard, session, candidate)) for candidate in candidates]
        if not self._first:
            self._first = [(key, _bytes(log)) for key in keys]
            return ()
        if self._store is None:
            self._store = _store(self._first)
        twice: dict[str, list[str]] = {}
        for candidate, key in zip(candidates, keys, strict=True):
            added = self._store.execute("INSERT OR IGNORE INTO verdict VALUES (?, ?)", (key, _bytes(log)))
            if added.rowcount == 0:
                found = self._store.execute("SELECT log FROM verdict WHERE key = ?", (key,)).fetchone()
                twice.setdefault(found[0].decode("utf-8", "surrogatepass"), []).append(f"`{candidate}`")
        return tuple(_finding(session, first, names, place) for first, names in twice.items())


def _store(rows: Sequence[tuple[str, bytes]]) -> "Connection":
    import sqlite3  # only for a second log

    store = sqlite3.connect("", isolation_level=None)
    store.execute("PRAGMA journal_mode = OFF")
    store.execute("PRAGMA cache_size = -256")  # kibibytes
    store.execute("CREATE TABLE verdict (key TEXT PRIMARY KEY, log BLOB) WITHOUT ROWID")
    store.execute("BEGIN")
    store.executemany("INSERT INTO verdict VALUES (?, ?)", rows)
    return store


def _finding(session: str, first: str, names: Sequence[str], place: Span | None) -> Diagnostic:
    return Diagnostic(files.GRADED_BEFORE, place, {"who": some(names), "session": session, "file": first})


def some(names: Sequence[str]) -> str:
    """The first of the names, and how many more there are."""
    return ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")


def _bytes(text: str) -> bytes:
    """Names of files may hold bytes that are no text, and names in a log halves of a character."""
    return text.encode("utf-8", "surrogatepass")
