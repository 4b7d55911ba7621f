"""The outline of a text: its lines by indentation, the blocks they stand in, and where each comment belongs.

Indentation is of blanks or of tabs (a tab counts as four), not of both in one file. A comment belongs above the
next line, unless it is indented as the lines of a block that ends there: then it is the block's own, below its
last line.
"""

import re
from collections.abc import Mapping

from attrs import frozen

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.places import OPENINGS, Place, near_opener, opener
from standfast.source import Source, Span

TAB = 4
DEEPEST = 40
_CODE = re.compile(r'(?:[^"#]|"[^"]*")*(?:"[^"]*$)?')
_FORBIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")
_WITHOUT_OWN_COMMENTS = (Place.STANDARD, Place.LOG)


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
class Comments:
    """Comments by the number of the line they belong to; those of `below` by the head line of their block."""

    above: Mapping[int, tuple[str, ...]]
    beside: Mapping[int, str]
    below: Mapping[int, tuple[str, ...]]
    end: tuple[str, ...]


@frozen
class Outline:
    """`strays` are the findings about lines indented under a row that opens no block, by that row's index."""

    rows: tuple[Row, ...]
    comments: Comments
    problems: tuple[Diagnostic, ...]
    strays: Mapping[int, Diagnostic]


@frozen
class _Scanned:
    number: int
    indent: int
    start: int
    end: int
    text: str
    comment: str | None
    clean: bool


def lay_out(source: Source) -> Outline:
    problems: list[Diagnostic] = []
    scanned = _scan(source, problems)
    rows, strays = _rows(source, [line for line in scanned if line.text], problems)
    return Outline(rows, _comments(scanned, rows), tuple(problems), strays)


def _scan(source: Source, problems: list[Diagnostic]) -> list[_Scanned]:
    """Every line that is not empty; reports characters that no line may hold and mixed indentation."""
    lines: list[_Scanned] = []
    position = 0
    indented_with: str | None = None
    mixed = False
    number = 0
    while position < len(source.text):
        number += 1
        stop = source.text.find("\n", position)
        stop = len(source.text) if stop < 0 else stop
        whole = source.text[position:stop].removesuffix("\r")
        code = whole[: _code_end(whole)]
        start = position + len(code) - len(code.lstrip(" \t"))
        bad = _FORBIDDEN.search(whole)
        if bad:
            where = source.span(position + bad.start(), position + bad.end())
            problems.append(Diagnostic(reading.CONTROL_CHARACTER, where, {"point": f"U+{ord(bad.group()):04X}"}))
        blank = whole[: len(whole) - len(whole.lstrip(" \t"))]
        text = code.strip(" \t")
        if text and blank and not mixed:
            indented_with = indented_with or blank[0]
            if blank.strip(indented_with):
                mixed = True
                wanted = "tabs" if indented_with == "\t" else "blanks"
                where = source.span(position, position + len(blank))
                problems.append(Diagnostic(reading.MIXED_INDENTATION, where, {"wanted": wanted}))
        comment = whole[len(code) :]
        if text or comment:
            indent = blank.count("\t") * TAB + len(blank) - blank.count("\t")
            said = comment[1:].removeprefix(" ").rstrip() if comment else None
            lines.append(_Scanned(number, indent, start, start + len(text), text, said, not bad))
        position = stop + 1
    return lines


def _code_end(line: str) -> int:
    """Where the comment of a line begins, or the line's end; a `#` within quotes is none."""
    found = _CODE.match(line)
    return found.end() if found else 0


@frozen
class _Level:
    """An open block: its rows stand at `indent`."""

    indent: int
    place: Place
    head: int
    stray: int | None


def _rows(
    source: Source, lines: list[_Scanned], problems: list[Diagnostic]
) -> tuple[tuple[Row, ...], dict[int, Diagnostic]]:
    rows: list[Row] = []
    strays: dict[int, Diagnostic] = {}
    levels = [_Level(lines[0].indent if lines else 0, Place.FILE, -1, None)]
    level = levels[0]
    fallen: _Level | None = None  # the block at the outermost level whose lines are not indented below it
    too_deep = False
    for index, line in enumerate(lines):
        settled = True
        where = source.span(line.start, line.end)
        if not rows:
            if line.indent:
                problems.append(Diagnostic(reading.FIRST_INDENTED, where))
        elif line.indent > max(rows[-1].indent, levels[-1].indent):
            before = rows[-1]
            if before.opens is not None:
                levels.append(_Level(line.indent, before.opens, index - 1, level.stray))
            else:
                levels.append(_Level(line.indent, level.place, level.head, index - 1))
                settled = before.settled
                if settled:
                    strays[index - 1] = Diagnostic(reading.STRAY_INDENTATION, where, {"before": before.text})
            level = levels[-1]
            if len(levels) > DEEPEST + 1 and not too_deep:
                too_deep = True
                problems.append(Diagnostic(reading.TOO_DEEP, where, {"deepest": str(DEEPEST)}))
        else:
            settled = _close_to(line, levels, where, problems)
            level = levels[-1]
            if level.place is Place.FILE:
                opens, before = opener(line.text), rows[-1]
                if opens is not None and Place.FILE in OPENINGS[opens].within:
                    fallen = None
                elif fallen is None and before.opens is not None and before.place is Place.FILE:
                    fallen = _Level(level.indent, before.opens, index - 1, None)
                    problems.append(Diagnostic(reading.NOT_INDENTED, where, {"head": before.text}))
                level = fallen or level
        following = lines[index + 1].indent if index + 1 < len(lines) else 0
        rows.append(
            Row(
                number=line.number,
                indent=line.indent,
                start=line.start,
                end=line.end,
                text=line.text,
                place=level.place,
                opens=_opens(line.text, level.place, following > line.indent),
                parent=level.head,
                stray=level.stray,
                settled=settled and line.clean,
            )
        )
    return tuple(rows), strays


def _opens(text: str, place: Place, has_lines: bool) -> Place | None:
    """The block a line opens; a word that opens none here does so only if lines stand below it."""
    opens = opener(text)
    if opens is not None and (has_lines or place in OPENINGS[opens].within):
        return opens
    return near_opener(text, place) if has_lines else None


def _close_to(line: _Scanned, levels: list[_Level], where: Span, problems: list[Diagnostic]) -> bool:
    """Close the blocks that end before this line; whether its indentation is that of an open block."""
    if line.indent < levels[0].indent or any(level.indent == line.indent for level in levels):
        while len(levels) > 1 and levels[-1].indent > line.indent:
            levels.pop()
        return True
    wanted = " or ".join(str(level.indent) for level in levels)
    facts = {"indent": str(line.indent), "wanted": wanted}
    problems.append(Diagnostic(reading.INDENTATION_MATCHES_NONE, where, facts))
    nearest = min(reversed(levels), key=lambda level: abs(level.indent - line.indent))
    while levels[-1] is not nearest:
        levels.pop()
    return False


def _comments(scanned: list[_Scanned], rows: tuple[Row, ...]) -> Comments:
    above: dict[int, tuple[str, ...]] = {}
    beside: dict[int, str] = {}
    below: dict[int, tuple[str, ...]] = {}
    waiting: list[tuple[int, str]] = []
    at = 0  # the index of the next row
    for line in scanned:
        if line.comment is not None and not line.text:
            waiting.append((line.indent, line.comment))
            continue
        if waiting:
            above[line.number] = _below_or_rest(waiting, rows, at, below)
            waiting = []
        if line.comment is not None:
            beside[line.number] = line.comment
        at += 1
    return Comments(above, beside, below, _below_or_rest(waiting, rows, at, below))


def _below_or_rest(
    waiting: list[tuple[int, str]], rows: tuple[Row, ...], at: int, below: dict[int, tuple[str, ...]]
) -> tuple[str, ...]:
    """Give each comment before row `at` to the block ending there that is indented like it; return the others."""
    ending = _ending(rows, at)
    rest: list[str] = []
    for indent, comment in waiting:
        while ending and ending[0][0] > indent:
            ending.pop(0)
        if ending:
            below[ending[0][1]] = (*below.get(ending[0][1], ()), comment)
        else:
            rest.append(comment)
    return tuple(rest)


def _ending(rows: tuple[Row, ...], at: int) -> list[tuple[int, int]]:
    """The blocks that end before row `at`, innermost first: the indentation of their lines, their head's line."""
    if at == 0:
        return []
    still_open = set()
    if at < len(rows):
        head = rows[at].parent
        while head >= 0:
            still_open.add(head)
            head = rows[head].parent
    ending = []
    inside, head = rows[at - 1], rows[at - 1].parent
    while head >= 0 and head not in still_open:
        if inside.place not in _WITHOUT_OWN_COMMENTS:
            ending.append((inside.indent, rows[head].number))
        inside, head = rows[head], rows[head].parent
    return ending
