"""A diagnostic for a terminal: as a picture of its place, or as one line."""

from standfast.diagnostic import Diagnostic
from standfast.report.lines import safe, width
from standfast.source import Span

_SHOWN = 64  # characters of the author's line in a picture
_TAB = "    "
_CUT = "..."


def picture(diagnostic: Diagnostic) -> str:
    """Message, the line with the spot underlined, other places with what they are, a log that shows it, help."""
    spots = [] if diagnostic.span is None else [(diagnostic.span, "")]
    spots += [(label.span, label.text) for label in diagnostic.also]
    gutter = max((len(str(span.line)) for span, _ in spots), default=0)
    lines = [_headline(diagnostic)]
    file = None if diagnostic.span is None else diagnostic.span.source.name
    for span, text in spots:
        if span.source.name != file:
            file = span.source.name
            lines.append(f"  {_place(span)}")
        lines += _spot(span, text, gutter)
    if diagnostic.log:
        lines += ["  a log that shows it:", *(f"      {safe(line)}" for line in diagnostic.log)]
    if diagnostic.help:
        lines.append(f"  help: {safe(diagnostic.help)}")
    return "\n".join(lines) + "\n"


def one_line(diagnostic: Diagnostic) -> str:
    """Place, severity, code, message and help in one line, with a closing line end."""
    help_text = f" ({safe(diagnostic.help)})" if diagnostic.help else ""
    return f"{_headline(diagnostic)}{help_text}\n"


def _headline(diagnostic: Diagnostic) -> str:
    place = "" if diagnostic.span is None else f"{_place(diagnostic.span)}: "
    return f"{place}{diagnostic.severity.value} {diagnostic.code.number}: {safe(diagnostic.message)}"


def _place(span: Span) -> str:
    return f"{safe(span.source.name)}:{span.line}:{span.column}"


def _spot(span: Span, text: str, gutter: int) -> list[str]:
    """The line and its underlining; a spot of several lines is underlined to the end of its first."""
    line = span.source.line(span.line)
    start = span.column - 1
    end = min(max(start + span.end - span.start, start), max(len(line), start))
    first = 0 if len(line) <= _SHOWN else max(0, min(start - _SHOWN // 4, len(line) - _SHOWN))
    last = min(len(line), first + _SHOWN)
    before = (_CUT if first else "") + _drawn(line[first:start])
    spot = _drawn(line[start : min(end, last)])
    after = _drawn(line[max(start, min(end, last)) : last]) + (_CUT if last < len(line) else "")
    underline = " " * width(before) + "^" * max(1, width(spot)) + (f" {safe(text)}" if text else "")
    return [
        f"  {span.line:>{gutter}} | {before}{spot}{after}".rstrip(),
        f"  {'':>{gutter}} | {underline}",
    ]


def _drawn(text: str) -> str:
    return safe(text.replace("\t", _TAB))
