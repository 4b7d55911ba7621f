"""Slips that authors make, each mended as its help says: what stands in backquotes put where it points reads."""

import re

import pytest

from standfast.diagnostic import Diagnostic
from standfast.pipeline import load_standard
from standfast.source import Source

BLOCKS = """\
standard sample "Sample"
    #edition
    in force from 2026-03-01
    #header

conditions
    depth at least 2 m
    #conditions

marks
    go "A signal"
    call "A call"
    hit "A hit"
    paid in m "Rope paid out"
    lamp is one of red, green "A lamp"
    #marks

event main "Main"
    attempts 2
    start on go
    #event
    step early
        until hit
        #step
    #rest
    step later
        start on call
        #goal

case "an example"
    log
        0:00 go
    #gives
"""
STANDING = {"edition": 'edition "1"', "goal": "until hit", "gives": "gives UNFINISHED"}


def text_with(block: str, line: str) -> str:
    """The standard with one line of one block written so; its further lines go below it."""
    text = BLOCKS
    for each in re.findall("#([a-z]+)", BLOCKS):
        said = line if each == block else STANDING.get(each, "")
        (pad,) = re.findall(f"( *)#{each}\n", text)
        text = text.replace(f"#{each}", said.replace("\n", f"\n{pad}"))
    return text


def found_in(text: str) -> tuple[Diagnostic, ...]:
    return load_standard(Source("a.standard", text))[1]


WRITTEN = [
    ("conditions", "wave from 1 to 2 m"),
    ("conditions", "wave from 1 m to 2"),
    ("conditions", 'whistle "yes"'),
    ("conditions", 'whistle "no" "Not worn"'),
    ("conditions", "no alcohol"),
    ("conditions", 'no alcohol "Sober"'),
    ("conditions", "wave more than 10 m"),
    ("edition", 'version "2a"'),
    ("edition", "version 2"),
    ("header", 'warning "Cold water can kill"'),
    ("step", "fail on paid from 1 to 2 m"),
    ("step", "fail on paid more than 10 m"),
    ("step", "fail on paid less than 10 m"),
    ("step", "fail on paid no more than 10 m"),
    ("step", "fail on call more than 2"),
    ("step", "restart on call at once"),
    ("step", "restart on call at once, at most twice"),
    ("step", "restart on call, at most 1"),
    ("step", "restart on call, at most 3"),
    ("step", "fail on red"),
    ("step", "fail on lamp red and green"),
    ("step", "before 3 min"),
    ("step", "at least 3 min"),
    ("step", "not over 30 s"),
    ("step", "not after 30 s"),
    ("step", "not longer than 30 s"),
    ("step", "not more than 30 s"),
    ("step", "at most 30 s"),
    ("event", "fail on call out-of-order"),
    ("event", "any order flags\n    step flag\n        until call"),
    ("rest", "rest from 20 to 30 s, else note"),
    ("goal", "until three calls"),
    ("goal", "until paid more than 10 m"),
    ("goal", "until red"),
    ("gives", "gives main UNFINISHED"),
    ("gives", "gives main VOID\n"),
    *(("marks", f'spot is one of {choices} "A spot"') for choices in ("near/far", "near / far", "near or far")),
    ("marks", 'spot is one of near, middle, and far "A spot"'),
]


@pytest.mark.parametrize(("block", "line"), WRITTEN)
def test_what_the_help_puts_in_backquotes_reads_where_it_points(block: str, line: str) -> None:
    text = text_with(block, line)
    (one,) = (each for each in found_in(text) if each.code.number[0] in "RM")
    near = re.search("write `([^`]+)`", one.help)
    assert near is not None and one.span is not None, one.help
    left = found_in(text[: one.span.start] + near[1] + text[one.span.end :])
    assert [each.message for each in left] == []


ADVISED = [
    ("step", "fail on hit and call more than once", ["fail on hit more than once", "fail on call more than once"]),
    ("step", "fail on hit or call", ["fail on hit", "fail on call"]),
    ("goal", "until paid 40 m", ["until paid totals 40 m"]),
    ("goal", "until paid 40 m", ["until paid at least 40 m"]),
    ("step", "within 0 calls", ["before 1 call"]),
    ("event", 'title "Main"', []),
]


@pytest.mark.parametrize(("block", "line", "mended"), ADVISED)
def test_what_the_help_says_to_write_reads(block: str, line: str, mended: list[str]) -> None:
    (one,) = found_in(text_with(block, line))
    assert all(f"`{each}`" in one.help for each in mended)
    assert found_in(text_with(block, "\n".join(mended))) == ()


@pytest.mark.parametrize(
    ("found", "line", "told"),
    [
        ("attempts 2", "attempts 0", "write a number above nought, or `without limit`"),
        ("until hit\n        #step", "until 0 hits", "write a number above nought"),
        ("attempts 2", "attempts 2, rest at least 0 s between, else note", "write a number above nought"),
    ],
)
def test_a_nought_is_told_alone(found: str, line: str, told: str) -> None:
    (one,) = found_in(text_with("none", "").replace(found.replace("#step", ""), line))
    assert (one.code.number, one.help) == ("M230", told)


def test_quotation_marks_of_a_word_processor_are_told_once_a_file() -> None:
    text = text_with("header", "caution “one”\nguidance \u2018two\u2019").replace('"', "”")
    assert [each.code.number for each in found_in(text)] == ["R128", "R128"]
    assert found_in(text.replace("“", '"').replace("”", '"').replace("\u2018", '"').replace("\u2019", '"')) == ()


@pytest.mark.parametrize("line", ["\tuntil hit", "    \tuntil hit"])
def test_mixed_indentation_is_told_alone(line: str) -> None:
    text = text_with("none", "")
    (one,) = found_in(text.replace("        until hit", line, 1))
    assert one.code.number == "R102" and "with blanks, four a level" in one.help
    tabs = text.replace("    ", "\t")
    (one,) = found_in(tabs.replace("\t\tuntil hit", "        until hit", 1))
    assert one.code.number == "R102" and "with tabs, one a level" in one.help
    assert found_in(tabs) == ()


@pytest.mark.parametrize("number", [1, 5, 500])
def test_line_ends_of_returns_alone_are_told_once_and_to_be_replaced(number: int) -> None:
    text = text_with("none", "")
    (one,) = found_in(text.replace("\n", "\r", number))
    assert one.code.number == "R101" and "put a line end in its place" in one.help
