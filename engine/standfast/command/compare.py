"""`standfast compare`: holds two editions of a standard against each other."""

import argparse
import sys

from standfast.codes import files
from standfast.command.exits import Exit, exit_for
from standfast.command.files import STANDARD_ENDING, Opened, decoded, opened
from standfast.diagnostic import Diagnostic, has_errors, in_reading_order
from standfast.difference.behaviour import compare
from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.comparison_document import comparison_document
from standfast.report.comparison_text import comparison_text
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written

DESCRIPTION = """\
Says of the whole test and of each event by itself whether the new edition is the
same, harder, easier or mixed: by which logs get GO, of all that both editions can
read. Each difference is shown by a log with the fewest entries, with what both
editions say of it; that there is none is proved over all logs. What could be
neither proved nor shown is called not decided. Logs that are decided alike, but
for other reasons, are told apart.

exit code: 0 the same, 1 a difference, 2 an error was reported, or not decided
"""
EXAMPLE = """\
example: standfast compare boat_crew_entry_1.standard boat_crew_entry_2.standard
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("old", metavar="OLD", help="the rule file of the old edition, or - for standard input")
    parser.add_argument("new", metavar="NEW", help="the rule file of the new edition")


def run(chosen: argparse.Namespace) -> Exit:
    found: list[Diagnostic] = []
    old, new = (_edition(place, found) for place in (chosen.old, chosen.new))
    comparison = None if old is None or new is None else compare(old, new)
    if chosen.format == "json":
        sys.stdout.write(written(comparison_document(comparison, found)))
    else:
        sys.stderr.write("".join(f"{picture(each)}\n" for each in found))
        sys.stdout.write("" if comparison is None else comparison_text(comparison))
    return max(exit_for(found), Exit.ERROR if comparison is None else _exit(comparison))


def _edition(place: str, found: list[Diagnostic]) -> Standard | None:
    """The standard in a file, or None with what is wrong added to what was found."""
    standard: Standard | None = None
    for file in opened([place], STANDARD_ENDING, files.NO_STANDARDS):
        source = decoded(file) if isinstance(file, Opened) else file
        if isinstance(source, Diagnostic):
            found.append(source)
            continue
        standard, told = load_standard(source)
        found += (each for each in in_reading_order(told) if has_errors([each]))
    return standard


def _exit(comparison: Comparison) -> Exit:
    if comparison.word is Word.NOT_DECIDED:
        return Exit.ERROR
    return Exit.OBJECTION if comparison.different else Exit.NOTHING_TO_OBJECT
