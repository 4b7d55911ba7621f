"""A standard as rows of plain values, and from them again: what is kept so that it need not be read anew.

Each row is one value: what it is made of stands in the rows before it, and a reference is a list with the number
of a row, so that what is shared stays shared. Unpacking makes value classes of the model and nothing else,
whatever the rows say; units and codes are the ones of this program, and the source is the one at hand.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from enum import Enum
from fractions import Fraction

from standfast import diagnostic, quantity, source
from standfast.codes import Code
from standfast.diagnostic import Diagnostic
from standfast.language import syntax_choices
from standfast.model import comparing, rules
from standfast.model import standard as standard_values
from standfast.model.standard import Standard
from standfast.quantity import COUNT, PERCENT, RATES, UNITS, Unit
from standfast.source import Source
from standfast.values import parts_of, remade

Plain = None | bool | int | str | list[int]
"""A value that stands for itself, or in a list the number of the row it is in."""
Row = list[Plain]
Packed = list[Row]

_CLASSES: dict[str, type] = {
    each.__qualname__: each
    for module in (comparing, rules, standard_values, diagnostic, quantity, source, syntax_choices)
    for each in vars(module).values()
    if isinstance(each, type) and each.__module__ == module.__name__
}
_HERE = "the source"
_UNITS = {unit.name: unit for unit in (*UNITS.values(), *RATES.values(), COUNT, PERCENT)}


class NotPacked(Exception):
    """There is something in it that has no row, or rows that no standard was packed to."""


def packed(standard: Standard, found: Iterable[Diagnostic]) -> Packed:
    """The rows of a standard and of what was found in it; NotPacked where something has none."""
    packing = _Packing()
    try:
        packing.part((standard, tuple(found)))
    except RecursionError as error:
        raise NotPacked from error
    return packing.rows


class _Packing:
    def __init__(self) -> None:
        self.rows: Packed = []
        self._done: dict[
            int, tuple[object, list[int]]
        ] = {}  # by identity; the value is held so that it stays its own

    def part(self, value: object) -> Plain:
        if value is None or (isinstance(value, bool | int | str) and not isinstance(value, Enum)):
            return value
        if id(value) not in self._done:
            row = self._row(value)
            self.rows.append(row)
            self._done[id(value)] = value, [len(self.rows) - 1]
        return self._done[id(value)][1]

    def _row(self, value: object) -> Row:
        match value:
            case tuple():
                return ["tuple", *map(self.part, value)]
            case Mapping():
                return ["dict", *(self.part(each) for pair in value.items() for each in pair)]
            case frozenset():
                return ["frozenset", *sorted(map(self.part, value), key=str)]
            case Fraction():
                return ["Fraction", value.numerator, value.denominator]
            case date():
                return ["date", value.toordinal()]
            case Source():
                return [_HERE]
            case Code():
                return ["code", value.number]
            case Unit() if _UNITS.get(value.name) is value:
                return ["unit", value.name]
        kind = type(value).__qualname__
        if _CLASSES.get(kind) is not type(value):
            raise NotPacked(kind)
        return [kind, *([value.name] if isinstance(value, Enum) else map(self.part, parts_of(value)))]


def unpacked(rows: object, at: Source) -> tuple[Standard, tuple[Diagnostic, ...]]:
    """The standard and what was found, as they are of this source; NotPacked where the rows are not such."""
    try:
        value = _unpacked(rows, at)
    except (TypeError, ValueError, KeyError, IndexError, AttributeError, ArithmeticError) as error:
        raise NotPacked from error
    match value:
        case (Standard() as standard, tuple(found)) if all(isinstance(each, Diagnostic) for each in found):
            return standard, found
    raise NotPacked


def _unpacked(rows: object, at: Source) -> object:
    if not isinstance(rows, list):
        raise TypeError
    values: list[object] = []
    for kind, *row in rows:
        parts = [values[part[0]] if type(part) is list else part for part in row]
        maker = _MAKERS.get(kind)
        if maker is not None:
            values.append(maker(*parts))
        elif kind == _HERE:
            values.append(at)
        else:
            known = _CLASSES[kind]
            values.append(known[str(parts[0])] if issubclass(known, Enum) else remade(known, parts))
    return values[-1]


def _code(number: str) -> Code:
    from standfast.codes import CODES  # only where something was found: there are hundreds

    return CODES[number]


_MAKERS: dict[str, Callable[..., object]] = {
    "tuple": lambda *parts: parts,
    "frozenset": lambda *parts: frozenset(parts),
    "dict": lambda *parts: dict(zip(parts[::2], parts[1::2], strict=True)),
    "Fraction": Fraction,
    "date": date.fromordinal,
    "code": _code,
    "unit": _UNITS.__getitem__,
}
