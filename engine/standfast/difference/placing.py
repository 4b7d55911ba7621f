"""Where in a file a setting stands that the model keeps with its clause alone."""

from collections.abc import Iterator

from standfast.source import Span


def placed(clause: Span, words: str) -> Span:
    """The line of a clause, itself or one right in it, that begins with these words; if none does, its first."""
    lines = _lines(clause.source.text, clause.start - clause.column + 1)
    _, depth, said = next(lines)
    if said.startswith(words):
        return clause
    inside = None
    for start, deep, said in lines:
        if deep <= depth:
            break
        inside = inside or deep
        if deep == inside and said.startswith(words):
            return Span(clause.source, start, start + len(said))
    return clause


def _lines(text: str, start: int) -> Iterator[tuple[int, int, str]]:
    """From there on each line that says something: where it begins to, how far in that is, and what it says."""
    while start < len(text):
        end = text.find("\n", start) + 1 or len(text)
        line = text[start:end]
        said = line.strip()
        if said and not said.startswith("#"):
            depth = len(line) - len(line.lstrip())
            yield start + depth, depth, said
        start = end
