"""Parts of the syntax tree for rounding, and for watches of which several readings make one."""

from standfast.language.syntax_choices import PickWord
from standfast.language.syntax_parts import Amount, Whole
from standfast.quantity import Way
from standfast.source import Span
from standfast.values import frozen


@frozen
class Rounding:
    """`, rounded up to 0.1 s`, `, rounded nearest to 0.1 s, ties to even`."""

    way: Way
    step: Amount
    span: Span


@frozen
class Pick:
    """`of 3 the middle`."""

    number: Whole
    word: PickWord
    span: Span
