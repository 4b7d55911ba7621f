"""Logs that continue each other: joined they are the log that was split, and what does not fit is said."""

from collections.abc import Sequence
from random import Random

import pytest
from attrs import evolve
from plausible_logs import random_log
from trials.pairs import legal_standard

from standfast.command.continued import Together, graded_together
from standfast.definition import judge
from standfast.log.continued import Joined, Kept, continued
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.pipeline import load_log, load_standard
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import Outcome, Verdict

DAY = 86_400_000_000
TEXT = """\
standard two_days "Two days"
    edition "1"
    in force from 2026-01-01

candidate
    body_mass in kg

conditions
    depth at least 2 m
    lookouts yes

marks
    go "The starter's signal"
    tug "A tug"
    load in kg "What is carried"
    ashore "Out of the water"

always
    within 40 h "more than forty hours"

event swim
    attempts 2, rest at most 30 h between, else fail "stayed away too long"
    start on go
    step reach
        until ashore
        within 5 min
event haul
    attempts 2
    start on go
    step lift
        until load
        last of load at least 10 % of body_mass
    step hold
        for 1 min
"""
HEAD = (
    '{"session":"S","standard":"two_days","candidate":"C-1","started":"2026-04-1%sT09:00:00Z",'
    '"conditions":{"depth":"%s","lookouts":true},"facts":{"body_mass":"80 kg"}}'
)
GO, ASHORE, LOAD = (
    '{"at":"%s","mark":"go"}',
    '{"at":"%s","mark":"ashore"}',
    '{"at":"%s","mark":"load","value":"9 kg"}',
)


@pytest.fixture(scope="module")
def standard() -> Standard:
    loaded, found = load_standard(Source("two_days.standard", TEXT))
    assert loaded is not None, [d.message for d in found]
    return loaded


def kept(standard: Standard, name: str, *lines: str) -> Kept:
    data = "\n".join((*lines, "")).encode()
    log, found = load_log(name, data, standard)
    raw, _ = read_log(name, data)
    assert log is not None and raw is not None, [d.message for d in found]
    return Kept(standard, raw.header, log)


def together(standard: Standard, *logs: Sequence[str]) -> Together:
    (one,) = graded_together([kept(standard, f"day-{n}.jsonl", *lines) for n, lines in enumerate(logs, 1)], None)
    if one.log is not None and one.verdict is not None:
        assert (one.verdict,) == judge(standard, one.log)
    return one


def verdict_of(standard: Standard, *logs: Sequence[str]) -> Verdict:
    one = together(standard, *logs)
    assert one.verdict is not None, [d.message for d in one.found]
    return one.verdict


def refused(standard: Standard, *logs: Sequence[str]) -> list[tuple[str, str]]:
    one = together(standard, *logs)
    assert one.verdict is None
    return [(d.code.number, d.span.source.name) for d in one.found if d.span is not None]


FIRST = (HEAD % (1, "3 m"), GO % "0:00", ASHORE % "4:00", '{"end":"9:00"}')
SECOND = (HEAD % (2, "2.5 m"), GO % "0:00", LOAD % "0:10", '{"end":"1:10"}')


def test_what_was_done_on_one_day_counts_on_the_next(standard: Standard) -> None:
    verdict = verdict_of(standard, FIRST, SECOND)
    assert (verdict.outcome, verdict.decided_at) == (Outcome.GO, DAY + 70_000_000)
    assert [(p.name, p.first, p.last, p.zero) for p in verdict.parts] == [
        ("day-1.jsonl", 1, 2, 0),
        ("day-2.jsonl", 3, 4, DAY),
    ]
    assert (
        verdict.log == "day-1.jsonl, day-2.jsonl" and verdict.log_digest != kept(standard, "x", *FIRST).log.digest
    )
    assert verdict_of(standard, SECOND, FIRST).decided_at == verdict.decided_at


def test_what_is_still_open_is_told(standard: Standard) -> None:
    verdict = verdict_of(standard, FIRST, (HEAD % (2, "2.5 m"), '{"end":"1:00"}'))
    assert verdict.outcome is Outcome.UNFINISHED
    assert [(owed.path, owed.words) for owed in verdict.owed] == [("haul.start", "start on go")]


def test_a_reason_has_the_number_and_line_of_its_log(standard: Standard) -> None:
    light = (
        HEAD % (2, "2.5 m"),
        GO % "0:00",
        LOAD % "0:10",
        GO % "0:20",
        '{"at":"0:30","mark":"load","value":"1 kg"}',
    )
    heavy = [line.replace("9 kg", "7 kg") for line in light]
    verdict = verdict_of(standard, FIRST, heavy)
    (reason,) = verdict.events[1].attempts[1].reasons
    assert (reason.entry, reason.line, reason.at) == (6, 5, DAY + 30_000_000)


def test_limits_of_the_whole_test_and_between_attempts_run_on(standard: Standard) -> None:
    failed = (HEAD % (1, "3 m"), GO % "0:00", '{"end":"9:00"}')
    again = (HEAD % (2, "3 m"), GO % "7:00:00", ASHORE % "7:01:00")
    assert verdict_of(standard, failed, again).events[0].outcome is Outcome.NO_GO
    in_time = (HEAD % (2, "3 m"), GO % "6:05:00", ASHORE % "6:06:00")
    assert verdict_of(standard, failed, in_time).events[0].outcome is Outcome.GO
    late = (HEAD % (3, "3 m"), GO % "0:00", LOAD % "0:10", '{"end":"1:10"}')
    assert [reason.path for reason in verdict_of(standard, FIRST, late).reasons] == ["always.within"]


def test_conditions_hold_on_every_day(standard: Standard) -> None:
    shallow = (HEAD % (2, "1.5 m"), *SECOND[1:])
    verdict = verdict_of(standard, FIRST, shallow)
    assert verdict.outcome is Outcome.VOID
    assert [(r.path, r.logged) for r in verdict.reasons] == [("conditions.depth", "1.5 m")]
    unsaid = (SECOND[0].replace('"depth":"2.5 m",', ""), *SECOND[1:])
    assert [(r.path, r.kind.value) for r in verdict_of(standard, FIRST, unsaid).reasons] == [
        ("conditions.depth", "not stated")
    ]


def test_corrections_keep_what_they_are_about(standard: Standard) -> None:
    slip = '{"strike":%d,"by":"G-2","note":"a slip"}'
    mended = (SECOND[0], GO % "0:00", GO % "0:01", LOAD % "0:10", slip % 2, '{"end":"1:10"}')
    verdict = verdict_of(standard, FIRST, mended)
    assert [(each.place, each.line, each.on_line) for each in verdict.corrections] == [(4, 3, 5)]
    assert verdict.outcome is Outcome.GO and not verdict.changed_by_corrections
    early = (FIRST[0], GO % "0:00", ASHORE % "0:30", ASHORE % "4:00", slip % 2, FIRST[3])
    late = (FIRST[0], GO % "0:00", ASHORE % "0:30", GO % "0:40", slip % 2, FIRST[3])
    assert verdict_of(standard, early, SECOND).outcome is Outcome.GO
    changed = verdict_of(standard, late, SECOND)
    assert changed.changed_by_corrections and changed.uncorrected is not None


def test_what_falls_due_while_no_log_is_kept_is_refused(standard: Standard) -> None:
    rest = (HEAD % (3, "3 m"), '{"end":"0:01"}')
    assert refused(standard, (HEAD % (1, "3 m"), GO % "0:00", '{"end":"4:00"}'), SECOND) == [
        ("F527", "day-2.jsonl")
    ]
    held = (HEAD % (1, "3 m"), GO % "0:00", ASHORE % "1:00", GO % "2:00", LOAD % "2:10")
    assert refused(standard, (*held, '{"end":"3:09.9"}'), rest) == [("F527", "day-2.jsonl")]
    assert verdict_of(standard, (*held, '{"end":"3:10"}'), rest).outcome is Outcome.GO


def test_who_left_one_log_goes_on_in_the_next(standard: Standard) -> None:
    several = HEAD.replace('"candidate":"C-1"', '"candidates":["C-1","C-2"]')
    both = (
        several % (1, "3 m"),
        '{"at":"0:00","mark":"go","candidate":"all"}',
        '{"at":"1:00","mark":"ashore","candidate":"C-1"}',
        '{"at":"2:00","leave":"C-1"}',
        '{"at":"3:00","mark":"go","candidate":"all"}',
        '{"at":"4:00","mark":"ashore","candidate":"C-2"}',
        '{"end":"9:00"}',
    )
    logs = [kept(standard, "a", *both), kept(standard, "b", *SECOND)]
    first, second = graded_together(logs, None)
    assert first.verdict is not None and first.verdict.outcome is Outcome.GO and len(first.verdict.parts) == 2
    assert [(p.first, p.last) for p in first.verdict.parts] == [(1, 5), (6, 7)]
    assert second.verdict is not None and second.verdict.candidate == "C-2" and second.verdict.parts == ()


def test_what_cannot_be_joined_is_refused(standard: Standard) -> None:
    unsaid = (SECOND[0].replace('"started":"2026-04-12T09:00:00Z",', ""), *SECOND[1:])
    assert refused(standard, FIRST, unsaid) == [("F524", "day-2.jsonl")]
    assert refused(standard, FIRST, (FIRST[0].replace("T09:00", "T09:05"), *SECOND[1:])) == [
        ("F525", "day-2.jsonl")
    ]
    heavier = (SECOND[0].replace("80 kg", "81 kg"), *SECOND[1:])
    assert refused(standard, FIRST, heavier) == [("F526", "day-2.jsonl")]
    text = TEXT.replace('edition "1"', 'edition "2"')
    other, _ = load_standard(Source("other.standard", text))
    assert other is not None
    logs = [kept(standard, "day-1.jsonl", *FIRST), kept(other, "day-2.jsonl", *SECOND)]
    (one,) = graded_together(logs, None)
    assert [d.code.number for d in one.found] == ["F528"]


@pytest.mark.parametrize("seed", range(25))
def test_a_log_split_anywhere_and_joined_is_the_log(seed: int) -> None:
    rng = Random(f"split {seed}")
    _, machine, _ = legal_standard(rng)
    for _ in range(4):
        whole = evolve(random_log(rng, machine), presence=(), candidates=("C-1",), started="2026-04-11T09:00:00Z")
        whole = evolve(whole, facts={name: facts for name, facts in whole.facts.items() if name == "C-1"})
        numbered = tuple(evolve(entry, number=number) for number, entry in enumerate(whole.entries, 1))
        whole = evolve(whole, entries=numbered)
        cut = rng.randrange(len(whole.entries) + 1)
        zero = whole.entries[cut - 1].at if cut else 0
        head = evolve(whole, entries=whole.entries[:cut], end=None)
        tail = evolve(
            whole,
            started=_later(zero),
            entries=tuple(evolve(e, at=e.at - zero, number=n) for n, e in enumerate(whole.entries[cut:], 1)),
            end=None if whole.end is None else whole.end - zero,
        )
        first, second = (_kept(machine.standard, log) for log in (head, tail))
        joined = continued([second, first] if zero else [first, second], "C-1")
        assert isinstance(joined, Joined)
        assert evolve(joined.log, digest=whole.digest, parts=(), name=whole.name) == whole
        assert [evolve(verdict, log_digest="", parts=()) for verdict in replay(machine, joined.log)] == [
            evolve(verdict, log_digest="") for verdict in replay(machine, whole)
        ]


def _later(micros: int) -> str:
    hours, rest = divmod(micros, 3_600_000_000)
    minutes, seconds = divmod(rest, 60_000_000)
    days, hour = divmod(9 + hours, 24)
    return f"2026-04-{11 + days:02}T{hour:02}:{minutes:02}:{seconds // 1_000_000:02}.{seconds % 1_000_000:06}Z"


def _kept(standard: Standard, log: SessionLog) -> Kept:
    raw, _ = read_log(
        "a", f'{{"session":"S","standard":"x","candidate":"C-1","started":"{log.started}"}}\n'.encode()
    )
    assert raw is not None
    return Kept(standard, raw.header, log)
