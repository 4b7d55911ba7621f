"""Grading the logs of one call, one after another, each shown as it comes.

What only some calls need, records, pages, a log that is followed, is loaded by those: most calls grade one log.
"""

import argparse
import sys
from collections.abc import Iterator

from standfast.codes import files
from standfast.command.before import Before
from standfast.command.exits import Exit
from standfast.command.files import LOG_ENDINGS, Opened, folder_to_write, opened
from standfast.command.objections import exit_for
from standfast.command.packed import unpacked
from standfast.command.sessions import doubt_of_times, understand
from standfast.command.shelf import Shelf, shelf
from standfast.diagnostic import Diagnostic
from standfast.quantity import Quantity
from standfast.report.diagnostic_text import picture
from standfast.report.lines import safe
from standfast.report.verdict_text import NotGraded, verdict_text, verdicts_table
from standfast.verdict import Verdict

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from standfast.command.keep import Keep
    from standfast.command.verdict_page import VerdictPage
    from standfast.record.entry import Record

    Found = Diagnostic | Verdict | NotGraded | Record


def run_few(chosen: argparse.Namespace) -> Exit:
    page = _page(chosen.page)
    found = list(_shown(chosen, page) if chosen.format == "text" else _graded(chosen, page))
    rows = [one for one in found if isinstance(one, Verdict | NotGraded)]
    if chosen.format == "json":
        _write_document(found, as_line=chosen.live)
    elif len(rows) > 1:
        sys.stdout.write("\n" + verdicts_table(rows))
    if page is not None and page.is_written and chosen.format == "text":
        sys.stdout.write(f"\nwrote {safe(chosen.page)}\n")
    return exit_for(one for one in found if isinstance(one, Diagnostic | Verdict))


def _page(name: str | None) -> "VerdictPage | None":
    if name is None:
        return None
    from standfast.command.verdict_page import VerdictPage

    return VerdictPage(name)


def _write_document(found: "list[Found]", *, as_line: bool) -> None:
    from standfast.record.entry import VerdictRecord
    from standfast.report.documents import grade_document, line_of, written
    from standfast.report.record_document import kept_document

    document = grade_document(
        [one for one in found if isinstance(one, Verdict)],
        [one.log for one in found if isinstance(one, NotGraded)],
        [kept_document(one) for one in found if isinstance(one, VerdictRecord)],
        [one for one in found if isinstance(one, Diagnostic)],
    )
    sys.stdout.write((line_of if as_line else written)(document))


def _shown(chosen: argparse.Namespace, page: "VerdictPage | None") -> "Iterator[Found]":
    """What was found, each printed as it comes."""
    between = ""
    for one in _graded(chosen, page):
        if isinstance(one, Verdict):
            sys.stdout.write(between + verdict_text(one))
            between = "\n"
        elif isinstance(one, Diagnostic):
            sys.stdout.flush()  # so that what is wrong with a log stands where that log stands
            sys.stderr.write(picture(one))
        elif not isinstance(one, NotGraded):
            from standfast.report.record_text import kept_text

            sys.stdout.write(kept_text(one, chosen.keep))
        yield one


def _graded(chosen: argparse.Namespace, page: "VerdictPage | None") -> "Iterator[Found]":
    if page is None:
        yield from _graded_logs(chosen, page)
        return
    for one in _graded_logs(chosen, page):
        if isinstance(one, NotGraded):
            page.not_graded.append(one.log)
        yield one
    yield from page.write()


def _graded_logs(chosen: argparse.Namespace, page: "VerdictPage | None") -> "Iterator[Found]":
    standards, doubt = shelf(chosen.standard), doubt_of_times(chosen.times_within)
    yield from standards.first
    if chosen.continued:
        yield from _together(chosen, standards, doubt, page)
        return
    before = Before()
    keep = _keep(chosen.keep)
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


def _keep(place: str | None) -> "Keep | None":
    folder = folder_to_write(place, "--keep")
    if folder is None:
        return None
    from standfast.command.keep import Keep
    from standfast.record.standing import standing_in

    return Keep(folder, standing_in(folder))


def _not_read(log: Diagnostic) -> "Iterator[Found]":
    yield log
    if log.code not in (files.NO_LOGS, files.NO_LOGS_IN_ARCHIVE):
        yield NotGraded(log.facts["name"])


def _together(
    chosen: argparse.Namespace, standards: Shelf, doubt: Quantity | None, page: "VerdictPage | None"
) -> "Iterator[Found]":
    """All logs are read, then each candidate of each session is graded by all that there is of them."""
    from standfast.command.continued import graded_together
    from standfast.log.continued import Kept

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
            if page is not None:
                page.add(one.logs[0].standard, one.log, [one.verdict])
            yield one.verdict


def _logs(chosen: argparse.Namespace, standards: Shelf) -> Iterator[Opened | Diagnostic]:
    if chosen.live:
        from standfast.command.live import followed

        yield followed(chosen.logs, standards, as_json=chosen.format == "json")
    else:
        yield from unpacked(opened(chosen.logs, LOG_ENDINGS, files.NO_LOGS))


def _graded_log(
    log: Opened,
    standards: Shelf,
    doubt: Quantity | None,
    before: Before,
    keep: "Keep | None",
    page: "VerdictPage | None",
) -> "Iterator[Found]":
    """Of each candidate the verdict and, where it is kept, its record: that is on the disk by then."""
    understood, found = understand(log, standards)
    yield from found
    if understood is None:
        return
    header = understood.header
    yield from before.again(header.standard, header.session, understood.log.candidates, log.name, header.span)
    verdicts = understood.ready.grade(understood.log, doubt)
    if page is not None:
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
