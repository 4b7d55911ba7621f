"""What proof finds in the text of a standard, and the log of a finding replayed as the worked case it is."""

from collections.abc import Callable

import pytest

from standfast.definition import judge
from standfast.diagnostic import Diagnostic
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_standard
from standfast.proofing.cases import case_findings, case_log, case_standard
from standfast.proofing.findings import proof
from standfast.source import Source
from standfast.verdict import Verdict


def load(text: str) -> Standard:
    standard, found = load_standard(Source("a.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def _all_findings(text: str) -> tuple[Diagnostic, ...]:
    standard = load(text)
    failed = [finding for case in standard.cases for finding in case_findings(standard, case)]
    return (*failed, *proof(standard).findings)


def _shown(text: str, log: tuple[str, ...], end: str | None = None) -> Verdict:
    """The verdict on a finding's log set into the text as a case; `end` takes the place of an end it may have."""
    lines = [line for line in log if end is None or not line.endswith(" end")]
    lines += [] if end is None else [f"    {end} end"]
    case = "\n".join(f"    {line}" for line in (*lines, "gives UNFINISHED"))
    standard = load(f'{text}\ncase "shows it"\n{case}\n')
    about, session = case_standard(standard, standard.cases[-1]), case_log(standard, standard.cases[-1])
    (verdict,) = grade(about, session)
    assert (verdict,) == judge(about, session)
    return verdict


@pytest.fixture(scope="session")
def all_findings() -> Callable[[str], tuple[Diagnostic, ...]]:
    return _all_findings


@pytest.fixture(scope="session")
def shown() -> Callable[..., Verdict]:
    return _shown
