"""The cautions that stand on every page, and those that a test asks for by what it speaks of."""

import re
from collections.abc import Iterator

from standfast.model.standard import Standard

BREATH = "Holding the breath under water can cause loss of consciousness without warning."
ALWAYS = (
    "Nobody is tested or trains alone.",
    "Safety staff have nothing else to do.",
    "Anyone may stop the test at any moment, without giving a reason.",
    "Local rules and licensed practice come before this page.",
    "The program that made this page is no safety device: it watches over nobody.",
)
_NEAR_WATER = re.compile(
    r"\b(?:(?:under)?water|breath|apn[eo]|hypox|lungs?\b|swim|swam|swum|div(?:e|es|er|ers|ed|ing)\b|dove\b|pool|submer"
    r"|immers|surfac|snorkel|tread|drown|a?float|buoy|(?:life)?boat|raft|canoe|kayak|dock|jetty|quay|pier|harbour"
    r"|(?:sea|a)?shore|beach|river|stream|lake|canal|pond|sea\b|ocean|surf|waves?\b|tid(?:e|es|al)\b|flood|bath)",
    re.IGNORECASE,
)


def usual_cautions(standard: Standard) -> tuple[str, ...]:
    """The one on breath comes first, unless nothing that the author wrote could be of water or of breath."""
    near_water = any(_NEAR_WATER.search(re.sub("[_.]", " ", text)) for text in _texts(standard))
    return (BREATH, *ALWAYS) if near_water else ALWAYS


def _texts(standard: Standard) -> Iterator[str]:
    """Every name and sentence an author wrote, acceptances and worked logs left out."""
    yield from (standard.name, standard.title, standard.authority or "", *standard.cautions, *standard.guidance)
    for mark in standard.marks:
        yield from (mark.name, mark.title, *mark.choices)
    for rule in standard.rules():
        yield from (rule.path, rule.sentence or "")
    for event in standard.events:
        for clause in event.clause.walk():
            yield from (clause.path, clause.title or "", *clause.guidance)
    yield from (case.title for case in standard.cases)
