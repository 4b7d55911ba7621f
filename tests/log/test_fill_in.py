"""Log sheets: filled in they are the log, as printed a log of nothing, and what is forgotten is refused."""

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import pytest
from attrs import evolve
from environment import ROOT
from shipped import folders, logs

from standfast.command.shelf import shelf
from standfast.log.entry import Entry, SessionLog
from standfast.log.fill_in import Sitting, fill_in_bytes, printed_marks
from standfast.log.reader import read_log
from standfast.log.roster import Listed, read_roster
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_log
from standfast.quantity import clock
from standfast.verdict import Verdict

STRANGE = (
    "=cmd()",
    "<script>alert(1)</script>",
    "\u200fabc\u200e",
    "-1",
    "a, b",
    "C;1",
    'say "x"',
    "x for y",
    "_",
    "@x",
)
SHIPPED = [log for folder in folders(ROOT) for log in logs(folder)]
Rows = list[dict[str, str]]


def shipped(path: Path) -> tuple[Standard, SessionLog]:
    raw, _ = read_log(path.name, path.read_bytes())
    assert raw is not None
    standard, _ = shelf([str(path.parent.parent)]).find(raw.header)
    assert standard is not None
    log, found = load_log(path.name, path.read_bytes(), standard)
    assert log is not None, [d.message for d in found]
    return standard, log


def printed(standard: Standard, log: SessionLog, names: Sequence[str]) -> tuple[list[str], Rows]:
    """The header lines of a sheet for the log's candidates, and its rows."""
    roster = [
        Listed(name, tuple((fact, str(value)) for fact, value in log.facts.get(whose, {}).items()))
        for name, whose in zip(names, log.candidates, strict=True)
    ]
    sitting = Sitting(session=log.session, started=log.started, grader=log.grader)
    text = fill_in_bytes(standard, roster, sitting).decode("utf-8-sig")
    head = text.index("at,mark,")
    above = [line if "# condition " not in line else _condition(line, log) for line in text[:head].splitlines()]
    return above, list(csv.DictReader(io.StringIO(text[head:])))


def _condition(line: str, log: SessionLog) -> str:
    name = line.split()[2].removesuffix(":")
    stated = log.conditions.get(name)
    said = "_" if stated is None else str(stated)
    if isinstance(stated, bool):
        said = "yes" if stated else "no"
    return f"# condition {name}: {said}"


def fill_in(rows: Rows, entry: Entry, candidate: str, time: str) -> None:
    """As a grader does: the first row printed for it that is not filled in, or a row copied to the foot."""
    value = "" if entry.value is None else str(entry.value)
    fits = [
        row
        for row in rows
        if row["at"] == "_"
        and row["mark"] == entry.mark
        and row["candidate"].lstrip("'") == candidate.lstrip("'")
        and row["value"] in ("", value)
    ]
    row = fits[0] if fits else dict.fromkeys(rows[0], "")
    if not fits:
        rows.append(row)
    row |= {"at": time, "mark": entry.mark, "value": value, "candidate": row["candidate"] or candidate}
    row |= {"by": entry.by or "", "note": entry.note or ""}


def read_back(standard: Standard, above: list[str], rows: Rows) -> SessionLog:
    table = io.StringIO()
    writer = csv.DictWriter(table, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    log, found = load_log("sheet.csv", ("\n".join(above) + "\n" + table.getvalue()).encode(), standard)
    assert log is not None, [(d.code.number, d.message, d.span) for d in found]
    return log


def worth(verdict: Verdict) -> tuple[object, ...]:
    reasons = [(reason.path, reason.at, reason.figure) for reason in verdict.reasons]
    attempts = [
        (attempt.opened_at, attempt.ended_at, attempt.ending, [(r.path, r.at, r.margin) for r in attempt.reasons])
        for event in verdict.events
        for attempt in event.attempts
    ]
    return verdict.outcome, verdict.decided_at, verdict.points, verdict.grade, verdict.owed, reasons, attempts


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_sheet_filled_in_gives_the_verdict_of_the_log(path: Path) -> None:
    standard, log = shipped(path)
    names = STRANGE[: len(log.candidates)]
    called = dict(zip(log.candidates, names, strict=True))
    above, rows = printed(standard, log, names)
    for entry in log.entries:
        whose = "all" if entry.candidate is None else called[entry.candidate]
        fill_in(rows, entry, whose, clock(entry.at) + ("" if "." in clock(entry.at) else ".0"))
    if log.end is not None:
        (end,) = [row for row in rows if row["mark"] == "end"]
        end["at"] = clock(log.end)
    above = [line for line in above if not line.startswith("# started")]
    again = read_back(standard, above, rows)
    assert [each.at for each in again.entries] == [each.at for each in log.entries]
    by_hand, logged = grade(standard, again), grade(standard, evolve(log, corrections=(), uncorrected=None))
    assert [verdict.candidate for verdict in by_hand] == list(names)
    assert [worth(verdict) for verdict in by_hand] == [worth(verdict) for verdict in logged]


def test_as_printed_it_is_a_log_of_nothing() -> None:
    standard, _ = shipped(SHIPPED[0])
    roster = [Listed(name, ()) for name in STRANGE]
    data = fill_in_bytes(standard, roster, Sitting(session="=S"))
    raw, found = read_log("sheet.csv", data)
    assert raw is not None, [d.message for d in found]
    assert raw.header.candidates == STRANGE and raw.header.session == "=S"
    assert (raw.entries, raw.end, raw.conditions, raw.facts) == ((), None, (), ())
    for cells in csv.reader(io.StringIO(data.decode("utf-8-sig"))):
        assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    assert len(data.splitlines()) > len(STRANGE) * len(list(printed_marks(standard)))


ABOVE = "# session: S\n# standard: check\n# order: by candidate\n# candidate: C-1\n# candidate: C-2\n"


def read(rows: str, above: str = ABOVE) -> list[tuple[int, str, str | None]]:
    raw, found = read_log("a.csv", f"{above}at,mark,value,candidate,by,note\n{rows}".encode())
    assert raw is not None, [(d.code.number, d.message) for d in found]
    return [(e.number, e.mark, e.candidate) for e in raw.entries]


def refused(rows: str, above: str = ABOVE) -> list[str]:
    raw, found = read_log("a.csv", f"{above}at,mark,value,candidate,by,note\n{rows}".encode())
    assert raw is None
    return [d.code.number for d in found]


def test_rows_are_read_in_the_order_of_their_times() -> None:
    rows = "0:02.0,go,,C-1\n0:09.0,ashore,,C-1\n0:01.0,go,,C-2\n0:02.0,ashore,,C-2\n0:09.0,end\n_,ashore,,C-2\n"
    expected = [(1, "go", "C-2"), (2, "go", "C-1"), (3, "ashore", "C-2"), (4, "ashore", "C-1")]
    assert read(rows) == expected


def test_without_that_line_above_they_are_not_sorted() -> None:
    assert refused("0:02.0,go,,C-1\n0:01.0,go,,C-2\n", ABOVE.replace("# order: by candidate\n", "")) == ["L442"]
    assert refused("0:02.0,go,,C-1\n", ABOVE.replace("by candidate", "by lane")) == ["L486"]


def test_where_numbers_move_when_a_row_is_filled_in_nothing_is_corrected_by_number() -> None:
    """A strike of entry 2 would be of another candidate's entry as soon as an earlier time is filled in."""
    head, rows = "at,mark,candidate,strike,by,note\n", "0:02.0,go,C-1,,,\n0:03.0,ashore,C-1,,,\n,,,2,G-1,wrong\n"
    for above, expected in ((ABOVE, ["L498"]), (ABOVE.replace("# order: by candidate\n", ""), [])):
        _, found = read_log("a.csv", f"{above}{head}{rows}".encode())
        assert [each.code.number for each in found] == expected


@pytest.mark.parametrize("row", ["_,line_in,40 m,C-1", "_,go,,C-1,G-2", "_,go,,C-1,,splash"])
def test_what_is_filled_in_without_its_time_is_refused(row: str) -> None:
    assert refused(f"{row}\n") == ["L487"]


def test_an_empty_time_is_missing_and_not_left_blank() -> None:
    assert refused(",go,,C-1\n") == ["L413"]


def roster(text: str, standard: Standard) -> tuple[tuple[Listed, ...] | None, list[str]]:
    found, diagnostics = read_roster("roster.csv", text.encode(), standard)
    return found, [d.code.number for d in diagnostics]


def test_a_roster_is_read_as_a_spreadsheet_writes_it() -> None:
    standard = next(s for s, _ in map(shipped, SHIPPED) if s.facts)
    fact = standard.facts[0]
    value = (
        fact.choices[0] if fact.choices else f"30 {fact.unit.name}" if fact.unit and not fact.is_number else "30"
    )
    text = f'\ufeff{fact.name};candidate\r\n{value};\'=cmd()\r\n_;"a;b"\r\n;;\r\n'
    assert roster(text, standard) == (
        (Listed("=cmd()", ((fact.name, value),)), Listed("a;b", ())),
        [],
    )


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ["L401"]),
        ("name\nC-1\n", ["L488"]),
        ("candidate\n", ["L488"]),
        ("candidate,shoe_size\nC-1,44\n", ["L489"]),
        ("candidate,candidate\nC-1,C-2\n", ["L478"]),
        ("candidate\nC-1\nC-1\n", ["L451"]),
        ("candidate\nall\n", ["L452"]),
        ("candidate,\nC-1,44\n", ["L480"]),
        ("candidate\n\u202eC-1\n", ["L416"]),
        ('candidate\n"C\n1"\n', ["L416"]),
        ('candidate\n"C-1\n', ["L481"]),
    ],
)
def test_a_bad_roster_is_refused(text: str, expected: list[str]) -> None:
    standard, _ = shipped(SHIPPED[0])
    assert roster(text, standard) == (None, expected)


def test_a_fact_that_is_none_is_refused() -> None:
    standard = next(s for s, _ in map(shipped, SHIPPED) if s.facts)
    name = standard.facts[0].name
    found, codes = roster(f"candidate,{name}\nC-1,=1+1\n", standard)
    assert found is None and len(codes) == 1 and codes[0].startswith("L4")
