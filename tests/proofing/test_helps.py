"""What the help of a doubt says, done to its bad sample, answers the doubt; and so does accepting it."""

import re
from collections.abc import Callable

import pytest

from standfast.codes import doubts
from standfast.codes.code import Code
from standfast.diagnostic import Diagnostic
from standfast.proofing.samples import samples

Findings = Callable[[str], tuple[Diagnostic, ...]]

DOUBTS = sorted(
    code.number for code in vars(doubts).values() if isinstance(code, Code) and code.severity == "doubt"
)


LOADED = """\
standard pull "Pull"
    edition "1"
    in force from 2026-03-01

marks
    go "The starter's signal"
    load in kg "The load"

event pull "Pull"
    attempts 1
    start on go
    within 5 min
    until load {test}
"""


def bad(code: str) -> str:
    return next(sample.text for sample in samples(code) if sample.bad)


def first(found: tuple[Diagnostic, ...], code: str) -> Diagnostic:
    return next(one for one in found if one.code.number == code)


def below(text: str, number: int, line: str) -> str:
    """The text with a line put below one, as deep as that is."""
    lines = text.splitlines()
    pad = " " * (len(lines[number - 1]) - len(lines[number - 1].lstrip()))
    return "\n".join([*lines[:number], pad + line, *lines[number:]]) + "\n"


def open_doubts(found: tuple[Diagnostic, ...]) -> list[str]:
    return [one.code.number for one in found if one.accepted is None]


@pytest.mark.parametrize("code", DOUBTS)
def test_a_doubt_says_how_it_is_accepted(code: str, all_findings: Findings) -> None:
    one = first(all_findings(bad(code)), code)
    line = f'accept {code} "why"'
    assert one.help.endswith(f"; or, if it is meant, write `{line}` in its block")
    header = "in force from 2026-03-01"
    assert code not in open_doubts(all_findings(bad(code).replace(header, f"{header}\n    {line}")))


def test_what_is_no_doubt_does_not_say_so(all_findings: Findings) -> None:
    for code in ("P101", "A101"):
        assert "if it is meant" not in first(all_findings(bad(code)), code).help


@pytest.mark.parametrize("code", ["D104", "D112", "D116"])
def test_the_line_it_gives_as_an_example_answers_it(code: str, all_findings: Findings) -> None:
    one = first(all_findings(bad(code)), code)
    example = re.search("`([^`]+)`", one.help) if code != "D112" else None
    line = example[1] if example is not None else "within 5 min"
    assert one.span is not None
    place = one.span.line + (2 if code == "D104" else 0)
    assert code not in open_doubts(all_findings(below(bad(code), place, line)))


@pytest.mark.parametrize(
    ("test", "example"),
    [
        ("at least 5 kg", "fail on load under 5 kg"),
        ("over 5 kg", "fail on load at most 5 kg"),
        ("at most 5 kg", "fail on load over 5 kg"),
        ("under 5 kg", "fail on load at least 5 kg"),
        ("exactly 5 kg", "fail on load under 5 kg"),
        ("from 5 kg to 6 kg", "fail on load under 5 kg"),
    ],
)
def test_other_amounts_are_answered_by_the_line_it_gives(test: str, example: str, all_findings: Findings) -> None:
    text = LOADED.format(test=test)
    one = first(all_findings(text), "D116")
    assert f"for example `{example}`" in one.help
    assert "D116" not in open_doubts(all_findings(f"{text}    {example}\n"))
