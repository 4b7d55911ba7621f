"""Numbers that know how they were got: the plain step is run with these, and what it does is written down.

A `Known` has the value it has now and the text, in Python, by which it is got from the registers and the entry.
Whatever the step asks of one (is it over 3, is it the same as that) is answered from the value and written down in
its `Trace`, with the answer: for all numbers that give the same answers the step does the same.
"""

import operator
from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor
from typing import Any

from standfast.values import define, field

LONGEST, MOST_ASKED = 2000, 300
"""Characters of a text, and questions in a step; one with more of them is left to the plain way."""


class Unlearnable(Exception):
    """Nothing more is learned here: the log is replayed the plain way."""


def over(above: Any, below: Any) -> Fraction:
    """Exact division, also of two whole numbers."""
    ratio: Fraction = Fraction(above) / below
    return ratio


@define(eq=False)
class Names:
    """What the texts of the moves of a machine call by a name; one constant has the same name in all of them."""

    held: dict[str, object] = field(factory=dict)
    known: dict[object, str] = field(factory=dict)

    def name(self, value: object, kind: str) -> str:
        key = value if isinstance(value, Fraction) else id(value)
        if key not in self.known:
            name = f"{kind}_{len(self.known)}"
            self.known[key], self.held[name] = name, value
        return self.known[key]


@define(eq=False)
class Trace:
    """What one run of the step asked, in order, each with its answer."""

    names: Names
    asked: dict[str, bool] = field(factory=dict)

    def ask(self, text: str, answer: bool) -> bool:
        if len(self.asked) >= MOST_ASKED:
            raise Unlearnable
        if self.asked.setdefault(text, answer) is not answer:
            raise AssertionError(f"one question, two answers: {text}")
        return answer

    def text(self, value: object, parts: int = 1) -> str:
        """Of a number, so many times, of a name or of a constant, known or plain."""
        if isinstance(value, Known):
            if value.parts == parts:
                return value.text
            return (
                f"over({value.text}, {value.parts})" if parts == 1 else f"({value.text} * {parts // value.parts})"
            )
        if isinstance(value, Fraction | int) and parts > 1:
            value = value * parts
        if isinstance(value, Fraction) and value.denominator == 1:
            value = value.numerator
        if value is None or isinstance(value, int | str):
            return repr(value)
        return self.names.name(value, "number")


class Known:
    """A number or a grader's name that is different in each log.

    `value` is what it is now. Amounts that were logged are in millionths (`parts`), so that they are whole numbers
    almost always: the text gives `parts` times the value.
    """

    __slots__ = ("parts", "text", "trace", "value")

    def __init__(self, value: Any, text: str, trace: Trace, parts: int = 1) -> None:
        if len(text) > LONGEST:
            raise Unlearnable
        self.value = value
        self.text = text
        self.trace = trace
        self.parts = parts

    def __repr__(self) -> str:
        return f"Known({self.value!r}, {self.text!r}, parts={self.parts})"

    def _made(self, value: Any, text: str, parts: int = 1) -> "Known":
        return Known(value, text, self.trace, parts)

    # --- what is made of it ------------------------------------------------------------------------------

    def _sum(self, sign: str, other: object, does: Callable[[Any, Any], Any], turned: bool = False) -> Any:
        if not is_number(other):
            return NotImplemented
        parts = max(self.parts, parts_of(other))
        texts, values = (
            (self.trace.text(self, parts), self.trace.text(other, parts)),
            (self.value, value_of(other)),
        )
        if turned:
            texts, values = texts[::-1], values[::-1]
        return self._made(does(*values), f"({texts[0]} {sign} {texts[1]})", parts)

    def __add__(self, other: object) -> Any:
        return self._sum("+", other, operator.add)

    def __radd__(self, other: object) -> Any:
        return self._sum("+", other, operator.add, turned=True)

    def __sub__(self, other: object) -> Any:
        return self._sum("-", other, operator.sub)

    def __rsub__(self, other: object) -> Any:
        return self._sum("-", other, operator.sub, turned=True)

    def __mul__(self, other: object) -> Any:
        if not is_number(other):
            return NotImplemented
        parts = self.parts * parts_of(other)
        text = f"({self.text} * {self.trace.text(other, parts_of(other))})"
        return self._made(self.value * value_of(other), text, parts)

    def __rmul__(self, other: object) -> Any:
        return self.__mul__(other)

    def _ratio(self, above: object, below: object) -> Any:
        if not is_number(above) or not is_number(below):
            return NotImplemented
        parts = max(parts_of(above), parts_of(below))
        text = f"over({self.trace.text(above, parts)}, {self.trace.text(below, parts)})"
        return self._made(over(value_of(above), value_of(below)), text)

    def __truediv__(self, other: object) -> Any:
        return self._ratio(self, other)

    def __rtruediv__(self, other: object) -> Any:
        return self._ratio(other, self)

    def __neg__(self) -> "Known":
        return self._made(-self.value, f"(-{self.text})", self.parts)

    def __abs__(self) -> "Known":
        return self._made(abs(self.value), f"abs({self.text})", self.parts)

    def __floor__(self) -> Any:
        return self._made(floor(self.value), f"floor({self.trace.text(self)})")

    def __ceil__(self) -> Any:
        return self._made(ceil(self.value), f"ceil({self.trace.text(self)})")

    def __round__(self) -> Any:
        return self._made(round(self.value), f"round({self.trace.text(self)})")

    # --- what is asked of it -----------------------------------------------------------------------------

    def _asked(self, sign: str, other: object, does: Callable[[Any, Any], bool]) -> Any:
        if not is_number(other):
            return NotImplemented
        parts = max(self.parts, parts_of(other))
        text = f"{self.trace.text(self, parts)} {sign} {self.trace.text(other, parts)}"
        return self.trace.ask(text, bool(does(self.value, value_of(other))))

    def __lt__(self, other: object) -> Any:
        return self._asked("<", other, operator.lt)

    def __le__(self, other: object) -> Any:
        return self._asked("<=", other, operator.le)

    def __gt__(self, other: object) -> Any:
        return self._asked(">", other, operator.gt)

    def __ge__(self, other: object) -> Any:
        return self._asked(">=", other, operator.ge)

    def __eq__(self, other: object) -> bool:
        if other is self:
            return True
        if is_number(self.value) and is_number(other):
            return bool(self._asked("==", other, operator.eq))
        theirs = value_of(other)
        if theirs is None:
            return False
        return self.trace.ask(f"{self.text} == {self.trace.text(other)}", self.value == theirs)

    def __ne__(self, other: object) -> bool:
        return not self == other

    __hash__ = None  # type: ignore[assignment]  # it is asked for by what it equals, never looked up

    def __bool__(self) -> bool:
        return self != 0

    def __index__(self) -> int:
        """As a place in a row: the very number is asked for."""
        if not self == self.value:
            raise AssertionError(self)
        return int(self.value)


def value_of(number: object) -> Any:
    return number.value if isinstance(number, Known) else number


def parts_of(number: object) -> int:
    return number.parts if isinstance(number, Known) else 1


def is_number(number: object) -> bool:
    return isinstance(value_of(number), int | Fraction)
