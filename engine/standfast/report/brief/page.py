"""Which pages there are, what a sheet has room for, and what was made of a standard."""

from collections.abc import Iterable
from enum import Enum

from standfast.diagnostic import Diagnostic
from standfast.model.standard import Standard
from standfast.report.brief.outline import Part
from standfast.report.documents import Plain, diagnostics_document
from standfast.values import frozen

_MOST_TRIES = 3  # columns of one sheet


class Page(Enum):
    CANDIDATE = "candidate"
    GRADER = "grader"
    PICTURE = "picture"

    @property
    def title(self) -> str:
        return {
            Page.CANDIDATE: "Candidate's briefing",
            Page.GRADER: "Grader's sheet",
            Page.PICTURE: "Picture of the test",
        }[self]


def tries_shown(event: Part) -> int:
    """How many tries a sheet has columns for; further ones go on another sheet."""
    return _MOST_TRIES if event.attempts is None else min(event.attempts, _MOST_TRIES)


@frozen
class Made:
    """One page of a standard: its text, or the name of the file it was written to."""

    standard: Standard
    page: Page
    text: str | None
    file: str | None


def brief_document(made: Iterable[Made], diagnostics: Iterable[Diagnostic]) -> Plain:
    """What `brief` made: see `brief.schema.json`."""
    return {
        "schema": "brief/1",
        "pages": [
            {
                "standard": each.standard.name,
                "edition": each.standard.edition,
                "digest": each.standard.digest,
                "page": each.page.value,
                "text": each.text,
                "file": each.file,
            }
            for each in made
        ],
        "diagnostics": diagnostics_document(diagnostics),
    }
