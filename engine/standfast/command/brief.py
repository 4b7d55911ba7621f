"""`standfast brief`: says a standard to the people it is for."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

from standfast.codes import files
from standfast.command.exits import Exit
from standfast.command.files import STANDARD_ENDING, Opened, decoded, folder_to_write, opened, unwritable
from standfast.command.objections import exit_for
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, in_reading_order
from standfast.model.standard import Standard
from standfast.report.brief.html import page_html
from standfast.report.brief.page import Made, Page, brief_document
from standfast.report.brief.text import page_text
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written
from standfast.report.lines import safe

DESCRIPTION = """\
From the standard alone. Without --write the pages go to standard output as
text. With it each becomes one HTML file that needs nothing else and prints on
A4 and Letter: NAME.EDITION.candidate.html, .grader.html and .picture.html; a
file of that name is replaced, the folder is made if it is not there.

What is wrong with files goes to standard error; with --format json it is in one
document with the pages on standard output.

exit code: 0 no errors, 2 an error was reported
"""
EXAMPLE = """\
example: standfast brief boat_crew_entry.standard --write handouts/
         standfast brief boat_crew_entry.standard --page grader
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "standards",
        nargs="+",
        metavar="FILE_OR_FOLDER",
        help=f"a rule file, a folder searched for *{STANDARD_ENDING}, or - for standard input",
    )
    parser.add_argument(
        "--page",
        action="append",
        choices=[page.value for page in Page],
        help="make only this page; may be given more than once",
    )
    parser.add_argument("--write", metavar="FOLDER", help="write HTML files there")


def run(chosen: argparse.Namespace) -> Exit:
    folder = folder_to_write(chosen.write)
    found: list[Diagnostic] = []
    made: list[Made] = []
    for one in _made(chosen, folder):
        if isinstance(one, Made):
            if chosen.format == "text":
                sys.stdout.write(_shown(one, first=not made))
            made.append(one)
        else:
            if chosen.format == "text":
                sys.stderr.write(picture(one))
            found.append(one)
    if chosen.format == "json":
        sys.stdout.write(written(brief_document(made, found)))
    return exit_for(found)


def _shown(made: Made, *, first: bool) -> str:
    if made.text is None:
        return f"wrote {safe(made.file or '')}\n"
    return made.text if first else f"\n\n{made.text}"


def _made(chosen: argparse.Namespace, folder: Path | None) -> Iterator[Made | Diagnostic]:
    pages = [page for page in Page if chosen.page is None or page.value in chosen.page]
    briefed: dict[tuple[str, str], str] = {}
    for standard in _standards(chosen.standards):
        if isinstance(standard, Diagnostic):
            yield standard
            continue
        file = standard.span.source.name
        first = briefed.setdefault((standard.name, standard.edition), file)
        if folder is None:
            yield from (Made(standard, page, page_text(standard, page), None) for page in pages)
        elif first != file:
            facts = {"name": standard.name, "edition": standard.edition, "first": first, "second": file}
            yield Diagnostic(files.SAME_PAGES, standard.span, facts)
        else:
            yield from (_written(standard, page, folder) for page in pages)


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


def _written(standard: Standard, page: Page, folder: Path) -> Made | Diagnostic:
    path = folder / f"{standard.name}.{quote(standard.edition, safe='')}.{page.value}.html"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path.write_bytes(page_html(standard, page).encode())
    except OSError as error:
        return unwritable(str(path), error)
    return Made(standard, page, None, str(path))
