"""The command line: which verb was given, and how the command ends whatever happens."""

import io
import os
import sys
from collections.abc import Callable, Sequence

from standfast.command.overview import asked_alone

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import TextIO

_FAULT = """\
standfast: this is a fault of standfast, not of your files; please report it
  mend    give the same command again with --trace, and report what it prints
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs one command; the result is its exit code. A mistake in the command itself ends the process with 2."""
    given = sys.argv[1:] if arguments is None else arguments
    if sys.stderr is None:  # it was closed: what would go there is not wanted
        sys.stderr = io.StringIO()
    answer = asked_alone(given)
    if answer is not None:
        return _guarded(lambda: _write(answer), trace=False)
    from standfast.command.verb import chosen_by, run  # only now: a question about the command is answered at once

    chosen = chosen_by(given)
    _prepare(sys.stdout, None if chosen.format == "text" else "utf-8")
    return _guarded(lambda: run(chosen), trace=chosen.trace)


def _guarded(run: Callable[[], int], *, trace: bool) -> int:
    """The exit code of what is run, whatever happens; only what is not installed is left to the caller to tell."""
    _prepare(sys.stderr, None)
    if sys.stdout is None:
        _say("standfast: the output cannot be written: it is closed\n")
        return _exit("ERROR")
    try:
        code = run()
        sys.stdout.flush()
    except KeyboardInterrupt:
        _say("standfast: stopped\n")
        return _exit("INTERRUPTED")
    except BrokenPipeError:
        _abandon(sys.stdout)
        return _exit("CLOSED_PIPE")
    except ModuleNotFoundError:
        raise
    except Exception as error:
        if trace:
            from traceback import print_exc

            print_exc()
        if isinstance(error, OSError):  # those of reading were reported by their place: this one is of writing
            _say(f"standfast: the output cannot be written: {(error.strerror or '').lower()}\n")
            _abandon(sys.stdout)
        else:
            _say(_FAULT)
        return _exit("ERROR")
    return code


def _exit(name: str) -> int:
    from standfast.command.exits import Exit  # only where something went wrong

    return Exit[name]


def _write(answer: str) -> int:
    sys.stdout.write(answer)
    return 0


def _prepare(stream: "TextIO", encoding: str | None) -> None:
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


def _abandon(stream: "TextIO") -> None:
    """Gives the stream nowhere to fail again when the interpreter closes it."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    except io.UnsupportedOperation:  # a stream without a file does not fail then
        return
