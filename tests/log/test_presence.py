"""Candidates who join a log late or leave it early: what counts for them, and what is refused."""

from collections.abc import Sequence

import pytest

from standfast.definition import judge
from standfast.log.entry import RawLog, SessionLog, Stated
from standfast.log.reader import read_log
from standfast.log.sheet_writer import csv_bytes
from standfast.log.writer import log_bytes
from standfast.model.standard import Standard
from standfast.pipeline import grade, load_log, load_standard
from standfast.quantity import SECOND, Quantity
from standfast.report.verdict_text import verdict_text
from standfast.source import Source
from standfast.verdict import Firmness, Outcome, Verdict

TEXT = """\
standard pier "Pier"
    edition "1"
    in force from 2026-01-01

candidate
    body_mass in kg

marks
    go "The starter's signal"
    tug "A tug at the line"
    ashore "Out of the water"
    load in kg "What the candidate carries"

event swim
    attempts 1
    start on go
    step reach
        until ashore
        within 5 min
        largest of load at most 50 % of body_mass
        fail on tug more than twice, by anyone
"""
HEADER = '{"session":"S","standard":"pier","candidates":["C-1","C-2"],"facts":{"body_mass":"80 kg"}}'
ONE = '{"session":"S","standard":"pier","candidate":"C-1","facts":{"body_mass":"80 kg"}}'
NOBODY = '{"session":"S","standard":"pier","facts":{"body_mass":"80 kg"}}'
WHY = '"by":"G-2","note":"a slip"'


@pytest.fixture(scope="module")
def standard() -> Standard:
    standard, found = load_standard(Source("pier.standard", TEXT))
    assert standard is not None, [d.message for d in found]
    return standard


def read(standard: Standard, *lines: str) -> SessionLog:
    log, found = load_log("pier.jsonl", "\n".join((*lines, "")).encode(), standard)
    assert log is not None, [(d.code.number, d.message) for d in found]
    return log


def told(standard: Standard, *lines: str) -> list[tuple[str, str]]:
    return [(v.candidate, v.outcome.value) for v in verdicts(standard, *lines)]


def verdicts(standard: Standard, *lines: str) -> Sequence[Verdict]:
    log = read(standard, *lines)
    by_machine = grade(standard, log)
    assert by_machine == judge(standard, log)
    for again in (log_bytes(log), csv_bytes(log)):
        name = "a.csv" if again.startswith(b"\xef\xbb\xbf") else "a.jsonl"
        copy, found = load_log(name, again, standard)
        assert copy is not None, [(d.code.number, d.message) for d in found]
        assert [(v.candidate, v.outcome) for v in grade(standard, copy)] == [
            (v.candidate, v.outcome) for v in by_machine
        ]
    return by_machine


def refused(*lines: str) -> list[tuple[str, int]]:
    raw, found = read_log("pier.jsonl", "\n".join((*lines, "")).encode())
    assert raw is None
    return [(d.code.number, d.span.line) for d in found if d.span is not None]


def test_without_a_joining_what_was_for_all_before_counts(standard: Standard) -> None:
    lines = ('{"at":"0:00","mark":"go","candidate":"all"}', '{"at":"4:00","mark":"ashore","candidate":"C-9"}')
    assert told(standard, NOBODY, *lines) == [("C-9", "GO")]


def test_what_was_for_all_before_the_joining_does_not_count(standard: Standard) -> None:
    lines = (
        '{"at":"0:00","mark":"go","candidate":"all"}',
        '{"at":"3:00","join":"C-9"}',
        '{"at":"4:00","mark":"ashore","candidate":"C-1"}',
        '{"at":"4:00","mark":"ashore","candidate":"C-9"}',
    )
    assert told(standard, HEADER, *lines) == [("C-1", "GO"), ("C-2", "UNFINISHED"), ("C-9", "UNFINISHED")]
    (last,) = [verdict for verdict in verdicts(standard, HEADER, *lines) if verdict.candidate == "C-9"]
    assert [event.outcome for event in last.events] == [Outcome.NOT_BEGUN]
    assert "\njoined at 3:00, entry 2 (line 3)\n" in verdict_text(last)


def test_a_clock_begins_with_the_first_signal_after_the_joining(standard: Standard) -> None:
    lines = (
        '{"at":"0:00","mark":"go","candidate":"all"}',
        '{"at":"10:00","join":"C-9"}',
        '{"at":"10:00","mark":"go","candidate":"all"}',
        '{"at":"15:00","mark":"ashore","candidate":"C-9"}',
    )
    assert told(standard, NOBODY, *lines) == [("C-9", "GO")]


def test_leaving_is_the_end_for_who_leaves_alone(standard: Standard) -> None:
    start = '{"at":"0:00","mark":"go","candidate":"all"}'
    leaves = '{{"at":"{}","leave":"C-2"}}'
    after = ('{"at":"9:00","mark":"go","candidate":"all"}', '{"end":"10:00"}')
    at_the_limit = told(standard, HEADER, start, leaves.format("5:00"), *after)
    assert at_the_limit == [("C-1", "NO-GO"), ("C-2", "UNFINISHED")]
    assert told(standard, HEADER, start, leaves.format("5:00.000001"), *after)[1] == ("C-2", "NO-GO")
    verdict = verdicts(standard, HEADER, start, leaves.format("5:00"), *after)[1]
    assert "\nleft at 5:00, entry 2 (line 3)\n" in verdict_text(verdict)
    assert "\nbecause the candidate left with this still owed\n" in verdict_text(verdict)


def test_entries_of_others_by_anyone_count_only_while_there(standard: Standard) -> None:
    tug = '{{"at":"{}","mark":"tug","candidate":"{}"}}'
    lines = (
        '{"at":"0:00","mark":"go","candidate":"C-1"}',
        tug.format("0:10", "C-1"),
        tug.format("0:11", "C-1"),
        '{"at":"0:20","join":"C-9"}',
        '{"at":"0:30","mark":"go","candidate":"C-9"}',
        tug.format("0:40", "C-9"),
        '{"at":"1:00","mark":"ashore","candidate":"C-9"}',
    )
    assert told(standard, ONE, *lines)[1] == ("C-9", "GO")
    fault = '{"at":"0:30","mark":"tug","candidate":"C-1"}'
    assert told(standard, ONE, lines[0], *lines[3:5], fault, *([tug.format("0:40", "C-9")] * 2)) == [
        ("C-1", "UNFINISHED"),
        ("C-9", "NO-GO"),
    ]


def test_facts_are_stated_with_the_joining(standard: Standard) -> None:
    joins = '{"at":"0:00","join":"C-9","facts":{"body_mass":"71.5 kg"}}'
    each = '{"session":"S","standard":"pier","candidates":["C-1"],"facts":{"C-1":{"body_mass":"80 kg"}}}'
    assert {name: str(facts["body_mass"]) for name, facts in read(standard, each, joins).facts.items()} == {
        "C-1": "80 kg",
        "C-9": "71.5 kg",
    }
    log, found = load_log("a", "\n".join((HEADER, joins, "")).encode(), standard)
    assert log is None and [d.code.number for d in found] == ["L492"]


def test_they_are_struck_and_amended_like_entries(standard: Standard) -> None:
    lines = (
        '{"at":"0:00","mark":"go","candidate":"all"}',
        '{"at":"1:00","leave":"C-1"}',
        '{"at":"4:00","mark":"ashore","candidate":"C-1"}',
        '{"at":"9:00","mark":"ashore","candidate":"C-2"}',
    )
    amended = (*lines[:3], f'{{"amend":2,"at":"2:00","candidate":"C-2",{WHY}}}')
    assert told(standard, HEADER, *amended) == [("C-1", "GO"), ("C-2", "UNFINISHED")]
    verdict = verdicts(standard, HEADER, *amended)[1]
    assert verdict.corrections[0].after == Stated(at="2:00", leave="C-2")
    assert verdict.uncorrected is not None and verdict.uncorrected.outcome is None
    struck = (*lines, f'{{"strike":2,{WHY}}}')
    assert told(standard, HEADER, *struck) == [("C-1", "GO"), ("C-2", "NO-GO")]
    back = (*lines[:2], f'{{"strike":2,{WHY}}}', f'{{"amend":2,"at":"0:30","candidate":"C-1",{WHY}}}')
    assert [each.at for each in read(standard, HEADER, *back).presence] == [30_000_000]


def test_the_time_of_leaving_may_be_wrong_too(standard: Standard) -> None:
    lines = ('{"at":"0:00","mark":"go","candidate":"all"}', '{"at":"4:59.9","leave":"C-2"}')
    doubt = Quantity(((1, SECOND),))  # type: ignore[arg-type]
    (_, verdict) = grade(standard, read(standard, HEADER, *lines), doubt)
    assert verdict.doubt is not None and verdict.doubt.firmness is Firmness.CLOSE_CALL
    (other,) = verdict.doubt.others
    assert other.outcome is Outcome.NO_GO
    assert {(shift.entry, shift.line) for shift in other.shifts} <= {(1, 2), (2, 3)}
    assert (2, 3) in {(shift.entry, shift.line) for shift in other.shifts}


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        (('{"at":"0:00","join":"C-9"}', '{"at":"0:01","join":"C-9"}'), ("L457", 3)),
        (('{"at":"0:00","mark":"go","candidate":"C-1"}', '{"at":"0:01","join":"C-1"}'), ("L457", 3)),
        (('{"at":"0:00","leave":"C-1"}', '{"at":"0:01","join":"C-1"}'), ("L457", 3)),
        (('{"at":"0:00","leave":"C-1"}', '{"at":"0:01","leave":"C-1"}'), ("L457", 3)),
        (('{"at":"0:00","leave":"C-1"}', '{"at":"0:01","mark":"go","candidate":"C-1"}'), ("L458", 3)),
        (('{"at":"0:00","leave":"C-9"}',), ("L455", 2)),
        (('{"at":"0:00","mark":"go","candidate":"C-9"}', '{"at":"0:01","join":"C-9"}'), ("L455", 2)),
        (('{"at":"0:00","join":"all"}',), ("L452", 2)),
        (('{"at":"0:00","join":"C-9","mark":"go"}',), ("L411", 2)),
        (('{"at":"0:00","join":"C-9","leave":"C-1"}',), ("L411", 2)),
        (('{"at":"0:00","leave":"C-1","facts":{}}',), ("L411", 2)),
        (('{"join":"C-9"}',), ("L413", 2)),
        (('{"at":"0:05","mark":"go","candidate":"C-1"}', '{"at":"0:01","join":"C-9"}'), ("L442", 3)),
        (('{"end":"0:01"}', '{"at":"0:02","join":"C-9"}'), ("L419", 3)),
        (('{"at":"0:00","join":"C-9"}', f'{{"amend":1,"mark":"go",{WHY}}}'), ("L427", 3)),
        (
            ('{"at":"0:00","join":"C-9"}', f'{{"strike":1,{WHY}}}', f'{{"amend":1,"at":"0:01",{WHY}}}'),
            ("L426", 4),
        ),
    ],
)
def test_what_does_not_fit_is_refused(lines: tuple[str, ...], expected: tuple[str, int]) -> None:
    assert refused(HEADER, *lines)[:1] == [expected]


def test_once_somebody_joined_each_entry_says_whose_it_is(standard: Standard) -> None:
    go, joins = '{"at":"0:00","mark":"go"}', '{"at":"0:01","join":"C-9"}'
    assert told(standard, ONE, go, joins) == [("C-1", "UNFINISHED"), ("C-9", "UNFINISHED")]
    assert refused(ONE, joins, '{"at":"0:02","mark":"go"}') == [("L454", 3)]


def test_in_a_table_they_have_columns_of_their_own() -> None:
    above = "# session: S\n# standard: pier\nat,mark,candidate,join,leave\n"
    text = above + "0:00.0,go,all\n0:01.0,,,C-7\n0:02.0,,,,C-8\n"
    raw, found = read_log("a.csv", text.encode())
    assert isinstance(raw, RawLog), [d.message for d in found]
    assert [(p.number, p.line, p.candidate, p.joins) for p in raw.presence] == [
        (2, 5, "C-7", True),
        (3, 6, "C-8", False),
    ]
    assert raw.candidates == ("C-7", "C-8")
