"""Sound logs, and what is accepted of a file's form."""

import json
from hashlib import sha256

import pytest

from standfast.log.entry import RawLog
from standfast.log.reader import read_log

HEADER = '{"session":"S-1","standard":"check","candidate":"C-1"}\n'
FULL = (
    '{"session":"2026-04-11/lane-3","standard":"check","edition":"2.1","candidate":"C-014",'
    '"started":"2026-04-11T00:30:00+01:00","conditions":{"depth":"3.2 m","lookouts":2,"aid":true},'
    '"facts":{},"grader":"G-2"}\n'
    '{"at":"0:00","mark":"go"}\n'
    '{"at":"0:05.4","mark":"ashore"}\n'
    '{"at":"6:10","mark":"check","value":"fuel","by":"G-2","note":"free text,\\n two lines"}\n'
    '{"at":"74:05.5","mark":"line_in","value":"40 m"}\n'
    '{"at":"1:14:06","mark":"count","value":3.50}\n'
    '{"end":"1:19:20"}\n'
)


def read(text: str) -> RawLog:
    raw, diagnostics = read_log("good.jsonl", text.encode())
    assert diagnostics == ()
    assert raw is not None
    return raw


def test_a_whole_log() -> None:
    raw = read(FULL)
    header = raw.header
    assert (header.session, header.standard, header.edition) == ("2026-04-11/lane-3", "check", "2.1")
    assert (header.candidates, header.grader) == (("C-014",), "G-2")
    assert header.started is not None
    # The date as it is written, although it is still 10 April in UTC.
    assert (header.started.isoformat(), header.started_text) == ("2026-04-11", "2026-04-11T00:30:00+01:00")
    assert [(fact.name, fact.value) for fact in raw.conditions] == [
        ("depth", "3.2 m"),
        ("lookouts", "2"),
        ("aid", True),
    ]
    assert [(e.number, e.at, e.mark, e.value, e.by) for e in raw.entries] == [
        (1, 0, "go", None, None),
        (2, 5_400_000, "ashore", None, None),
        (3, 370_000_000, "check", "fuel", "G-2"),
        (4, 4_445_500_000, "line_in", "40 m", None),
        (5, 4_446_000_000, "count", "3.50", None),
    ]
    assert raw.entries[2].note == "free text,\n two lines"
    assert raw.end == 4_760_000_000
    assert raw.digest == sha256(FULL.encode()).hexdigest()


def test_spans_stand_on_what_was_written() -> None:
    raw = read(FULL)
    entry = raw.entries[3]
    assert entry.value_span is not None
    assert (entry.span.line, entry.mark_span.text, entry.value_span.text) == (5, "line_in", "40 m")
    assert [(f.name_span.text, f.span.text) for f in raw.conditions] == [
        ("depth", "3.2 m"),
        ("lookouts", "2"),
        ("aid", "true"),
    ]


@pytest.mark.parametrize(
    "data",
    [
        b"\xef\xbb\xbf" + FULL.encode(),
        FULL.replace("\n", "\r\n").encode(),
        FULL.encode() + b"\n \r\n\t\n",
        FULL.encode().rstrip(b"\n"),
        FULL.replace('{"', ' { "').replace('":', '" :\t').encode(),
    ],
    ids=["byte order mark", "CR LF", "blank lines at the end", "no last line end", "blanks inside"],
)
def test_forms_that_mean_the_same(data: bytes) -> None:
    raw, diagnostics = read_log("good.jsonl", data)
    assert diagnostics == ()
    assert raw is not None
    assert (raw.header, raw.conditions, raw.entries, raw.end) == (
        read(FULL).header,
        read(FULL).conditions,
        read(FULL).entries,
        read(FULL).end,
    )
    assert raw.entries[3].mark_span.text == "line_in"
    assert raw.digest == sha256(data).hexdigest()


def test_one_instant_may_have_many_entries_and_the_end() -> None:
    raw = read(HEADER + '{"at":"0:05","mark":"a"}\n{"at":"0:05.000000","mark":"b"}\n{"end":"0:05"}\n')
    assert [entry.at for entry in raw.entries] == [5_000_000, 5_000_000]
    assert raw.end == 5_000_000


def test_a_log_in_which_nothing_happened() -> None:
    assert read(HEADER).entries == ()


@pytest.mark.parametrize("offset_zero", ["+00:00", "-00:00", "Z", "z"])
def test_timestamps_count_from_the_zero(offset_zero: str) -> None:
    header = json.dumps(
        {"session": "S", "standard": "check", "candidate": "C", "started": f"2026-04-11T08:00:00{offset_zero}"}
    )
    raw = read(
        f'{header}\n{{"at":"2026-04-11t09:00:05.25+01:00","mark":"go"}}\n{{"at":"2026-04-11T13:45:06+05:45","mark":"a"}}\n'
        '{"end":"2026-04-10T21:01:00-11:00"}\n'
    )
    assert [entry.at for entry in raw.entries] == [5_250_000, 6_000_000]
    assert raw.end == 60_000_000


@pytest.mark.parametrize(
    ("header", "entries", "candidates"),
    [
        ('"candidate":"C-1"', [None, "all", "C-1"], ("C-1",)),
        ('"candidates":["C-1","C-2"]', ["all", "C-2", "C-1"], ("C-1", "C-2")),
        ('"candidates":["C-1"]', [None, "C-1"], ("C-1",)),
        ('"grader":"G"', ["all", "C-2", "C-1"], ()),
    ],
)
def test_candidates(header: str, entries: list[str | None], candidates: tuple[str, ...]) -> None:
    text = f'{{"session":"S","standard":"check",{header}}}\n'
    for name in entries:
        text += (
            '{"at":"0:00","mark":"go"}\n'
            if name is None
            else f'{{"at":"0:00","mark":"go","candidate":"{name}"}}\n'
        )
    raw = read(text)
    assert raw.header.candidates == candidates
    assert [entry.candidate for entry in raw.entries] == entries


def test_times_are_exact_to_the_microsecond() -> None:
    times = ["0:00.000001", "0:00.1", "0:01.999999", "59:59.999999", "1:00:00.000001", "999999999:00"]
    raw = read(HEADER + "".join(f'{{"at":"{time}","mark":"go"}}\n' for time in times))
    assert [e.at for e in raw.entries] == [
        1,
        100_000,
        1_999_999,
        3_599_999_999,
        3_600_000_001,
        59_999_999_940_000_000,
    ]


def shown(started: str, *times: str) -> str | None:
    entries = "".join(f'{{"at":"{at}","mark":"go"}}\n' for at in times)
    raw = read(HEADER.replace('"candidate"', f'"started":"{started}","candidate"') + entries)
    return None if raw.zero is None else raw.zero.isoformat()


def test_the_zero_of_a_log_of_timestamps_is_shown_in_the_zone_of_its_header() -> None:
    assert shown("2026-04-11T00:30:00.5+01:00", "2026-04-11T00:31:00+01:00") == "2026-04-11T00:30:00.500000"
    assert shown("2026-04-11T23:30:00-02:30", "2026-04-12T02:31:00Z") == "2026-04-11T23:30:00"
    assert shown("2026-04-11T10:00:00Z", "2026-04-11T10:00:00Z") == "2026-04-11T10:00:00"


def test_elapsed_times_and_a_leap_second_show_no_clock() -> None:
    assert shown("2026-04-11T00:30:00Z", "0:05") is None
    assert shown("2016-12-31T23:59:00Z", "2016-12-31T23:59:60Z", "2017-01-01T00:00:10Z") is None
    assert read(HEADER).zero is None
