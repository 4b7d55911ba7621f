"""Everything that is wrong with a text that does not follow the grammar, each line looked at by itself.

A line that cannot be read is left out, and so are lines wrongly indented below it; the block that it would have
opened is still gone through. After a line that opens a block in a wrong way or place, lines beside it are not told
that they stand in the wrong place. So one mistake hides few others and makes no other.
"""

from collections.abc import Iterator

from standfast.codes import reading
from standfast.diagnostic import Diagnostic
from standfast.language.build import Builder
from standfast.language.diagnosis import diagnose
from standfast.language.faulty import Attempt, FaultyLine, Tries
from standfast.language.layout import Outline
from standfast.language.nodes import Stuck
from standfast.language.places import OPENINGS, Place, opener
from standfast.language.slips_of_place import misplaced
from standfast.language.slips_of_quotes import SINGLE_QUOTES
from standfast.language.words import shortened
from standfast.source import Source

MOST_PROBLEMS = 100

# What may be wrong with a line only because one before it is indented in another way, or lost its line end.
_OF_INDENTATION = frozenset(
    {
        reading.FIRST_INDENTED,
        reading.STRAY_INDENTATION,
        reading.INDENTATION_MATCHES_NONE,
        reading.NOT_INDENTED,
        reading.NOT_AT_EDGE,
        reading.EMPTY_BLOCK,
        reading.WRONG_PLACE,
    }
)
# What may be wrong with a line only because its block is not the one it was meant for.
_OF_PLACE = frozenset({reading.WRONG_PLACE, reading.UNKNOWN_LINE})


def declared_marks(outline: Outline) -> frozenset[str]:
    """The names that begin the lines of `marks`."""
    return frozenset(row.text.split()[0] for row in outline.rows if row.place is Place.MARKS)


def by_lines(source: Source, outline: Outline, builder: Builder, attempt: Attempt) -> Iterator[Diagnostic]:
    """What is wrong with each line and block, up to a little more than the most that is reported.

    Wrong amounts go to the builder's own problems.
    """
    rows = outline.rows
    if not rows:
        yield Diagnostic(reading.EMPTY_FILE, source.span(0, 0))
        return
    faulty: set[int] = set()
    shaken: set[int] = set()
    number, tries = 0, Tries(attempt)
    for index, row in enumerate(rows):
        if row.stray in faulty:
            faulty.add(index)
            continue
        findings = list(_row(source, outline, index, tries, builder))
        opens = opener(row.text)
        if row.parent in shaken:
            shaken.add(index)
            doubtful = {*_OF_PLACE, *([reading.UNEXPECTED] if tries.spent else [])}
            findings = [finding for finding in findings if finding.code not in doubtful]
        elif row.parent >= 0 and (
            row.stray is not None
            or not row.settled
            or any(finding.code is reading.EMPTY_BLOCK for finding in findings)
            or (opens is not None and row.place not in OPENINGS[opens].within)
        ):
            shaken.add(row.parent)
        if findings or row.parent in shaken:
            faulty.add(index)
        yield from findings
        number += len(findings)
        if number + len(builder.amounts.problems) > MOST_PROBLEMS:
            return
    yield from (finding for base, finding in outline.strays.items() if base not in faulty)
    yield from case_shapes(source, outline, frozenset(faulty))


def _row(source: Source, outline: Outline, index: int, tries: Tries, builder: Builder) -> Iterator[Diagnostic]:
    row = outline.rows[index]
    where = source.span(row.start, row.end)
    if index == 0 and row.opens is not Place.STANDARD:
        yield Diagnostic(reading.NO_STANDARD, where, {"found": shortened(row.text)})
        return
    if index > 0 and row.opens is Place.STANDARD:
        yield Diagnostic(reading.SECOND_STANDARD, where, {"first": str(outline.rows[0].number)})
        return
    if row.opens is None:
        rule = OPENINGS[row.place].line if row.place is not Place.FILE else "file"
    else:
        rule = OPENINGS[row.opens].head
        within = OPENINGS[row.opens].within
        if row.place not in within and row.settled:
            yield misplaced(source, row.start, row.text, row.place, within)
            return
    result = tries.attempt(row.text, rule)
    if isinstance(result, Stuck):
        opens = opener(row.text)
        if row.settled and opens is not None and result.wanted == {"_INDENT"}:
            # Rounds are items, so that the grammar reads them among the lines of rounds: all but the lines below.
            yield misplaced(source, row.start, row.text, row.place, OPENINGS[opens].within)
        elif row.settled:
            yield diagnose(FaultyLine(source, row.text, row.start, row.place, rule, result, tries.wording))
    elif row.opens is None:
        builder.line(result.moved(row.start))
    elif row.stray is None and row.settled and not _has_lines(outline, index):
        facts = {"head": shortened(row.text), "hint": OPENINGS[row.opens].hint}
        yield Diagnostic(reading.EMPTY_BLOCK, where, facts)


def _has_lines(outline: Outline, index: int) -> bool:
    return index + 1 < len(outline.rows) and outline.rows[index + 1].parent == index


def once_each(problems: tuple[Diagnostic, ...]) -> tuple[Diagnostic, ...]:
    """Without what follows from mixed indentation or lost line ends, and other quotation marks of one kind once.

    They are in reading order.
    """
    mixed = any(each.code is reading.MIXED_INDENTATION or each.facts.get("point") == "U+000D" for each in problems)
    kept, told = [], set()
    for each in problems:
        if mixed and each.code in _OF_INDENTATION:
            continue
        if each.code is reading.OTHER_QUOTES:
            kind = each.facts["found"] in SINGLE_QUOTES
            if kind in told:
                continue
            told.add(kind)
        kept.append(each)
    return tuple(kept)


def not_too_many(problems: tuple[Diagnostic, ...]) -> tuple[Diagnostic, ...]:
    """The first problems, in reading order, and a last word where there are more."""
    if len(problems) <= MOST_PROBLEMS:
        return problems
    last = Diagnostic(reading.TOO_MANY, problems[MOST_PROBLEMS].span, {"number": str(MOST_PROBLEMS)})
    return (*problems[:MOST_PROBLEMS], last)


def case_shapes(source: Source, outline: Outline, faulty: frozenset[int]) -> Iterator[Diagnostic]:
    """Cases without a log, with two, or that give nothing; those with a faulty line are left alone."""
    inside: dict[int, list[int]] = {}
    for index, row in enumerate(outline.rows):
        inside.setdefault(row.parent, []).append(index)
    for head, row in enumerate(outline.rows):
        lines = inside.get(head, [])
        if row.opens is not Place.CASE or not lines or faulty & {head, *lines}:
            continue
        logs = [outline.rows[line] for line in lines if outline.rows[line].opens is Place.LOG]
        if not logs:
            yield Diagnostic(reading.CASE_WITHOUT_LOG, source.span(row.start, row.end))
        for log in logs[1:]:
            facts = {"first": str(logs[0].number)}
            yield Diagnostic(reading.CASE_WITH_TWO_LOGS, source.span(log.start, log.end), facts)
        if not any(outline.rows[line].text.startswith("gives") for line in lines):
            yield Diagnostic(reading.CASE_GIVES_NOTHING, source.span(row.start, row.end))
