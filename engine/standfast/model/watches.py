"""Watches: marks of which several readings make one, by their number."""

from standfast.codes import watches as codes
from standfast.language import syntax
from standfast.language.syntax_choices import PickWord
from standfast.model import amounts
from standfast.model.rules import Readings
from standfast.model.scope import Scope
from standfast.quantity import UNITS, Dimension, Unit

MOST = 20
"""The greatest number of readings that a rule may join."""
_OTHER = {
    PickWord.LONGER: PickWord.LARGER,
    PickWord.SHORTER: PickWord.SMALLER,
    PickWord.LARGER: PickWord.LONGER,
    PickWord.SMALLER: PickWord.SHORTER,
}
_TIMED = (PickWord.LONGER, PickWord.SHORTER)


def readings(scope: Scope, line: syntax.Mark) -> Readings | None:
    """How the readings of a mark are joined; None where its line says nothing of it."""
    if line.unit is None or not (line.picks or line.rounding):
        return None
    mark, unit = line.name.text, UNITS[line.unit.text]
    known: set[int] = set()
    for pick in line.picks:
        number = amounts.number(scope, pick.number, MOST)
        if number in known:
            scope.refuse(codes.ONE_NUMBER_TWICE, pick.span, mark=mark, number=str(number))
        known.add(number)
        _refuse_pick(scope, mark, unit, pick)
    mean = next((pick for pick in line.picks if pick.word is PickWord.MEAN), None)
    if mean is not None and line.rounding is None:
        facts = {"mark": mark, "unit": unit.name, "number": str(mean.number.number)}
        scope.refuse(codes.MEAN_NOT_ROUNDED, mean.span, **facts)
    rounding = None if line.rounding is None else amounts.rounding(scope, line.rounding, unit.dimension)
    return Readings(tuple((pick.number.number, pick.word) for pick in line.picks), rounding)


def _refuse_pick(scope: Scope, mark: str, unit: Unit, pick: syntax.Pick) -> None:
    if pick.word is PickWord.MIDDLE and pick.number.number % 2 == 0:
        scope.refuse(codes.NO_MIDDLE, pick.span, number=str(pick.number.number))
    said = (
        unit.dimension in (Dimension.TIME, Dimension.LENGTH)
        if pick.word in _TIMED
        else (unit.dimension is not Dimension.TIME)
    )
    if pick.word in _OTHER and not said:
        facts = {"found": pick.word.value, "near": _OTHER[pick.word].value, "unit": unit.name}
        scope.refuse(codes.OTHER_PICK, pick.span, mark=mark, **facts)
