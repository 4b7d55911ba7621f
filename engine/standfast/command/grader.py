"""One log graded by itself, in whichever process: what it gives hangs on no log before it."""

from standfast.codes import files
from standfast.command.exits import Exit
from standfast.command.files import Opened
from standfast.command.objections import exit_for
from standfast.command.sessions import Understood, doubt_of_times, understand
from standfast.command.shelf import Shelf, shelf
from standfast.diagnostic import Diagnostic
from standfast.quantity import Quantity
from standfast.report.documents import Plain
from standfast.report.results import Cells, graded_document, problem_words, row_of, row_without
from standfast.report.tally import Count, count_of
from standfast.values import frozen
from standfast.verdict import Verdict

Log = Opened | Diagnostic
"""A log, or what kept it from being opened."""


@frozen
class Setting:
    """What a process is told to grade by, as the command line says it."""

    standards: tuple[str, ...]
    times_within: str | None
    as_table: bool


@frozen
class Result:
    """What one log gave, ready to be written but for what other logs have to do with it.

    `key` is under which standard and in which session whose verdicts they are; None without any. There is either a
    `document` or, for a table, `rows` and the words of `problems`.
    """

    log: str | None
    key: tuple[str, str, tuple[str, ...]] | None
    document: Plain | None
    rows: tuple[Cells, ...]
    problems: tuple[str, ...]
    counts: tuple[Count, ...]
    exit: Exit


@frozen
class _Grader:
    setting: Setting
    standards: Shelf
    doubt: Quantity | None


_GRADERS: list[_Grader] = []
"""The one of this process, once it has begun."""


def begin(setting: Setting) -> None:
    _GRADERS[:] = [_Grader(setting, shelf(setting.standards), doubt_of_times(setting.times_within))]


def graded(log: Log) -> Result:
    (grader,) = _GRADERS
    if isinstance(log, Diagnostic):
        no_log = log.code in (files.NO_LOGS, files.NO_LOGS_IN_ARCHIVE)
        return _result(grader.setting, None if no_log else log.facts["name"], (log,), None, ())
    try:
        understood, found = understand(log, grader.standards.anew())
        verdicts = () if understood is None else understood.ready.grade(understood.log, grader.doubt)
        return _result(grader.setting, log.name, found, understood, verdicts)
    except Exception:  # whatever it is, the other logs are graded
        return broken(grader.setting, log)


def broken(setting: Setting, log: Log) -> Result:
    """Of a log at which grading broke down, or the process that did it."""
    name = log.name if isinstance(log, Opened) else log.facts["name"]
    found = (Diagnostic(files.GRADING_BROKE_DOWN, None, {"name": name}),)
    return _result(setting, name, found, None, ())


def _result(
    setting: Setting,
    log: str | None,
    found: tuple[Diagnostic, ...],
    understood: Understood | None,
    verdicts: tuple[Verdict, ...],
) -> Result:
    key = None
    counts: tuple[Count, ...] = ()
    if understood is not None:
        key = (understood.header.standard, understood.header.session, understood.log.candidates)
        counts = tuple(count_of(understood.standard, verdict) for verdict in verdicts)
    table = setting.as_table
    return Result(
        log=log,
        key=key,
        document=None if table else graded_document(log, verdicts, found),
        rows=(tuple(map(row_of, verdicts)) or (row_without(log),)) if table else (),
        problems=tuple(map(problem_words, found)) if table else (),
        counts=counts,
        exit=exit_for((*found, *verdicts)),
    )
