"""`python -m standfast` and the installed command: hands over to the command line."""

import gc
import sys

_NEEDED = {"attr", "attrs", "filelock", "jinja2", "lark", "markupsafe"}
_MADE_BETWEEN = 50_000
"""Objects that are made before the garbage among them is looked for: nearly all that are loaded stay."""
_MISSING = """\
standfast: the package `{name}` is not installed for this Python
  help: in a clone run `python3 tools/demo.py` once; then
        `PYTHONPATH=engine .venv/bin/python -m standfast` has all it needs
"""


def main() -> int:
    """The exit code of the command; what it needs is loaded only here, so that what is missing can be told."""
    gc.set_threshold(_MADE_BETWEEN)
    try:
        from standfast.command.line import main as command

        code = command()
        gc.freeze()  # so that Python, when it ends, does not look for garbage once more among all that is there
        return code
    except ModuleNotFoundError as missing:
        name = (missing.name or "").partition(".")[0]
        if name not in _NEEDED:
            raise
        _say(_MISSING.format(name=name))
        return 2
    except KeyboardInterrupt:  # while it was being loaded
        _say("standfast: stopped\n")
        return 130


def _say(text: str) -> None:
    if sys.stderr is not None:
        sys.stderr.write(text)


if __name__ == "__main__":
    sys.exit(main())
