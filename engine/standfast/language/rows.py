"""The block that each line stands in, by its indentation.

What is wrong with the indentation is found here. It is reported once, and the lines that follow are placed where
their author is likely to have wanted them, so that it makes no other finding.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from standfast.codes import Code, reading
from standfast.diagnostic import Diagnostic
from standfast.language.places import OPENINGS, Place, near_opener, opener
from standfast.language.words import shortened
from standfast.source import Source
from standfast.values import evolve, frozen

DEEPEST = 40
_HEAD_AT_EDGE = re.compile(r'(standard|event)\s+[a-z]\w*(\s+"[^"]*")?|case\s+"[^"]*"|marks|always')
_LOOKED_AHEAD = 100  # lines, to see which of two indentations is the odd one
_NAMES_FIRST = frozenset({Place.MARKS, Place.CONDITIONS})  # a line there may begin with any word, if by mistake


@frozen
class Scanned:
    """A line as it stands in the text; `text` is empty where there is only a comment."""

    number: int
    indent: int
    start: int
    end: int
    text: str
    comment: str | None
    clean: bool


@frozen
class Row:
    """A line that says something, without indentation and comment; `start` and `end` are offsets.

    `place` is the kind of block it stands in and `opens` the kind it opens. `parent` is the index of the row
    that opened its block (-1 at the outermost level). `stray` is the index of the row that it, or a block around
    it, is wrongly indented under. `settled` is False where the words cannot be judged: the place is a guess, or
    the line holds a character that it may not.
    """

    number: int
    indent: int
    start: int
    end: int
    text: str
    place: Place
    opens: Place | None
    parent: int
    stray: int | None
    settled: bool


@frozen
class _Level:
    """An open block: its lines stand at `indent`. `sure` is False where it is a guess."""

    indent: int
    place: Place
    head: int
    stray: int | None
    sure: bool


class Rows:
    """Places the lines of a text one after another."""

    def __init__(self, source: Source, lines: Sequence[Scanned]) -> None:
        self._source = source
        self._lines = lines
        edge = min((line.indent for line in lines), default=0)
        self._levels = [_Level(edge, Place.FILE, -1, None, True)]
        self._fallen: _Level | None = None  # a block at the outermost level whose lines are not indented below it
        self._too_deep = False
        self._rows: list[Row] = []
        self._count: Counter[int] = Counter()  # the lines of each block so far
        self._problems: list[Diagnostic] = []
        self._strays: dict[int, Diagnostic] = {}

    @property
    def problems(self) -> Sequence[Diagnostic]:
        return self._problems

    @property
    def strays(self) -> Mapping[int, Diagnostic]:
        """The findings about lines indented under a row that opens no block, by that row's index."""
        return self._strays

    def placed(self) -> Iterator[Row]:
        for index, line in enumerate(self._lines):
            level, settled = self._level(index, line)
            following = self._lines[index + 1].indent if index + 1 < len(self._lines) else 0
            row = Row(
                number=line.number,
                indent=line.indent,
                start=line.start,
                end=line.end,
                text=line.text,
                place=level.place,
                opens=_opens(line.text, level.place, following > line.indent and settled),
                parent=level.head,
                stray=level.stray,
                settled=settled and level.sure and line.clean,
            )
            self._rows.append(row)
            self._count[row.parent] += 1
            yield row

    def _level(self, index: int, line: Scanned) -> tuple[_Level, bool]:
        """The block a line stands in, and whether that is certain."""
        if not self._rows:
            if line.indent:
                self._report(index, reading.FIRST_INDENTED)
            return self._levels[0], True
        if self._at_edge_only(line):
            self._report(index, reading.NOT_AT_EDGE, word=line.text.split()[0])
            del self._levels[1:]
            return self._levels[0], False
        if line.indent > self._levels[-1].indent:
            self._open(index, line)
            return self._levels[-1], True
        settled = self._close(index, line)
        level = self._levels[-1]
        return (self._outermost(index, line, level) if level.place is Place.FILE else level), settled

    def _at_edge_only(self, line: Scanned) -> bool:
        """Whether the line, though indented, can only be meant for the left edge."""
        before = self._rows[-1]
        if line.indent <= self._levels[0].indent or not _HEAD_AT_EDGE.fullmatch(line.text):
            return False
        return (before.opens or before.place) not in _NAMES_FIRST

    def _open(self, index: int, line: Scanned) -> None:
        """A line that is indented deeper than the one before."""
        before = self._rows[-1]
        if before.opens is not None:
            around = self._levels[-1]
            self._levels.append(_Level(line.indent, before.opens, index - 1, before.stray, around.sure))
        else:
            self._levels.append(_Level(line.indent, before.place, before.parent, index - 1, before.settled))
            if before.settled:
                self._strays[index - 1] = self._finding(index, reading.STRAY_INDENTATION, before=before.text)
        if len(self._levels) > DEEPEST + 1 and not self._too_deep:
            self._too_deep = True
            self._report(index, reading.TOO_DEEP, deepest=str(DEEPEST))

    def _close(self, index: int, line: Scanned) -> bool:
        """End the blocks that end before this line; whether its indentation is that of an open one."""
        levels = self._levels
        while len(levels) > 1 and levels[-2].indent >= line.indent:
            levels.pop()
        if levels[-1].indent == line.indent:
            return True
        # Now its indentation lies between those of the last two levels.
        outer, inner, before = levels[-2], levels[-1], self._rows[-1]
        if before.opens is not None and before.parent == inner.head:
            # The head before it is the odd one: this is the first of its lines.
            levels[-1] = _Level(line.indent, before.opens, index - 1, before.stray, inner.sure)
            if before.stray is None:
                self._report_indent(index, line, outer, inner)
            return True
        self._report_indent(index, line, outer, inner)
        later = [each.indent for each in self._lines[index + 1 : index + 1 + _LOOKED_AHEAD]]
        if not later or next((indent for indent in later if indent <= line.indent), None) == line.indent:
            # The lines before are the odd ones if there is but one of them, and others follow this one.
            for level in (inner, outer):
                if self._count[level.head] == 1 and level.head >= 0:
                    del levels[levels.index(level) :]
                    levels.append(evolve(level, indent=line.indent))
                    return True
        if not self._belongs_inside(line, outer, inner, later[0] if later else 0):
            levels.pop()
        elif later and line.indent < later[0] <= inner.indent:
            levels[-1] = evolve(inner, indent=line.indent)
        return False

    def _belongs_inside(self, line: Scanned, outer: _Level, inner: _Level, following: int) -> bool:
        """Which of the two blocks a line that stands between their indentations was meant for."""
        opens = opener(line.text)
        if opens is None and outer.place is Place.FILE:
            return True
        fits = [opens is None or level.place in OPENINGS[opens].within for level in (outer, inner)]
        if fits[0] != fits[1]:
            return fits[1]
        if following > line.indent:
            return following > inner.indent
        return line.indent - outer.indent >= inner.indent - line.indent

    def _report_indent(self, index: int, line: Scanned, outer: _Level, inner: _Level) -> None:
        before = self._rows[-1]
        if not before.settled and before.indent == line.indent:
            return
        wanted = f"{outer.indent} or {inner.indent}"
        self._report(index, reading.INDENTATION_MATCHES_NONE, indent=str(line.indent), wanted=wanted)

    def _outermost(self, index: int, line: Scanned, level: _Level) -> _Level:
        """At the left edge, a line that opens no block there was to stand below the one that does."""
        opens, before = opener(line.text), self._rows[-1]
        if opens is not None and Place.FILE in OPENINGS[opens].within:
            self._fallen = None
        elif line.clean and self._fallen is None and before.opens is not None and before.place is Place.FILE:
            self._fallen = _Level(level.indent, before.opens, index - 1, None, True)
            self._report(index, reading.NOT_INDENTED, head=before.text)
        return self._fallen or level

    def _finding(self, index: int, code: Code, **facts: str) -> Diagnostic:
        line = self._lines[index]
        shown = {name: shortened(fact) for name, fact in facts.items()}
        return Diagnostic(code, self._source.span(line.start, line.end), shown)

    def _report(self, index: int, code: Code, **facts: str) -> None:
        self._problems.append(self._finding(index, code, **facts))


def _opens(text: str, place: Place, has_lines: bool) -> Place | None:
    """The block a line opens; a word that opens none here does so only if lines stand below it."""
    opens = opener(text)
    if opens is not None and (has_lines or place in OPENINGS[opens].within):
        return opens
    return near_opener(text, place) if has_lines else None
