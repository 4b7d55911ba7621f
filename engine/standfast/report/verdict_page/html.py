"""The page of verdicts as HTML."""

from collections.abc import Iterable, Sequence

from standfast.report.templates import rendered
from standfast.report.verdict_page.judged import Judged
from standfast.report.verdict_page.sheet import classed
from standfast.report.verdict_words import ROUNDED_NOTE


def verdicts_html(judged: Sequence[Judged], not_graded: Iterable[str] = ()) -> str:
    """The page, complete; the same for the same verdicts. `not_graded` are the names of logs without one."""
    return rendered("verdicts.html", said=classed(judged, not_graded), rounded_note=ROUNDED_NOTE)
