"""`standfast agree`: holds the logs of several graders on the same candidates against each other."""

import argparse
import sys
from collections.abc import Iterator

from standfast.agreement.coefficients import is_installed
from standfast.agreement.graders import Class, Graded, by_one_alone, classes, graded
from standfast.codes import agreement as codes
from standfast.codes import files
from standfast.command.before import some
from standfast.command.exits import Exit, Mistake
from standfast.command.files import LOG_ENDINGS, STANDARD_INPUT, opened
from standfast.command.objections import exit_for
from standfast.command.packed import unpacked
from standfast.command.sessions import understand
from standfast.command.shelf import shelf
from standfast.diagnostic import Diagnostic
from standfast.report.agreement_document import agree_document
from standfast.report.agreement_text import class_text, subject_text
from standfast.report.diagnostic_text import picture
from standfast.report.documents import written

DESCRIPTION = """\
Logs of the same session, candidate, standard and edition belong together; each is
of the grader its header names, or else is called by its file. Of each candidate
that two or more graded it is shown what every log came to, event by event, and
where the logs differ: the entries of a mark are matched in their order. Whom one
grader alone has is named. Then how far the graders agree over all candidates:
Cohen's kappa of each two graders, Fleiss' kappa over the candidates that all
graded, Krippendorff's alpha over those that at least two graded.

exit code: 0 all outcomes are alike, 1 an outcome or a doubt, 2 an error was reported
"""
EXAMPLE = """\
example: standfast agree --standard rules/ lane-3/G-1/ lane-3/G-2/
"""


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "logs",
        nargs="+",
        metavar="LOG_OR_FOLDER",
        help="session logs, packed or not, or folders searched for them",
    )
    parser.add_argument(
        "--standard",
        action="append",
        default=[],
        metavar="FILE_OR_FOLDER",
        help="a rule file or a folder searched for them; may be given more than once",
    )


def run(chosen: argparse.Namespace) -> Exit:
    if STANDARD_INPUT in (*chosen.standard, *chosen.logs):
        raise Mistake("logs of several graders are files; name them")
    found: list[Diagnostic] = []
    logs: list[Graded] = []
    for one in _graded(chosen):
        if isinstance(one, Graded):
            logs.append(one)
        else:
            found.append(one)
    compared = classes(logs)
    if not compared:
        found.append(Diagnostic(codes.NOTHING_TO_COMPARE, None, {}))
    elif not is_installed():
        found.append(Diagnostic(codes.NO_LIBRARY, None, {"package": "nltk"}))
    found.extend(map(_alone, by_one_alone(logs)))
    if chosen.format == "json":
        sys.stdout.write(written(agree_document(compared, found)))
    else:
        sys.stderr.write("".join(map(picture, found)))
        sys.stdout.write(_shown(compared))
    differ = not all(subject.alike for each in compared for subject in each.subjects)
    return max(exit_for(found), Exit.OBJECTION if differ else Exit.NOTHING_TO_OBJECT)


def _shown(compared: tuple[Class, ...]) -> str:
    texts = [subject_text(subject) for each in compared for subject in each.subjects]
    return "\n\n".join([*texts, *map(class_text, compared)])


def _alone(logs: tuple[Graded, ...]) -> Diagnostic:
    """`logs` are of one edition, session and grader."""
    verdict = logs[0].verdict
    facts = {
        "who": some([f"`{one.verdict.candidate}`" for one in logs]),
        "session": verdict.session,
        "standard": verdict.standard,
        "edition": verdict.edition,
        "grader": logs[0].grader,
    }
    return Diagnostic(codes.BY_ONE_ALONE, None, facts)


def _graded(chosen: argparse.Namespace) -> Iterator[Graded | Diagnostic]:
    standards = shelf(chosen.standard)
    yield from standards.first
    before: dict[tuple[str, str, str, str, str], str] = {}
    for log in unpacked(opened(chosen.logs, LOG_ENDINGS, files.NO_LOGS)):
        if isinstance(log, Diagnostic):
            yield log
            continue
        understood, found = understand(log, standards)
        yield from found
        if understood is None:
            continue
        grader = understood.header.grader or log.name
        for verdict in understood.ready.grade(understood.log):
            key = (verdict.standard, verdict.edition, verdict.session, verdict.candidate, grader)
            first = before.setdefault(key, log.name)
            if first == log.name:
                yield graded(grader, understood.log, verdict)
            else:
                facts = {
                    "grader": grader,
                    "candidate": verdict.candidate,
                    "session": verdict.session,
                    "file": first,
                }
                yield Diagnostic(codes.SAME_GRADER, understood.header.span, facts)
