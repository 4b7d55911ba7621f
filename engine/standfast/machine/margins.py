"""The number that a rule compares with, and how far an amount lies on the candidate's side of it (rule 23)."""

from fractions import Fraction

from standfast.model.rules import (
    Fault,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    RestBound,
    Rule,
    Score,
    Silence,
    Test,
    UntilTotals,
)
from standfast.quantity import Comparison, Dimension, Quantity, count


def limit_and_margin(rule: Rule, amount: Fraction | int) -> tuple[Quantity, Fraction | int]:
    """The number a rule compares with, and how far the amount lies on the candidate's side of it."""
    match rule:
        case Limit(test=test):
            margin = test.margin(amount)
            if test.first.dimension is Dimension.COUNT and test.comparison in (Comparison.UNDER, Comparison.OVER):
                margin -= 1
            return test.first, margin
        case Fault() if (compared := value_test(rule)) is not None:
            return compared.first, -compared.margin(amount)
        case Fault(trigger=Occurrence(more_than=number)):
            return count(number), number - amount
        case Fault(trigger=Misses(number=number)):
            return count(number), number - 1 - amount
        case Fault(trigger=Silence(length=length)):
            return length, length.base - amount
        case RestBound(length=length):
            least = not rule.path.endswith("at_most")
            return length, amount - length.base if least else length.base - amount
        case UntilTotals(amount=wanted):
            return wanted, amount - wanted.base
        case Score(rows=rows):
            return rows[-1].test.first, rows[-1].test.margin(amount)
    raise AssertionError(f"no figure belongs to {rule.path}")


def value_test(rule: Rule) -> Test | None:
    """The test that a fault holds a value against and counts nothing by."""
    match rule:
        case Fault(trigger=Occurrence(pattern=pattern, more_than=0) | OutOfOrder(pattern=pattern)):
            return pattern.test
    return None
