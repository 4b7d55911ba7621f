"""Collecting what is wrong with one log, up to a number a person would read."""

from collections.abc import Mapping

from standfast.codes import Code
from standfast.codes.log import MANY_MORE
from standfast.diagnostic import Diagnostic, Label, in_reading_order
from standfast.source import Span
from standfast.values import field, frozen

LISTED = 50


@frozen
class Refused:
    """Why a text cannot be read: a code and its facts.

    `start` and `end` are offsets into that text; `end` None is its end.
    """

    code: Code
    facts: Mapping[str, str] = field(factory=dict)
    start: int = 0
    end: int | None = None


class Findings:
    """The first `LISTED` problems of a log, and the number of all; `cells`: of one kept as a table of cells."""

    def __init__(self, *, cells: bool = False) -> None:
        self._form = {"cell": "cell"} if cells else {}
        self._listed: list[Diagnostic] = []
        self.count = 0
        self._first_more: Span | None = None

    @property
    def full(self) -> bool:
        """Whether further problems are counted only, so that no near name need be sought for them."""
        return self.count >= LISTED

    def add(self, code: Code, span: Span, facts: Mapping[str, str] | None = None, *also: Label) -> None:
        if not self.full:
            self._listed.append(Diagnostic(code, span, {**self._form, **(facts or {})}, also))
        elif self._first_more is None:
            self._first_more = span
        self.count += 1

    def diagnostics(self) -> tuple[Diagnostic, ...]:
        """In reading order; last, how many more there were."""
        listed = in_reading_order(self._listed)
        if self._first_more is None:
            return listed
        return (*listed, Diagnostic(MANY_MORE, self._first_more, {"count": str(self.count - LISTED)}))


def shown(text: str) -> str:
    """A text from a log as a message can hold it: on one line, printable, not too long."""
    clipped = text if len(text) <= 60 else text[:59] + "…"
    if clipped.isprintable():
        return clipped
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in clipped)
