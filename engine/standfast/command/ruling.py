"""`standfast ruling`: adds an examiner's ruling beside a verdict, never over it."""

import argparse
import shlex
import sys
from datetime import datetime
from pathlib import Path

from standfast.codes import record as codes
from standfast.command.exits import Exit, Mistake
from standfast.command.keep import Keep
from standfast.command.objections import exit_for
from standfast.diagnostic import Diagnostic
from standfast.log.times import Timestamp, read_time
from standfast.record.entry import RulingRecord
from standfast.record.reading import Held, held_in
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written
from standfast.report.record_document import ruling_document
from standfast.report.record_text import kept_text, ruling_lines
from standfast.verdict import Outcome

DESCRIPTION = """\
After a protest: what the examiner ruled, why and when, as a record of its own in
the register, chained as the others are. The verdict stays as it is; `standfast
register` and `standfast recheck` show the ruling below it. A verdict may have
several; the last one counts, and none is taken back.

exit code: 0 the ruling was added, 2 an error was reported
"""
EXAMPLE = """\
example: standfast ruling records/ 14 --outcome GO --by "Examiner E-2"
             --reason "the whistle of lane 4 was heard for lane 3"
"""
_OUTCOMES = tuple(outcome.value for outcome in Outcome if outcome is not Outcome.NOT_BEGUN)


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", metavar="FOLDER", help="the folder that was given to grade with --keep")
    parser.add_argument("number", metavar="RECORD", type=int, help="the number of the verdict's record")
    parser.add_argument("--outcome", required=True, choices=_OUTCOMES, help="what holds after the ruling")
    parser.add_argument("--by", required=True, metavar="NAME", help="who ruled")
    parser.add_argument("--reason", required=True, metavar="TEXT", help="why")
    parser.add_argument("--at", metavar="TIME", help="when, such as 2026-04-11T12:05:00+01:00; default: now")


def run(chosen: argparse.Namespace) -> Exit:
    for option in ("by", "reason"):
        if not getattr(chosen, option).strip():
            raise Mistake(f"nothing is said after --{option}")
    at = datetime.now().astimezone().isoformat(timespec="seconds") if chosen.at is None else chosen.at
    if not isinstance(read_time(at), Timestamp):
        raise Mistake(f"`{at}` after --at is no date, time and zone such as 2026-04-11T12:05:00+01:00")
    on = _verdict(Path(chosen.folder), chosen.number)
    added: RulingRecord | None = None
    found: tuple[Diagnostic, ...] = (on,) if isinstance(on, Diagnostic) else ()
    if isinstance(on, Held):
        added, found = Keep(Path(chosen.folder)).ruling(on, chosen.outcome, chosen.by, chosen.reason, at)
    if chosen.format == "json":
        sys.stdout.write(written(ruling_document(added, found)))
    else:
        sys.stderr.write("".join(map(picture, found)))
        if added is not None:
            lines = ruling_lines(added)
            sys.stdout.write("\n".join(lines) + f"\n{kept_text(added, chosen.folder)}")
    return exit_for(found)


def _verdict(folder: Path, number: int) -> Held | Diagnostic:
    """The whole record of a verdict by its number, or why there is none to rule on."""
    facts = {"number": str(number), "name": str(folder), "command": shlex.quote(str(folder))}
    for one in held_in(folder):
        if isinstance(one, Held) and one.line == number:
            if isinstance(one.record, RulingRecord):
                return Diagnostic(codes.NO_SUCH_RECORD, None, facts | {"found": f"a ruling on {one.record.of}"})
            if one.whole and one.record.number == number:
                return one
            return Diagnostic(codes.NO_SUCH_RECORD, None, facts | {"found": "damaged"})
        if isinstance(one, Diagnostic) and one.span is None and one.code is not codes.SET_ASIDE:
            return one
    return Diagnostic(codes.NO_SUCH_RECORD, None, facts)
