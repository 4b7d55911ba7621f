"""`standfast proof`: reads standards as a proof-reader would."""

import argparse
import sys
import textwrap
from collections.abc import Iterator

from standfast.codes import CODES, files
from standfast.command.exits import Exit, Mistake, exit_for
from standfast.command.files import STANDARD_ENDING, Opened, decoded, opened
from standfast.diagnostic import Diagnostic, Severity, in_reading_order, nearest
from standfast.pipeline import load_standard
from standfast.proofing.cases import case_findings
from standfast.report.diagnostic_text import picture
from standfast.report.documents import proof_document, written
from standfast.report.lines import WIDTH
from standfast.source import Source

DESCRIPTION = """\
Every error is shown with its place and what would mend it. When a standard has
none, its worked cases are replayed, and each that does not give what it says is
shown. All of it goes to standard output.

exit code: 0 no errors, 2 an error was reported
"""
EXAMPLE = """\
example: standfast proof boat_crew_entry.standard
         standfast proof --about C301
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "standards",
        nargs="*",
        metavar="FILE_OR_FOLDER",
        help=f"a rule file, a folder searched for *{STANDARD_ENDING}, or - for standard input",
    )
    parser.add_argument("--about", metavar="CODE", help="explain what a finding's code means")


def run(chosen: argparse.Namespace) -> Exit:
    if chosen.about is not None:
        return _explain(chosen)
    if not chosen.standards:
        raise Mistake("name a standard, a folder of them, or - for standard input")
    found: list[Diagnostic] = []
    held = 0
    for file in opened(chosen.standards, STANDARD_ENDING, files.NO_STANDARDS):
        source = decoded(file) if isinstance(file, Opened) else file
        for one in (source,) if isinstance(source, Diagnostic) else _proofed(source):
            if isinstance(one, Diagnostic):
                found.append(one)
                if chosen.format == "text":
                    sys.stdout.write(picture(one) + "\n")
            else:
                held += one
    sys.stdout.write(written(proof_document(held, found)) if chosen.format == "json" else _sum(found, held))
    return exit_for(found)


def _proofed(source: Source) -> Iterator[Diagnostic | int]:
    """The findings in one standard, and a 1 for each case that holds."""
    standard, found = load_standard(source)
    yield from in_reading_order(found)
    if standard is None:
        return
    for case in standard.cases:
        findings = case_findings(standard, case)
        yield from findings
        yield 0 if findings else 1


def _sum(found: list[Diagnostic], held: int) -> str:
    errors = sum(one.severity is Severity.ERROR for one in found)
    said = f"{errors or 'no'} error{'' if errors == 1 else 's'}"
    return f"{said}, {held or 'no'} case{' holds' if held == 1 else 's hold'}\n"


def _explain(chosen: argparse.Namespace) -> Exit:
    """Prints what a code means; a code that does not exist is a mistake in the command."""
    if chosen.standards or chosen.format == "json":
        raise Mistake("--about explains a code, as text, and reads no standard")
    code = CODES.get(chosen.about.upper())
    if code is None:
        near = nearest(chosen.about, CODES)
        help_text = f": did you mean `{near}`?" if near else ""
        raise Mistake(f"no finding has the code `{chosen.about}`{help_text}")
    about = textwrap.fill(code.about, width=WIDTH)
    sys.stdout.write(f"{code.number}, {code.severity}: {code.title}\n\n{about}\n")
    return Exit.NOTHING_TO_OBJECT
