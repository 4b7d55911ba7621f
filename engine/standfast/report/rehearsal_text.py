"""A boundary book for a terminal: what the cases touch, a table of all logs, and the logs themselves."""

from collections.abc import Iterator

from standfast.proofing.book import Book, Page, Part, Side
from standfast.quantity import clock
from standfast.report.amounts import figure_text, margin_text
from standfast.report.diagnostic_text import picture
from standfast.report.lines import folded, safe, table, unbroken, width

COLUMNS = 100
_BOOK = "the boundary book"


def book_text(book: Book) -> str:
    """The whole book, with a closing line end; lines of at most 100 columns where names allow it."""
    standard = book.standard
    lines = [
        safe(f"{standard.name}, edition {standard.edition}: {standard.title}"),
        "",
        *_untouched(book),
        "",
        f"{_BOOK}: {_number(len(book.pages), 'log')}, each graded twice, {_alike(book)}",
        *_table(book),
        "",
        "the logs",
    ]
    for page in book.pages:
        lines += _page(page)
    return "\n".join(lines) + f"\n{objections_text(book)}\n{sum_line(book)}\n"


def objections_text(book: Book) -> str:
    """The cases that fail and what the book finds; empty where there is nothing of the kind."""
    text = ""
    for case in book.cases:
        if not case.holds:
            lines = folded(f'failed case "{case.title}"')
            lines += [line for finding in case.findings for line in folded(finding.message, 2)]
            text += "\n" + "\n".join(lines) + "\n"
    for one in book.findings:
        text += f"\n{picture(one)}"
        if one.accepted is not None:
            text += f'  meant   "{safe(one.accepted)}"\n'
    return text


def sum_line(book: Book) -> str:
    """The book in one line."""
    failed = sum(not case.holds for case in book.cases)
    missing = sum(len(pair.missing) for pair in book.pairs if pair.accepted is None)
    touched = sum(bool(one.cases) for one in book.touched)
    differ = sum(not page.alike for page in book.pages)
    errors = f", {_number(differ, 'verdict')} not alike" if differ else ""
    return (
        f"{_number(len(book.pages), 'log')}, {_number(missing, 'log')} missing{errors}; "
        f"{_number(len(book.cases), 'case')}, {failed or 'none'} failed; "
        f"{touched} of {len(book.touched)} clauses touched by them"
    )


def _number(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"


def _alike(book: Book) -> str:
    differ = sum(not page.alike for page in book.pages)
    return f"{differ} of them NOT alike" if differ else "alike"


def _untouched(book: Book) -> Iterator[str]:
    if not book.cases:
        yield "the standard has no case that could touch a clause"
        return
    left = [one for one in book.touched if not one.cases]
    yield f"clauses that no case touches: {len(left) or 'none'} of {len(book.touched)}"
    yield from (f"  {line}" for line in _fitted([(one.path, one.words) for one in left]))
    counts = []
    for part in Part:
        own = [one for one in book.touched if one.part is part]
        if own:
            counts.append(f"{part.value} {sum(bool(one.cases) for one in own)} of {len(own)}")
    yield from folded(f"touched: {', '.join(unbroken(count) for count in counts)}")


def _table(book: Book) -> Iterator[str]:
    rows = [(page.path, page.side.value, page.machine.outcome.value, _shown(page)) for page in book.pages]
    for pair in book.pairs:
        rows += [(pair.path, side.value, "none", why) for side, why in pair.missing]
    yield from _fitted([("clause", "log", "verdict", "what it shows"), *rows])


def _fitted(rows: list[tuple[str, ...]]) -> Iterator[str]:
    """The rows in columns; the last cell on a line of its own where it would not fit."""
    if not rows:
        return
    for line, row in zip(table(rows), rows, strict=True):
        if width(line) <= COLUMNS - 2:
            yield line
        else:
            yield line[: len(line) - len(safe(row[-1]))].rstrip()
            yield from folded(row[-1], 4, 0)


def _shown(page: Page) -> str:
    told = page.told
    parts = [told.what if told.at is None else f"{told.what} at {clock(told.at)}"]
    if page.side is Side.QUICKEST and told.figure is not None:
        parts = [f"GO after {figure_text(told.figure, None)}"]
    elif told.margin is not None:
        parts.append(f"margin {margin_text(told.margin)}")
    if not page.alike:
        parts.append(f"by definition {page.definition.outcome.value}")
    return ", ".join(parts)


def _page(page: Page) -> Iterator[str]:
    yield ""
    yield safe(page.name)
    yield from folded(f"{page.words}: {page.side.value}", 2)
    facts = _facts(page)
    if facts:
        yield from folded(f"with {facts}", 2)
    run_on = "; ".join(unbroken(line) for line in page.lines)
    yield from folded(run_on, 4, 0)


def _facts(page: Page) -> str:
    """The candidate's facts, and the one a condition is tried with; else all conditions are met."""
    stated = [f"{name} {fact}" for facts in page.log.facts.values() for name, fact in facts.items()]
    tried = _condition(page)
    return ", ".join([*stated, *([tried] if tried else [])])


def _condition(page: Page) -> str:
    name = page.path.rpartition(".")[2]
    if "conditions" not in page.path.split(".") or name not in page.log.conditions:
        return ""
    fact = page.log.conditions[name]
    if isinstance(fact, bool):
        return f"{name} {'yes' if fact else 'no'}"
    return f"{name} {fact}"
