"""The templates of all pages, in `pages/`: one HTML file each, with its own style and nothing from outside.

Whatever is put in is escaped, and what could move or hide output is written out (`safe`): no name of a rule file
or a log does anything on a page but stand there.
"""

import re
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from standfast.report.lines import safe

_TOKEN = re.compile(r"`([^`]+)`")


def rendered(template: str, **facts: object) -> str:
    """The page; the same for the same facts."""
    return _templates().get_template(template).render(**facts)


@cache
def _templates() -> Environment:
    templates = Environment(
        loader=PackageLoader("standfast.report", "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_harmless,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    templates.filters["code"] = _code
    return templates


def _harmless(value: object) -> object:
    return safe(value) if isinstance(value, str) and not isinstance(value, Markup) else value


def _code(text: str) -> Markup:
    """The text with what stands in backquotes set as code."""
    return Markup(_TOKEN.sub(r"<code>\1</code>", str(escape(safe(text)))))
