"""Numbers and amounts: of the right dimension, and not nought where a nought decides nothing."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from standfast.codes import facts as fact_codes
from standfast.codes import figures as figure_codes
from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.language import syntax
from standfast.language.printer import amount_words
from standfast.model.rules import FULL_CIRCLE, Test
from standfast.model.scope import Scope
from standfast.quantity import RATES, UNITS, Comparison, Dimension, Quantity, Rounding, count
from standfast.values import evolve

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
    Dimension.SHARE: "a share",
}


_Ends = tuple[Fraction, bool, Fraction | None, bool]
"""The least amount that passes and whether it counts itself, then the greatest (None: no end)."""


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


def dimension_of(written: syntax.Amount | syntax.Round) -> Dimension | None:
    """None for a round, which is no amount."""
    return written.quantity.dimension if isinstance(written, syntax.Amount) else None


def test(scope: Scope, written: syntax.Test, dimension: Dimension | None, *, heading: bool = False) -> Test:
    """A comparison in one dimension (None: that of its fact).

    Refused is a range that runs backwards, or has its unit at one end only, and a round, which is no amount.
    `heading`: what is compared is one.
    """
    ends: list[syntax.Amount] = []
    for end in (written.first, *(() if written.second is None else (written.second,))):
        if isinstance(end, syntax.Round):
            expected = "an amount" if dimension is None else SPOKEN[dimension]
            scope.refuse(round_codes.ROUND_FOR_AMOUNT, end.span, words=amount_words(end), expected=expected)
            return Test(Comparison.AT_LEAST, count(1))
        ends.append(end)
    if written.of is None and len(ends) == 2 and dimension is not None and _one_without_unit(ends, dimension):
        return _completed(scope, *ends)
    own = dimension
    if written.of is not None:
        _fact(scope, written, ends[0], written.of, dimension, heading=heading)
        own = None if written.comparison is Comparison.WITHIN else Dimension.SHARE
    number = amount if written.of is None else above_nought
    first, *others = (number(scope, end, own) for end in ends)
    second = others[0] if others else None
    if second is not None and first.dimension is second.dimension and first.base > second.base:
        scope.refuse(codes.BACKWARDS, written.span, first=str(first), second=str(second))
    if heading and written.of is None:
        for end in ends:
            below_a_circle(scope, end)
    return Test(written.comparison, first, second, None if written.of is None else written.of.text)


def whole(scope: Scope, written: syntax.Test) -> None:
    """Refuse numbers that are not whole."""
    for end in (written.first, written.second):
        if isinstance(end, syntax.Amount) and end.quantity.base.denominator != 1:
            scope.refuse(figure_codes.NOT_WHOLE, end.span, found=end.span.text)


def below_a_circle(scope: Scope, written: syntax.Amount) -> None:
    """Refuse what is no heading."""
    if written.quantity.dimension is Dimension.ANGLE and written.quantity.base >= FULL_CIRCLE:
        scope.refuse(fact_codes.NO_HEADING, written.span, amount=written.span.text)


def _fact(
    scope: Scope,
    written: syntax.Test,
    first: syntax.Amount,
    name: syntax.Name,
    dimension: Dimension | None,
    *,
    heading: bool,
) -> None:
    """Refuse a fact that the test cannot be held against."""
    fact = scope.fact(name)
    if fact is None:
        return
    within = written.comparison is Comparison.WITHIN
    if not within:
        scope.facts[fact.name] = evolve(fact, shared=True)
    if fact.unit is None:
        facts = {"name": fact.name, "choices": ", ".join(fact.choices)}
        scope.refuse(fact_codes.NO_AMOUNT_OF_CHOICES, name.span, **facts)
    elif fact.is_number:
        scope.refuse(fact_codes.SHARE_OF_NUMBER, written.span, name=fact.name, share=written.first.span.text)
    elif dimension not in (None, fact.unit.dimension):
        found, expected = SPOKEN[fact.unit.dimension], SPOKEN[dimension or fact.unit.dimension]
        scope.refuse(fact_codes.FACT_OF_OTHER_DIMENSION, name.span, name=fact.name, found=found, expected=expected)
    elif fact.heading and not within:
        scope.refuse(fact_codes.SHARE_OF_HEADING, written.span, name=fact.name, share=first.span.text)
    elif heading != fact.heading and dimension is not None:
        one, other = ("a heading", "an angle")[:: 1 if fact.heading else -1]
        scope.refuse(fact_codes.HEADING_AND_ANGLE, name.span, name=fact.name, found=one, expected=other)
    elif within and first.quantity.dimension is not fact.unit.dimension:
        amount(scope, first, fact.unit.dimension)
    elif fact.heading and first.quantity.base * 2 >= FULL_CIRCLE:
        scope.refuse(fact_codes.ANY_HEADING, first.span, amount=first.span.text)


def _one_without_unit(ends: Sequence[syntax.Amount], dimension: Dimension) -> bool:
    """Whether only one end of a range has its unit, and that one of the dimension, where that is known."""
    found = {end.quantity.dimension for end in ends}
    known, bare = found - {Dimension.COUNT}, Dimension.COUNT in found
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
    """Whether some amount, never a negative one, passes both tests; neither waits for a fact."""
    return any(_meet(first, second) for first in _ends(one) for second in _ends(other))


def _meet(one: _Ends, other: _Ends) -> bool:
    low, low_counts, high, high_counts = one
    other_low, other_low_counts, other_high, other_high_counts = other
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
    met = [(first, second) for first in _ends(one) for second in _ends(other) if _meet(first, second)]
    if Comparison.EXACTLY in (one.comparison, other.comparison) or len(met) != 1:
        return None
    (low, _, high, _), (other_low, _, other_high, _) = met[0]
    bottom = max(low, other_low)
    tops = [top for top in (high, other_high) if top is not None]
    point = next((each for each in (*one.ends(), *other.ends()) if each.base == bottom), None)
    return point if tops and min(tops) == bottom else None


def _ends(test: Test) -> Iterator[_Ends]:
    """The ends of what passes; of a heading that passes north there are two stretches."""
    first = test.first.base
    match test.comparison:
        case Comparison.AT_LEAST:
            yield first, True, None, False
        case Comparison.OVER:
            yield first, False, None, False
        case Comparison.AT_MOST:
            yield Fraction(0), True, first, True
        case Comparison.UNDER:
            yield Fraction(0), True, first, False
        case Comparison.EXACTLY:
            yield first, True, first, True
        case Comparison.FROM_TO:
            assert test.second is not None
            yield first, True, test.second.base, True
        case Comparison.WITHIN:
            assert test.around is not None
            low, high = test.around.base - first, test.around.base + first
            yield max(low, Fraction(0)), True, high, True
            if test.heading and low < 0:
                yield low + FULL_CIRCLE, True, None, False
            if test.heading and high >= FULL_CIRCLE:
                yield Fraction(0), True, high - FULL_CIRCLE, True
