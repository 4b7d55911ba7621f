"""Of which rounds a line asks how many were made or missed, or how far they went.

Where none does, all rounds of the clause must be made.
"""

from collections.abc import Iterator, Mapping

from standfast.language import syntax
from standfast.model.figures import OF_ROUNDS_WORDS, clause_at


def spoken_of(tree: syntax.Standard, blocks: Mapping[str, syntax.Block]) -> Iterator[str]:
    """The paths of those clauses; `blocks` are all clauses as written, by path."""
    for around, figure in _figures(tree, blocks):
        for part in figure.parts:
            if part.word in OF_ROUNDS_WORDS:
                path = clause_at(frozenset(blocks), around, part.path) if part.path else around
                yield from () if path is None else (path,)


def _figures(tree: syntax.Standard, blocks: Mapping[str, syntax.Block]) -> Iterator[tuple[str, syntax.Figure]]:
    """Every figure of a limit, a score or a best, with the path of the clause around it (none: the test)."""
    for block in tree.blocks:
        if isinstance(block, syntax.Always | syntax.Grade):
            yield from (("", figure) for line in block.lines for figure in _of_line(line))
    for path, inside in blocks.items():
        yield from ((path, figure) for line in inside.lines for figure in _of_line(line))


def _of_line(line: syntax.Line) -> Iterator[syntax.Figure]:
    match line:
        case syntax.FigureLimit(figure=figure) | syntax.Best(figure=figure):
            yield figure
        case syntax.Score(figure=shared, lines=rows):
            yield from () if shared is None else (shared,)
            yield from (row.figure for row in rows if isinstance(row, syntax.ScoreRow) and row.figure is not None)
