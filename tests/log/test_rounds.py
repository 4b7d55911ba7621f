"""A round named in a log: in words or by its measure, never as a bare number."""

import json

import pytest

from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.pipeline import load_standard
from standfast.source import Source

TEXT = """\
standard check "A check"
    edition "1"
    in force from 2026-01-01

marks
    go "The signal"
    lap names a round "In time"
    jump names a round "Over the bar"
    lift names a round "Up and locked"
    spare names a round "Of no rounds"

event all_of_it
    attempts 1
    start on go
    rounds ladder
        level 5: shuttle 1 to 3
        level 6: shuttle 1 to 10
        until lap
    rounds bar
        at 1.91 m, 1.93 m
        until jump
    rounds lifts
        3 rounds
        until lift
"""

SUCH_AS = "write a round such as `level 6 shuttle 10`"


def bound(mark: str, value: object) -> tuple[SessionLog | None, list[tuple[str, str, str]]]:
    standard, found = load_standard(Source("check.standard", TEXT))
    assert standard is not None and found == ()
    entry = {"at": "0:00", "mark": mark} | ({} if value is None else {"value": value})
    lines = [{"session": "S", "standard": "check", "candidate": "C-1"}, entry]
    raw, problems = read_log("log.jsonl", "\n".join(map(json.dumps, lines)).encode())
    assert raw is not None and problems == ()
    log, problems = bind(raw, standard)
    return log, [(each.code.number, each.message, each.help) for each in problems]


@pytest.mark.parametrize(
    ("mark", "value", "words"),
    [
        ("lap", None, None),
        ("lap", "level 6 shuttle 10", "level 6 shuttle 10"),
        ("lap", " level  6 shuttle 1", "level 6 shuttle 1"),
        ("jump", "1.93 m", "1.93 m"),
        ("jump", "193 cm", "1.93 m"),
        ("lift", "round 3", "round 3"),
        ("spare", None, None),
    ],
)
def test_a_round_in_words(mark: str, value: object, words: str | None) -> None:
    log, problems = bound(mark, value)
    assert log is not None and problems == []
    assert log.entries[0].value == words


@pytest.mark.parametrize(
    ("mark", "value", "code", "helped"),
    [
        ("lap", 6.1, "L495", "write `level 6 shuttle 1` or `level 6 shuttle 10`"),
        ("lap", "6.10", "L495", "write `level 6 shuttle 1` or `level 6 shuttle 10`"),
        ("lap", "6.3", "L495", "write `level 6 shuttle 3`"),
        ("lap", 51, "L495", "write a round such as `level 6 shuttle 10`"),
        ("jump", "1.93", "L495", "write `1.93 m`"),
        ("lift", 3, "L495", "write `round 3`"),
        ("lap", "level 6 shuttle 11", "L496", "write `level 6 shuttle 1`, if that is meant"),
        ("jump", "1.95 m", "L496", "write `1.93 m`, if that is meant"),
        (
            "lap",
            "far",
            "L496",
            "write a round such as `level 6 shuttle 10`, or leave the value out for the open one",
        ),
        ("go", "level 6 shuttle 1", "L465", "take the value out, or put it into `note`"),
        ("spare", "round 1", "L465", "take the value out, or put it into `note`"),
    ],
)
def test_what_is_refused(mark: str, value: object, code: str, helped: str) -> None:
    log, problems = bound(mark, value)
    assert log is None
    assert [(each[0], each[2]) for each in problems] == [(code, helped)]
    assert f"`{value}`" in problems[0][1]


@pytest.mark.parametrize(
    ("decimals", "meant"),
    [("1" + "0" * 5_000, "write `level 6 shuttle 1` or `level 6 shuttle 10`"), ("1" * 5_000, SUCH_AS)],
)
def test_a_number_as_long_as_a_page_is_refused_like_any_other(decimals: str, meant: str) -> None:
    log, problems = bound("lap", f"6.{decimals}")
    assert log is None
    assert [(code, says) for code, _, says in problems] == [("L495", meant)]
