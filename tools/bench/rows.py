"""The rows of the table: what was measured, in what, and what it is held against."""

from collections.abc import Iterable

from attrs import frozen


@frozen(kw_only=True)
class Row:
    """One figure. `bar` is the most it should be (the least, with `at_least`), `stretch` what is hoped for.

    A `guarded` row is a ratio within one run, which is the same on any machine but for noise: the guard holds it
    against the one that is kept. `spread` is how far the middle half of the rounds lay apart, as a share of it.
    One that is not `shown` is for the guard alone.
    """

    name: str
    figure: float
    unit: str = ""
    bar: float | None = None
    stretch: float | None = None
    at_least: bool = False
    guarded: bool = False
    spread: float = 0
    shown: bool = True

    @property
    def met(self) -> bool | None:
        if self.bar is None:
            return None
        return self.figure >= self.bar if self.at_least else self.figure <= self.bar


def table(rows: Iterable[Row]) -> str:
    """The rows as a table in Markdown."""
    lines = ["| what | figure | wanted: at most | hoped for |", "|---|---:|---:|---:|"]
    for row in (row for row in rows if row.shown):
        kind = "at least " if row.at_least else ""
        limits = ("" if each is None else f"{kind}{_short(each, row.unit)}" for each in (row.bar, row.stretch))
        missed = ", missed" if row.met is False else ""
        lines.append(f"| {row.name} | {_short(row.figure, row.unit)}{missed} | {' | '.join(limits)} |")
    return "".join(f"{line}\n" for line in lines)


def document(rows: Iterable[Row]) -> list[dict[str, object]]:
    return [
        {
            "name": row.name,
            "figure": row.figure,
            "unit": row.unit,
            "bar": row.bar,
            "stretch": row.stretch,
            "at_least": row.at_least,
            "guarded": row.guarded,
            "spread": row.spread,
            "met": row.met,
        }
        for row in rows
    ]


def _short(figure: float, unit: str) -> str:
    """With three figures, or all before the point."""
    decimals = 2 if abs(figure) < 10 else 1 if abs(figure) < 100 else 0
    return f"{figure:,.{decimals}f} {unit}".rstrip()
