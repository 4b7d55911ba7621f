"""Logs graded each by itself, in whichever process: what one gives hangs on no log before it."""

from collections.abc import Iterator, Sequence

from standfast.codes import files
from standfast.command.exits import Exit
from standfast.command.files import INPUT_NAME, STANDARD_INPUT, Named, Opened, read_file
from standfast.command.objections import exit_for
from standfast.command.packed import unpacked
from standfast.command.plain_zip import Member
from standfast.command.sessions import Understood, doubt_of_times, understand
from standfast.command.shelf import Shelf, shelf
from standfast.diagnostic import Diagnostic
from standfast.quantity import Quantity
from standfast.report.results import Form, Lines, Rows
from standfast.report.tally import Tally, count_of
from standfast.values import frozen
from standfast.verdict import Verdict

Log = Named | Member | Opened | Diagnostic
"""A log, opened or still to be, or what kept it from being opened."""


@frozen
class Setting:
    """What a process is told to grade by, as the command line says it."""

    standards: tuple[str, ...]
    times_within: str | None
    as_table: bool

    @property
    def form(self) -> Form:
        return Rows() if self.as_table else Lines()


@frozen
class Result:
    """What one log gave, ready to be written but for what other logs have to do with it.

    Its `lines` are to be closed with the `problems`. `key` is under which standard and in which session whose
    verdicts they are; None without any.
    """

    log: str | None
    key: tuple[str, str, tuple[str, ...]] | None
    lines: tuple[str, ...]
    problems: tuple[str, ...]


@frozen
class Share:
    """What some logs gave, in their order."""

    results: tuple[Result, ...]
    tally: Tally
    worst: Exit


@frozen
class _Grader:
    setting: Setting
    standards: Shelf
    doubt: Quantity | None
    form: Form


_GRADERS: list[_Grader] = []
"""The one of this process, once it has begun."""


def begin(setting: Setting) -> tuple[Diagnostic, ...]:
    """What is found on looking for the standards."""
    standards = shelf(setting.standards)
    _GRADERS[:] = [_Grader(setting, standards, doubt_of_times(setting.times_within), setting.form)]
    return standards.first


def begin_elsewhere(setting: Setting) -> None:
    """In a process of its own, unless that is a copy of one that has begun."""
    if not _GRADERS:
        begin(setting)


def graded(logs: Sequence[Log]) -> Share:
    (grader,) = _GRADERS
    return _share([_graded(grader, each) for log in logs for each in _opened(log)])


def broken(setting: Setting, log: Log) -> Share:
    """Of a log at which the process that graded it broke down."""
    return _share([_broken(setting.form, _name(log))])


def _opened(log: Log) -> Iterator[Opened | Diagnostic]:
    if isinstance(log, Named):
        yield from unpacked([read_file(log, packed=True)])
    elif isinstance(log, Member):
        from standfast.command.archives import log_of  # only where there are archives

        yield log_of(log)
    else:
        yield log


def _name(log: Log) -> str:
    if isinstance(log, Named):
        return INPUT_NAME if log.place == STANDARD_INPUT else log.place
    if isinstance(log, Member):
        return f"{log.archive}: {log.name}"
    return log.name if isinstance(log, Opened) else log.facts["name"]


@frozen
class _Graded:
    result: Result
    found: tuple[Diagnostic, ...]
    understood: Understood | None
    verdicts: tuple[Verdict, ...]


def _graded(grader: _Grader, log: Opened | Diagnostic) -> _Graded:
    if isinstance(log, Diagnostic):
        no_log = log.code in (files.NO_LOGS, files.NO_LOGS_IN_ARCHIVE)
        return _result(grader.form, None if no_log else log.facts["name"], (log,), None, ())
    try:
        understood, found = understand(log, grader.standards.anew())
        verdicts = () if understood is None else understood.ready.grade(understood.log, grader.doubt)
        return _result(grader.form, log.name, found, understood, verdicts)
    except Exception:  # whatever it is, the other logs are graded
        return _broken(grader.form, log.name)


def _broken(form: Form, name: str) -> _Graded:
    return _result(form, name, (Diagnostic(files.GRADING_BROKE_DOWN, None, {"name": name}),), None, ())


def _result(
    form: Form,
    log: str | None,
    found: tuple[Diagnostic, ...],
    understood: Understood | None,
    verdicts: tuple[Verdict, ...],
) -> _Graded:
    key = None
    if understood is not None:
        key = (understood.header.standard, understood.header.session, understood.log.candidates)
    result = Result(log, key, form.begun(log, verdicts), tuple(map(form.problem, found)))
    return _Graded(result, found, understood, verdicts)


def _share(logs: Sequence[_Graded]) -> Share:
    tally, worst = Tally(), Exit.NOTHING_TO_OBJECT
    for each in logs:
        worst = max(worst, exit_for((*each.found, *each.verdicts)))
        standard = None if each.understood is None else each.understood.standard
        if each.result.log is not None:
            tally.add([] if standard is None else [count_of(standard, verdict) for verdict in each.verdicts])
    return Share(tuple(each.result for each in logs), tally, worst)
