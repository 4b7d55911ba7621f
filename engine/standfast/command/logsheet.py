"""`standfast logsheet`: makes a log sheet to be filled in, from a standard and a roster."""

import argparse
import sys
from pathlib import Path

from standfast.codes import files, fill_in
from standfast.command.exits import Exit, Mistake
from standfast.command.files import STANDARD_ENDING, STANDARD_INPUT, Opened, decoded, opened, unwritable
from standfast.command.objections import exit_for
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, in_reading_order
from standfast.log.fill_in import Sitting, fill_in_bytes
from standfast.log.reader import read_log
from standfast.log.roster import read_roster
from standfast.model.standard import Standard
from standfast.report.diagnostic_text import picture
from standfast.report.lines import safe

DESCRIPTION = """\
The sheet is a table (CSV) that any spreadsheet program opens, or that is printed
and typed in later: header lines, then for each candidate of the roster a row for
each mark, in the order of the steps. Wherever `_` stands something is to be
filled in: times as `0:40.0`, in cells that are formatted as text. What is left
`_` was not seen. `standfast grade` grades the sheet as it grades any log.

The roster is a table (CSV) too, with a column `candidate` and, if you like, one
for each fact the standard asks for. A file that is there is not written over.

exit code: 0 the sheet was written, 2 an error was reported
"""
EXAMPLE = """\
example: standfast logsheet boat_crew_entry.standard --roster class.csv
             --session "2026-04-11/lane-3" --write lane-3.csv
"""
FORMATS = ("text",)


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("standard", metavar="FILE", help="the rule file")
    parser.add_argument("--roster", required=True, metavar="FILE", help="a table of those who are to be tested")
    parser.add_argument("--session", required=True, metavar="NAME", help="what the session is called")
    parser.add_argument("--started", metavar="TIME", help="its zero, such as 2026-04-11T09:00:00+01:00")
    parser.add_argument("--grader", metavar="NAME", help="who will keep the sheet")
    parser.add_argument("--write", required=True, metavar="FILE", help="where the sheet goes, NAME.csv")


def run(chosen: argparse.Namespace) -> Exit:
    found, said = _made(chosen)
    sys.stderr.write("".join(map(picture, found)))
    sys.stdout.write(said)
    return exit_for(found)


def _made(chosen: argparse.Namespace) -> tuple[tuple[Diagnostic, ...], str]:
    """What is wrong, or what was written."""
    if STANDARD_INPUT in (chosen.standard, chosen.roster):
        raise Mistake("a log sheet is made from files; name that of the standard and that of the roster")
    for option in ("session", "grader", "write"):
        if not (getattr(chosen, option) or "-").strip() or getattr(chosen, option) == "":
            raise Mistake(f"nothing is said after --{option}")
    if not chosen.write.lower().endswith(".csv"):
        raise Mistake(f"a log sheet is a table whose name ends in `.csv`, found `{safe(chosen.write)}`")
    standard, found = _standard(chosen.standard)
    if standard is None:
        return found, ""
    (file,) = opened([chosen.roster], ".csv", files.MISSING)
    if isinstance(file, Diagnostic):
        return (*found, file), ""
    roster, more = read_roster(file.name, file.data, standard)
    if roster is None:
        return (*found, *more), ""
    sitting = Sitting(session=chosen.session, started=chosen.started, grader=chosen.grader)
    data = fill_in_bytes(standard, roster, sitting)
    log, wrong = read_log(chosen.write, data)
    if log is None:  # the roster was read without a finding: it is what the options say
        raise Mistake(f"the sheet cannot be headed so: {wrong[0].message}")
    try:
        with Path(chosen.write).open("xb") as sheet:
            sheet.write(data)
    except FileExistsError:
        return (*found, Diagnostic(fill_in.SHEET_IS_THERE, None, {"name": chosen.write})), ""
    except OSError as error:
        return (*found, unwritable(chosen.write, error)), ""
    they = "1 candidate" if len(roster) == 1 else f"{len(roster)} candidates"
    return found, f"wrote {safe(chosen.write)}, for {they}\n"


def _standard(place: str) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    if Path(place).is_dir():
        raise Mistake(f"`{place}` is a folder; name the file of one standard")
    (file,) = opened([place], STANDARD_ENDING, files.NO_STANDARDS)
    source = decoded(file) if isinstance(file, Opened) else file
    if isinstance(source, Diagnostic):
        return None, (source,)
    standard, found = load_standard(source)
    return standard, in_reading_order(found)
