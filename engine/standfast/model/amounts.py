"""Numbers and amounts: of the right dimension, and not nought where a nought decides nothing."""

from fractions import Fraction

from standfast.codes import meaning as codes
from standfast.language import syntax
from standfast.model.rules import Test
from standfast.model.scope import Scope
from standfast.quantity import RATES, UNITS, Comparison, Dimension, Quantity, Rounding

LONGEST = 10_000 * UNITS["h"].factor
MOST = 10_000
SPOKEN = {
    Dimension.TIME: "a time",
    Dimension.LENGTH: "a length",
    Dimension.MASS: "a mass",
    Dimension.SPEED: "a speed",
    Dimension.ANGLE: "an angle",
    Dimension.RATE: "a rate",
    Dimension.COUNT: "a number without a unit",
}


def amount(scope: Scope, written: syntax.Amount, dimension: Dimension | None) -> Quantity:
    """The quantity; refused are another dimension (None: any), and a time that is too long or too fine."""
    quantity = written.quantity
    shown = written.span.text
    if dimension not in (None, quantity.dimension):
        units = ", ".join(unit.name for unit in (*UNITS.values(), *RATES.values()) if unit.dimension is dimension)
        facts = {"amount": shown, "found": SPOKEN[quantity.dimension], "expected": SPOKEN[dimension]}
        scope.refuse(codes.OTHER_DIMENSION, written.span, **facts, **({"units": units} if units else {}))
    elif quantity.dimension is Dimension.TIME:
        if quantity.base > LONGEST:
            scope.refuse(codes.TOO_LONG, written.span, amount=shown)
        elif quantity.base.denominator != 1:
            scope.refuse(codes.NOT_WHOLE_MICROSECONDS, written.span, amount=shown)
    return quantity


def above_nought(scope: Scope, written: syntax.Amount, dimension: Dimension | None) -> Quantity:
    quantity = amount(scope, written, dimension)
    if quantity.base == 0:
        scope.refuse(codes.NOUGHT, written.span, what=written.span.text)
    return quantity


def rounding(scope: Scope, written: syntax.Rounding, dimension: Dimension | None) -> Rounding:
    """A rounding of amounts in one dimension (None: any); refused is a step of nought."""
    return Rounding(written.way, above_nought(scope, written.step, dimension))


def length(scope: Scope, written: syntax.Amount) -> Quantity:
    """A duration above nought."""
    return above_nought(scope, written, Dimension.TIME)


def number(scope: Scope, written: syntax.Whole, most: int | None = None, instead: str = "") -> int:
    """A count above nought, and not above `most`; `instead` is what an author may do who wants none."""
    if written.number == 0:
        facts = {"instead": instead} if instead else {}
        scope.refuse(codes.NOUGHT, written.span, what=written.span.text, **facts)
    elif most is not None and written.number > most:
        scope.refuse(codes.TOO_MANY, written.span, number=written.span.text, most=str(most))
    return written.number


def test(scope: Scope, written: syntax.Test, dimension: Dimension) -> Test:
    """A comparison in one dimension; refused is a range that runs backwards, or has its unit at one end only."""
    if written.second is not None and _one_without_unit(written.first, written.second, dimension):
        return _completed(scope, written.first, written.second)
    first = amount(scope, written.first, dimension)
    second = None if written.second is None else amount(scope, written.second, dimension)
    if second is not None and first.dimension is second.dimension and first.base > second.base:
        scope.refuse(codes.BACKWARDS, written.span, first=str(first), second=str(second))
    return Test(written.comparison, first, second)


def _one_without_unit(first: syntax.Amount, second: syntax.Amount, dimension: Dimension) -> bool:
    """Whether only one end of a range has its unit, and that one of the dimension, where that is known."""
    known = {first.quantity.dimension, second.quantity.dimension} - {Dimension.COUNT}
    bare = Dimension.COUNT in (first.quantity.dimension, second.quantity.dimension)
    return bare and (known == {dimension} or (dimension is Dimension.COUNT and bool(known)))


def _completed(scope: Scope, first: syntax.Amount, second: syntax.Amount) -> Test:
    """`from 1 to 2 m`, which is refused, with its unit at both ends."""
    bare, other = (first, second) if first.quantity.dimension is Dimension.COUNT else (second, first)
    unit = other.quantity.unit
    whole = Quantity(((bare.quantity.base, unit),))
    ends = (whole, other.quantity) if bare is first else (other.quantity, whole)
    facts = {"found": SPOKEN[Dimension.COUNT], "expected": SPOKEN[other.quantity.dimension]}
    near = f"{bare.span.text} {unit.name}"
    scope.refuse(codes.OTHER_DIMENSION, bare.span, amount=bare.span.text, near=near, **facts)
    return Test(Comparison.FROM_TO, *ends)


def meet(one: Test, other: Test) -> bool:
    """Whether some amount, never a negative one, passes both tests."""
    low, low_counts, high, high_counts = _ends(one)
    other_low, other_low_counts, other_high, other_high_counts = _ends(other)
    bottom = max((low, not low_counts), (other_low, not other_low_counts))
    tops = [
        (end, counts) for end, counts in ((high, high_counts), (other_high, other_high_counts)) if end is not None
    ]
    if not tops:
        return True
    top, counts = min(tops)
    return bottom[0] < top or (bottom[0] == top and not bottom[1] and counts)


def meeting_point(one: Test, other: Test) -> Quantity | None:
    """The one amount that passes both, where it is the end of both ranges; None where there is none, or more."""
    if Comparison.EXACTLY in (one.comparison, other.comparison) or not meet(one, other):
        return None
    low, _, high, _ = _ends(one)
    other_low, _, other_high, _ = _ends(other)
    bottom = max(low, other_low)
    tops = [top for top in (high, other_high) if top is not None]
    written = (one.first, one.second, other.first, other.second)
    point = next((each for each in written if each is not None and each.base == bottom), None)
    return point if tops and min(tops) == bottom else None


def _ends(test: Test) -> tuple[Fraction, bool, Fraction | None, bool]:
    """The least amount that passes and whether it counts itself, then the greatest (None: no end)."""
    first = test.first.base
    match test.comparison:
        case Comparison.AT_LEAST:
            return first, True, None, False
        case Comparison.OVER:
            return first, False, None, False
        case Comparison.AT_MOST:
            return Fraction(0), True, first, True
        case Comparison.UNDER:
            return Fraction(0), True, first, False
        case Comparison.EXACTLY:
            return first, True, first, True
        case Comparison.FROM_TO:
            assert test.second is not None
            return first, True, test.second.base, True
