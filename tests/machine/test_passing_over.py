"""Which later rounds must still be named from a position, where two clauses have rounds at once."""

from standfast.log.entry import Entry
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.passing_over import GoneOver
from standfast.machine.state import State
from standfast.machine.step import Work, enter, initial
from standfast.machine.zone import Zone
from standfast.pipeline import load_standard
from standfast.source import Source

BOTH = """\
standard drill "Drill"
    edition "1"
    in force from 2026-01-01

marks
    go "A signal"
    cleared names a round "Over the bar"
    turned names a round "Round the post"

event drill
    attempts 1
    start on go
    in any order both
        rounds heights
            at 1 m, 2 m, 3 m
            unmarked rounds are made
            until cleared
        rounds turns
            at 1 m, 2 m, 3 m
            unmarked rounds are made
            until turned
"""


def machine() -> Machine:
    standard, found = load_standard(Source("drill.standard", BOTH))
    assert standard is not None, [diagnostic.message for diagnostic in found]
    return compile_standard(standard)


def after(both: Machine, *marks: str) -> State:
    state, _ = initial(both)
    for number, mark in enumerate(marks, 1):
        state, _ = enter(both, state, Entry(number=number, line=number + 1, at=0, mark=mark, value=None))
    return state


def named(gone_over: GoneOver, both: Machine, state: State, mark: str) -> list[str]:
    work, place = Work.of(both, state), both.places[both.round_marks[mark]]
    return list(gone_over.names(work, place, lambda: Zone.start(), lambda: (*work.counters, *work.locations)))


def test_what_was_gone_through_in_one_row_is_not_what_was_in_the_other() -> None:
    """Both come to where the second round of either row is open, one by a height and the other by a turn."""
    both, gone_over = machine(), GoneOver()
    assert named(gone_over, both, after(both, "go", "turned"), "cleared") == ["2 m", "3 m"]
    assert named(gone_over, both, after(both, "go", "cleared"), "turned") == ["2 m", "3 m"]


def test_a_row_is_gone_through_once() -> None:
    both, gone_over = machine(), GoneOver()
    assert named(gone_over, both, after(both, "go"), "cleared") == ["2 m", "3 m"]
    assert named(gone_over, both, after(both, "go", "cleared"), "cleared") == []
    assert named(gone_over, both, after(both, "go", "turned"), "cleared") == ["2 m", "3 m"]
