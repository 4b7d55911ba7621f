"""Corrections: what they do to a log, and what the log is without them."""

import time

import pytest

from standfast.log.entry import RawLog, Stated
from standfast.log.reader import read_log

HEADER = '{"session":"S-1","standard":"check","candidate":"C-1"}'
WHY = '"by":"G-2","note":"a slip"'
GO, FUEL, END = '{"at":"0:00","mark":"go"}', '{"at":"0:05","mark":"check","value":"fuel"}', '{"end":"1:00"}'


def read(*lines: str) -> RawLog:
    raw, found = read_log("a.jsonl", "\n".join((HEADER, *lines, "")).encode())
    assert raw is not None, [d.message for d in found]
    assert found == ()
    return raw


def entries(raw: RawLog | None) -> list[tuple[int, int, str, str | None]] | None:
    return None if raw is None else [(e.number, e.at // 1_000_000, e.mark, e.value) for e in raw.entries]


def test_a_struck_entry_is_gone_and_keeps_its_number() -> None:
    raw = read(GO, FUEL, '{"at":"0:09","mark":"ashore"}', END, f'{{"strike":2,{WHY}}}')
    assert entries(raw) == [(1, 0, "go", None), (3, 9, "ashore", None)]
    assert entries(raw.uncorrected) == [(1, 0, "go", None), (2, 5, "check", "fuel"), (3, 9, "ashore", None)]
    (made,) = raw.corrections
    assert (made.place, made.line, made.on_line, made.by, made.why) == (2, 3, 6, "G-2", "a slip")
    assert (made.before, made.after) == (Stated(at="0:05", mark="check", value="fuel"), None)


def test_an_amendment_replaces_what_it_names_and_nothing_else() -> None:
    raw = read(GO, FUEL, f'{{"amend":2,"at":"0:07","seen_by":"G-9",{WHY}}}')
    assert entries(raw) == [(1, 0, "go", None), (2, 7, "check", "fuel")]
    assert raw.entries[1].by == "G-9"
    (made,) = raw.corrections
    assert made.after == Stated(at="0:07", mark="check", value="fuel", by="G-9")
    assert raw.entries[1].span.line == 3


def test_null_takes_a_value_out() -> None:
    raw = read(GO, FUEL, f'{{"amend":2,"mark":"ashore","value":null,{WHY}}}')
    assert entries(raw) == [(1, 0, "go", None), (2, 5, "ashore", None)]


def test_several_of_one_entry_are_made_in_their_order() -> None:
    raw = read(
        FUEL,
        f'{{"amend":1,"value":"neutral",{WHY}}}',
        f'{{"amend":1,"at":"0:06",{WHY}}}',
        f'{{"strike":1,{WHY}}}',
        f'{{"amend":1,"at":"0:08","mark":"check",{WHY}}}',
    )
    assert entries(raw) == [(1, 8, "check", "neutral")]
    assert [made.on_line for made in raw.corrections] == [3, 4, 5, 6]
    assert [made.before.at for made in raw.corrections] == ["0:05", "0:05", "0:06", "0:06"]


@pytest.mark.parametrize(
    "wrong",
    [
        '{"at":"0:5","mark":"check"}',
        '{"at":9,"mark":"check","value":"fuel"}',
        '{"at":"59:00","mark":"check","value":"fuel"}',
        '{"mark":"check"}',
        '{"at":"0:05","mark":"\\ud83d","candidate":"D"}',
        '{"at":"2026-04-11T09:00:00Z","mark":"check"}',
    ],
)
def test_a_correction_mends_a_log_that_is_refused_without_it(wrong: str) -> None:
    after = ('{"at":"0:06","mark":"ashore"}', '{"end":"0:10"}')
    assert read_log("a.jsonl", "\n".join((HEADER, GO, wrong, *after)).encode())[0] is None
    whole = f'{{"amend":2,"at":"0:05","mark":"check","value":"fuel","candidate":"C-1",{WHY}}}'
    for correction, left in ((f'{{"strike":2,{WHY}}}', [1, 3]), (whole, [1, 2, 3])):
        raw = read(GO, wrong, *after, correction)
        assert raw.uncorrected is None
        assert [entry.number for entry in raw.entries] == left
        assert (raw.corrections[0].before.mark or "").encode() is not None


def test_an_end_may_be_struck_and_the_log_go_on() -> None:
    early, struck = '{"end":"0:04"}', f'{{"strike":"end",{WHY}}}'
    raw = read(GO, early, struck, FUEL, END)
    assert (raw.end, entries(raw)) == (60_000_000, [(1, 0, "go", None), (2, 5, "check", "fuel")])
    assert raw.uncorrected is None
    assert (raw.corrections[0].of_end, raw.corrections[0].place) == (True, 1)
    assert read(GO, early, struck).end is None
    twice = read(GO, early, struck, '{"end":"0:03"}', f'{{"amend":"end","at":"0:02",{WHY}}}')
    assert twice.end == 2_000_000
    assert [(made.line, made.after) for made in twice.corrections] == [(3, None), (5, Stated(at="0:02"))]


def test_many_corrections_of_one_entry_take_no_longer_each() -> None:
    def took(number: int) -> float:
        began = time.process_time()
        assert len(read(GO, *[f'{{"amend":1,"at":"0:00",{WHY}}}'] * number).corrections) == number
        return time.process_time() - began

    few, many = took(1_000), took(8_000)
    assert many < 40 * few


def test_corrections_of_another_candidate_do_not_touch_one() -> None:
    header = '{"session":"S","standard":"check","candidates":["C-1","C-2"]}'
    lines = (
        header,
        '{"at":"0:00","mark":"go","candidate":"all"}',
        '{"at":"0:05","mark":"ashore","candidate":"C-1"}',
        f'{{"amend":2,"candidate":"C-2",{WHY}}}',
        f'{{"amend":2,"candidate":"C-1",{WHY}}}',
        f'{{"amend":2,"at":"0:06",{WHY}}}',
        f'{{"amend":1,"at":"0:01",{WHY}}}',
    )
    raw, _ = read_log("a.jsonl", "\n".join(lines).encode())
    assert raw is not None
    assert [made.touches("C-2", ()) for made in raw.corrections] == [True, True, False, True]
    assert all(made.touches("C-2", ("ashore",)) for made in raw.corrections)
