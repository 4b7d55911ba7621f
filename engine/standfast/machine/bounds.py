"""The whole numbers that pass a test: of microseconds, of entries."""

from standfast.model.rules import Test
from standfast.quantity import Comparison


def least_of(test: Test) -> int | None:
    """The least whole number that passes, None if any small one does; times in microseconds."""
    match test.comparison:
        case Comparison.AT_LEAST | Comparison.EXACTLY | Comparison.FROM_TO:
            return int(test.first.base)
        case Comparison.OVER:
            return int(test.first.base) + 1
        case Comparison.AT_MOST | Comparison.UNDER | Comparison.WITHIN:
            return None


def most_of(test: Test) -> int | None:
    """The greatest whole number that passes, None if any great one does."""
    match test.comparison:
        case Comparison.AT_MOST | Comparison.EXACTLY:
            return int(test.first.base)
        case Comparison.UNDER:
            return int(test.first.base) - 1
        case Comparison.FROM_TO:
            assert test.second is not None
            return int(test.second.base)
        case Comparison.AT_LEAST | Comparison.OVER | Comparison.WITHIN:
            return None
