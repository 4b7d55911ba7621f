"""Damaged logs: never an exception, and always either a log or an error with its place."""

import json
from collections.abc import Callable
from random import Random

import pytest

from standfast.diagnostic import Severity
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard

Rows = list[dict[str, object]]

ONE: Rows = [
    {
        "session": "S-1",
        "standard": "check",
        "edition": "2.1",
        "candidate": "C-1",
        "started": "2026-04-11T09:00:00+01:00",
        "conditions": {"depth": "3.2 m", "lookouts": 2, "aid": True},
        "facts": {},
    },
    {"at": "0:00", "mark": "go"},
    {"at": "0:05.4", "mark": "check", "value": "fuel", "by": "G-2", "note": "grün"},
    {"at": "1:00:05", "mark": "line_in", "value": "40 m"},
    {"at": "1:00:05", "mark": "ashore"},
    {"end": "1:10:00"},
]
SEVERAL: Rows = [
    {"session": "S-2", "standard": "check", "candidates": ["C-1", "C-2"], "started": "2016-12-31T23:59:50Z"},
    {"at": "2016-12-31T23:59:55Z", "mark": "go", "candidate": "all"},
    {"at": "2016-12-31T23:59:60.25Z", "mark": "line_in", "value": "0.5 m", "candidate": "C-1"},
    {"at": "2017-01-01T01:00:00+01:00", "mark": "ashore", "candidate": "C-2"},
]
VALUES: list[object] = [
    None, True, -1, 1.5, 10**30, "", "all", "0:00", "2017-01-01T00:00:00Z", "1990-12-31T23:59:60Z", "40 m", "4 kg",
    "\x00", "\ud800", "é", [], ["C-1"], {}, {"a": [1]}, "x" * 70_000,
]  # fmt: skip
KEYS = [
    "at",
    "mark",
    "value",
    "candidate",
    "candidates",
    "end",
    "session",
    "started",
    "strike",
    "facts",
    "a{b}",
    "`",
]


def written(rows: Rows) -> bytes:
    return "".join(json.dumps(row) + "\n" for row in rows).encode("utf-8")


def by_bytes(random: Random, rows: Rows) -> bytes:
    data = bytearray(written(rows))
    for _ in range(random.randint(1, 4)):
        place = random.randrange(len(data) + 1)
        what = random.randrange(4)
        if what == 0:
            data[place:place] = random.choice(
                [b'"', b"{", b"}", b"[", b",", b":", b"\n", b"\\", b"\xff", b"\x00", b"9"]
            )
        elif what == 1:
            del data[place : place + random.randint(1, 8)]
        elif what == 2:
            data[place : place + 1] = random.randbytes(1)
        else:
            data = data[:place] if random.random() < 0.3 else data + data[place:]
    return bytes(data)


def by_structure(random: Random, rows: Rows) -> bytes:
    changed = [dict(row) for row in rows]
    for _ in range(random.randint(1, 4)):
        row = random.choice(changed)
        what = random.randrange(5)
        if what == 0 and row:
            row.pop(random.choice(list(row)))
        elif what == 1:
            row[random.choice(KEYS)] = random.choice(VALUES)
        elif what == 2 and row:
            row[random.choice(list(row))] = random.choice(VALUES)
        elif what == 3:
            changed.insert(random.randrange(len(changed) + 1), dict(random.choice(changed)))
        else:
            random.shuffle(changed)
    return written(changed)


def graded(data: bytes, standard: Standard, name: str = "damaged.jsonl") -> SessionLog | None:
    raw, found = read_log(name, data)
    log = None
    if raw is not None:
        assert found == ()
        log, found = bind(raw, standard)
    assert (log is None) == any(diagnostic.severity is Severity.ERROR for diagnostic in found)
    lines = data.count(b"\n") + 1
    for diagnostic in found:
        assert diagnostic.span is not None
        assert 1 <= diagnostic.span.line <= lines
        assert diagnostic.span.column >= 1
        assert diagnostic.span.end <= len(diagnostic.span.source.text)
        said = f"{diagnostic.message} {diagnostic.help}"
        assert diagnostic.help
        assert said.isprintable()
        assert len(said) < 400
    return log


@pytest.mark.parametrize("damage", [by_bytes, by_structure])
@pytest.mark.parametrize("rows", [ONE, SEVERAL], ids=["one candidate", "several"])
def test_damaged_logs(damage: Callable[[Random, Rows], bytes], rows: Rows, standard: Standard) -> None:
    random = Random(f"{damage.__name__} {len(rows)}")
    assert graded(written(rows), standard) is not None
    whole = sum(graded(damage(random, rows), standard) is not None for _ in range(1500))
    # Most damage is seen; some (a digit of a time, a letter of a note) makes another sound log.
    assert 0 < whole < 700


PIECES = (
    b"# session: S\n",
    b"# standard: check\n",
    b"# candidate: C\n",
    b"at,mark",
    b"at;mark;value;note\n",
    b"0:00.0",
    b"go",
    b"end",
    b",",
    b";",
    b"\t",
    b'"',
    b'""',
    b"\n",
    b"\r\n",
    b"\r",
    b" ",
    b"#",
    b":",
    b"'",
    b"=",
    b"strike",
    b"amend",
    b"1",
    b"-",
    b"\xef\xbb\xbf",
    b"\xff",
    b"\x00",
    b"\xc3",
    b"40 m",
    b"3,2",
    b"fact a: b for c\n",
    b"# condition aid: yes\n",
    b"# fact",
    b",,,,",
    b"\n\n",
    b"00:40:00",
    b"x" * 70_000,
)


def test_random_tables_of_cells(standard: Standard) -> None:
    random = Random("tables")
    begin = (
        b"# session: S\n# standard: check\n# candidate: C\nat,mark,value,candidate,by,note,strike,amend,seen_by\n"
    )
    ended = []
    for _ in range(3000):
        parts = random.choices(PIECES[:-1] if random.random() < 0.98 else PIECES, k=random.randint(0, 40))
        data = (begin if random.random() < 0.6 else b"") + b"".join(parts)
        ended.append(graded(data, standard, "damaged.csv"))
    assert sum(log is not None for log in ended) > 10
