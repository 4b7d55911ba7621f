"""A measure written in a log: `40 m`, `1 min 40 s`."""

import re
from fractions import Fraction
from itertools import pairwise

from standfast.codes import log as codes
from standfast.diagnostic import nearest
from standfast.log.findings import Refused, shown
from standfast.quantity import UNITS, Dimension, Quantity, Unit

DIGITS = 12

_NUMBER = r"([0-9]+)(?:\.([0-9]+))?"
_PART = re.compile(rf"{_NUMBER} +([A-Za-z/]+)")
_WHOLE = re.compile(rf"{_PART.pattern}(?: +{_PART.pattern})*")
_BARE = re.compile(_NUMBER)
_COMMA = re.compile(r"([0-9]+),([0-9]{1,2})")  # before three digits it may stand between thousands too


def read_amount(text: str, name: str, spoken: Unit) -> Quantity | Refused:
    """The measure, in any unit of the dimension of `spoken`; `name` is what it is a measure of."""
    dimension = spoken.dimension
    facts = {
        "text": shown(text),
        "name": name,
        "dimension": dimension.value,
        "example": f"40 {spoken.name}",
        "known": ", ".join(f"`{unit.name}`" for unit in UNITS.values() if unit.dimension is dimension),
    }
    unsigned = text.removeprefix("-").lstrip(" ")
    if _BARE.fullmatch(unsigned):
        facts["example"] = f"{shown(unsigned)} {spoken.name}"
        return Refused(codes.NO_UNIT if unsigned == text else codes.NEGATIVE_AMOUNT, facts)
    if comma := _COMMA.fullmatch(unsigned):
        facts["example"] = f"{shown(f'{comma[1]}.{comma[2]}')} {spoken.name}"
    if not _WHOLE.fullmatch(unsigned):
        return Refused(codes.NOT_AN_AMOUNT, facts)
    if unsigned != text:
        return Refused(codes.NEGATIVE_AMOUNT, facts)
    parts: list[tuple[Fraction, Unit]] = []
    for whole, decimals, unit_name in _PART.findall(text):
        unit = UNITS.get(unit_name)
        if unit is None:
            near = nearest(unit_name, (u.name for u in UNITS.values() if u.dimension is dimension))
            return Refused(
                codes.UNKNOWN_UNIT, facts | {"unit": shown(unit_name)} | ({"near": near} if near else {})
            )
        if unit.dimension is not dimension:
            return Refused(codes.OTHER_DIMENSION, facts | {"found": unit.dimension.value})
        if len(decimals) > 6:
            return Refused(codes.TOO_MANY_DECIMALS, facts | {"count": str(len(decimals))})
        if len(whole) > DIGITS:
            return Refused(codes.TOO_LARGE, facts | {"limit": str(DIGITS)})
        parts.append((Fraction(int(whole + decimals), 10 ** len(decimals)), unit))
    falling = all(before[1].factor > after[1].factor for before, after in pairwise(parts))
    if len(parts) > 1 and not (falling and dimension is Dimension.TIME):
        return Refused(codes.NOT_AN_AMOUNT, facts)
    return Quantity(tuple(parts))
