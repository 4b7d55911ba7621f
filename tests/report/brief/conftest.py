"""A standard with every construct, and where sentences are made."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.report.brief.setting import Setting, Voice
from standfast.source import Source


@pytest.fixture(scope="session")
def harbour() -> Standard:
    path = Path(__file__).with_name("harbour_check.standard")
    standard, found = load_standard(Source(path.name, path.read_text(encoding="utf-8")))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


@pytest.fixture(scope="session")
def setting(harbour: Standard) -> Callable[[str, Voice], Setting]:
    """The setting of the clause with this path; of `always` for an empty one."""

    def find(path: str, voice: Voice) -> Setting:
        if not path:
            return Setting(harbour, voice)
        label, *inner = path.split(".")
        event = next(event for event in harbour.events if event.label == label)
        found = Setting(harbour, voice, event, event.clause)
        for label in inner:
            assert found.clause is not None
            found = found.inside([item.label for item in found.clause.items].index(label))
        return found

    return find
