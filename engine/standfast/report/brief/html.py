"""The pages as HTML."""

from standfast.model.standard import Standard
from standfast.report.brief.drawing import pictures
from standfast.report.brief.outline import outline
from standfast.report.brief.page import Page, tries_shown
from standfast.report.brief.setting import Voice
from standfast.report.brief.sketch import pieces
from standfast.report.templates import rendered


def page_html(standard: Standard, page: Page) -> str:
    """One page, complete; the same for the same standard."""
    voice = Voice.GRADER if page is Page.GRADER else Voice.CANDIDATE
    drawn = [each for piece in pieces(standard) for each in pictures(piece)] if page is Page.PICTURE else ()
    return rendered(
        f"{page.value}.html", page=page, said=outline(standard, voice), pictures=drawn, tries_shown=tries_shown
    )
