"""Exact measures: times, lengths, masses, speeds, angles and counts.

Every amount is a `Fraction`; nothing here is ever a float. The base units are the microsecond, the metre, the
kilogram, the metre a second and the degree. Factors: NIST SP 811 (2008) appendix B for the foot, yard, mile,
pound and nautical mile (exact by definition); the second's multiples are exact by definition.
"""

from enum import Enum
from fractions import Fraction
from math import ceil, floor

from standfast.values import field, frozen

MILLION = 1_000_000


class Dimension(Enum):
    TIME = "time"
    LENGTH = "length"
    MASS = "mass"
    SPEED = "speed"
    ANGLE = "angle"
    RATE = "rate"
    COUNT = "count"
    SHARE = "share"


class Comparison(Enum):
    """How an amount is held against a constant; from A to B counts both ends, within Q of a fact both too."""

    AT_LEAST = "at least"
    AT_MOST = "at most"
    OVER = "over"
    UNDER = "under"
    FROM_TO = "from"
    EXACTLY = "exactly"
    WITHIN = "within"


@frozen
class Unit:
    """One unit; `factor` is its size in the base unit of its dimension."""

    name: str
    dimension: Dimension
    factor: Fraction


def _units() -> dict[str, Unit]:
    foot = Fraction(3048, 10000)
    nautical_mile = Fraction(1852)
    hour = Fraction(3600)
    sizes: dict[Dimension, dict[str, Fraction]] = {
        Dimension.TIME: {
            "h": hour * 1_000_000,
            "min": Fraction(60_000_000),
            "s": Fraction(1_000_000),
            "ms": Fraction(1_000),
        },
        Dimension.LENGTH: {
            "km": Fraction(1000),
            "m": Fraction(1),
            "cm": Fraction(1, 100),
            "mm": Fraction(1, 1000),
            "nmi": nautical_mile,
            "mi": 5280 * foot,
            "yd": 3 * foot,
            "ft": foot,
            "inch": foot / 12,
        },
        Dimension.MASS: {"kg": Fraction(1), "g": Fraction(1, 1000), "lb": Fraction(45359237, 100_000_000)},
        Dimension.SPEED: {
            "m/s": Fraction(1),
            "km/h": Fraction(1000) / hour,
            "kt": nautical_mile / hour,
            "mph": 5280 * foot / hour,
        },
        Dimension.ANGLE: {"deg": Fraction(1)},
    }
    return {name: Unit(name, dim, size) for dim, row in sizes.items() for name, size in row.items()}


UNITS: dict[str, Unit] = _units()
RATES: dict[str, Unit] = {
    name: Unit(f"per {name}", Dimension.RATE, 1 / unit.factor)
    for name, unit in UNITS.items()
    if unit.dimension is Dimension.TIME
}
"""So many each unit of time, by the name of that unit; the base is one a microsecond."""
COUNT = Unit("", Dimension.COUNT, Fraction(1))
PERCENT = Unit("%", Dimension.SHARE, Fraction(1, 100))
SECOND = UNITS["s"]


@frozen
class Quantity:
    """An amount as written: one number and unit, or, for a time, several with falling units.

    `base` is the amount in the base unit of its dimension (microseconds for a time), `millionths` the same in
    millionths of it, a whole number almost always; they are asked for at every entry, so they are worked out once.
    INVARIANT: `parts` is not empty and all parts are of one dimension; only times have more than one.
    """

    parts: tuple[tuple[Fraction, Unit], ...]
    base: Fraction = field(init=False, eq=False, repr=False)
    millionths: int | Fraction = field(init=False, eq=False, repr=False)

    @property
    def dimension(self) -> Dimension:
        return self.parts[0][1].dimension

    @property
    def unit(self) -> Unit:
        """The unit the amount is spoken in; for a time of several parts, the smallest."""
        return self.parts[-1][1]

    @base.default
    def _of_parts(self) -> Fraction:
        return sum((number * unit.factor for number, unit in self.parts), Fraction(0))

    @millionths.default
    def _of_base(self) -> int | Fraction:
        above, below = self.base.as_integer_ratio()
        return self.base * MILLION if MILLION % below else above * (MILLION // below)

    def __str__(self) -> str:
        return " ".join(f"{decimal(number)} {unit.name}".rstrip() for number, unit in self.parts)


class Way(Enum):
    """How a value is rounded: to a multiple of a step that is not less, not greater, or the nearest."""

    UP = "up"
    DOWN = "down"
    NEAREST_TIES_UP = "nearest, ties up"
    NEAREST_TIES_TO_EVEN = "nearest, ties to even"


@frozen
class Rounding:
    """Rounding to whole multiples of `step`, once and exactly. INVARIANT: the step is above nought.

    The two ways with ties are rules A (to even) and B (up) of ISO 80000-1, annex B.
    """

    way: Way
    step: Quantity

    def of(self, amount: Fraction) -> Fraction:
        """The rounded amount; both in the base unit of the step's dimension."""
        steps = amount / self.step.base
        match self.way:
            case Way.UP:
                whole = ceil(steps)
            case Way.DOWN:
                whole = floor(steps)
            case Way.NEAREST_TIES_UP:
                whole = floor(steps + Fraction(1, 2))
            case Way.NEAREST_TIES_TO_EVEN:
                whole = round(steps)
        return whole * self.step.base


def spoken_in(base: Fraction, *units: Unit) -> Quantity:
    """An amount in base units, in the first unit in which six decimals hold it, else in the first."""
    fitting = (unit for unit in units if (base / unit.factor * 10**6).denominator == 1)
    unit = next(fitting, units[0])
    return Quantity(((base / unit.factor, unit),))


def count(number: int) -> Quantity:
    return Quantity(((Fraction(number), COUNT),))


def decimal(number: Fraction) -> str:
    """The number as a decimal without trailing noughts, or as `a/b` where no decimal ends."""
    twos_and_fives = number.denominator
    places = 0
    while twos_and_fives % 10 == 0:
        twos_and_fives //= 10
        places += 1
    for prime in (2, 5):
        while twos_and_fives % prime == 0:
            twos_and_fives //= prime
            places += 1
    if twos_and_fives != 1:
        return f"{number.numerator}/{number.denominator}"
    digits = str(abs(number.numerator) * 10**places // number.denominator).rjust(places + 1, "0")
    whole, part = (digits[:-places], digits[-places:].rstrip("0")) if places else (digits, "")
    return ("-" if number < 0 else "") + whole + (f".{part}" if part else "")


def clock(micros: int) -> str:
    """An instant as `m:ss`, from an hour on as `h:mm:ss`, with the decimals it has and no more."""
    minutes, rest = divmod(micros, 60_000_000)
    hours, minutes = divmod(minutes, 60)
    seconds, part = divmod(rest, 1_000_000)
    before = f"{hours}:{minutes:02d}" if hours else f"{minutes}"
    decimals = f".{part:06d}".rstrip("0") if part else ""
    return f"{before}:{seconds:02d}{decimals}"
