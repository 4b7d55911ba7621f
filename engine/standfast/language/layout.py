"""The outline of a text: its lines, the blocks they stand in, and the comments.

Indentation is of blanks or of tabs (a tab counts as four), not of both in one file.
"""

import re
from collections.abc import Mapping

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.comments import Comments, comments_of
from standfast.language.rows import Row, Rows, Scanned
from standfast.source import Source
from standfast.values import frozen

TAB = 4
_CODE = re.compile(r'(?:[^"#]|"[^"]*")*(?:"[^"]*$)?')
_FORBIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")
_LINE_END = (
    "put a line end in its place, here and wherever else it stands: save the file with line ends LF or CR LF"
)
_OTHER_BLANK = re.compile(r"[ \t]*([^\S \t])")


@frozen
class Outline:
    """`strays` are the findings about lines indented under a row that opens no block, by that row's index."""

    rows: tuple[Row, ...]
    comments: Comments
    problems: tuple[Diagnostic, ...]
    strays: Mapping[int, Diagnostic]


def lay_out(source: Source) -> Outline:
    problems: list[Diagnostic] = []
    scanned = _scan(source, problems)
    placing = Rows(source, [line for line in scanned if line.text])
    rows = tuple(placing.placed())
    return Outline(rows, comments_of(scanned, rows), (*problems, *placing.problems), placing.strays)


def _scan(source: Source, problems: list[Diagnostic]) -> list[Scanned]:
    """Every line that is not empty; reports characters that no line may hold and mixed indentation."""
    lines: list[Scanned] = []
    position = 0
    indented_with: str | None = None
    mixed = lone_return = False
    number = 0
    while position < len(source.text):
        number += 1
        stop = source.text.find("\n", position)
        stop = len(source.text) if stop < 0 else stop
        whole = source.text[position:stop].removesuffix("\r")
        code = whole[: _code_end(whole)]
        start = position + len(code) - len(code.lstrip())
        bad = _FORBIDDEN.search(whole)
        odd = _OTHER_BLANK.match(code)
        if odd and not bad:
            where = source.span(position + odd.start(1), position + odd.end(1))
            problems.append(Diagnostic(reading.OTHER_BLANK, where, {"point": f"U+{ord(odd[1]):04X}"}))
        if bad:
            where = source.span(position + bad.start(), position + bad.end())
            facts = {"point": f"U+{ord(bad.group()):04X}"}
            if bad.group() == "\r":
                facts["advice"] = _LINE_END
            if bad.group() != "\r" or not lone_return:
                problems.append(Diagnostic(reading.CONTROL_CHARACTER, where, facts))
            lone_return = lone_return or bad.group() == "\r"
        blank = whole[: len(whole) - len(whole.lstrip())]
        text = code.lstrip().rstrip(" \t")
        if text and blank and not mixed and not odd:
            indented_with = indented_with or blank[0]
            if blank.strip(indented_with):
                mixed = True
                wanted = "tabs" if indented_with == "\t" else "blanks"
                where = source.span(position, position + len(blank))
                facts = {"wanted": wanted, "number": "one" if wanted == "tabs" else "four"}
                problems.append(Diagnostic(reading.MIXED_INDENTATION, where, facts))
        comment = whole[len(code) :]
        if text or comment:
            indent = blank.count("\t") * TAB + len(blank) - blank.count("\t")
            said = comment[1:].removeprefix(" ").rstrip() if comment else None
            lines.append(Scanned(number, indent, start, start + len(text), text, said, not (bad or odd)))
        position = stop + 1
    return lines


def _code_end(line: str) -> int:
    """Where the comment of a line begins, or the line's end; a `#` within quotes is none."""
    found = _CODE.match(line)
    return found.end() if found else 0
