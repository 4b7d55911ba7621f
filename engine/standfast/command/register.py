"""`standfast register`: lists the records of a folder."""

import argparse
import sys
from pathlib import Path

from standfast.command.exits import Exit
from standfast.command.objections import exit_for
from standfast.diagnostic import Diagnostic
from standfast.record.reading import Held, held_in
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written
from standfast.report.record_document import register_document
from standfast.report.record_text import listed, register_text, sum_text

DESCRIPTION = """\
A row for each verdict that `standfast grade --keep` added, with the number of
its record; below it the rulings on it. Each line is held against its own digest
and against the one before it; whether standards, logs and verdicts still fit is
what `standfast recheck` says.

exit code: 0 nothing to object to, 1 a line that does not fit, 2 an error
"""
EXAMPLE = """\
example: standfast register records/2026
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", help="the folder that was given to grade with --keep")


def run(chosen: argparse.Namespace) -> Exit:
    found: list[Diagnostic] = []
    records: list[Held] = []
    for one in held_in(Path(chosen.folder)):
        if isinstance(one, Held):
            records.append(one)
            continue
        found.append(one)
        if chosen.format == "text":
            sys.stderr.write(picture(one))
    if chosen.format == "json":
        sys.stdout.write(written(register_document(chosen.folder, records, found)))
    elif records:
        rows = [listed(one) for one in records]
        sys.stdout.write(f"{register_text(rows)}\n{sum_text(rows)}")
    return exit_for(found)
