"""`standfast grade`: replays session logs and prints verdicts with their reasons."""

import argparse
import sys
from collections.abc import Iterator, Sequence

from standfast.codes import files
from standfast.command.exits import Exit, Mistake, exit_for
from standfast.command.files import LOG_ENDING, STANDARD_INPUT, Opened, opened
from standfast.command.shelf import Shelf, shelf
from standfast.diagnostic import Diagnostic, Label, has_errors
from standfast.log.bind import bind
from standfast.log.entry import Header
from standfast.log.reader import read_log
from standfast.pipeline import grade
from standfast.report.diagnostic_text import picture
from standfast.report.documents import grade_document, written
from standfast.report.verdict_text import NotGraded, verdict_text, verdicts_table
from standfast.source import Span
from standfast.verdict import Verdict

DESCRIPTION = """\
Each log is graded by the standard and the edition its header names; without an
edition by the latest in force on the day of `started`, as written there.
Standards are looked for in the files and folders given with --standard, or else
among those that come with standfast. A log that cannot be graded does not keep
the others from being graded; with several logs a table at the end has them all.

Verdicts go to standard output, what is wrong with files to standard error; with
--format json both are in one document on standard output.

exit code: 0 every verdict is GO, 1 another verdict or a doubt, 2 an error was reported
"""
Found = Diagnostic | Verdict | NotGraded
_Before = dict[tuple[str, str, str], Span]
"""Of each standard, session and candidate graded, the header of the log."""
_NAMED = 5  # candidates named in one message

EXAMPLE = """\
example: standfast grade --standard rules/ logs/2026-04-11/
         standfast grade --format json - < lane-3.jsonl

How a log is written, key by key and with examples, is told on the page of
session logs, standards/logs.md beside the standards that come with standfast.
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
    diagnostics = [one for one in found if isinstance(one, Diagnostic)]
    rows = [one for one in found if not isinstance(one, Diagnostic)]
    if chosen.format == "json":
        verdicts = [one for one in rows if isinstance(one, Verdict)]
        not_graded = [one.log for one in rows if isinstance(one, NotGraded)]
        sys.stdout.write(written(grade_document(verdicts, not_graded, diagnostics)))
    elif len(rows) > 1:
        sys.stdout.write("\n" + verdicts_table(rows))
    return exit_for(one for one in found if not isinstance(one, NotGraded))


def _shown(chosen: argparse.Namespace) -> Iterator[Found]:
    """What was found, each printed as it comes."""
    between = ""
    for one in _graded(chosen):
        if isinstance(one, Verdict):
            sys.stdout.write(between + verdict_text(one))
            between = "\n"
        elif isinstance(one, Diagnostic):
            sys.stdout.flush()  # so that what is wrong with a log stands where that log stands
            sys.stderr.write(picture(one))
        yield one


def _graded(chosen: argparse.Namespace) -> Iterator[Found]:
    standards = shelf(chosen.standard)
    yield from standards.first
    before: _Before = {}
    for log in opened(chosen.logs, LOG_ENDING, files.NO_LOGS):
        if isinstance(log, Diagnostic):
            yield log
            if log.code is not files.NO_LOGS:
                yield NotGraded(log.facts["name"])
            continue
        graded = False
        for one in _graded_log(log, standards, before):
            graded = graded or isinstance(one, Verdict)
            yield one
        if not graded:
            yield NotGraded(log.name)


def _graded_log(log: Opened, standards: Shelf, before: _Before) -> Iterator[Diagnostic | Verdict]:
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
        yield from _again(raw.header, session.candidates, before)
        yield from grade(standard, session)


def _again(header: Header, candidates: Sequence[str], before: _Before) -> Iterator[Diagnostic]:
    """The candidates that had a verdict in this session already: a finding for each log that gave one."""
    twice: dict[Span, list[str]] = {}
    for candidate in candidates:
        key = (header.standard, header.session, candidate)
        if key in before:
            twice.setdefault(before[key], []).append(f"`{candidate}`")
        before.setdefault(key, header.span)
    for span, names in twice.items():
        who = ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")
        facts = {"who": who, "session": header.session, "file": span.source.name}
        yield Diagnostic(files.GRADED_BEFORE, header.span, facts, (Label(span, "graded before"),))
