"""The short way through a regular log: the same log as by the careful way, or none."""

import pytest
from attrs.exceptions import FrozenInstanceError
from trials.readings import trial

from standfast.log import known, regular
from standfast.log.bind import bind
from standfast.log.entry import Entry, SessionLog
from standfast.log.known import Known
from standfast.log.reader import read_log
from standfast.log.regular import regular_log
from standfast.model.standard import Standard

HEADER = '{"session": "S-1", "standard": "check", "candidate": "C-1", "conditions": {"depth": "3 m", "aid": true}}'
SEVERAL = '{"session": "S-1", "standard": "check", "candidates": ["C-1", "C-2"]}'
GO = '{"at": "0:00", "mark": "go"}'


def written(*lines: str) -> bytes:
    return "".join(line + "\n" for line in lines).encode()


def short(data: bytes, standard: Standard) -> SessionLog | None:
    log = regular_log("a.jsonl", data)
    return None if log is None else Known(standard).session_log(log)


def careful(data: bytes, standard: Standard) -> SessionLog | None:
    raw, _ = read_log("a.jsonl", data)
    return None if raw is None else bind(raw, standard)[0]


def test_a_regular_log_is_read_as_the_careful_way_reads_it(standard: Standard) -> None:
    data = written(
        HEADER,
        GO,
        '{"at":"0:05.4","mark":"check","value":"fuel","by":"G-2","note":"grün\\t\\ud83d\\udea9"}',
        '{"at": "0:05.4", "by": "G-2", "value": "40.5 m", "mark": "line_in", "candidate": "C-1"}',
        '{"at": "1:00:05.000001", "candidate": "all", "mark": "ashore"}',
        '{"end": "1:10:00"}',
    )
    log = short(data, standard)
    assert log is not None and repr(log) == repr(careful(data, standard)) and log == careful(data, standard)
    assert {type(entry) for entry in log.entries} == {Entry}
    with pytest.raises(FrozenInstanceError):
        log.entries[0].at = 1  # type: ignore[misc]


STARTED = HEADER[:-1] + ', "started": "2026-12-31T23:59:58.5+01:00"}'


def test_a_log_of_timestamps(standard: Standard) -> None:
    data = written(
        STARTED,
        '{"at": "2026-12-31T22:59:58.500000Z", "mark": "go"}',
        '{"at": "2027-01-01T00:00:05.4+01:00", "mark": "ashore"}',
        '{"end": "2027-01-01T00:01:05+01:00"}',
    )
    log = short(data, standard)
    assert log is not None and repr(log) == repr(careful(data, standard)) and log == careful(data, standard)
    assert [entry.at for entry in log.entries] == [0, 6_900_000] and log.end == 66_500_000 and log.zero is not None


@pytest.mark.parametrize(
    "data",
    [
        written(HEADER),
        written(HEADER, GO),
        written(HEADER, GO)[:-1],
        written(HEADER, GO, '{"end": "0:00"}')[:-1],
        written(SEVERAL, '{"at": "0:00", "mark": "go", "candidate": "C-2"}'),
    ],
)
def test_with_or_without_an_end_and_a_last_line_end(data: bytes, standard: Standard) -> None:
    log = short(data, standard)
    assert log is not None and repr(log) == repr(careful(data, standard))


@pytest.mark.parametrize(
    "lines",
    [
        (HEADER, '{"at": "0:00", "mark": "go", "mark": "go"}'),
        (HEADER, '{"at": "0:00", "mark": "go", "at": "0:00"}'),
        (HEADER, '{"at": "0:00", "mark": "go", "m\\u0061rk": "go"}'),
        (HEADER, '{"at": "0:00", "mark": "go",}'),
        (HEADER, '{"at": "0:00", "mark": "go"}, {"at": "0:00", "mark": "go"}'),
        (HEADER, '{"at": "0:00", "mark": "line_in", "value": 40}'),
        (HEADER, '{"at": "0:00", "mark": "line_in", "value": NaN}'),
        (HEADER, '{"at": "0:00", "mark": "line_in", "value": "40 kg"}'),
        (HEADER, '{"at": "0:00", "mark": "went"}'),
        (HEADER, '{"at": "0:00", "mark": "go", "note": "\\ud800"}'),
        (HEADER, '{"at": "0:00", "mark": "go", "note": " "}'),
        (HEADER, '{"at": "0:00", "mark": "go", "note": ' + "[" * 900 + "]" * 900 + "}"),
        (HEADER, '{"at": "0:00", "mark": "go", "candidate": "C-2"}'),
        (HEADER, '{"at": "0:01", "mark": "go"}', GO),
        (HEADER, '{"at": "0:01", "mark": "go"}', '{"end": "0:00"}'),
        (HEADER, '{"at": "0:60", "mark": "go"}'),
        (HEADER, '{"at": "0:00.", "mark": "go"}'),
        (HEADER, '{"at": "2026-12-31T23:00:00Z", "mark": "go"}'),
        (STARTED, '{"at": "2026-12-31T22:59:58Z", "mark": "go"}'),
        (STARTED, '{"at": "2026-12-31T23:00:00", "mark": "go"}'),
        (STARTED, '{"at": "2026-12-31T23:00:00Z", "mark": "go"}', GO),
        (STARTED, '{"at": "2026-12-31T23:00:00Z", "mark": "go"}', '{"end": "0:00"}'),
        (HEADER.replace("C-1", "all"), GO),
        (HEADER.replace('"aid": true', '"aid": true, "aid": true'), GO),
        (HEADER, GO, "", GO),
        (HEADER, "x" + GO),
        (HEADER, GO, '{"end": "0:00"}', GO),
        (HEADER, '{"at": "0:00", "join": "C-2"}'),
        (SEVERAL, GO),
        ('{"session": "S-1", "standard": "check"}',),
        ('{"session": "S-1", "standard": "check", "candidate": "C-1", "edition": "9"}', GO),
        ('{"session": "S-1", "standard": "check", "candidate": "C-1", "conditions": {"deep": "3 m"}}', GO),
    ],
)
def test_what_is_wrong_is_left_to_the_careful_way(lines: tuple[str, ...], standard: Standard) -> None:
    data = written(*lines)
    assert short(data, standard) is None
    _, found = read_log("a.jsonl", data)
    assert found or careful(data, standard) is None or "join" in lines[-1]


def test_what_is_kept_is_bounded(standard: Standard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(known, "_KEPT", 5)
    monkeypatch.setattr(regular, "_KEPT", 7)
    rows = (f'{{"at": "{n}:11", "mark": "line_in", "value": "{n} m", "note": "{n}"}}' for n in range(1000, 1050))
    log = regular_log("a.jsonl", written(HEADER, *rows))
    words = Known(standard)
    session = None if log is None else words.session_log(log)
    assert session is not None and [entry.note for entry in session.entries] == [str(n) for n in range(1000, 1050)]
    assert len(words.tails) == 5 and len(regular.WHOLE) <= 7


def test_spoilt_logs_are_read_alike_by_both_ways() -> None:
    ways, wrong = trial("a sample", 700)
    assert [offence.what for offence in wrong] == []
    assert ways.total() == 700
    assert all(ways[way] >= 40 for way in ("short", "careful, read", "careful, refused"))
    assert ways["short, by the clock"] >= 15
