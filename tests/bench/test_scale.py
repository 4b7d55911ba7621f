"""The language at its edges: constructs that are many, large or deep work, or are refused with a reason."""

from bench.rules import rules_of

from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.replay import replay
from standfast.source import Source
from standfast.verdict import Outcome, Verdict

HEAD = 'standard large "Large"\n    edition "1"\n    in force from 2026-01-01\nmarks\n    go "The signal"\n'
EVENT = "event all_of_it\n    attempts 1\n    start on go\n"


def loaded(text: str) -> Standard:
    standard, found = load_standard(Source("large.standard", text))
    assert standard is not None, found
    return standard


def verdict(standard: Standard, marks: list[str]) -> Verdict:
    entries = tuple(Entry(number=n, line=n + 1, at=n * 1000, mark=mark) for n, mark in enumerate(marks, 1))
    log = SessionLog(
        session="large",
        standard="large",
        edition=None,
        candidates=("C-1",),
        conditions={},
        entries=entries,
        end=None,
        grader=None,
        started=None,
        digest="",
    )
    (found,) = replay(compile_standard(standard), log)
    return found


def test_twenty_items_side_by_side() -> None:
    marks = [f"mark_{n}" for n in range(20)]
    declared = "".join(f'    {mark} "A mark"\n' for mark in marks)
    steps = "".join(
        f"        step step_{n}\n            until 2 {mark}\n            within 1 min\n"
        for n, mark in enumerate(marks)
    )
    standard = loaded(f"{HEAD}{declared}{EVENT}    in any order group\n{steps}")
    assert verdict(standard, ["go", *marks, *reversed(marks)]).outcome is Outcome.GO
    (owed,) = verdict(standard, ["go", *marks, *marks[1:]]).owed
    assert owed.path == "all_of_it.group.step_0.goal"


def test_a_hundred_thousand_marks() -> None:
    standard = loaded(
        f'{HEAD}    tap "A tap"\n{EVENT}    step taps\n        until 100000 tap\n        within 3 h\n'
    )
    assert verdict(standard, ["go", *["tap"] * 99_999]).outcome is Outcome.UNFINISHED
    assert verdict(standard, ["go", *["tap"] * 100_000]).decided_at == 100_001_000


def nested(depth: int) -> str:
    groups = "".join(f"{'    ' * n}in order group_{n}\n" for n in range(1, depth + 1))
    deepest = "    " * (depth + 1)
    return f'{HEAD}    tap "A tap"\n{EVENT}{groups}{deepest}step taps\n{deepest}    until tap\n'


def test_groups_in_groups_to_the_depth_that_can_be_read_aloud_and_none_deeper() -> None:
    assert verdict(loaded(nested(38)), ["go", "tap"]).outcome is Outcome.GO
    standard, found = load_standard(Source("large.standard", nested(50)))
    assert standard is None
    (refused,) = found
    assert refused.span is not None
    assert (refused.code.number, refused.span.line) == ("R106", 50)


def test_two_hundred_events_and_ten_thousand_lines() -> None:
    text = rules_of(events=200, lines=10_000)
    standard = loaded(text)
    machine = compile_standard(standard)
    assert text.count("\n") > 10_000
    assert len(machine.events) == 200
    assert all(machine.watches[f"{name}_199"] for name in ("go", "throw", "answer", "line_in"))
