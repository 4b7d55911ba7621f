"""The page of a revision as HTML."""

from collections.abc import Sequence

from standfast.difference.revision import Revision
from standfast.difference.texts import Beside
from standfast.report.comparison_page.page import revised
from standfast.report.templates import rendered
from standfast.report.verdict_words import ROUNDED_NOTE


def revision_html(revision: Revision, texts: Sequence[Beside]) -> str:
    """The page, complete; the same for the same revision. `texts` are those of both editions side by side."""
    return rendered("comparison.html", said=revised(revision, texts), rounded_note=ROUNDED_NOTE)
