"""Numbers, times and names as people say them."""

from datetime import date
from fractions import Fraction

from standfast.model.rules import Counting, Test
from standfast.quantity import UNITS, Comparison, Dimension, Quantity, Unit, decimal
from standfast.report.lines import safe

_UNITS = {
    "h": ("hour", "hours"),
    "min": ("minute", "minutes"),
    "s": ("second", "seconds"),
    "ms": ("millisecond", "milliseconds"),
    "km": ("kilometre", "kilometres"),
    "m": ("metre", "metres"),
    "cm": ("centimetre", "centimetres"),
    "mm": ("millimetre", "millimetres"),
    "nmi": ("nautical mile", "nautical miles"),
    "mi": ("mile", "miles"),
    "yd": ("yard", "yards"),
    "ft": ("foot", "feet"),
    "inch": ("inch", "inches"),
    "kg": ("kilogram", "kilograms"),
    "g": ("gram", "grams"),
    "lb": ("pound", "pounds"),
    "m/s": ("metre a second", "metres a second"),
    "km/h": ("kilometre an hour", "kilometres an hour"),
    "kt": ("knot", "knots"),
    "mph": ("mile an hour", "miles an hour"),
    "deg": ("degree", "degrees"),
    **{f"per {unit}": (f"a {word}", f"a {word}") for unit, word in (("min", "minute"), ("s", "second"))},
    "per h": ("an hour", "an hour"),
    "per ms": ("a millisecond", "a millisecond"),
    "%": ("percent", "percent"),
}
_MOST_AS_WRITTEN = {"ms": 999, "s": 120, "min": 120}
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def plural(unit: Unit) -> str:
    """The unit's name after any number but one."""
    return _UNITS[unit.name][1]


def amount(quantity: Quantity) -> str:
    """`2.5 metres`, `1 minute 40 seconds`; a count is its number.

    A time is said as it is written as long as people say it so (`90 seconds`), else carried (`300 s` is
    `5 minutes`).
    """
    if quantity.dimension is Dimension.COUNT:
        return decimal(quantity.base)
    parts = quantity.parts
    number, unit = parts[0]
    if len(parts) > 1 or number > _MOST_AS_WRITTEN.get(unit.name, number):
        parts = _carried(quantity.base)
    return " ".join(_with_unit(number, unit) for number, unit in parts)


def _carried(micros: Fraction) -> tuple[tuple[Fraction, Unit], ...]:
    parts: list[tuple[Fraction, Unit]] = []
    for name in ("h", "min"):
        whole, micros = divmod(micros, UNITS[name].factor)
        parts.append((Fraction(whole), UNITS[name]))
    parts.append((micros / UNITS["s"].factor, UNITS["s"]))
    return tuple(part for part in parts if part[0])


def _with_unit(number: Fraction, unit: Unit) -> str:
    one, several = _UNITS[unit.name]
    return f"{decimal(number)} {one if number == 1 else several}"


def tested(test: Test) -> str:
    """`at least 2.5 metres`, `from 60 kilograms to 80 kilograms, both included`, `under 5 percent of load`."""
    of = "" if test.of is None else f" of {name(test.of)}"
    amounts = [amount(each) for each in (test.first, test.second) if each is not None]
    ends = [safe(each) for each in test.rounds] or amounts
    if test.comparison is Comparison.FROM_TO:
        return f"from {ends[0]} to {ends[1]}{of}, both included"
    return f"{test.comparison.value} {ends[0]}{of}"


def times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def sentence(words: str) -> str:
    """With a capital letter and a mark at its end."""
    return f"{words[0].upper()}{words[1:]}{'' if words.endswith('?') else '.'}"


def counted(number: int, one: str, several: str) -> str:
    """`1 try`, `2 tries`."""
    return f"{number} {one if number == 1 else several}"


def whose(counting: Counting, candidate: str) -> str:
    """Whose entries a number counts, to stand after it; `candidate` is the one that is spoken of."""
    once = ", one from each grader" if counting.once_a_grader else ""
    return once + (f", with those of all other candidates; only {candidate} acts" if counting.by_anyone else "")


def ordinal(number: int) -> str:
    ending = "th" if 10 < number % 100 < 14 else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"


def day(when: date) -> str:
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


def name(label: str) -> str:
    """A label of the language as words: `kill_cord` is `kill cord`."""
    return label.replace("_", " ")


def listed(words: "tuple[str, ...] | list[str]", last: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    return f" {last} ".join(each for each in (", ".join(words[:-1]), words[-1]) if each)
