"""Laws of learned moves: they give what the plain step gives, and it is the plain step they are learned from."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from attrs import evolve
from demo_archive import patterns_of
from shipped import logs
from shown_moves import shown
from trials.moves import compare, make_loops

from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.moves import learned
from standfast.moves.replayed import PLAIN, Replays
from standfast.pipeline import Ready, load_standard
from standfast.replay import replay
from standfast.report.documents import grade_document, written
from standfast.source import Source
from standfast.verdict import Verdict

ROOT = Path(__file__).resolve().parents[2]
STANDARDS = [*sorted(ROOT.glob("standards/*/*.standard")), ROOT / "tests/practitioner/water_confidence.standard"]
ENDLESS = """
standard endless "Endless"
    edition "1"
    in force from 2026-01-01
marks
    go "The signal"
    lap "A lap"
event laps "Laps"
    attempts 1
    start on go
    until 100000 lap
"""


def standard_of(text: str) -> Standard:
    standard, found = load_standard(Source("given.standard", text.strip() + "\n"))
    assert standard is not None, found
    return standard


def given(path: Path) -> tuple[Standard, list[SessionLog]]:
    """A shipped standard and its logs, those of other editions as they would be of this one."""
    ready = Ready(standard_of(path.read_text(encoding="utf-8")))
    read = (ready.log(each.name, each.read_bytes())[0] for each in logs(path.parent))
    of_this = [log for log, _ in patterns_of(ready.standard, path.parent / "logs")]
    return ready.standard, [*(log for log in read if log is not None), *of_this]


def laps(number: int) -> SessionLog:
    entries = (
        Entry(number=n, line=n + 1, at=n * 1_000_000, mark="lap" if n > 1 else "go") for n in range(1, number)
    )
    return SessionLog(
        session="laps",
        standard="endless",
        edition=None,
        candidates=("C-1",),
        conditions={},
        entries=tuple(entries),
        end=None,
        grader=None,
        started=None,
        digest="",
    )


def written_out(verdicts: tuple[Verdict, ...]) -> str:
    return written(grade_document(verdicts, [], [], []))


@pytest.mark.parametrize("seed", ["moves 1", "moves 2"])
def test_learned_moves_are_the_plain_step_on_random_logs(seed: str) -> None:
    seen, wrong = compare(seed, 12)
    assert not wrong, str(wrong[0])
    assert seen["branches learned"] > 500
    assert seen["runs made plainly"] == 0
    assert all(seen[f"{outcome}, known"] for outcome in ("NO-GO", "UNFINISHED"))


@pytest.mark.parametrize("path", STANDARDS, ids=lambda path: path.stem)
def test_learned_moves_are_the_plain_step_on_every_shipped_log(path: Path) -> None:
    standard, sessions = given(path)
    assert sessions
    machine = compile_standard(standard)
    replays = Replays(machine, plain=0)
    for place, log in enumerate((*sessions, *sessions)):
        if place == len(sessions):
            make_loops(replays)
        plainly, by_moves = replay(machine, log), replays.verdicts(log)
        assert by_moves == plainly
        assert [hash(verdict) for verdict in by_moves] == [hash(verdict) for verdict in plainly]
        assert written_out(by_moves) == written_out(plainly)


def test_the_first_logs_are_replayed_plainly_and_then_moves_are_learned() -> None:
    replays = Replays(compile_standard(standard_of(ENDLESS)))
    (learning,) = [list(_branches(replays, PLAIN + 1))]
    assert learning == [0] * PLAIN + [3]


def _branches(replays: Replays, number: int) -> Iterator[int]:
    for _ in range(number):
        replays.verdicts(laps(5))
        yield sum(each.learned.branches for each in replays.practices.values() if each.learned is not None)


def test_a_count_without_end_makes_no_more_positions() -> None:
    machine = compile_standard(standard_of(ENDLESS))
    replays = Replays(machine, plain=0)
    long = laps(20_000)
    assert replays.verdicts(long) == replay(machine, long)
    (practice,) = replays.practices.values()
    assert practice.learned is not None
    assert len(practice.learned.positions) == 2


def test_no_more_is_learned_than_so_much_and_verdicts_stay_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(learned, "MOST", 3)
    standard, sessions = given(STANDARDS[2])
    machine = compile_standard(standard)
    replays = Replays(machine, plain=0)
    for log in sessions:
        assert replays.verdicts(log) == replay(machine, log)
    (practice,) = replays.practices.values()
    assert practice.learned is not None
    assert (practice.learned.branches, practice.plainly) == (3, len(sessions))


def test_the_move_shown_to_developers_is_the_one_that_is_made() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    (move,) = re.findall(r"^```moves\n(.*?)\n```$", text, re.MULTILINE | re.DOTALL)
    made = shown(ROOT / "standards/boat_crew_entry/boat_crew_entry_2.standard", "line_in")
    assert _unnumbered(move) in map(_unnumbered, made)


def _unnumbered(move: str) -> str:
    """Patterns and positions are numbered as they come: which logs there are is no matter here."""
    return re.sub(r"(pattern|position)_\d+", r"\1_N", move)


def test_what_is_looked_at_later_is_a_tuple_to_all_who_look() -> None:
    standard, sessions = given(STANDARDS[2])
    machine = compile_standard(standard)
    for log in sessions:
        for verdict in replay(machine, log):
            again = evolve(verdict, remarks=tuple(verdict.remarks), figures=tuple(verdict.figures))
            assert (again, hash(again)) == (verdict, hash(verdict))
            assert repr(again) == repr(verdict)
