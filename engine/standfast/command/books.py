"""Boundary books kept in folders: each log a file, and an index that knows which files are the book's own."""

import json
import re
from pathlib import Path
from urllib.parse import quote

from standfast.codes import files
from standfast.command.files import unwritable
from standfast.diagnostic import Diagnostic
from standfast.proofing.book import Book
from standfast.report.documents import written
from standfast.report.rehearsal import Kept, log_file, rehearsal_document
from standfast.report.rehearsal_text import book_text

INDEX = "index.json"
TEXT = "index.txt"
_LOG = re.compile(r"[a-z0-9_.]+\.jsonl")


def written_book(place: Path, book: Book) -> str | Diagnostic:
    """The folder the book was written to, or why nothing was written.

    A log of an earlier book of the same edition that is no longer in it is removed.
    """
    standard = book.standard
    folder = place / f"{standard.name}-{quote(standard.edition, safe='')}"
    wanted = {log_file(page): page.data for page in book.pages}
    wanted[TEXT] = book_text(book).encode()
    wanted[INDEX] = written(rehearsal_document([Kept(book, folder.name)], ())).encode()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        own = _own(folder, book)
        foreign = sorted(path.name for path in folder.iterdir() if path.name not in own)
        in_the_way = [name for name in foreign if name in wanted or not own]
        if in_the_way:
            return Diagnostic(files.NOT_ITS_OWN, None, {"folder": str(folder), "file": in_the_way[0]})
        (folder / INDEX).write_bytes(wanted.pop(INDEX))  # first: what is written after it is known as the book's
        for name, data in wanted.items():
            (folder / name).write_bytes(data)
        for name in own - {INDEX, *wanted}:
            (folder / name).unlink(missing_ok=True)
    except OSError as error:
        return unwritable(str(error.filename or folder), error)
    return str(folder)


def _own(folder: Path, book: Book) -> set[str]:
    """The names of the files that the folder's index says are of this book; none without such an index."""
    try:
        document = json.loads((folder / INDEX).read_bytes())
        (listed,) = document["books"]
        if (listed["standard"], listed["edition"]) != (book.standard.name, book.standard.edition):
            return set()
        names = {str(page["file"]) for page in listed["pages"]}
    except (FileNotFoundError, ValueError, KeyError, TypeError):
        return set()
    return {INDEX, TEXT} | {name for name in names if _LOG.fullmatch(name)}
