"""Slips in logs, each mended as its help says: what stands in backquotes put where it points can be graded."""

import re

import pytest

from standfast.diagnostic import Diagnostic
from standfast.log.bind import bind
from standfast.log.reader import read_log
from standfast.pipeline import load_standard
from standfast.source import Source

STANDARD = """\
standard sample "Sample"
    edition "1"
    in force from 2026-03-01

conditions
    wind under 25 kt

marks
    go "A signal"
    line in m "Line paid out"

event main "Main"
    attempts 1
    start on go
    until line totals 3 m
"""
HEADER = '"session":"S-1","standard":"sample","candidate":"C-1"'
GO = '{"at":"0:00","mark":"go"}'


def found_in(*lines: str) -> tuple[Diagnostic, ...]:
    standard, _ = load_standard(Source("a.standard", STANDARD))
    assert standard is not None
    raw, found = read_log("a.jsonl", ("\n".join(lines) + "\n").encode())
    return found if raw is None else bind(raw, standard)[1]


MENDED = [
    ('{"session":"S-1","standard":"sample","candidate":["C-1"]}', GO.replace("}", ',"candidate":"C-1"}')),
    ('{"session":"S-1","standard":"sample","candidates":"C-1"}', GO),
    (f'{{{HEADER},"date":"2026-04-11T09:00:00+01:00"}}', GO),
    (f'{{{HEADER},"version":"1"}}', GO),
    (f'{{{HEADER},"started":"2026-04-11"}}', GO),
    (f'{{{HEADER},"started":"morning"}}', GO),
    (f'{{{HEADER},"conditions":{{"wind":10}}}}', GO),
    (f"{{{HEADER}}}", '{"time":"0:00","mark":"go"}'),
    (f"{{{HEADER}}}", '{"at":"0:00","event":"go","examiner":"G-1"}'),
    (f"{{{HEADER}}}", GO, '{"at":"0:01","mark":"line","value":3}'),
    (f"{{{HEADER}}}", GO, '{"at":"0:05","mark":"end"}'),
]


def put(lines: tuple[str, ...], one: Diagnostic, near: str) -> list[str]:
    """The lines with the spot of a finding replaced; the whole line where an object is proposed."""
    assert one.span is not None
    text = "\n".join(lines)
    if near.startswith("{"):
        return [near if number == one.span.line else line for number, line in enumerate(lines, 1)]
    return (text[: one.span.start] + near + text[one.span.end :]).split("\n")


@pytest.mark.parametrize("lines", MENDED)
def test_what_the_help_puts_in_backquotes_mends_it(lines: tuple[str, ...]) -> None:
    while found := found_in(*lines):
        near = re.search("`([^`]+)`(?:, if that is meant)?$", found[0].help)
        assert near is not None, found[0].help
        mended = tuple(put(lines, found[0], near[1]))
        assert len(found_in(*mended)) < len(found), found[0].help
        lines = mended


@pytest.mark.parametrize(
    "lines",
    [
        (f"{{{HEADER}}}", '{"at":"0:00","mark":"go",}'),
        (f"{{{HEADER} , }}", GO),
        (f'{{{HEADER},"conditions":{{"wind":"10 kt",}}}}', GO),
        (f"{{{HEADER}}},", GO),
    ],
)
def test_a_comma_too_many_is_pointed_at_and_to_be_taken_out(lines: tuple[str, ...]) -> None:
    (one,) = found_in(*lines)
    assert one.span is not None and one.span.text == "," and one.help.startswith("take ")
    assert found_in(*put(lines, one, "")) == ()


def test_a_list_of_lines_loses_what_makes_it_one() -> None:
    found = found_in("[", f"{{{HEADER}}},", GO, "]")
    assert [one.span and one.span.text for one in found] == ["[", ",", "]"]
    assert all(one.help.startswith("take it out: a log is one object a line") for one in found)


@pytest.mark.parametrize(
    ("header", "spot"),
    [(HEADER.replace("sample", "simple"), "simple"), (f'{HEADER},"edition":"2"', "2")],
)
def test_what_a_log_is_not_kept_under_is_pointed_at(header: str, spot: str) -> None:
    (one,) = found_in(f"{{{header}}}", GO)
    assert one.span is not None and one.span.text == spot
