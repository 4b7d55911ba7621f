"""The verbs: their options, and the one that was given run."""

import argparse
from collections.abc import Sequence
from importlib import import_module

from standfast.command.exits import Exit, Mistake
from standfast.command.overview import USAGE, VERBS, VERSION, overview

FORMATS = ("text", "json")
"""What a verb can print, unless it names more."""


class _Form(argparse.RawDescriptionHelpFormatter):
    """Lays the help of a verb out for 80 columns, without asking the terminal: that takes long to load."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=78)


class _Parser(argparse.ArgumentParser):
    """Gives the help that is given without it."""

    def format_help(self) -> str:
        return overview()


def chosen_by(given: Sequence[str]) -> argparse.Namespace:
    """What the arguments say; a mistake in them ends the process with 2."""
    return _parser(given).parse_args(given)


def run(chosen: argparse.Namespace) -> Exit:
    try:
        code: Exit = chosen.run(chosen)
    except Mistake as mistake:
        chosen.parser.error(str(mistake))
    return code


def _parser(given: Sequence[str]) -> argparse.ArgumentParser:
    """Only the verb that was given is loaded."""
    parser = _Parser(prog="standfast", usage=USAGE, allow_abbrev=False, formatter_class=_Form)
    parser.add_argument("--version", action="version", version=VERSION)
    verbs = parser.add_subparsers(
        dest="verb", required=True, metavar="VERB", prog="standfast", parser_class=argparse.ArgumentParser
    )
    wanted = next((argument for argument in given if not argument.startswith("-")), None)
    for name in VERBS if wanted not in VERBS else (wanted,):
        each = verbs.add_parser(name, formatter_class=_Form, allow_abbrev=False)
        if name != wanted:
            continue
        verb = import_module(f"standfast.command.{name}")
        each.description, each.epilog = f"{VERBS[name]}\n\n{verb.DESCRIPTION}", verb.EXAMPLE
        verb.options(each)
        each.set_defaults(run=verb.run, parser=each)
        formats = getattr(verb, "FORMATS", FORMATS)
        each.add_argument("--format", choices=formats, default="text", help="default: text")
        each.add_argument("--trace", action="store_true", help="if standfast itself fails, show where")
    return parser
