"""What a move tells: patterns learned once, and the numbers that differ.

What decides a verdict, and its reasons, a move tells the account at once. The signals of clauses, and of entries
without a use, are kept as rows in `passed`: of them moments, figures and remarks are made when they are looked at.
"""

from collections.abc import Iterable, Iterator, Sequence
from enum import Enum
from typing import Any, cast

from standfast.account import ENDINGS, Account, Attempt, reason_given, reason_of
from standfast.machine.margins import value_test
from standfast.machine.parts import Breach
from standfast.machine.state import Awarded, Breached, Decided, Ended, Opened, Settled, Signal, Unused
from standfast.model.rules import Score
from standfast.moves.known import Known, Trace, over
from standfast.values import define, evolve, field, frozen
from standfast.verdict import Deadline, Ending, Measure, Reason

MADE: dict[str, type] = {"Reason": Reason, "Measure": Measure, "Deadline": Deadline}
"""What moves make themselves."""
Row = tuple[Any, ...]
"""A `Pattern`, the instant, the entry or None, and the numbers for its gaps in order."""


@define(eq=False)
class Telling(Account):
    """The account that moves tell, and all that `passed` so far."""

    passed: list[Row] = field(kw_only=True)

    def opened(self, event: int, at: int) -> None:
        number, passed = self.next_number(event), self.passed
        self.open = Stretch(self.machine, event, number, at, passed, len(passed))

    def ended(self, event: int, at: int, ending: Ending, charged: bool, best: bool) -> None:
        assert isinstance(self.open, Stretch)
        self.open.last = len(self.passed)
        self.end(event, at, ending, charged, best)


@define(eq=False)
class Stretch(Attempt):
    """One attempt among all that passed; `last` None: to the end."""

    passed: Sequence[Row]
    first: int
    last: int | None = None

    def signals(self) -> Iterator[Signal]:
        return (row[0].signal(row) for row in self.passed[self.first : self.last])


@define(eq=False)
class Unusable:
    """The signals of entries that had no use, among all that passed."""

    passed: Sequence[Row]

    def __iter__(self) -> Iterator[Unused]:
        return (cast("Unused", row[0].signal(row)) for row in self.passed if row[0].kind is Unused)


@frozen
class Gap:
    """Where a number goes that is in so many parts."""

    parts: int

    def filled(self, number: Any) -> Any:
        return number if self.parts == 1 else over(number, self.parts)


@define(eq=False)
class Pattern:
    """A signal with gaps; `varying` are those of its parts that have any."""

    kind: type[Signal]
    parts: dict[str, Any]
    varying: tuple[str, ...]

    def signal(self, row: Row) -> Signal:
        if not self.varying:
            return self.kind(at=row[1], entry=row[2], **self.parts)
        numbers = iter(row[3:])
        filled = {name: _filled(self.parts[name], numbers) for name in self.varying}
        return self.kind(at=row[1], entry=row[2], **{**self.parts, **filled})

    def reason(self, at: int, entry: Any, *given: Any) -> Any:
        """Of a breach."""
        parts, numbers = self.parts, iter(given)
        figure, asked = _filled(parts["figure"], numbers), _filled(parts["asked"], numbers)
        breach: Breach = parts["breach"]
        return reason_given(breach, at, entry, figure, asked, parts["readings"], parts["round"])

    def figures(self, *given: Any) -> Iterable[Any]:
        """Of a test that is decided."""
        numbers = iter(given)
        return (_filled(each, numbers) for each in self.parts["figures"])


def line_of(trace: Trace, signal: Signal) -> str:
    """The line of a move that tells it."""
    names, at, entry = trace.names, trace.text(signal.at), "None" if signal.entry is None else "entry"
    match signal:
        case Opened(event=event):
            return f"account.opened({event}, {at})"
        case Ended(event=event, effect=effect, charged=charged, best=best):
            ending = names.name(ENDINGS[effect], "ending")
            return f"account.ended({event}, {at}, {ending}, {charged}, {best})"
        case Settled(event=event, go=go):
            return f"account.settle({event}, {at}, {go})"
        case Decided(go=go, figures=(), grade=grade):
            return f"account.decide({at}, {go}, (), {grade!r})"
        case Breached(breach=breach) if not isinstance(breach.rule, Score) and value_test(breach.rule) is None:
            return f"account.reason({_value(trace, reason_of(signal))})"
    pattern, numbers = pattern_of(signal)
    name, texts = names.name(pattern, "pattern"), [number.text for number in numbers]
    match signal:
        case Breached():
            return f"account.reason({name}.reason({', '.join((at, entry, *texts))}))"
        case Decided(go=go, grade=grade):
            return f"account.decide({at}, {go}, {name}.figures({', '.join(texts)}), {grade!r})"
    return f"passed.append(({', '.join((name, at, entry, *texts))}))"


def _value(trace: Trace, value: Any) -> str:
    """A value as it is made, where something in it is known, or its name."""
    if isinstance(value, Known) or value is None or (isinstance(value, int | str) and not isinstance(value, Enum)):
        return trace.text(value)
    names = _slots(type(value)) if type(value) in MADE.values() else []
    if any(_is_known(getattr(value, name)) for name in names):
        preset = type(value).__init__.__kwdefaults__ or {}
        given = ((name, getattr(value, name)) for name in names)
        parts = (f"{name}={_value(trace, part)}" for name, part in given if part is not preset.get(name, given))
        return f"{type(value).__name__}({', '.join(parts)})"
    return trace.names.name(value, "value")


def _is_known(value: Any) -> bool:
    return isinstance(value, Known) or (
        type(value) in MADE.values() and any(_is_known(getattr(value, name)) for name in _slots(type(value)))
    )


def _slots(kind: type) -> list[str]:
    slots = (name for each in kind.__mro__ for name in getattr(each, "__slots__", ()))
    return [name for name in slots if name != "__weakref__"]


def pattern_of(signal: Signal) -> tuple[Pattern, list[Known]]:
    """The pattern of a signal, and what is in its gaps."""
    numbers: list[Known] = []
    names = (name for name in _slots(type(signal)) if name not in ("at", "entry"))
    parts, varying = dict[str, Any](), list[str]()
    for name in names:
        before = len(numbers)
        parts[name] = _gaps(getattr(signal, name), numbers)
        varying += [name] if len(numbers) > before else []
    return Pattern(type(signal), parts, tuple(varying)), numbers


def _gaps(value: Any, numbers: list[Known]) -> Any:
    """The value with a gap for each number that is known."""
    if isinstance(value, Known):
        numbers.append(value)
        return Gap(value.parts)
    if isinstance(value, tuple):
        return tuple(_gaps(each, numbers) for each in value)
    return evolve(value, figure=_gaps(value.figure, numbers)) if isinstance(value, Awarded) else value


def _filled(value: Any, numbers: Iterator[Any]) -> Any:
    if isinstance(value, Gap):
        return value.filled(next(numbers))
    if isinstance(value, tuple):
        return tuple(_filled(each, numbers) for each in value)
    return evolve(value, figure=_filled(value.figure, numbers)) if isinstance(value, Awarded) else value
