"""Verdicts with what they were given by: of the shipped logs, and of a harbour swim with many entries."""

from collections.abc import Callable
from pathlib import Path

import pytest

from standfast.command.verdict_page import VerdictPage
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_log, load_standard
from standfast.quantity import Quantity
from standfast.report.verdict_page.judged import Judged
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[3]
HERE = Path(__file__).parent


def judge(standard: Path, log: Path, doubt: Quantity | None = None) -> list[Judged]:
    understood, found = load_standard(Source(standard.name, standard.read_text(encoding="utf-8")))
    assert understood is not None, [d.message for d in found]
    session, found = load_log(log.name, log.read_bytes(), understood)
    assert session is not None, [d.message for d in found]
    return judged(understood, session, doubt)


def judged(standard: Standard, session: SessionLog, doubt: Quantity | None = None) -> list[Judged]:
    page = VerdictPage("not_written.html")
    page.add(standard, session, grade(standard, session, doubt))
    return page.judged


@pytest.fixture(scope="session")
def shipped() -> Callable[..., list[Judged]]:
    """The verdicts of a log of the boat crew entry check."""

    def find(log: str, doubt: Quantity | None = None) -> list[Judged]:
        home = ROOT / "standards/boat_crew_entry"
        return judge(home / "boat_crew_entry_2.standard", home / f"logs/{log}.jsonl", doubt)

    return find


@pytest.fixture(scope="session")
def swum() -> Callable[[str], list[Judged]]:
    """The verdicts of a log of the harbour swim."""
    return lambda log: judge(HERE / "harbour_swim.standard", HERE / f"{log}.jsonl")


@pytest.fixture(scope="session")
def every() -> list[Judged]:
    """All verdicts of all shipped logs that are of the newest edition of their standard."""
    found: list[Judged] = []
    for home in sorted((ROOT / "standards").iterdir()):
        standards = sorted(home.glob("*.standard"))
        if not standards:
            continue
        understood, _ = load_standard(Source(standards[-1].name, standards[-1].read_text(encoding="utf-8")))
        assert understood is not None
        for log in sorted(home.glob("logs/*.jsonl")):
            session, _ = load_log(log.name, log.read_bytes(), understood)
            if session is not None and session.edition in (None, understood.edition):
                found += judged(understood, session)
    assert len(found) > 90
    return found
