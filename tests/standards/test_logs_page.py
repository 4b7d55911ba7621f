"""The page on session logs: its logs give the verdicts it says, its entries are read, what it refuses is refused.

A block of `jsonl OUTCOME` or `csv OUTCOME` is a whole log; with several candidates `jsonl NAME OUTCOME, ...`.
Blocks of `entries` and `refused CODE` are lines under the header of the page's first log, or `in a log of several`
of its last; those of `refused csv CODE` stand under the header lines of its table.
"""

import re
from pathlib import Path

import pytest
from attrs import evolve

from standfast.command.continued import graded_together
from standfast.command.line import main
from standfast.diagnostic import Diagnostic
from standfast.live.follow import Follower
from standfast.log.amount import read_amount
from standfast.log.continued import Kept
from standfast.log.corrections import AMEND_KEYS, STRIKE_KEYS
from standfast.log.entry import SessionLog
from standfast.log.header import KEYS
from standfast.log.reader import ENTRY_KEYS, read_log
from standfast.log.sheet import COLUMNS
from standfast.log.sheet_header import SINGLE
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_log, load_standard
from standfast.proofing.cases import case_findings
from standfast.quantity import SECOND, Quantity
from standfast.report.live_text import live_text
from standfast.report.verdict_text import verdict_text
from standfast.source import Source

_HOME = Path(__file__).resolve().parents[2] / "standards"
_PAGE = (_HOME / "logs.md").read_text(encoding="utf-8")
_BLOCKS: list[tuple[str, str]] = [
    (info, text) for info, text in re.findall(r"^```([^\n]+)\n(.*?)^```$", _PAGE, re.M | re.S)
]
_LOGS = [(info.removeprefix("jsonl "), text) for info, text in _BLOCKS if info.startswith("jsonl ")]
_TABLES = [(info.removeprefix("csv "), text) for info, text in _BLOCKS if info.startswith("csv ")]
_REFUSED = [(info, text) for info, text in _BLOCKS if info.startswith("refused ")]
_ENTRIES = [text for info, text in _BLOCKS if info == "entries"]


def _standard() -> Standard:
    (text,) = [text for info, text in _BLOCKS if info == "standard"]
    standard, found = load_standard(Source("logs.md", text))
    assert standard is not None, [d.message for d in found]
    assert found == ()
    assert [d.message for case in standard.cases for d in case_findings(standard, case)] == []
    return standard


def _read(text: str) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    return load_log("logs.md", text.encode(), _standard())


def _header(log: int) -> str:
    return _LOGS[log][1].partition("\n")[0] + "\n"


def test_the_help_of_the_command_names_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["grade", "--help"])
    assert "session logs, standards/logs.md" in capsys.readouterr().out
    assert "(standards/logs.md)" in (_HOME.parent / "README.md").read_text(encoding="utf-8")


def test_the_page_has_its_examples() -> None:
    assert len(_LOGS) >= 6 and len(_REFUSED) >= 7 and len(_ENTRIES) >= 2
    assert len(_TABLES) >= 1
    assert {info.split()[0] for info, _ in _BLOCKS} == {
        "continued",
        "standard",
        "jsonl",
        "csv",
        "entries",
        "refused",
        "times",
        "live",
        "summary",
    }


@pytest.mark.parametrize(("outcomes", "text"), _LOGS + _TABLES)
def test_a_log_gives_the_verdict_it_is_said_to(outcomes: str, text: str) -> None:
    log, found = _read(text)
    assert log is not None, [d.message for d in found]
    verdicts = grade(_standard(), log)
    several = ", ".join(f"{verdict.candidate} {verdict.outcome.value}" for verdict in verdicts)
    assert outcomes in (several, verdicts[0].outcome.value)
    assert (outcomes == several) == (len(verdicts) > 1)


def test_logs_that_continue_each_other_give_the_verdict_they_are_said_to() -> None:
    logs = [(info.split()[1:], text) for info, text in _BLOCKS if info.startswith("continued ")]
    kept: list[Kept] = []
    for (name, *_), text in logs:
        (raw, _), (log, found) = read_log(name, text.encode()), load_log(name, text.encode(), _standard())
        assert raw is not None and log is not None, [d.message for d in found]
        kept.append(Kept(_standard(), raw.header, log))
    (together,) = graded_together(kept[::-1], None)
    assert together.verdict is not None and len(together.verdict.parts) == 2
    assert together.verdict.outcome.value == logs[-1][0][1]


def test_a_close_call_is_told_as_it_is_said_to() -> None:
    (place,) = [place for place, (info, _) in enumerate(_BLOCKS) if info.startswith("times within ")]
    log, _ = _read(_BLOCKS[place - 1][1])
    doubt = read_amount(_BLOCKS[place][0].removeprefix("times within "), "a doubt", SECOND)
    assert log is not None and isinstance(doubt, Quantity)
    (verdict,) = grade(_standard(), log, doubt)
    assert f"\n{_BLOCKS[place][1]}\n" in verdict_text(verdict)


def test_where_a_candidate_stands_is_shown_as_it_is_said_to() -> None:
    ((number, text),) = [
        (int(info.removeprefix("live ")), text) for info, text in _BLOCKS if info.startswith("live ")
    ]
    log, _ = _read(_LOGS[0][1])
    assert log is not None
    so_far = evolve(log, entries=log.entries[:number], end=None)
    assert live_text(Follower(_standard()).stand(so_far)) == text


@pytest.mark.parametrize("text", _ENTRIES)
def test_entries_are_read(text: str) -> None:
    log, found = _read(_header(0) + text)
    assert log is not None, [d.message for d in found]


@pytest.mark.parametrize(("info", "text"), _REFUSED)
def test_what_is_refused_is_refused_for_its_reason(info: str, text: str) -> None:
    if info.startswith("refused csv "):
        above = _TABLES[0][1].partition("at,")[0]
    else:
        above = _header(-1 if info.endswith("in a log of several") else 0)
    log, found = _read(above + text)
    assert log is None
    assert [d.code.number for d in found] == [
        info.removeprefix("refused csv ").removeprefix("refused ").split()[0]
    ]


def test_the_table_of_columns_names_each_of_them() -> None:
    (row,) = (line for line in _PAGE.splitlines() if line.startswith("| columns |"))
    assert set(re.findall(r"`(\w+)`", row)) == set(COLUMNS)
    assert all(f"`{key}`" in _PAGE for key in SINGLE)


def test_every_key_of_a_correction_has_its_row() -> None:
    section = _PAGE.split("\n## Corrections\n")[1].split("\n## ")[0]
    cells = re.findall(r"^\| (`.+?) \|", section, re.M)
    assert {key for cell in cells for key in re.findall(r"`(\w+)`", cell)} == {*STRIKE_KEYS, *AMEND_KEYS}


@pytest.mark.parametrize(("heading", "keys"), [("The header", KEYS), ("Entries", ENTRY_KEYS)])
def test_every_key_has_its_row(heading: str, keys: tuple[str, ...]) -> None:
    section = _PAGE.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    assert tuple(re.findall(r"^\| `(\w+)` \|", section, re.M)) == keys
