"""`standfast grade`: replays session logs and prints verdicts with their reasons."""

import argparse
import sys
from collections.abc import Iterator

from standfast.codes import files
from standfast.command.archives import unpacked
from standfast.command.before import Before
from standfast.command.continued import graded_together
from standfast.command.exits import Exit, Mistake
from standfast.command.files import LOG_ENDINGS, STANDARD_INPUT, Opened, folder_to_write, opened
from standfast.command.keep import Keep
from standfast.command.live import followed
from standfast.command.objections import exit_for
from standfast.command.sessions import doubt_of_times, understand
from standfast.command.shelf import Shelf, shelf
from standfast.command.verdict_page import VerdictPage
from standfast.diagnostic import Diagnostic
from standfast.log.continued import Kept
from standfast.quantity import Quantity
from standfast.record.entry import Record, VerdictRecord
from standfast.record.standing import standing_in
from standfast.report.diagnostic_text import picture
from standfast.report.documents import grade_document, line_of, written
from standfast.report.lines import safe
from standfast.report.record_document import kept_document
from standfast.report.record_text import kept_text
from standfast.report.verdict_text import NotGraded, verdict_text, verdicts_table
from standfast.verdict import Verdict

DESCRIPTION = """\
Each log is graded by the standard and the edition its header names; without an
edition by the latest in force on the day of `started`, as written there.
Standards are looked for in the files and folders given with --standard, or else
among those that come with standfast. A log that cannot be graded does not keep
the others from being graded; with several logs a table at the end has them all.

With --keep a record of each verdict is added to the register of a folder, with
copies of the standard and the log; `standfast recheck` grades records again.

With --page the verdicts also become one HTML file that needs nothing else and
prints on A4 and Letter, with a picture of the time of each attempt and, of
several candidates, a row for each before them; a file of that name is replaced.

Verdicts go to standard output, what is wrong with files to standard error; with
--format json both are in one document on standard output.

With --live one log is followed while it is written: after each entry it is shown
where each candidate stands, what is owed, which clocks run and how much is left of
them, how many attempts are left, and what each mark would do that would do
anything. Where what was logged is corrected, all is told anew. It is over when the
log's end is logged, standard input ends, or Ctrl-C is pressed; then come the
verdicts. With --format json each is one line, the verdicts the last.

With --continued logs of one session and candidate are graded as one: what was done
on one day counts on the next, and what is still owed is told. They need `started`.

With --times-within each verdict says whether it stands however every time of its
log is wrong within so much, or is a close call, and on which entries it hangs. It
goes before what a standard says with `times within`.

With --format lines (JSON Lines: a line for each log, then a summary) or csv (a row
for each verdict) the results are written as they come, in the order of the logs,
by all cores, in a memory that does not grow with the logs; a log that is wrong or
at which grading breaks down takes no other with it. Then a summary on standard
error says which clauses fail whom most. Records and pages go with text and json.

exit code: 0 every verdict is GO, 1 another verdict, a close call or a doubt, 2 an
error was reported
"""
_OF_MANY = ("lines", "csv")
FORMATS = ("text", "json", *_OF_MANY)
Found = Diagnostic | Verdict | NotGraded | Record

EXAMPLE = """\
example: standfast grade --standard rules/ logs/2026-04-11/
         standfast grade --format json - < lane-3.jsonl
         standfast grade --times-within "0.3 s" logs/2026-04-11/
         standfast grade --page tower.html tower.jsonl
         standfast grade --live lane-3.jsonl
         standfast grade --format csv --standard rules/ archive/ > verdicts.csv
         standfast grade --continued day-1.jsonl day-2.jsonl

How a log is written, key by key and with examples, is told on the page of
session logs, standards/logs.md beside the standards that come with standfast.
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "logs",
        nargs="+",
        metavar="LOG_OR_FOLDER",
        help="a session log (JSON Lines, or a table in CSV), also packed (.gz, .zip), a folder searched for them,"
        " or - for one log on standard input",
    )
    parser.add_argument(
        "--standard",
        action="append",
        default=[],
        metavar="FILE_OR_FOLDER",
        help="a rule file or a folder searched for them; may be given more than once",
    )
    parser.add_argument(
        "--times-within",
        metavar="TIME",
        help='by how much a logged time may be wrong, such as "0.3 s"; default: what the standard says',
    )
    parser.add_argument("--keep", metavar="FOLDER", help="add a record of each verdict to the register there")
    parser.add_argument(
        "--continued",
        action="store_true",
        help="grade the logs of one session and candidate as one, in the order of their `started`",
    )
    parser.add_argument(
        "--live", action="store_true", help="follow one log while it is written, and show where candidates stand"
    )
    parser.add_argument(
        "--jobs", metavar="N", help="with lines and csv, how many processes grade; default: one for each core"
    )
    parser.add_argument("--page", metavar="FILE", help="write the verdicts as one HTML file")


def run(chosen: argparse.Namespace) -> Exit:
    if STANDARD_INPUT in chosen.standard:
        raise Mistake("standard input can only be a log; name the file or folder of the standard")
    doubt_of_times(chosen.times_within)
    if chosen.continued and chosen.format in _OF_MANY:
        raise Mistake("--continued goes with --format text or json")
    for option in ("live", "keep"):
        if chosen.continued and getattr(chosen, option):
            raise Mistake(f"--continued does not go with --{option}: that is about each log by itself")
    if chosen.format in _OF_MANY:
        from standfast.command.many import run_many  # only then: a command starts fast

        return run_many(chosen)
    if chosen.jobs is not None:
        raise Mistake("--jobs goes with --format lines or csv")
    page = VerdictPage(chosen.page)
    found = list(_shown(chosen, page) if chosen.format == "text" else _graded(chosen, page))
    diagnostics = [one for one in found if isinstance(one, Diagnostic)]
    rows = [one for one in found if isinstance(one, Verdict | NotGraded)]
    if chosen.format == "json":
        verdicts = [one for one in rows if isinstance(one, Verdict)]
        not_graded = [one.log for one in rows if isinstance(one, NotGraded)]
        records = [kept_document(one) for one in found if isinstance(one, VerdictRecord)]
        write = line_of if chosen.live else written
        sys.stdout.write(write(grade_document(verdicts, not_graded, records, diagnostics)))
    elif len(rows) > 1:
        sys.stdout.write("\n" + verdicts_table(rows))
    if page.is_written and chosen.format == "text":
        sys.stdout.write(f"\nwrote {safe(chosen.page)}\n")
    return exit_for(one for one in found if isinstance(one, Diagnostic | Verdict))


def _shown(chosen: argparse.Namespace, page: VerdictPage) -> Iterator[Found]:
    """What was found, each printed as it comes."""
    between = ""
    for one in _graded(chosen, page):
        if isinstance(one, Verdict):
            sys.stdout.write(between + verdict_text(one))
            between = "\n"
        elif isinstance(one, VerdictRecord):
            sys.stdout.write(kept_text(one, chosen.keep))
        elif isinstance(one, Diagnostic):
            sys.stdout.flush()  # so that what is wrong with a log stands where that log stands
            sys.stderr.write(picture(one))
        yield one


def _graded(chosen: argparse.Namespace, page: VerdictPage) -> Iterator[Found]:
    for one in _graded_logs(chosen, page):
        if isinstance(one, NotGraded):
            page.not_graded.append(one.log)
        yield one
    yield from page.write()


def _graded_logs(chosen: argparse.Namespace, page: VerdictPage) -> Iterator[Found]:
    standards, doubt = shelf(chosen.standard), doubt_of_times(chosen.times_within)
    yield from standards.first
    if chosen.continued:
        yield from _together(chosen, standards, doubt, page)
        return
    before = Before()
    folder = folder_to_write(chosen.keep, "--keep")
    keep = None if folder is None else Keep(folder, standing_in(folder))
    for log in _logs(chosen, standards):
        if isinstance(log, Diagnostic):
            yield from _not_read(log)
            continue
        graded = False
        for one in _graded_log(log, standards, doubt, before, keep, page):
            graded = graded or isinstance(one, Verdict)
            yield one
        if not graded:
            yield NotGraded(log.name)


def _not_read(log: Diagnostic) -> Iterator[Found]:
    yield log
    if log.code not in (files.NO_LOGS, files.NO_LOGS_IN_ARCHIVE):
        yield NotGraded(log.facts["name"])


def _together(
    chosen: argparse.Namespace, standards: Shelf, doubt: Quantity | None, page: VerdictPage
) -> Iterator[Found]:
    """All logs are read, then each candidate of each session is graded by all that there is of them."""
    kept: list[Kept] = []
    for log in _logs(chosen, standards):
        if isinstance(log, Diagnostic):
            yield from _not_read(log)
            continue
        understood, found = understand(log, standards)
        yield from found
        if understood is None:
            yield NotGraded(log.name)
        else:
            kept.append(Kept(understood.standard, understood.header, understood.log))
    for one in graded_together(kept, doubt):
        yield from one.found
        if one.verdict is None or one.log is None:
            yield NotGraded(one.name)
        else:
            page.add(one.logs[0].standard, one.log, [one.verdict])
            yield one.verdict


def _logs(chosen: argparse.Namespace, standards: Shelf) -> Iterator[Opened | Diagnostic]:
    if chosen.live:
        yield followed(chosen.logs, standards, as_json=chosen.format == "json")
    else:
        yield from unpacked(opened(chosen.logs, LOG_ENDINGS, files.NO_LOGS))


def _graded_log(
    log: Opened,
    standards: Shelf,
    doubt: Quantity | None,
    before: Before,
    keep: Keep | None,
    page: VerdictPage,
) -> Iterator[Found]:
    """Of each candidate the verdict and, where it is kept, its record: that is on the disk by then."""
    understood, found = understand(log, standards)
    yield from found
    if understood is None:
        return
    header = understood.header
    yield from before.again(header.standard, header.session, understood.log.candidates, log.name, header.span)
    verdicts = understood.ready.grade(understood.log, doubt)
    page.add(understood.standard, understood.log, verdicts)
    if keep is None:
        yield from verdicts
        return
    kept = keep.verdicts(understood.standard, standards.bytes_of(understood.standard), log, doubt, verdicts)
    if isinstance(kept, Diagnostic):
        yield from verdicts
        yield kept
        return
    yield from kept.found
    yield from keep.again(header.standard, header.session, understood.log.candidates, header.span)
    for verdict, record in zip(verdicts, kept.records, strict=True):
        yield verdict
        yield record
