"""A diagnostic for a terminal: the place in words, the line with its spot underlined, what was found."""

import re
from collections.abc import Iterator

from standfast.diagnostic import Diagnostic
from standfast.report.lines import folded, safe, unbroken, width
from standfast.source import Span

_ROOM = 64  # columns of the author's line
_BEFORE = 16  # of them at least before the spot, where the line is cut
_TAB = "    "
_CUT = "..."
_MARGIN = " " * 6
_WORDS = 10  # columns before what a row says


def picture(diagnostic: Diagnostic) -> str:
    """Place, severity and code; the line; then rows: found, beside, shown (a log) and mend."""
    span = diagnostic.span
    kind = f"{diagnostic.severity.value} {diagnostic.code.number}"
    lines = [kind if span is None else f"{_place(span)}: {kind}"]
    if span is not None:
        lines += _spot(span)
    lines += _row("found", diagnostic.message)
    for label in diagnostic.also:
        elsewhere = span is None or label.span.source.name != span.source.name
        where = _place(label.span) if elsewhere else f"line {label.span.line}"
        lines += [*_row("beside", f"{where}: {label.text}"), *_spot(label.span)]
    for number, line in enumerate(diagnostic.log):
        lines.append(_lead("shown" if number == 0 else "") + safe(line))
    if diagnostic.help:
        lines += _row("mend", diagnostic.help)
    return "\n".join(lines) + "\n"


def _lead(word: str) -> str:
    return f"  {word}".ljust(_WORDS)


def _row(word: str, text: str) -> list[str]:
    """What is in backquotes stays on one line, so that it can be copied."""
    kept = re.sub("`[^`]*`", lambda quoted: unbroken(quoted[0]), safe(text))
    first, *rest = folded(kept, _WORDS, hanging=0) or [""]
    return [_lead(word) + first.lstrip(), *rest]


def _place(span: Span) -> str:
    return f"{safe(span.source.name)}, line {span.line}, column {span.column}"


def _spot(span: Span) -> Iterator[str]:
    """The line and its underlining; a spot of several lines is underlined to the end of its first."""
    line = span.source.line(span.line)
    drawn = [safe(_TAB if character == "\t" else character) for character in line]
    start = min(span.column - 1, len(line))
    end = min(start + span.end - span.start, len(line))
    first, last = _window([width(each) for each in drawn], start)
    before = (_CUT if first else "") + "".join(drawn[first:start])
    spot = "".join(drawn[start : min(end, last)])
    after = "".join(drawn[max(start, min(end, last)) : last]) + (_CUT if last < len(line) else "")
    yield f"{_MARGIN}{before}{spot}{after}".rstrip()
    yield _MARGIN + " " * width(before) + "=" * max(1, width(spot))


def _window(widths: list[int], start: int) -> tuple[int, int]:
    """The characters of a line that are shown, the spot's first among them; all if there is room."""
    first = last = start
    used = 0

    def more(room: int) -> None:
        nonlocal last, used
        while last < len(widths) and used + widths[last] <= room:
            used += widths[last]
            last += 1

    more(_ROOM - _BEFORE)
    while first > 0 and used + widths[first - 1] <= _ROOM:
        first -= 1
        used += widths[first]
    more(_ROOM)
    return first, last
