"""Logs without number: their verdicts as a line or a row each, in the order of the logs, then a summary.

Memory does not grow with the logs: no more than some for each process are held, results are written as they come,
and who had a verdict already lies on the disk. Only names are held: those of the folders that are being walked, of
the files of an archive, and where the files read so far lie, so that none is read twice.
"""

import argparse
import os
import sys
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import chain, islice

from standfast.codes import files
from standfast.command.before import Before
from standfast.command.exits import Exit, Mistake
from standfast.command.files import LOG_ENDINGS, Opened, how_many, opened
from standfast.command.grader import Log, Result, Setting, begin, broken, graded
from standfast.command.objections import exit_for
from standfast.command.packed import unpacked
from standfast.command.progress import Progress
from standfast.command.shelf import shelf
from standfast.command.workers import Workers
from standfast.diagnostic import Diagnostic
from standfast.log.lines import BYTE_ORDER_MARK
from standfast.report.diagnostic_text import picture
from standfast.report.documents import diagnostics_document, line_of
from standfast.report.results import COLUMNS, csv_line, graded_document, problem_words
from standfast.report.tally import Tally, tally_document, tally_text

_MOST_JOBS = 256
_LOGS, _BYTES = 16, 1_000_000
"""The most logs, and about the most bytes, that are handed to a process at once."""


def run_many(chosen: argparse.Namespace) -> Exit:
    for option in ("keep", "page", "live"):
        if getattr(chosen, option):
            raise Mistake(f"--{option} does not go with --format {chosen.format}; give it with text or json")
    setting = Setting(tuple(chosen.standard), chosen.times_within, chosen.format == "csv")
    jobs = jobs_wanted(chosen.jobs)
    written = _Written(setting.as_table)
    written.found(shelf(chosen.standard).first)
    progress = Progress(lambda: how_many(chosen.logs, LOG_ENDINGS))
    logs = unpacked(opened(chosen.logs, LOG_ENDINGS, files.NO_LOGS))
    try:
        for result in _results(_batches(logs), setting, jobs):
            written.result(result)
            progress.step()
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


def _results(batches: Iterator[tuple[Log, ...]], setting: Setting, jobs: int) -> Iterator[Result]:
    """By processes only where there is more than a batch for each to begin with."""
    first = list(islice(batches, jobs))
    if jobs > 1 and len(first) == jobs:
        workers = Workers(jobs, begin, (setting,), graded, partial(broken, setting))
        yield from workers.results(chain(first, batches))
        return
    begin(setting)
    for batch in chain(first, batches):
        yield from map(graded, batch)


class _Written:
    """What is written as results come, and what is kept of them: counts, the worst, and who had a verdict."""

    def __init__(self, as_table: bool) -> None:
        self.worst = Exit.NOTHING_TO_OBJECT
        self._as_table = as_table
        self._before = Before()
        self._tally = Tally()
        if as_table:
            sys.stdout.write(BYTE_ORDER_MARK.decode() + csv_line(COLUMNS))

    def found(self, diagnostics: tuple[Diagnostic, ...]) -> None:
        """What belongs to no log."""
        self.worst = max(self.worst, exit_for(diagnostics))
        if self._as_table:
            sys.stderr.write("".join(map(picture, diagnostics)))
        elif diagnostics:
            sys.stdout.write(line_of(graded_document(None, (), diagnostics)))

    def result(self, result: Result) -> None:
        again: tuple[Diagnostic, ...] = ()
        if result.key is not None and result.log is not None:
            again = self._before.again(*result.key, result.log, None)
        if result.log is not None:
            self._tally.add(result.counts)
        self.worst = max(self.worst, result.exit, exit_for(again))
        if result.document is not None:
            found = result.document["diagnostics"]
            assert isinstance(found, list)
            found += diagnostics_document(again)
            sys.stdout.write(line_of(result.document))
        problems = "; ".join((*result.problems, *map(problem_words, again)))
        sys.stdout.write("".join(csv_line((*row, problems)) for row in result.rows))

    def summary(self) -> None:
        if not self._as_table:
            sys.stdout.write(line_of(tally_document(self._tally)))
        sys.stdout.flush()
        sys.stderr.write(tally_text(self._tally))
