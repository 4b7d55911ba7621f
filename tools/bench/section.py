"""A part of the bench: its jobs, and the rows that their times make."""

from collections.abc import Callable, Mapping, Sequence
from statistics import quantiles

from attrs import frozen

from bench.rows import Row
from bench.taking import Job, Times


@frozen
class Section:
    """`holds` is what must live as long as the jobs, such as a folder of their files."""

    jobs: Mapping[str, Job]
    rows: Callable[[Times], Sequence[Row]]
    holds: object = None


def ratio_row(
    times: Times,
    name: str,
    job: str,
    to: str,
    *,
    bar: float | None = None,
    stretch: float | None = None,
    at_least: bool = False,
    guarded: bool = True,
    shown: bool = True,
) -> Row:
    """A job's time as a multiple of another's."""
    ratios = times.ratios(job, to)
    low, _, high = quantiles(ratios, n=4) if len(ratios) > 1 else (ratios[0],) * 3
    figure = times.ratio(job, to)
    return Row(
        name=name,
        figure=figure,
        bar=bar,
        stretch=stretch,
        at_least=at_least,
        guarded=guarded,
        spread=(high - low) / figure,
        shown=shown,
    )


def seconds_row(
    times: Times, name: str, job: str, *, bar: float | None = None, stretch: float | None = None, unit: str = "s"
) -> Row:
    """A job's time on this machine, which no guard looks at."""
    factor = {"s": 1, "ms": 1e3, "µs": 1e6}[unit]
    return Row(name=name, figure=times.seconds(job) * factor, unit=unit, bar=bar, stretch=stretch)
