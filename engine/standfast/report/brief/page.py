"""Which pages there are, and what a sheet has room for."""

from enum import Enum

from standfast.report.brief.outline import Part

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
