"""What rehearsing standards gave, as a JSON document: see `rehearsal.schema.json`."""

from collections.abc import Iterable

from standfast.diagnostic import Diagnostic
from standfast.proofing.book import Book, Page, Pair, Told, Touched, Tried
from standfast.quantity import Dimension, Quantity
from standfast.report.documents import Plain, diagnostics_document, instant, measure, verdict_document
from standfast.report.proof_document import findings_document
from standfast.values import frozen


@frozen
class Kept:
    """A book, and the folder its logs were written to, if they were."""

    book: Book
    folder: str | None


def log_file(page: Page) -> str:
    """The name of the page's log in a folder."""
    return f"{page.name}.jsonl"


def rehearsal_document(kept: Iterable[Kept], diagnostics: Iterable[Diagnostic]) -> Plain:
    """The books, and what was found in files; what is found by a book stands in it."""
    return {
        "schema": "rehearsal/1",
        "books": [_book(each) for each in kept],
        "diagnostics": diagnostics_document(diagnostics),
    }


def _book(kept: Kept) -> Plain:
    book = kept.book
    return {
        "standard": book.standard.name,
        "edition": book.standard.edition,
        "digest": book.standard.digest,
        "folder": kept.folder,
        "pages": [_page(page, written=kept.folder is not None) for page in book.pages],
        "pairs": [_pair(pair) for pair in book.pairs],
        "clauses": [_touched(touched) for touched in book.touched],
        "cases": [_tried(tried) for tried in book.cases],
        "findings": findings_document(book.findings),
    }


def _page(page: Page, *, written: bool) -> Plain:
    """The definition's verdict stands beside the machine's only where it is another."""
    return {
        "name": page.name,
        "path": page.path,
        "words": page.words,
        "side": page.side.value,
        "shows": _told(page.told),
        "conditions": {name: _fact(fact) for name, fact in page.log.conditions.items()},
        "facts": {name: str(fact) for facts in page.log.facts.values() for name, fact in facts.items()},
        "log": list(page.lines),
        "file": log_file(page) if written else None,
        "alike": page.alike,
        "verdict": verdict_document(page.machine),
        "by_definition": None if page.alike else verdict_document(page.definition),
    }


def _told(told: Told) -> Plain:
    return {
        "what": told.what,
        "at": instant(told.at),
        "figure": measure(told.figure),
        "margin": measure(told.margin),
    }


def _fact(fact: Quantity | bool) -> str | bool | int:
    if isinstance(fact, bool):
        return fact
    return int(fact.base) if fact.dimension is Dimension.COUNT else str(fact)


def _pair(pair: Pair) -> Plain:
    return {
        "path": pair.path,
        "words": pair.words,
        "pages": [{"side": side.value, "page": name} for side, name in pair.pages],
        "missing": [{"side": side.value, "why": why} for side, why in pair.missing],
        "accepted": pair.accepted,
    }


def _touched(touched: Touched) -> Plain:
    return {
        "path": touched.path,
        "words": touched.words,
        "part": touched.part.value,
        "touched_by": list(touched.cases),
    }


def _tried(tried: Tried) -> Plain:
    return {
        "title": tried.title,
        "holds": tried.holds,
        "findings": [{"code": d.code.number, "message": d.message} for d in tried.findings],
    }
