"""What a move tells: a pattern learned once, and the numbers that differ. An account takes it as it does a signal.

There are two lists. In `told` is what decides a verdict and its reasons; in `passed` are the signals of clauses,
of which an attempt makes its moments and figures when those are looked at, and those of entries without a use.
"""

from collections.abc import Iterator, Sequence
from typing import Any, cast

from standfast.account import ENDINGS, Account, reason_given
from standfast.machine.state import Awarded, Breached, Decided, Ended, Opened, Settled, Signal, Unused
from standfast.moves.known import Known, Trace, over
from standfast.values import define, evolve, frozen

Row = tuple[Any, ...]
"""A `Telling`, the instant, the entry or None, the numbers for its gaps in order; of an attempt that opens or ends
then how much has `passed`."""


@frozen
class Gap:
    """Where a number goes that is in so many parts."""

    parts: int

    def filled(self, number: Any) -> Any:
        return number if self.parts == 1 else over(number, self.parts)


@define(eq=False)
class Telling:
    """A signal with gaps."""

    kind: type[Signal]
    parts: dict[str, Any]

    def signal(self, row: Row) -> Signal:
        numbers = iter(row[3:])
        parts = {name: _filled(value, numbers) for name, value in self.parts.items()}
        return self.kind(at=row[1], entry=row[2], **parts)

    def tell(self, account: Account, row: Row, passed: Sequence[Row]) -> None:
        account.add((self.signal(row),))


@define
class Unusable:
    """The signals of entries that had no use, among all that passed."""

    passed: Sequence[Row]

    def __iter__(self) -> Iterator[Unused]:
        signals = (row[0].signal(row) for row in self.passed if row[0].kind is Unused)
        return cast("Iterator[Unused]", signals)


@define
class Stretch:
    """The signals of one attempt among all that passed; `last` None: to the end."""

    passed: Sequence[Row]
    first: int
    last: int | None = None

    def __iter__(self) -> Iterator[Signal]:
        return (row[0].signal(row) for row in self.passed[self.first : self.last])


class Opening(Telling):
    def tell(self, account: Account, row: Row, passed: Sequence[Row]) -> None:
        account.begin(self.parts["event"], row[1], Stretch(passed, row[3]))


class Ending(Telling):
    def tell(self, account: Account, row: Row, passed: Sequence[Row]) -> None:
        parts = self.parts
        assert account.open is not None and isinstance(account.open.passed, Stretch)
        account.open.passed.last = row[3]
        account.end(parts["event"], row[1], ENDINGS[parts["effect"]], parts["charged"], parts["best"])


class Settling(Telling):
    def tell(self, account: Account, row: Row, passed: Sequence[Row]) -> None:
        account.settle(self.parts["event"], row[1], self.parts["go"])


class Breaking(Telling):
    def tell(self, account: Account, row: Row, passed: Sequence[Row]) -> None:
        parts, numbers = self.parts, iter(row[3:])
        figure, asked = _filled(parts["figure"], numbers), _filled(parts["asked"], numbers)
        account.reason(
            reason_given(parts["breach"], row[1], row[2], figure, asked, parts["readings"], parts["round"])
        )


class Deciding(Telling):
    def tell(self, account: Account, row: Row, passed: Sequence[Row]) -> None:
        parts = self.parts
        numbers = iter(row[3:])
        figures = (_filled(each, numbers) for each in parts["figures"]) if parts["figures"] else ()
        account.decide(row[1], parts["go"], figures, parts["grade"])


_TELLINGS = {Opened: Opening, Ended: Ending, Settled: Settling, Breached: Breaking, Decided: Deciding}
"""Of each kind of signal that an account takes at once; the others have `passed`."""


def text_of(trace: Trace, signal: Signal) -> str:
    """The line of a move that tells it."""
    row, numbers = telling(signal)
    texts = [trace.name(row, "pattern"), trace.text(signal.at), "entry" if signal.entry is not None else "None"]
    texts += (number.text for number in numbers)
    if isinstance(signal, Opened | Ended):
        texts.append("len(passed)")
    return f"{'told' if type(signal) in _TELLINGS else 'passed'}.append(({', '.join(texts)}))"


def tell(signal: Signal, told: list[Row], passed: list[Row]) -> None:
    """One that comes before all moves."""
    row: Row = (telling(signal)[0], signal.at, signal.entry)
    if isinstance(signal, Opened | Ended):
        row = (*row, len(passed))
    (told if type(signal) in _TELLINGS else passed).append(row)


def telling(signal: Signal) -> tuple[Telling, list[Known]]:
    """The pattern of a signal, and what is in its gaps."""
    numbers: list[Known] = []
    slots = (name for kind in type(signal).__mro__ for name in getattr(kind, "__slots__", ()))
    names = [name for name in slots if name not in ("at", "entry", "__weakref__")]
    parts = {name: _gaps(getattr(signal, name), numbers) for name in names}
    return _TELLINGS.get(type(signal), Telling)(type(signal), parts), numbers


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
