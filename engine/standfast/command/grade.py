"""`standfast grade`: replays session logs and prints verdicts with their reasons."""

import argparse
import sys
from collections.abc import Iterator

from standfast.codes import files
from standfast.command.exits import Exit, Mistake, exit_for
from standfast.command.files import LOG_ENDING, STANDARD_INPUT, Opened, opened
from standfast.command.shelf import Shelf, shelf
from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.bind import bind
from standfast.log.reader import read_log
from standfast.pipeline import grade
from standfast.report.diagnostic_text import picture
from standfast.report.documents import grade_document, written
from standfast.report.verdict_text import verdict_text, verdicts_table
from standfast.verdict import Verdict

DESCRIPTION = """\
Each log is graded by the standard and the edition its header names; without an
edition by the latest in force on the day of `started`, as written there.
Standards are looked for in the files and folders given with --standard, or else
among those that come with standfast. A log that cannot be graded does not keep
the others from being graded.

Verdicts go to standard output, what is wrong with files to standard error; with
--format json both are in one document on standard output.

exit code: 0 every verdict is GO, 1 another verdict, 2 an error was reported
"""
EXAMPLE = """\
example: standfast grade --standard rules/ logs/2026-04-11/
         standfast grade --format json - < lane-3.jsonl
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "logs",
        nargs="+",
        metavar="LOG_OR_FOLDER",
        help=f"a session log, a folder searched for *{LOG_ENDING}, or - for one log on standard input",
    )
    parser.add_argument(
        "--standard",
        action="append",
        default=[],
        metavar="FILE_OR_FOLDER",
        help="a rule file or a folder searched for them; may be given more than once",
    )


def run(chosen: argparse.Namespace) -> Exit:
    if STANDARD_INPUT in chosen.standard:
        raise Mistake("standard input can only be a log; name the file or folder of the standard")
    found = list(_shown(chosen) if chosen.format == "text" else _graded(chosen))
    verdicts = [one for one in found if isinstance(one, Verdict)]
    diagnostics = [one for one in found if isinstance(one, Diagnostic)]
    if chosen.format == "json":
        sys.stdout.write(written(grade_document(verdicts, diagnostics)))
    elif len(verdicts) > 1:
        sys.stdout.write("\n" + verdicts_table(verdicts))
    return exit_for(found)


def _shown(chosen: argparse.Namespace) -> Iterator[Diagnostic | Verdict]:
    """What was found, each printed as it comes."""
    between = ""
    for one in _graded(chosen):
        if isinstance(one, Verdict):
            sys.stdout.write(between + verdict_text(one))
            between = "\n"
        else:
            sys.stdout.flush()  # so that what is wrong with a log stands where that log stands
            sys.stderr.write(picture(one))
        yield one


def _graded(chosen: argparse.Namespace) -> Iterator[Diagnostic | Verdict]:
    standards = shelf(chosen.standard)
    yield from standards.first
    for log in opened(chosen.logs, LOG_ENDING, files.NO_LOGS):
        if isinstance(log, Opened):
            yield from _graded_log(log, standards)
        else:
            yield log


def _graded_log(log: Opened, standards: Shelf) -> Iterator[Diagnostic | Verdict]:
    raw, found = read_log(log.name, log.data)
    yield from found
    if raw is None or has_errors(found):
        return
    standard, found = standards.find(raw.header)
    yield from found
    if standard is None:
        return
    session, found = bind(raw, standard)
    yield from found
    if session is not None and not has_errors(found):
        yield from grade(standard, session)
