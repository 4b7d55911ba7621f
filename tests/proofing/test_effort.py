"""Where the work of proof comes to its end: what was not looked at is undecided, and nothing more is said."""

from pathlib import Path
from typing import Any

import pytest

from standfast.machine.compile import compile_standard
from standfast.machine.effort import Effort
from standfast.machine.explore import Explorer
from standfast.machine.zone import Zone
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing import survey
from standfast.proofing.findings import Proof, proof
from standfast.proofing.samples import samples
from standfast.source import Source

ROOT = Path(__file__).parents[2]
STANDARDS = [
    *(ROOT / "standards").glob("line_and_sprint/*.standard"),
    *(ROOT / "standards").glob("stretcher_drill/*.standard"),
    *(ROOT / "tests/published").glob("steep_turn.standard"),
    *(ROOT / "tests/quick").glob("duties.standard"),
    *(ROOT / "tests/quick").glob("together.standard"),
]
TEXTS = {
    **{path.stem: path.read_text(encoding="utf-8") for path in STANDARDS},
    **{
        code: next(one.text for one in samples(code) if one.bad)
        for code in ("D101", "D103", "D105", "D107", "D109")
    },
}


def loaded(text: str) -> Standard:
    standard, _ = load_standard(Source("a.standard", text))
    assert standard is not None
    return standard


def said(of: Proof) -> set[tuple[str, str]]:
    return {(each.code.number, "" if each.span is None else f"{each.span.line}") for each in of.findings}


@pytest.mark.parametrize("name", sorted(TEXTS))
def test_with_less_effort_less_is_said_and_never_more(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    standard = loaded(TEXTS[name])
    whole, known = proof(standard), set[str]()
    assert whole.undecided == ()
    for effort in (0, 10, 50, 200, 600, survey.MOST_EFFORT):
        monkeypatch.setattr(survey, "MOST_EFFORT", effort)
        part = proof(standard)
        assert said(part) <= said(whole)
        assert said(part) == said(whole) or part.undecided
        for event, full in zip(part.events, whole.events, strict=True):
            assert event == full or (not event.decided and event.label in part.undecided)
        known.add(str(part.undecided))
    assert part == whole and len(known) > 1


def obstructed() -> str:
    """Six kinds of candidate, and for each a step nobody passes behind four that may come in any order."""
    marks, steps = ["reel", "touch", "slip", "bell"], ""
    for number, mark in enumerate(marks):
        steps += f"        step part_{number}\n            until {mark}\n            within {9 + number} s\n"
        steps += f"            fail on {mark} out of order\n"
    return (
        'standard a "A"\n    edition "1"\n    in force from 2026-01-01\n    caution "c"\n'
        'candidate\n    duty is one of red, green, blue "A duty"\n    crew is one of shore, boat "A crew"\n'
        + 'marks\n    go "A signal"\n'
        + "".join(f'    {mark} "A mark"\n' for mark in marks)
        + "event main\n    attempts 2\n    start on go\n    fail on slip more than twice\n"
        + f"    in any order parts\n{steps}"
        + "    step last_one\n        for 9 s\n        under 5 s\n"
        + "    step red_one\n        only for duty red\n        until bell\n"
        + "    step green_one\n        only for duty green\n        until bell\n"
        + "    step boat_one\n        only for crew boat\n        until touch\n"
    )


@pytest.mark.parametrize("effort", [500, 2_000])
def test_all_searches_together_take_no_more_than_the_effort(effort: int, monkeypatch: pytest.MonkeyPatch) -> None:
    steps, working = 0, Explorer._work

    def counted(*given: Any) -> Any:
        nonlocal steps
        steps += 1
        return working(*given)

    standard = loaded(obstructed())
    monkeypatch.setattr(Explorer, "_work", counted)
    whole = proof(standard)
    assert steps > 6_000
    steps = 0
    monkeypatch.setattr(survey, "MOST_EFFORT", effort)
    part = proof(standard)
    assert said(part) == said(whole) or part.undecided
    assert effort / 4 < steps < 3 * effort


def test_a_step_with_many_clocks_takes_more_of_the_effort() -> None:
    machine = compile_standard(loaded(TEXTS["D101"]))
    few, many = Effort(100), Effort(100)
    for effort, clocks in ((few, 3), (many, 60)):
        zone = Zone.start().with_clocks(dict.fromkeys(range(clocks), True))
        Explorer(machine, effort=effort)._affords(zone)
    assert few.left == 99 and many.spent and not many.takes(1)
