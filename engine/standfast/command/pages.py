"""A page that an option names, and what keeps it from being written."""

from pathlib import Path

from standfast.command.exits import Mistake
from standfast.command.files import unwritable
from standfast.diagnostic import Diagnostic

_ENDING = ".html"


def check_page_name(file: str | None) -> None:
    """Before anything is done for a page that could not be meant."""
    if file is not None and not file.endswith(_ENDING):
        raise Mistake(f"`{file}` after --page does not end in `{_ENDING}`; name the page to be written")


def write_page(file: str, text: str) -> tuple[Diagnostic, ...]:
    """Writes the page over one of its name; the result is what kept it from being written."""
    try:
        Path(file).write_bytes(text.encode())
    except OSError as error:
        return (unwritable(file, error),)
    return ()
