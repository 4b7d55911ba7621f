"""The parts of lines of the syntax tree: names, texts, amounts, tests, patterns; and what every line has."""

from standfast.quantity import Comparison, Quantity
from standfast.source import Span
from standfast.values import frozen


@frozen
class Name:
    text: str
    span: Span


@frozen
class Text:
    """A quoted sentence, without its quotes."""

    text: str
    span: Span


@frozen
class Amount:
    """A number with its unit or units, or (unit `COUNT`) a bare number."""

    quantity: Quantity
    span: Span


@frozen
class Whole:
    """A whole number."""

    number: int
    span: Span


@frozen
class Round:
    """A round in words: `level 6 shuttle 10`, `round 3`. One that is named by its measure is an `Amount`."""

    parts: tuple[tuple[Name, Whole], ...]
    span: Span


@frozen(kw_only=True)
class Line:
    span: Span
    above: tuple[str, ...] = ()
    beside: str | None = None


# --- tests and patterns --------------------------------------------------------------------------------


@frozen
class Test:
    """`at least 20 kg`, `over level 6 shuttle 1`; only `from A to B` has both `first` and `second`.

    `of` is the fact of `at least 5 % of FACT`, whose amounts are in percent, and of `within 10 deg of FACT`.
    """

    comparison: Comparison
    first: Amount | Round
    second: Amount | Round | None
    span: Span
    of: Name | None = None


@frozen
class Choices:
    """`fuel or neutral`; with `other` the values *not* meant."""

    names: tuple[Name, ...]
    other: bool
    span: Span


@frozen
class Pattern:
    """A mark, with what its value must be, if anything is asked of it."""

    mark: Name
    value: Choices | Test | None
    span: Span
