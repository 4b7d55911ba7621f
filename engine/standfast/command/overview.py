"""What the command line says of itself, with as little loaded as can be."""

from collections.abc import Sequence

from standfast import __version__

VERBS = {
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
USAGE = "standfast [-h] [--version] VERB ..."
VERSION = f"standfast {__version__}\n"
_COLUMNS, _INDENT = 78, 14
_BEFORE = f"""\
usage: {USAGE}

Practical tests as plain-text rule files, session logs replayed through them,
verdicts with reasons.

options:
  -h, --help  show this help message and exit
  --version   show program's version number and exit

verbs:
  VERB
"""


def overview() -> str:
    """The whole help, laid out for 80 columns."""
    return _BEFORE + "".join(f"    {name:<10}{_folded(summary)}\n" for name, summary in VERBS.items())


def asked_alone(arguments: Sequence[str]) -> str | None:
    """What a command that asks for nothing but the help or the version is answered; None for all others."""
    match arguments:
        case ["-h" | "--help"]:
            return overview()
        case ["--version"]:
            return VERSION
    return None


def _folded(summary: str) -> str:
    lines = [""]
    for word in summary.split():
        if lines[-1] and _INDENT + len(lines[-1]) + 1 + len(word) > _COLUMNS:
            lines.append("")
        lines[-1] += f" {word}" if lines[-1] else word
    return ("\n" + " " * _INDENT).join(lines)
