"""Has anything become slower? The ratios of a run, held against those that are kept.

Only ratios within one run are held, never seconds. A ratio may be worse than the kept one by the tolerance that is
kept with it: the widest that repeated runs of the same code lay apart, and never less than `_LEAST`.
"""

from collections.abc import Iterable, Mapping, Sequence

from attrs import frozen

from bench.rows import Row

_LEAST = 0.25
"""Runs of nearly the same code, over an evening in which others used the machine, lay up to 0.18 apart."""


@frozen
class Kept:
    """`tolerance` is a share of `figure`."""

    figure: float
    tolerance: float
    at_least: bool


@frozen
class Worse:
    name: str
    kept: float
    found: float
    tolerance: float

    def __str__(self) -> str:
        share = abs(self.found / self.kept - 1)
        allowed = f"worse by {share:.0%}, allowed are {self.tolerance:.0%}"
        return f"{self.name}: {self.found:.3g}, kept is {self.kept:.3g}; {allowed}"


def kept_from(runs: Sequence[Iterable[Row]]) -> dict[str, Kept]:
    """What is to be kept of several runs of the same code: the middle figure, and how far they lay apart."""
    figures: dict[str, list[Row]] = {}
    for row in (row for run in runs for row in run if row.guarded):
        figures.setdefault(row.name, []).append(row)
    return {name: _kept(rows) for name, rows in figures.items()}


def _kept(rows: Sequence[Row]) -> Kept:
    ordered = sorted(row.figure for row in rows)
    middle = ordered[len(ordered) // 2]
    apart = (ordered[-1] - ordered[0]) / middle
    return Kept(middle, max(_LEAST, apart), rows[0].at_least)


def worse(rows: Iterable[Row], kept: Mapping[str, Kept]) -> list[Worse]:
    """The rows that are worse than what is kept, by more than is allowed."""
    found = []
    for row in rows:
        one = kept.get(row.name) if row.guarded else None
        if one is None:
            continue
        change = row.figure / one.figure
        if (1 / change if one.at_least else change) > 1 + one.tolerance:
            found.append(Worse(row.name, one.figure, row.figure, one.tolerance))
    return found


def missing(rows: Iterable[Row], kept: Mapping[str, Kept]) -> list[str]:
    """Kept rows that a run did not give; a row that has gone could hide that it became worse."""
    return sorted(kept.keys() - {row.name for row in rows})
