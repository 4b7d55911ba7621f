"""`standfast compare`: holds two editions of a standard against each other."""

import argparse
import sys
from collections.abc import Iterator

from standfast.codes import files
from standfast.command.exits import Exit
from standfast.command.files import LOG_ENDINGS, STANDARD_ENDING, Opened, decoded, opened
from standfast.command.objections import exit_for
from standfast.command.packed import unpacked
from standfast.command.pages import check_page_name, write_page
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, has_errors, in_reading_order
from standfast.difference.archive import impact
from standfast.difference.behaviour import compare
from standfast.difference.clauses import clause_changes
from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.difference.impact import Unread
from standfast.difference.revision import Revision
from standfast.log.entry import RawLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.report.comparison_document import comparison_document
from standfast.report.comparison_text import revision_text
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written
from standfast.report.lines import safe

DESCRIPTION = """\
Says of the whole test and of each event by itself whether the new edition is the
same, harder, easier or mixed: by which logs get GO, of all that both editions can
read. Each difference is shown by a log with the fewest entries, with what both
editions say of it; that there is none is proved over all logs. What could be
neither proved nor shown is called not decided. Logs that are decided alike, but
for other reasons, are told apart.

Then stands what was changed clause by clause, and which way each changed
line points by itself. With --archive logs are graded under both editions: who
changes, from what to what and by which rule. Where a log was kept under one
edition and the verdict under the other hangs on what nobody was asked to log, the
candidate is counted apart, and nothing is guessed.

With --page all of it also becomes one HTML file that needs nothing else, with
both texts side by side; a file of that name is replaced.

exit code: 0 the same verdicts for the same reasons, whatever lines were changed, 1 a
difference, 2 an error was reported, or not decided
"""
EXAMPLE = """\
example: standfast compare boat_crew_entry_1.standard boat_crew_entry_2.standard
         standfast compare old.standard new.standard --archive logs/2025/ --page revision.html
"""
_NO_PLACES = (files.MISSING, files.UNREADABLE, files.NO_LOGS, files.NO_LOGS_IN_ARCHIVE, files.OTHER_KIND)


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("old", metavar="OLD", help="the rule file of the old edition, or - for standard input")
    parser.add_argument("new", metavar="NEW", help="the rule file of the new edition")
    parser.add_argument(
        "--archive",
        action="append",
        default=[],
        metavar="LOG_OR_FOLDER",
        help="logs to be graded under both editions; may be given more than once",
    )
    parser.add_argument("--page", metavar="FILE", help="write the comparison as one HTML file")


def run(chosen: argparse.Namespace) -> Exit:
    check_page_name(chosen.page)
    found: list[Diagnostic] = []
    old, new = (_edition(place, found) for place in (chosen.old, chosen.new))
    if old is None or new is None:
        _show(chosen, None, found)
        return Exit.ERROR
    weighed = impact(old, new, _archive(chosen.archive, found)) if chosen.archive else None
    if weighed is not None and not weighed.logs:
        weighed = None  # nothing was found there, which is no finding about anybody
    revision = Revision(compare(old, new), clause_changes(old, new), weighed)
    told = ""
    if chosen.page is not None and has_errors(found):
        told = f"{safe(chosen.page)} was not written, since not all of the archive could be looked through"
    elif chosen.page is not None:
        from standfast.difference.texts import side_by_side  # these read and draw: only for a page
        from standfast.report.comparison_page.html import revision_html

        unwritten = write_page(chosen.page, revision_html(revision, side_by_side(old, new)))
        found += unwritten
        told = "" if unwritten else f"wrote {safe(chosen.page)}"
    _show(chosen, revision, found)
    if told and chosen.format == "text":
        sys.stdout.write(f"\n{told}\n")
    return max(exit_for(found), _exit(revision.comparison))


def _show(chosen: argparse.Namespace, revision: Revision | None, found: list[Diagnostic]) -> None:
    if chosen.format == "json":
        sys.stdout.write(written(comparison_document(revision, found)))
        return
    sys.stderr.write("".join(f"{picture(each)}\n" for each in found))
    sys.stdout.write("" if revision is None else revision_text(revision))


def _archive(places: list[str], found: list[Diagnostic]) -> Iterator[RawLog | Unread]:
    """The logs, one at a time; what keeps a place from being looked through is added to what was found."""
    for one in unpacked(opened(places, LOG_ENDINGS, files.NO_LOGS)):
        if isinstance(one, Diagnostic):
            if one.code in _NO_PLACES:
                found.append(one)
            else:
                yield Unread(one.facts["name"])
            continue
        raw, told = read_log(one.name, one.data)
        yield Unread(one.name) if raw is None or has_errors(told) else raw


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
