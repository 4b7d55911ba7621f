"""`standfast rehearse`: what the cases of standards touch, and their boundary books."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from standfast.codes import cases as case_codes
from standfast.codes import files
from standfast.command.books import written_book
from standfast.command.exits import Exit
from standfast.command.files import STANDARD_ENDING, Opened, decoded, folder_to_write, opened
from standfast.command.objections import exit_for
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, in_reading_order
from standfast.model.standard import Standard
from standfast.proofing.book import Book
from standfast.proofing.boundary import boundary_book
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written
from standfast.report.junit import junit
from standfast.report.lines import safe
from standfast.report.rehearsal import Kept, rehearsal_document
from standfast.report.rehearsal_text import book_text, objections_text, sum_line

FORMATS = ("text", "json", "junit")
DESCRIPTION = """\
Says which clauses no case touches, and makes the boundary book: for every
number the log that just meets it and the log that just misses it, for every
fault the log that triggers it, for every event and the test the quickest GO.
Each log is graded by two programs that know nothing of one another.

With --write each log becomes a file that `grade` takes, in FOLDER/NAME-EDITION,
with the book as text and as JSON beside them (index.txt, index.json). Files
there that are not the book's own are never touched.

What is wrong with files goes to standard error; with --format json it is in one
document with the books, and with --format junit in one XML document for a CI,
both on standard output.

exit code: 0 nothing to object to, 1 a log is missing or a case fails, 2 an
error was reported; a clause that no case touches is no objection
"""
EXAMPLE = """\
example: standfast rehearse boat_crew_entry.standard
         standfast rehearse rules/ --write books/ --format junit > rehearsal.xml
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "standards",
        nargs="+",
        metavar="FILE_OR_FOLDER",
        help=f"a rule file, a folder searched for *{STANDARD_ENDING}, or - for standard input",
    )
    parser.add_argument("--write", metavar="FOLDER", help="keep the books there, each log a file")


def run(chosen: argparse.Namespace) -> Exit:
    place = folder_to_write(chosen.write)
    found: list[Diagnostic] = []
    kept: list[Kept] = []
    for one in _rehearsed(chosen, place):
        if isinstance(one, Kept):
            if chosen.format == "text":
                sys.stdout.write(_shown(one, first=not kept))
                sys.stdout.flush()
            kept.append(one)
        else:
            if chosen.format == "text":
                sys.stderr.write(picture(one))
            found.append(one)
    books = [each.book for each in kept]
    if chosen.format == "json":
        sys.stdout.write(written(rehearsal_document(kept, found)))
    elif chosen.format == "junit":
        sys.stdout.write(junit(books, found))
    return max([exit_for(found), *map(_exit_for, books)])


def _shown(kept: Kept, *, first: bool) -> str:
    """The whole book; of one that was written down only where it is and what there is to object to."""
    if kept.folder is None:
        return book_text(kept.book) if first else f"\n\n{book_text(kept.book)}"
    return f"{safe(kept.folder)}: {sum_line(kept.book)}\n{objections_text(kept.book)}"


def _rehearsed(chosen: argparse.Namespace, place: Path | None) -> Iterator[Kept | Diagnostic]:
    first: dict[tuple[str, str], str] = {}
    for standard in _standards(chosen.standards):
        if isinstance(standard, Diagnostic):
            yield standard
            continue
        book, file = boundary_book(standard), standard.span.source.name
        earlier = first.setdefault((standard.name, standard.edition), file)
        folder: str | Diagnostic | None = None
        if place is not None and earlier != file:
            facts = {"name": standard.name, "edition": standard.edition, "first": earlier, "second": file}
            folder = Diagnostic(files.SAME_BOOK, standard.span, facts)
        elif place is not None:
            folder = written_book(place, book)
        if isinstance(folder, Diagnostic):
            yield folder
            folder = None
        yield Kept(book, folder)


def _standards(places: list[str]) -> Iterator[Standard | Diagnostic]:
    for file in opened(places, STANDARD_ENDING, files.NO_STANDARDS):
        source = decoded(file) if isinstance(file, Opened) else file
        if isinstance(source, Diagnostic):
            yield source
            continue
        standard, found = load_standard(source)
        yield from in_reading_order(found)
        if standard is not None:
            yield standard


def _exit_for(book: Book) -> Exit:
    """A missing log or a failed case is an objection; verdicts that differ are an error."""
    findings = [finding for case in book.cases for finding in case.findings]
    if any(finding.code is case_codes.DISAGREEMENT for finding in findings):
        return Exit.ERROR
    return max(exit_for(book.findings), Exit.OBJECTION if findings else Exit.NOTHING_TO_OBJECT)
