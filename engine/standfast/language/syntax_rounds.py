"""Lines of the syntax tree that stand in rounds only."""

from standfast.language.syntax_parts import Amount, Line, Name, Pattern, Text, Whole
from standfast.values import frozen


@frozen(kw_only=True)
class Levels(Line):
    """`level 1: shuttle 1 to 7, at 8.0 km/h`; `last` None for a single one."""

    outer: Name
    number: Whole
    inner: Name
    first: Whole
    last: Whole | None
    pace: Amount | None


@frozen(kw_only=True)
class Heights(Line):
    """`at 1.91 m, 1.93 m`: a round for each measure."""

    lengths: tuple[Amount, ...]


@frozen(kw_only=True)
class NumberOfRounds(Line):
    number: Whole


@frozen(kw_only=True)
class Paced(Line):
    over: Amount


@frozen(kw_only=True)
class Tries(Line):
    number: Whole


@frozen(kw_only=True)
class Unmarked(Line):
    """`unmarked rounds are WORD`: made, missed or passed."""

    word: str


@frozen(kw_only=True)
class Out(Line):
    """`out on N misses in a row` (or in all: `in_a_row` False), or with `pattern` instead `out on MARK`."""

    number: Whole | None
    in_a_row: bool
    pattern: Pattern | None
    sentence: Text | None
    label: Name | None
