"""Amounts and times in a report.

In text an amount that six decimals cannot hold is rounded to three, towards broken: a margin downwards, a
figure towards its limit's forbidden side. `ROUNDED` stands before it. In JSON every amount is exact.
"""

from datetime import datetime, timedelta
from fractions import Fraction
from math import ceil, floor

from standfast.quantity import SECOND, clock, decimal
from standfast.verdict import Measure

ROUNDED = "~"


def is_rounded(measure: Measure) -> bool:
    """Whether the text form of the amount is not the amount itself."""
    return not _ends(measure.amount)


def _ends(amount: Fraction) -> bool:
    return (amount * 10**6).denominator == 1


def _number(amount: Fraction, up: bool) -> str:
    if _ends(amount):
        return decimal(amount)
    thousandths = ceil(amount * 1000) if up else floor(amount * 1000)
    return ROUNDED + decimal(Fraction(thousandths, 1000))


def _with_unit(measure: Measure, up: bool = False) -> str:
    text = f"{_number(measure.amount, up)} {measure.unit.name}".rstrip()
    if measure.unit != SECOND or abs(measure.amount) < 60:
        return text
    sign = "-" if measure.amount < 0 else ""
    return f"{text} ({sign}{clock(floor(abs(measure.amount) * 1_000_000))})"


def margin_text(margin: Measure) -> str:
    """`-0.5 m`, `~0.333 m`; a minute or more also as a clock shows it: `64.8 s (1:04.8)`."""
    return _with_unit(margin)


def figure_text(figure: Measure, margin: Measure | None) -> str:
    """The figure as `margin_text` writes amounts.

    Figure plus margin is the limit where more is worse: only then is the figure rounded upwards.
    """
    return _with_unit(figure, up=margin is not None and _ends(figure.amount + margin.amount))


def when(at: int, zero: datetime | None) -> str:
    """An instant as a log's elapsed time, and beside it what the log's clock showed, if it showed one."""
    try:
        then = None if zero is None else zero + timedelta(microseconds=at)
    except OverflowError:  # past the last year a date can have
        then = None
    if zero is None or then is None:
        return clock(at)
    day = "" if then.date() == zero.date() else f"{then.date()} "
    return f"{clock(at)} ({day}{time_of_day(then)})"


def time_of_day(then: datetime) -> str:
    """`09:05:00`, with the decimals it has and no more."""
    part = f".{then.microsecond:06d}".rstrip("0") if then.microsecond else ""
    return f"{then:%H:%M:%S}{part}"


def seconds(micros: int) -> str:
    """A length of time in seconds, exactly."""
    return f"{decimal(Fraction(micros, 1_000_000))} s"


def exact_clock(micros: int) -> str:
    """`m:ss.ffffff`, always six decimals, minutes not bounded: one form for every instant in JSON."""
    minutes, rest = divmod(micros, 60_000_000)
    seconds, part = divmod(rest, 1_000_000)
    return f"{minutes}:{seconds:02d}.{part:06d}"
