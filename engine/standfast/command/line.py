"""The command line: which verb was given, and how the command ends whatever happens."""

import argparse
import io
import os
import sys
import traceback
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import TextIO

from standfast import __version__
from standfast.command.exits import Exit, Mistake

_VERBS = {
    "agree": "hold the logs of several graders against each other, candidate by candidate",
    "brief": "make the candidate's briefing, the grader's sheet and a picture of the test",
    "compare": "hold two editions of a standard against each other by what they do",
    "grade": "replay session logs and print verdicts with their reasons",
    "logsheet": "make a log sheet to be filled in, from a standard and a roster",
    "proof": "read standards as a proof-reader would: errors, failed cases, then doubts",
    "recheck": "grade the records of a folder again and say what no longer fits",
    "register": "list the records of a folder, with the rulings beside the verdicts",
    "rehearse": "show what cases touch, and each limit just met and just missed as logs",
    "ruling": "add an examiner's ruling beside a verdict, never over it",
    "tidy": "rewrite standards in the canonical layout",
}
FORMATS = ("text", "json")
"""What a verb can print, unless it names more."""
_DESCRIPTION = (
    "Practical tests as plain-text rule files, session logs replayed through them, verdicts with reasons."
)
_FAULT = """\
standfast: this is a fault of standfast, not of your files; please report it
  mend    give the same command again with --trace, and report what it prints
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command; the result is its exit code. A mistake in the command itself ends the process with 2."""
    given = sys.argv[1:] if arguments is None else arguments
    if sys.stderr is None:  # it was closed: what would go there is not wanted
        sys.stderr = io.StringIO()
    chosen = _parser(given).parse_args(given)
    _prepare(sys.stdout, None if chosen.format == "text" else "utf-8")
    _prepare(sys.stderr, None)
    if sys.stdout is None:
        _say("standfast: the output cannot be written: it is closed\n")
        return Exit.ERROR
    try:
        code: Exit = chosen.run(chosen)
        sys.stdout.flush()
    except Mistake as mistake:
        chosen.parser.error(str(mistake))
    except KeyboardInterrupt:
        _say("standfast: stopped\n")
        return Exit.INTERRUPTED
    except BrokenPipeError:
        _abandon(sys.stdout)
        return Exit.CLOSED_PIPE
    except ModuleNotFoundError:
        raise  # the caller tells what is not installed
    except Exception as error:
        if chosen.trace:
            traceback.print_exc()
        if isinstance(error, OSError):  # those of reading were reported by their place: this one is of writing
            _say(f"standfast: the output cannot be written: {(error.strerror or '').lower()}\n")
            _abandon(sys.stdout)
        else:
            _say(_FAULT)
        return Exit.ERROR
    return code


def _parser(given: Sequence[str]) -> argparse.ArgumentParser:
    """Only the verb that was given is loaded."""
    parser = argparse.ArgumentParser(prog="standfast", description=_DESCRIPTION, allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"standfast {__version__}")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="VERB", title="verbs")
    wanted = next((argument for argument in given if not argument.startswith("-")), None)
    for name, summary in _VERBS.items():
        each = verbs.add_parser(
            name,
            help=summary,
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        formats = FORMATS
        if name == wanted:
            verb = import_module(f"standfast.command.{name}")
            formats = getattr(verb, "FORMATS", FORMATS)
            each.description, each.epilog = f"{summary}\n\n{verb.DESCRIPTION}", verb.EXAMPLE
            verb.options(each)
            each.set_defaults(run=verb.run, parser=each)
        each.add_argument("--format", choices=formats, default="text", help="default: text")
        each.add_argument("--trace", action="store_true", help="if standfast itself fails, show where")
    return parser


def _prepare(stream: TextIO, encoding: str | None) -> None:
    """Lets any text be written, whatever the terminal; one encoding and line end where bytes count."""
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(encoding=encoding, errors="backslashreplace", newline="\n" if encoding else None)


def _say(text: str) -> None:
    """Writes to standard error; where that cannot be, the exit code says enough."""
    try:
        sys.stderr.write(text)
        sys.stderr.flush()
    except OSError:
        _abandon(sys.stderr)


def _abandon(stream: TextIO) -> None:
    """Gives the stream nowhere to fail again when the interpreter closes it."""
    with suppress(io.UnsupportedOperation):  # a stream without a file does not fail then
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
