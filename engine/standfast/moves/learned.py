"""Learned moves: what the plain step does at one position with one mark, as straight-line Python.

The step function is the only source of the meaning. When a mark is first met at a position, it is run there with
numbers that know how they were got (`known`); what it asked of them and what it then did become a branch of that
move (`tree`), which is compiled and from then on called instead. A branch not met before is learned when it is.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from functools import partial
from math import ceil, floor
from typing import Any

from standfast.log.entry import Entry
from standfast.machine.parts import Machine
from standfast.machine.state import Signal, State
from standfast.machine.step import Work, initial
from standfast.moves.known import Known, Names, Trace, Unlearnable, over
from standfast.moves.layout import DUE, MEASURED, Layout, Register
from standfast.moves.telling import MADE, Row, Telling, Unusable, line_of
from standfast.moves.tree import AMOUNT, Leaf, Tree, grown, loop_source, source, stays
from standfast.quantity import MILLION, Quantity
from standfast.values import define, evolve, field

MOST = 4000
"""Branches of one machine; a log that needs one more, and has it not, is replayed the plain way."""
LOOPS, LOOPS_AGAIN = 64, 8
"""After so many runs there are loops, and again, with what was learned since, after so many times as many."""
NEVER = 1 << 62
"""An instant after all others, in microseconds."""
TIME, END, HEARD = "time passes", "the log ends", "of another: "

Key = str | tuple[str, str | None]
"""A mark, with `HEARD` before it another candidate's; `TIME` or `END`. One with values in words has its value."""
Move = Callable[[list[Any], int, Entry | None, Telling, list[Row]], "Moves | None"]
"""From the registers, the instant, the entry and where to tell (`telling`): to the next position. Only `TIME`
gives None: nothing more falls due before the instant."""
Loop = Callable[[Iterator[Entry], list[Any], Telling, list[Row]], "Moves | None"]
"""Runs entries as long as they stay at a position; where the last led to, None where none is left."""


class Moves(dict[Key, Move]):
    """The moves from one position. `loop` runs entries for as long as they stay here; None until it is made."""

    def __init__(self, state: State, learned: "Learned") -> None:
        super().__init__()
        self.state = state
        self.learned = learned
        self.trees: dict[Key, Tree] = {}
        self.name = learned.names.name(self, "position")
        self.loop: Loop | None = None

    def __missing__(self, key: Key) -> Move:
        """Of a mark with values in words there is a move for each of them."""
        if not isinstance(key, str) or key.removeprefix(HEARD) not in self.learned.worded:
            return lambda *given: self.learned.learn(self, key, *given)
        move = self[key] = lambda r, now, entry, *lists: self[key, entry.value](r, now, entry, *lists)
        return move


@define(eq=False)
class Learned:
    """What is known of one machine; it holds for all its logs."""

    machine: Machine
    names: Names = field(init=False)
    layout: Layout = field(init=False)
    positions: dict[State, Moves] = field(factory=dict)
    mores: dict[tuple[str, Key], str] = field(factory=dict)
    branches: int = 0
    runs: int = 0
    loops_at: int = LOOPS
    by_anyone: frozenset[str] = field(init=False)
    worded: frozenset[str] = field(init=False)
    bests: bool = field(init=False)
    first: Moves = field(init=False)
    registers: list[Any] = field(init=False)
    opening: Callable[[Telling, list[Row]], None] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.names = Names({"over": over, "floor": floor, "ceil": ceil, "never": NEVER, "late": late, **MADE})
        self.layout = Layout(self.machine)
        self.by_anyone = frozenset(self.machine.standard.by_anyone)
        self.bests = any(event.best is not None for event in self.machine.events)
        marks = self.machine.standard.marks
        self.worded = frozenset(mark.name for mark in marks if mark.choices or mark.names_round)
        state, signals = initial(self.machine)
        self.first = self.at(self.layout.position(state))
        found: dict[int, Any] = {}
        self.layout.replaced(
            state, lambda register, number: found.setdefault(self.layout.number(register), number)
        )
        self.registers = [0, *(found[number] for number in range(1, self.layout.size()))]
        trace = Trace(self.names)
        lines = [*(line_of(trace, signal) for signal in signals), "return"]
        self.opening = self._made("\n    ".join(["def opening(account, passed):", *lines]), "opening")

    def at(self, position: State) -> Moves:
        return self.positions.setdefault(position, Moves(position, self))

    # --- learning ----------------------------------------------------------------------------------------

    def learn(
        self,
        moves: Moves,
        key: Key,
        r: list[Any],
        now: int,
        entry: Entry | None,
        account: Telling,
        passed: list[Row],
    ) -> Moves | None:
        """Run the plain step, keep what it did as a branch of the move, and make the move.

        Whatever is not foreseen in this is left to the plain way; random trials see that nothing is.
        """
        if self.branches >= MOST:
            raise Unlearnable
        self.branches += 1
        try:
            trace = Trace(self.names)
            leaf = self._traced(trace, moves, key, r, now, entry)
            moves.trees[key] = grown(moves.trees.get(key), trace.asked.items(), leaf)
            move = moves[key] = self._made(source(moves.trees[key], self._more(moves, key)), "move")
        except (TypeError, AssertionError) as unforeseen:
            raise Unlearnable from unforeseen
        for registers in (r, self.registers):
            registers.extend([0] * (self.layout.size() - len(registers)))
        after: Moves | None = move(r, now, entry, account, passed)
        return after

    def _more(self, moves: Moves, key: Key) -> str:
        """The name of what learns a branch that a move has not."""
        if (moves.name, key) not in self.mores:
            self.mores[moves.name, key] = self.names.name(partial(self.learn, moves, key), "more")
        return self.mores[moves.name, key]

    def _made(self, text: str, name: str) -> Any:
        made: dict[str, object] = {}
        exec(text, self.names.held, made)
        return made[name]

    def begin(self) -> tuple[list[Any], Telling]:
        """The registers and the account when a log begins."""
        self.runs += 1
        if self.runs == self.loops_at:
            self.loops_at *= LOOPS_AGAIN
            self.make_loops()
        passed: list[Row] = []
        account = Telling(self.machine, unused=Unusable(passed), passed=passed)
        self.opening(account, passed)
        return self.registers[:], account

    def make_loops(self) -> None:
        """Of positions where entries stay, each with its moves in one function, those that stay first."""
        for moves in self.positions.values():
            here, marks = moves.name, dict[str, Tree | dict[str, Tree]]()
            for key, tree in sorted(moves.trees.items(), key=lambda item: not stays(item[1], here)):
                if isinstance(key, str) and key in self.machine.watches:
                    marks[key] = tree
                elif not isinstance(key, str) and key[1] is not None and key[0] in self.machine.watches:
                    of_mark = marks.setdefault(key[0], {})
                    assert isinstance(of_mark, dict)
                    of_mark[key[1]] = tree
            if any(stays(tree, here) for tree in moves.trees.values()):
                with suppress(Unlearnable):  # one nested too deep has its moves one by one
                    moves.loop = self._made(loop_source(here, self._next_due(moves.state, {}), marks), "loop")

    def _traced(self, trace: Trace, moves: Moves, key: Key, r: list[Any], now: int, entry: Entry | None) -> Leaf:
        instant: Any = Known(now, "now", trace)

        def known(register: Register, _: Any) -> Known:
            number = self.layout.number(register)
            if register[0] in MEASURED:
                return Known(over(r[number], MILLION), f"r[{number}]", trace, MILLION)
            return Known(r[number], f"r[{number}]", trace)

        work = _Traced.of(self.machine, self.layout.replaced(moves.state, known))
        work.now = instant
        if key == TIME:
            due = work.next_due(instant)
            if due is None:
                return Leaf((), {DUE: self._next_due(moves.state, {})}, "None")
            work.now = due[0]
            work.fire(due[1])
        elif key == END:
            work.end_bests()
        else:
            shown = _shown(trace, entry, instant, bool(self.machine.rolls))
            mark = key if isinstance(key, str) else key[0]
            (work.overhear if mark.startswith(HEARD) else work.take)(shown)
        state, signals = work.frozen()
        return self._leaf(trace, moves, key, state, signals)

    def _leaf(self, trace: Trace, moves: Moves, key: Key, state: State, signals: Iterable[Signal]) -> Leaf:
        """What was done, told and set, as texts."""
        told = tuple(line_of(trace, signal) for signal in signals)
        sets: dict[int, str] = {}

        def note(register: Register, number: Any) -> int:
            if register[0] != "now":
                parts = MILLION if register[0] in MEASURED else 1
                at, text = self.layout.number(register), trace.text(number, parts)
                if text != f"r[{at}]":
                    sets[at] = text
            return 0

        after = self.at(self.layout.replaced(state, note))
        if key == TIME or not self._falls_no_earlier(moves.state, after.state, sets):
            sets[DUE] = self._next_due(after.state, sets)
        return Leaf(told, sets, after.name)

    # --- what falls due ----------------------------------------------------------------------------------

    def _dues(self, position: State) -> dict[int, int]:
        """The registers of the clocks that something falls due by, and after how many microseconds the first."""
        found: dict[int, int] = {}
        for due in Work.of(self.machine, position).live_dues():
            clock = self.layout.number(("clocks", due.clock, -1))
            found[clock] = min(due.after, found.get(clock, NEVER))
        return found

    def _falls_no_earlier(self, before: State, after: State, sets: Mapping[int, str]) -> bool:
        """Whether the instant known before will do: it may lie before the next one, never after."""
        old, new = self._dues(before), self._dues(after)
        kept = all(
            clock in old and old[clock] <= length and sets.get(clock, "now") == "now"
            for clock, length in new.items()
        )
        return kept and bool(new) == bool(old)

    def _next_due(self, position: State, sets: Mapping[int, str]) -> str:
        instants = [
            f"{'now' if sets.get(clock) == 'now' else f'r[{clock}]'} + {length}"
            for clock, length in self._dues(position).items()
        ]
        if not instants:
            return "never"
        return instants[0] if len(instants) == 1 else f"min({', '.join(instants)})"


@define
class _Traced(Work):
    def exact(self, number: Any) -> Any:
        return number


def timed(at: Any, now: int, r: list[Any], account: Telling, passed: list[Row]) -> Any:
    """Where all that falls due before the instant leads to."""
    while now >= r[DUE]:
        after = at[TIME](r, now, None, account, passed)
        if after is None:
            break
        at = after
    return at


def late(at: Any, entry: Entry, r: list[Any], account: Telling, passed: list[Row]) -> Any:
    """Where an entry leads to, after what falls due before it."""
    now = entry.at
    if now >= r[DUE]:
        at = timed(at, now, r, account, passed)
    return at[entry.mark](r, now, entry, account, passed)


def _shown(trace: Trace, entry: Entry | None, instant: Any, graders: bool) -> Entry:
    """The entry as the step is shown it: known are its place, instant, amount and, where counted, grader."""
    assert entry is not None
    number: Any = Known(entry.number, "entry.number", trace)
    line: Any = Known(entry.line, "entry.line", trace)
    shown: Any = evolve(entry, at=instant, number=number, line=line)
    if isinstance(entry.value, Quantity):
        shown = evolve(shown, value=_amount(trace, entry.value))
    if graders and trace.ask("entry.by is not None", entry.by is not None):
        shown = evolve(shown, by=Known(entry.by, "entry.by", trace))
    made: Entry = shown
    return made


def _amount(trace: Trace, value: Quantity) -> Quantity:
    """A quantity whose base is known."""
    amount = Quantity(value.parts)
    object.__setattr__(amount, "base", Known(value.base, AMOUNT, trace, MILLION))
    return amount
