"""Whether two tests leave an amount that passes both, against every amount on a fine grid."""

from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from standfast.model import rules
from standfast.model.amounts import meet
from standfast.quantity import UNITS, Comparison, Quantity

GRID = [Fraction(quarter, 4) for quarter in range(40)]


def kilograms(number: int) -> Quantity:
    return Quantity(((Fraction(number), UNITS["kg"]),))


def comparisons() -> st.SearchStrategy[rules.Test]:
    number = st.integers(0, 8)
    one_ended = st.sampled_from([each for each in Comparison if each is not Comparison.FROM_TO])
    return st.builds(
        lambda comparison, first: rules.Test(comparison, kilograms(first)), one_ended, number
    ) | st.builds(
        lambda first, more: rules.Test(Comparison.FROM_TO, kilograms(first), kilograms(first + more)),
        number,
        number,
    )


@given(comparisons(), comparisons())
@settings(derandomize=True, max_examples=400, deadline=None)
def test_two_tests_meet_where_an_amount_passes_both(one: rules.Test, other: rules.Test) -> None:
    both = any(one.holds(amount) and other.holds(amount) for amount in GRID)
    assert meet(one, other) == both == meet(other, one)
