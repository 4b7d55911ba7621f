"""One reading out of several, by the rule for their number (rule 41)."""

from collections.abc import Sequence
from fractions import Fraction

from standfast.model.rules import PickWord, Readings


def joined(rule: Readings, values: Sequence[Fraction]) -> Fraction | None:
    """The reading that counts, rounded; None of no readings, and of a number that has no rule."""
    if not values:
        return None
    picks = dict(rule.picks)
    if len(values) > 1 and len(values) not in picks:
        return None
    reading = values[0] if len(values) == 1 else _picked(picks[len(values)], values)
    return reading if rule.rounding is None else rule.rounding.of(reading)


def _picked(pick: PickWord, values: Sequence[Fraction]) -> Fraction:
    match pick:
        case PickWord.FIRST:
            return values[0]
        case PickWord.MIDDLE:
            return sorted(values)[len(values) // 2]
        case PickWord.MEAN:
            return sum(values, Fraction(0)) / len(values)
        case PickWord.LONGER | PickWord.LARGER:
            return max(values)
        case PickWord.SHORTER | PickWord.SMALLER:
            return min(values)


def folded(rule: Readings, values: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
    """Readings that go on alike as one: by size where no rule takes the first, no more than can matter."""
    if len(values) < 2:
        return values
    kept = values if any(pick is PickWord.FIRST for _, pick in rule.picks) else tuple(sorted(values))
    return kept if len(values) <= rule.most else kept[:1] * (rule.most + 1)
