"""The pages as HTML: one file each, with its own style and nothing from outside."""

import re
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from standfast.model.standard import Standard
from standfast.report.brief.drawing import pictures
from standfast.report.brief.outline import outline
from standfast.report.brief.page import Page, tries_shown
from standfast.report.brief.setting import Voice
from standfast.report.brief.sketch import pieces

_TOKEN = re.compile(r"`([^`]+)`")


def page_html(standard: Standard, page: Page) -> str:
    """One page, complete; the same for the same standard."""
    voice = Voice.GRADER if page is Page.GRADER else Voice.CANDIDATE
    return (
        _templates()
        .get_template(f"{page.value}.html")
        .render(
            page=page,
            said=outline(standard, voice),
            pictures=[each for piece in pieces(standard) for each in pictures(piece)]
            if page is Page.PICTURE
            else (),
        )
    )


@cache
def _templates() -> Environment:
    templates = Environment(
        loader=PackageLoader("standfast.report.brief", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    templates.filters["code"] = _code
    templates.globals["tries_shown"] = tries_shown
    return templates


def _code(text: str) -> Markup:
    """The text with what stands in backquotes set as code."""
    return Markup(_TOKEN.sub(r"<code>\1</code>", str(escape(text))))
