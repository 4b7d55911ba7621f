"""Whom a new edition changes, by which rule, and who is counted apart."""

import json
from collections.abc import Iterator

from standfast.difference.archive import impact
from standfast.difference.impact import Apart, Impact, Unread, Why
from standfast.log.entry import RawLog
from standfast.log.reader import read_log
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source
from standfast.verdict import Outcome

TEXT = """\
standard quay_check "Quay check"
    edition "1"
    in force from 2025-01-01

conditions
    depth at least 2.5 m

marks
    go "The signal"
    throw "A throw"
    hit "A hit"
    swim "In the water"
    ashore "Out of the water"

event throws "Two hits"
    attempts 1
    start on go
    within 4 throws
    until 2 hits

event water "Out in time"
    attempts 1
    start on swim
    until ashore
    within 60 s
"""
NEW = TEXT.replace('edition "1"', 'edition "2"').replace("2025", "2026")
HITS = "0:00 go | 0:05 throw | 0:06 hit | 0:15 throw | 0:16 hit"
LATE = "0:00 go | 0:05 throw | 0:15 throw | 0:25 throw | 0:26 hit | 0:35 throw | 0:36 hit"


def meant(text: str) -> Standard:
    standard, found = load_standard(Source("quay_check.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def log(entries: str, name: str = "a.jsonl", **header: object) -> RawLog:
    head = {"session": "s", "standard": "quay_check", "candidate": "C-1", "conditions": {"depth": "3 m"}} | header
    lines: list[object] = [head]
    for part in entries.split(" | "):
        at, mark, *value = part.split()
        fields = {"at": at, "mark": mark} | ({"value": " ".join(value)} if value else {})
        lines.append({"end": at} if mark == "end" else fields)
    raw, found = read_log(name, "".join(json.dumps(line) + "\n" for line in lines).encode())
    assert raw is not None, [d.message for d in found]
    return raw


def of(*logs: RawLog | Unread, new: str = NEW) -> Impact:
    return impact(meant(TEXT), meant(new), logs)


def test_who_changes_and_by_which_rule() -> None:
    stricter = NEW.replace("within 4 throws", "within 3 throws").replace("60 s", "50 s")
    found = of(
        log(f"{HITS} | 1:00 swim | 1:40 ashore", "a.jsonl"),
        log(f"{HITS} | 1:00 swim | 1:55 ashore", "b.jsonl"),
        log(f"{LATE} | 1:00 swim | 1:40 ashore", "c.jsonl"),
        log(f"{HITS} | 1:00 swim | 2:40 ashore", "d.jsonl"),
        new=stricter,
    )
    assert found.table == (
        (Outcome.GO, Outcome.GO, 1),
        (Outcome.GO, Outcome.NO_GO, 2),
        (Outcome.NO_GO, Outcome.NO_GO, 1),
    )
    assert [(each.log, each.old.outcome, each.new.outcome, each.paths) for each in found.changes] == [
        ("b.jsonl", Outcome.GO, Outcome.NO_GO, ("water.within",)),
        ("c.jsonl", Outcome.GO, Outcome.NO_GO, ("throws.within_throw",)),
    ]
    assert (found.logs, found.compared, found.otherwise, found.apart) == (4, 4, 0, ())


def test_to_go_it_is_the_old_rule_that_falls_away() -> None:
    found = of(log(f"{HITS} | 1:00 swim | 2:05 ashore"), new=NEW.replace("60 s", "70 s"))
    (change,) = found.changes
    assert (change.old.outcome, change.new.outcome) == (Outcome.NO_GO, Outcome.GO)
    assert (change.paths, change.by_new) == (("water.within",), False)


def test_nobody_changes_where_nothing_did() -> None:
    found = of(log(f"{HITS} | 1:00 swim | 2:05 ashore"), log(HITS), log(HITS, conditions={"depth": "2 m"}))
    assert (found.changes, found.apart) == ((), ())
    assert [(was, now) for was, now, _ in found.table] == [
        (Outcome.NO_GO, Outcome.NO_GO),
        (Outcome.UNFINISHED, Outcome.UNFINISHED),
        (Outcome.VOID, Outcome.VOID),
    ]


def test_the_same_for_another_reason_is_no_change_of_the_candidate() -> None:
    renamed = NEW.replace("within 60 s", "within 60 s as in_time")
    found = of(log(f"{HITS} | 1:00 swim | 2:05 ashore"), new=renamed)
    assert (found.changes, found.otherwise) == ((), 1)


def test_what_cannot_be_read_is_counted_apart() -> None:
    fewer = NEW.replace('    throw "A throw"\n', "").replace("    within 4 throws\n", "")
    found = of(
        Unread("x.jsonl"),
        log(HITS, "y.jsonl"),
        log("0:00 go", "z.jsonl", standard="other"),
        log("0:00 go", edition="1"),
        new=fewer,
    )
    assert [(each.why, each.what, each.count, each.logs) for each in found.apart] == [
        (Why.NOT_READ, "", 1, ("x.jsonl",)),
        (Why.NOT_OF_NEW, "the mark `throw` is not declared in `quay_check`", 1, ("y.jsonl",)),
        (Why.OTHER_STANDARD, "other", 1, ("z.jsonl",)),
    ]
    assert (found.logs, found.compared) == (4, 1)


ANSWER = NEW.replace("marks\n", 'marks\n    answer "Answers the call"\n').replace(
    "    within 60 s\n", "    within 60 s\n    fail on no answer for over 30 s\n"
)


def lacking(*logs: RawLog, new: str = ANSWER) -> tuple[Apart, ...]:
    return of(*logs, new=new).apart


def test_a_mark_that_nobody_was_asked_to_log_is_not_taken_as_missing() -> None:
    through = f"{HITS} | 1:00 swim | 1:50 ashore"
    for header in ({}, {"edition": "1"}, {"started": "2025-06-01T10:00:00Z"}):
        (apart,) = lacking(log(through, **header))
        assert (apart.why, apart.what, apart.passed) == (Why.NEW_LACKS, "answer", 1)
    for header in ({"edition": "2"}, {"started": "2026-06-01T10:00:00Z"}):
        assert lacking(log(through, **header)) == ()
        assert [each.paths for each in of(log(through, **header), new=ANSWER).changes] == [("water.no_answer",)]


def test_who_never_came_to_the_event_that_asks_for_it_is_compared() -> None:
    throws = " | ".join(f"0:{10 * n:02} throw" for n in range(1, 6))
    found = of(log(f"0:00 go | {throws}"), new=ANSWER)
    assert (found.apart, found.table) == ((), ((Outcome.NO_GO, Outcome.NO_GO, 1),))
    began = ANSWER.replace("start on swim", "start on answer")
    assert lacking(log(f"0:00 go | {throws}"), new=began) == ()
    assert [each.what for each in lacking(log(HITS), new=began)] == ["answer"]


def test_a_choice_that_only_one_edition_has() -> None:
    check = TEXT.replace("marks\n", 'marks\n    check is one of cord "A check"\n').replace(
        "until ashore", "until check cord"
    )
    more = check.replace("one of cord", "one of cord, fuel").replace("until check cord", "until check fuel")
    entries = f"{HITS} | 1:00 swim | 1:10 check cord | 1:20 end"
    (apart,) = impact(meant(check), meant(more.replace('"1"', '"2"')), [log(entries, edition="1")]).apart
    assert (apart.why, apart.what) == (Why.NEW_LACKS, "check")


def test_what_only_one_edition_asks_to_be_stated() -> None:
    asks = NEW.replace("marks\n", "    lookouts at least 2\n\nmarks\n", 1).replace(
        "2.5 m\n\n    look", "2.5 m\n    look"
    )
    found = of(log(HITS), log(HITS, conditions={"depth": "1 m"}), new=asks)
    assert [(each.why, each.what) for each in found.apart] == [(Why.NEW_LACKS, "lookouts")]
    assert found.table == ((Outcome.VOID, Outcome.VOID, 1),)


def test_swapped_is_mirrored() -> None:
    old, new = meant(TEXT), meant(ANSWER.replace("60 s", "50 s"))
    logs = [log(f"{HITS} | 1:00 swim | 1:{n} ashore", f"{n}.jsonl") for n in (10, 20, 55, 59)]
    logs += [log("0:00 go | " + " | ".join(f"0:{10 * n} throw" for n in range(1, 6)), "late.jsonl")]
    there, back = impact(old, new, logs), impact(new, old, logs)
    assert sorted((now.value, was.value, n) for was, now, n in there.table) == sorted(
        (was.value, now.value, n) for was, now, n in back.table
    )
    assert [each.count for each in there.apart] == [each.count for each in back.apart] == [4]


def test_of_an_archive_only_what_changed_is_kept() -> None:
    seen: list[int] = []

    def archive() -> Iterator[RawLog]:
        for number in range(300):
            seen.append(number)
            yield log(f"{HITS} | 1:00 swim | 1:{10 + number % 50} ashore", f"{number}.jsonl")

    found = impact(meant(TEXT), meant(NEW.replace("60 s", "58 s")), archive())
    assert (found.compared, len(found.changes), len(seen)) == (300, 6, 300)


def test_causes_without_end_are_told_by_their_kind() -> None:
    found = of(*(log(f"0:00 mark_{number}", f"{number}.jsonl", edition="1") for number in range(70)))
    assert len(found.apart) == 51
    assert sum(each.count for each in found.apart) == found.logs == 70
    assert (found.apart[-1].why, found.apart[-1].what, found.apart[-1].count) == (Why.NOT_OF_OLD, "", 20)
