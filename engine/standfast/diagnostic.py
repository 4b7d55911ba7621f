"""What a stage has to say about its input: values with no drawing.

A stage collects diagnostics and goes on; success means that none of them is an error. The words come from
`codes`: a diagnostic holds the code and the facts, so that a stage names what it found and only `codes` has
sentences.
"""

from collections.abc import Iterable, Mapping
from enum import Enum

from standfast.codes import Code
from standfast.source import Span
from standfast.values import field, frozen


class Severity(Enum):
    ERROR = "error"
    DOUBT = "doubt"
    ADVICE = "advice"


@frozen
class Label:
    """A second place that has to do with the finding, and what it is."""

    span: Span
    text: str


@frozen
class Diagnostic:
    """One finding.

    `span` is None only where there is no text to point at (a file that cannot be opened). `facts` fills the
    code's message and help; names in them stand as the author wrote them. `log` is a shortest log that shows it,
    in the lines of a case; `accepted` the author's reason where a doubt was accepted.
    """

    code: Code
    span: Span | None
    facts: Mapping[str, str] = field(factory=dict)
    also: tuple[Label, ...] = ()
    log: tuple[str, ...] = ()
    accepted: str | None = None

    @property
    def severity(self) -> Severity:
        return Severity(self.code.severity)

    @property
    def message(self) -> str:
        return self.code.message.format_map(self.facts)

    @property
    def help(self) -> str:
        return self.code.help_for(self.facts)


def has_errors(diagnostics: Iterable[Diagnostic]) -> bool:
    return any(d.severity is Severity.ERROR for d in diagnostics)


def in_reading_order(diagnostics: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Sorted by file and place; those without a place first."""
    return tuple(
        sorted(
            diagnostics,
            key=lambda d: (
                ("", -1, d.code.number) if d.span is None else (d.span.source.name, d.span.start, d.code.number)
            ),
        )
    )


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that looks most like `name`, for a help line; None when none does."""
    from difflib import get_close_matches  # only where something is misspelt

    by_lower = {each.lower(): each for each in known}
    close = get_close_matches(name[:80].lower(), list(by_lower), n=1)
    return by_lower[close[0]] if close else None
