"""`standfast proof`: reads standards as a proof-reader would."""

import argparse
import sys
import textwrap
from collections.abc import Iterator

from standfast import __version__
from standfast.codes import CODES, Code, files
from standfast.command.exits import Exit, Mistake
from standfast.command.files import STANDARD_ENDING, Opened, decoded, opened
from standfast.command.objections import exit_for
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, in_reading_order, nearest
from standfast.proofing.cases import case_findings
from standfast.proofing.findings import proof
from standfast.proofing.samples import POINTER, Sample, samples
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written
from standfast.report.lines import WIDTH
from standfast.report.proof_document import EventProof, Proofed, proof_document
from standfast.report.proof_text import proof_sum, proofed_text
from standfast.report.sarif import sarif_document
from standfast.source import Source

DESCRIPTION = """\
Every error is shown with its place and what would mend it. When a standard has
none, its worked cases are replayed, and each that does not give what it says is
shown. Then every log there could be is looked at: what can never happen, what
may go on for ever and what else its author may not have meant is shown with the
shortest log that shows it. A line `accept CODE "why"` in the block answers a
doubt; it is then listed with its reason.

Last come, for each event, the shortest and the longest time of an attempt that
ends GO, from its opening, and for each step how many different marks a grader
must look out for at once. All of it goes to standard output.

exit code: 0 nothing to object to (advice is no objection), 1 a doubt that is
not accepted or something neither proved nor disproved, 2 an error was reported
"""
EXAMPLE = """\
example: standfast proof boat_crew_entry.standard
         standfast proof --format sarif rules/ > rules.sarif
         standfast proof --about D104
"""
FORMATS = ("text", "json", "sarif")


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "standards",
        nargs="*",
        metavar="FILE_OR_FOLDER",
        help=f"a rule file, a folder searched for *{STANDARD_ENDING}, or - for standard input",
    )
    parser.add_argument(
        "--about",
        metavar="CODE",
        help="explain what a finding's code means; of a doubt or a failed case with a bad and a good sample",
    )


def run(chosen: argparse.Namespace) -> Exit:
    if chosen.about is not None:
        return _explain(chosen)
    if not chosen.standards:
        raise Mistake("name a standard, a folder of them, or - for standard input")
    found: list[Diagnostic] = []
    proofed: list[Proofed] = []
    for file in opened(chosen.standards, STANDARD_ENDING, files.NO_STANDARDS):
        source = decoded(file) if isinstance(file, Opened) else file
        here: list[Diagnostic] = []
        for one in (source,) if isinstance(source, Diagnostic) else _proofed(source):
            if isinstance(one, Proofed):
                proofed.append(one)
                if chosen.format == "text":
                    sys.stdout.write(proofed_text(one, here) + "\n")
                continue
            here.append(one)
            if chosen.format == "text" and one.accepted is None:
                sys.stdout.write(picture(one) + "\n")
        found += here
    match chosen.format:
        case "json":
            sys.stdout.write(written(proof_document(proofed, found)))
        case "sarif":
            sys.stdout.write(written(sarif_document(__version__, proofed, found)))
        case _:
            sys.stdout.write(proof_sum(proofed, found))
    unproved = any(one.undecided for one in proofed)
    return max(exit_for(found), Exit.OBJECTION if unproved else Exit.NOTHING_TO_OBJECT)


def _proofed(source: Source) -> Iterator[Diagnostic | Proofed]:
    """The findings in one standard and, last, what else there is to say of it."""
    standard, found = load_standard(source)
    yield from in_reading_order(found)
    if standard is None:
        return
    held = 0
    for case in standard.cases:
        findings = case_findings(standard, case)
        yield from findings
        held += not findings
    proved = proof(standard)
    yield from proved.findings
    events = tuple(
        EventProof(e.label, e.decided, e.shortest, e.longest, e.watched, e.exact) for e in proved.events
    )
    yield Proofed(standard, held, events, proved.undecided)


def _explain(chosen: argparse.Namespace) -> Exit:
    """Prints what a code means; a code that does not exist is a mistake in the command."""
    if chosen.standards or chosen.format != "text":
        raise Mistake("--about explains a code, as text, and reads no standard")
    code = CODES.get(chosen.about.upper())
    if code is None:
        near = nearest(chosen.about, CODES)
        help_text = f": write `{near}`, if that is meant" if near else ""
        raise Mistake(f"no finding has the code `{chosen.about}`{help_text}")
    sys.stdout.write(_explained(code))
    return Exit.NOTHING_TO_OBJECT


def _explained(code: Code) -> str:
    about = textwrap.fill(code.about, width=WIDTH)
    parts = [f"{code.number}, {code.severity}: {code.title}", about]
    parts += [_shown(sample) for sample in samples(code.number)]
    return "\n\n".join(parts) + "\n"


def _shown(sample: Sample) -> str:
    head = f"bad, found where `{POINTER} {sample.code}` stands:" if sample.bad else "good:"
    return f"{head}\n\n{textwrap.indent(sample.text.rstrip(), '    ')}"
