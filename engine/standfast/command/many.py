"""Logs without number: their verdicts as a line or a row each, in the order of the logs, then a summary.

Memory does not grow with the logs: no more than some for each process are held, results are written as they come,
and who had a verdict already lies on the disk. Only names are held: those of the folders that are being walked and
of the files of an archive, so that they come in order.
"""

import argparse
import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from itertools import chain, islice

from standfast.codes import files
from standfast.command.before import Before
from standfast.command.exits import Exit, Mistake
from standfast.command.files import (
    ARCHIVE_ENDING,
    LOG_ENDINGS,
    STANDARD_INPUT,
    Named,
    Opened,
    how_many,
    named,
    read_file,
)
from standfast.command.grader import Log, Setting, Share, begin, begin_elsewhere, broken, graded
from standfast.command.objections import exit_for
from standfast.command.packed import unpacked
from standfast.command.plain_zip import Directory
from standfast.command.progress import Progress
from standfast.command.workers import Workers
from standfast.diagnostic import Diagnostic
from standfast.log.lines import BYTE_ORDER_MARK
from standfast.report.diagnostic_text import picture
from standfast.report.documents import line_of
from standfast.report.results import HEADING
from standfast.report.tally import Tally, tally_document, tally_text

_MOST_JOBS = 256
_LOGS, _BYTES = 32, 1_000_000
"""The most logs, and about the most bytes of logs from archives, that are handed to a process at once."""


def run_many(chosen: argparse.Namespace) -> Exit:
    for option in ("keep", "page", "live"):
        if getattr(chosen, option):
            raise Mistake(f"--{option} does not go with --format {chosen.format}; give it with text or json")
    setting = Setting(tuple(chosen.standard), chosen.times_within, chosen.format == "csv")
    jobs = jobs_wanted(chosen.jobs)
    written = _Written(setting)
    written.found(begin(setting))
    progress = Progress(lambda: how_many(chosen.logs, LOG_ENDINGS))
    try:
        for share in _shares(_logs(chosen.logs), setting, jobs):
            written.share(share)
            progress.step(len(share.results))
    finally:
        progress.clear()
    written.summary()
    return written.worst


def jobs_wanted(asked: str | None) -> int:
    """How many processes grade at the same time; as many as there are cores to be used where nothing is said."""
    if asked is None:
        return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    if not (asked.isascii() and asked.isdecimal()) or not 1 <= int(asked) <= _MOST_JOBS:
        raise Mistake(f"--jobs is a whole number from 1 to {_MOST_JOBS}")
    return int(asked)


def _logs(places: Sequence[str]) -> Iterator[Log]:
    """Only where each lies, so that it is read where it is graded. Read here are standard input, which no other
    process has, and archives that are not plain.
    """
    for one in named(places, LOG_ENDINGS, files.NO_LOGS):
        told = _told(one) if isinstance(one, Named) else None
        if told is not None:
            yield from told.members()
        elif isinstance(one, Named) and (one.place == STANDARD_INPUT or one.place.endswith(ARCHIVE_ENDING)):
            yield from unpacked([read_file(one, packed=True)])
        else:
            yield one


def _told(file: Named) -> Directory | None:
    if not file.place.endswith(ARCHIVE_ENDING):
        return None
    from standfast.command.archives import plain  # only where there are archives

    return plain(file.place)


def _batches(logs: Iterable[Log]) -> Iterator[tuple[Log, ...]]:
    batch: list[Log] = []
    size = 0
    for log in logs:
        batch.append(log)
        size += len(log.data) if isinstance(log, Opened) else 0
        if len(batch) >= _LOGS or size >= _BYTES:
            yield tuple(batch)
            batch, size = [], 0
    if batch:
        yield tuple(batch)


def _shares(logs: Iterator[Log], setting: Setting, jobs: int) -> Iterator[Share]:
    """By processes only where there is more than a batch for each to begin with."""
    first = list(islice(logs, jobs * _LOGS)) if jobs > 1 else []
    logs = chain(first, logs)
    if first and len(first) == jobs * _LOGS:
        workers = Workers(jobs, begin_elsewhere, (setting,), graded, partial(broken, setting))
        yield from workers.results(_batches(logs))
        return
    for log in logs:
        yield graded((log,))


class _Written:
    """What is written as results come, and what is kept of them: counts, the worst, and who had a verdict."""

    def __init__(self, setting: Setting) -> None:
        self.worst = Exit.NOTHING_TO_OBJECT
        self._as_table = setting.as_table
        self._form = setting.form
        self._before = Before()
        self._tally = Tally()
        if self._as_table:
            sys.stdout.write(BYTE_ORDER_MARK.decode() + HEADING)

    def found(self, diagnostics: tuple[Diagnostic, ...]) -> None:
        """What belongs to no log."""
        self.worst = max(self.worst, exit_for(diagnostics))
        if self._as_table:
            sys.stderr.write("".join(map(picture, diagnostics)))
        elif diagnostics:
            (begun,) = self._form.begun(None, ())
            sys.stdout.write(self._form.closed(begun, map(self._form.problem, diagnostics)))

    def share(self, share: Share) -> None:
        self._tally.add_all(share.tally)
        self.worst = max(self.worst, share.worst)
        for result in share.results:
            problems = result.problems
            if result.key is not None and result.log is not None:
                again = self._before.again(*result.key, result.log, None)
                self.worst = max(self.worst, exit_for(again))
                problems += tuple(map(self._form.problem, again))
            sys.stdout.write("".join([self._form.closed(line, problems) for line in result.lines]))

    def summary(self) -> None:
        if not self._as_table:
            sys.stdout.write(line_of(tally_document(self._tally)))
        sys.stdout.flush()
        sys.stderr.write(tally_text(self._tally))
