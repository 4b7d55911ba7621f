"""Each reader on bytes of any kind, and what it must hold to: an `AssertionError` says what was broken.

Held to by all: a value or errors, never both and never neither; messages that can be shown, each with a place in
the text; and what was read, written and read again, is the same.
"""

import json
import re
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path
from unicodedata import category

from standfast.codes.files import NOT_KEPT
from standfast.command.tidy import tidied
from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.entry import SessionLog
from standfast.log.fill_in import Sitting, fill_in_bytes
from standfast.log.reader import is_sheet
from standfast.log.roster import read_roster
from standfast.log.sheet_writer import csv_bytes
from standfast.log.writer import log_bytes
from standfast.model.standard import Standard
from standfast.pipeline import load_log, load_standard
from standfast.report.diagnostic_text import picture
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[2]
_MOST_OF_A_LOG = 51  # diagnostics, with the one that says how many more there are
_MOST_OF_READING = 101  # of a rule file, before its meaning is looked at
_LONGEST = 400  # characters of a message about a log, which cites names only in part
_UNSAFE = {"Cc", "Cf", "Cs", "Zl", "Zp"}  # kinds of characters that move, turn or hide what is shown


def read_json_lines(data: bytes) -> None:
    if not is_sheet("log.jsonl", data):
        _read_log("log.jsonl", data)


def read_table(data: bytes) -> None:
    _read_log("log.csv", data)


def read_rosters(data: bytes) -> None:
    """With the sheet printed for those listed, which is read as a log of nothing."""
    standard = max(standards(), key=lambda each: len(each.facts))
    roster, found = read_roster("roster.csv", data, standard)
    _hold_of_a_log(roster, found)
    if roster is not None:
        printed = fill_in_bytes(standard, roster, Sitting(session="S"))
        log, found = load_log("sheet.csv", printed, standard)
        assert log is not None, f"the sheet is not read: {found[0].message}"
        assert (log.candidates, log.entries) == (tuple(each.candidate for each in roster), ()), "it says more"
        kept = [{*log.facts.get(each.candidate, ())} == {name for name, _ in each.facts} for each in roster]
        assert all(kept), "a fact is lost"


def read_rules(data: bytes) -> None:
    """With its printing, which reads the tidy text again and holds it against the first."""
    try:
        source = Source("rules.standard", data.decode("utf-8"))
    except UnicodeDecodeError:
        return  # refused before it comes to the reader
    text, found = tidied(source)
    assert NOT_KEPT not in [each.code for each in found], "what was written is not kept"
    _hold(text, found)
    of_reading = sum(each.code.number.startswith("R") for each in found)
    assert of_reading <= _MOST_OF_READING, f"{of_reading} diagnostics"


READERS: Mapping[str, Callable[[bytes], None]] = {
    "logs": read_json_lines,
    "tables": read_table,
    "rosters": read_rosters,
    "rules": read_rules,
}


def _read_log(name: str, data: bytes) -> None:
    standard = _standard(data)
    log, found = load_log(name, data, standard)
    _hold_of_a_log(log, found)
    if log is not None:
        for ending, write in (("jsonl", log_bytes), ("csv", csv_bytes)):
            again, found = load_log(f"again.{ending}", write(log), standard)
            assert again is not None, f"{ending} is not read again: {found[0].message}"
            assert _rows(again) == _rows(log), f"{ending} is read as another log"


def _rows(log: SessionLog) -> list[dict[str, object]]:
    """The log as its lines, without what a table cannot say and no verdict hangs on: a time without decimals,
    blanks around a mark or value, a text that is empty and not left out.
    """
    rows = [json.loads(line) for line in log_bytes(log).splitlines()]
    return [{key: said for key, value in row.items() if (said := _said(key, value)) != ""} for row in rows]


def _said(key: str, value: object) -> object:
    if not isinstance(value, str) or key not in ("at", "end", "mark", "value"):
        return value
    return value.strip().removesuffix(".0") if key in ("at", "end") else value.strip()


def _hold_of_a_log(value: object, found: Sequence[Diagnostic]) -> None:
    _hold(value, found)
    assert len(found) <= _MOST_OF_A_LOG, f"{len(found)} diagnostics"
    longest = max((len(each.message) for each in found), default=0)
    assert longest <= _LONGEST, f"a message of {longest} characters"


def _hold(value: object, found: Sequence[Diagnostic]) -> None:
    assert (value is None) == has_errors(found), "a value and errors, or neither"
    for each in found:
        for span in (each.span, *(label.span for label in each.also)):
            assert span is not None, f"{each.code.number} has no place"
            assert 0 <= span.start <= span.end <= len(span.source.text), f"{each.code.number} is out of the text"
        drawn = picture(each).replace("\n", "")
        assert _UNSAFE.isdisjoint(map(category, drawn)), f"{each.code.number} is drawn with what a terminal obeys"


@cache
def standards() -> tuple[Standard, ...]:
    """The shipped ones; of one name the newest edition first."""
    found = []
    for path in sorted(ROOT.glob("standards/*/*.standard"), reverse=True):
        standard, _ = load_standard(Source(path.name, path.read_text(encoding="utf-8")))
        assert standard is not None, path
        found.append(standard)
    return tuple(found)


def _standard(data: bytes) -> Standard:
    """The one that a log names at its beginning; else any."""
    beginning = data[:500].decode("utf-8", "replace")
    named = [each for each in standards() if each.name in beginning]
    edition = re.search(r"edition\W+([\w.-]+)", beginning)
    that = [each for each in named if edition and each.edition == edition[1]]
    return (*that, *named, *standards())[0]
