"""The rows of a boundary book, put together from those for each kind of candidate."""

from collections.abc import Iterable

from standfast.proofing.book import Pair
from standfast.proofing.finding import Finding
from standfast.values import define, field, frozen


@frozen
class Row:
    """A pair, and the finding where a side of it is missing."""

    pair: Pair
    missing: Finding | None


@define
class Shown:
    """The rows so far. A path may have several; `order` are all paths in the order of the standard."""

    order: tuple[str, ...]
    _by_path: dict[str, list[Row]] = field(init=False, factory=dict)

    @property
    def rows(self) -> list[Row]:
        return [row for path in self.order for row in self._by_path.get(path, ())]

    @property
    def complete(self) -> frozenset[str]:
        """The paths of which every side is shown."""
        return frozenset(path for path, rows in self._by_path.items() if _missing(rows) == 0)

    def add(self, rows: Iterable[Row]) -> None:
        """The rows for one more kind of candidate; those of a path replace others that show less of it."""
        found: dict[str, list[Row]] = {}
        for row in rows:
            found.setdefault(row.pair.path, []).append(row)
        for path, own in found.items():
            if path not in self._by_path or _missing(own) < _missing(self._by_path[path]):
                self._by_path[path] = own


def _missing(rows: Iterable[Row]) -> int:
    return sum(len(row.pair.missing) for row in rows)
