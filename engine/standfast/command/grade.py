"""`standfast grade`: replays session logs and prints verdicts with their reasons."""

import argparse

from standfast.command.exits import Exit, Mistake
from standfast.command.files import STANDARD_INPUT

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
    if chosen.times_within is not None:
        from standfast.command.sessions import doubt_of_times  # each only then: a command starts fast

        doubt_of_times(chosen.times_within)
    if chosen.continued and chosen.format in _OF_MANY:
        raise Mistake("--continued goes with --format text or json")
    for option in ("live", "keep"):
        if chosen.continued and getattr(chosen, option):
            raise Mistake(f"--continued does not go with --{option}: that is about each log by itself")
    if chosen.format in _OF_MANY:
        from standfast.command.many import run_many

        return run_many(chosen)
    if chosen.jobs is not None:
        raise Mistake("--jobs goes with --format lines or csv")
    from standfast.command.grading import run_few

    return run_few(chosen)
