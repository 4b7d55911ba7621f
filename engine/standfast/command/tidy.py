"""`standfast tidy`: rewrites standards in the canonical layout."""

import argparse
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from standfast.codes import files
from standfast.command.exits import Exit, Mistake
from standfast.command.files import STANDARD_ENDING, STANDARD_INPUT, Opened, decoded, opened
from standfast.command.objections import exit_for
from standfast.command.standards import read
from standfast.diagnostic import Diagnostic, has_errors, in_reading_order
from standfast.language import syntax
from standfast.language.layout import lay_out
from standfast.language.printer import canonical
from standfast.model.resolve import resolve
from standfast.model.standard import Standard
from standfast.report.diagnostic_text import picture
from standfast.report.documents import Plain, diagnostics_document, written
from standfast.report.lines import safe
from standfast.source import Source
from standfast.values import frozen

DESCRIPTION = """\
Four blanks a level, the lines of each block in their fixed order, one empty
line between blocks. What a standard means and its comments are kept: the new
text is read again and compared before anything is written. A file with errors
is left alone, and they are shown. A file is replaced in one move and keeps its
permissions.

Line ends are kept: of a file whose first line ends in CR LF all lines do. A
byte order mark is dropped. With - the tidy text goes to standard output.

exit code: 0 tidied, or with --ask tidy already; 1 with --ask not tidy; 2 an
error was reported
"""
EXAMPLE = """\
example: standfast tidy rules/
         standfast tidy --ask boat_crew_entry.standard
         standfast tidy - < boat_crew_entry.standard > tidied.standard
"""
_CR_LF = "\r\n"


@frozen
class Tidied:
    """One file: was it tidy, was it written, and its tidy text (None where it was written or only asked about)."""

    file: str
    tidy: bool
    written: bool
    text: str | None = None


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "standards",
        nargs="+",
        metavar="FILE_OR_FOLDER",
        help=f"a rule file, a folder searched for *{STANDARD_ENDING}, or - alone for standard input",
    )
    parser.add_argument("--ask", action="store_true", help="say which files are not tidy, and write nothing")


def run(chosen: argparse.Namespace) -> Exit:
    if STANDARD_INPUT in chosen.standards and len(chosen.standards) > 1:
        raise Mistake("standard input is tidied to standard output, alone; give the files in another command")
    found: list[Diagnostic] = []
    done: list[Tidied] = []
    for one in _done(chosen):
        if isinstance(one, Tidied):
            done.append(one)
            if chosen.format == "text":
                _show(one)
        else:
            found.append(one)
            if chosen.format == "text":
                sys.stderr.write(picture(one))
    untidy = sum(not one.tidy for one in done)
    if chosen.format == "json":
        sys.stdout.write(written(_document(done, found)))
    elif STANDARD_INPUT not in chosen.standards or chosen.ask:
        sys.stdout.write(f"{_files(untidy)} {'not tidy' if chosen.ask else 'tidied'}, {len(done) - untidy} tidy\n")
    return max(exit_for(found), Exit.OBJECTION if chosen.ask and untidy else Exit.NOTHING_TO_OBJECT)


def tidied(source: Source) -> tuple[str | None, tuple[Diagnostic, ...]]:
    """The canonical text with `\\n` at line ends; None and what is wrong where it cannot be had."""
    tree, standard, found = _understood(source)
    if tree is None:
        return None, found
    text = canonical(tree)
    again = Source(source.name, text)
    tree_2, standard_2, _ = _understood(again)
    if tree_2 is None or standard_2 != standard or canonical(tree_2) != text:
        lost = "what it means"
    elif _comments(again) != _comments(source):
        lost = "a comment"
    else:
        return text, found
    return None, (Diagnostic(files.NOT_KEPT, None, {"name": source.name, "lost": lost}),)


def _understood(source: Source) -> tuple[syntax.Standard | None, Standard | None, tuple[Diagnostic, ...]]:
    """As written and as meant; neither where there is an error."""
    tree, found = read(source)
    if tree is None or has_errors(found):
        return None, None, found
    standard, more = resolve(tree)
    return (None if has_errors(more) else tree), standard, in_reading_order(found + more)


def _comments(source: Source) -> list[str]:
    """All comments of a text, sorted."""
    comments = lay_out(source).comments
    grouped = (*comments.above.values(), *comments.below.values(), comments.end)
    return sorted([*comments.beside.values(), *(comment for group in grouped for comment in group)])


def _done(chosen: argparse.Namespace) -> Iterator[Tidied | Diagnostic]:
    for file in opened(chosen.standards, STANDARD_ENDING, files.NO_STANDARDS):
        source = decoded(file) if isinstance(file, Opened) else file
        if isinstance(source, Diagnostic):
            yield source
            continue
        assert isinstance(file, Opened)
        text, found = tidied(source)
        yield from found
        if text is None:
            continue
        text = text if _line_end(source.text) == "\n" else text.replace("\n", _CR_LF)
        is_tidy = text.encode() == file.data
        if STANDARD_INPUT in chosen.standards:
            yield Tidied(file.name, is_tidy, written=False, text=None if chosen.ask else text)
        elif chosen.ask or is_tidy:
            yield Tidied(file.name, is_tidy, written=False)
        else:
            trouble = _replace(Path(file.name), text.encode())
            yield trouble or Tidied(file.name, tidy=False, written=True)


def _line_end(text: str) -> str:
    first, end, _ = text.partition("\n")
    return _CR_LF if end and first.endswith("\r") else "\n"


def _replace(path: Path, data: bytes) -> Diagnostic | None:
    """Puts the data in the file's place in one move, or says why not; a link stays one."""
    target = Path(os.path.realpath(path))
    new: Path | None = None
    try:
        if not os.access(target, os.W_OK):
            raise PermissionError(0, "it may not be written")
        with tempfile.NamedTemporaryFile(dir=target.parent, prefix=f".{target.name}.", delete=False) as file:
            new = Path(file.name)
            file.write(data)
        new.chmod(target.stat().st_mode & 0o7777)
        new.replace(target)
    except OSError as error:
        if new is not None:
            with suppress(OSError):
                new.unlink()
        why = (error.strerror or "the system does not say why").lower()
        return Diagnostic(files.NOT_REPLACED, None, {"name": str(path), "why": why})
    return None


def _show(one: Tidied) -> None:
    """Text of standard input goes out as bytes: whatever the terminal, its characters stay."""
    if one.text is not None:
        sys.stdout.flush()
        sys.stdout.buffer.write(one.text.encode())
    elif not one.tidy:
        sys.stdout.write(f"{'tidied' if one.written else 'not tidy'}: {safe(one.file)}\n")


def _files(count: int) -> str:
    return f"{count or 'no'} file{'' if count == 1 else 's'}"


def _document(done: list[Tidied], found: list[Diagnostic]) -> Plain:
    """See `tidy.schema.json`."""
    return {
        "schema": "tidy/1",
        "files": [{"file": one.file, "tidy": one.tidy, "written": one.written, "text": one.text} for one in done],
        "diagnostics": diagnostics_document(found),
    }
