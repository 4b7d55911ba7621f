"""Random pairs of editions without a clock, with an automata library as referee.

Each edition becomes a finite automaton: a letter for each mark and value, a state for each position that entries
alone lead to, GO accepts. Whether one language lies in the other is then the library's own work.
"""

import time
from collections import Counter
from multiprocessing import Pool
from random import Random

from attrs import define, field, frozen
from automata.fa.dfa import DFA

from standfast.difference.behaviour import compare
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.machine.state import State
from standfast.machine.step import initial
from standfast.model.standard import Standard
from trials.alterations import altered, meant
from trials.enumeration import all_values, from_now, logged

_SHARE = 25
_MOST_STATES = 4_000
_HEAD = """\
standard letters "Letters"
    edition "1"
    in force from 2026-01-01

marks
    go "A signal"
    touch "A touch"
    slip "A slip"
    knot is one of red, blue "A knot"

"""


@define
class _Author:
    """Writes a standard in which nothing waits for time."""

    rng: Random
    labels: int = 0

    def mark(self) -> str:
        return self.rng.choice(("go", "touch", "slip", "knot", "knot red", "knot blue"))

    def name(self) -> str:
        return self.rng.choice(("go", "touch", "slip", "knot"))

    def label(self) -> str:
        self.labels += 1
        return f"part_{self.labels}"

    def rule(self) -> str:
        number = self.rng.randrange(1, 4)
        rule = self.rng.choice(
            (
                f"within {number} {self.name()}",
                f"before {number + 1} {self.name()}",
                f"at least {number} {self.name()}",
                f"fail on {self.mark()}",
                f"fail on {self.mark()} more than {number} times",
                f"restart on {self.mark()}, at most {number}",
                f"restart on {self.mark()}",
                f"halt on {self.mark()}",
                f"disqualify on {self.mark()} more than {number} times",
                f"fail on {self.mark()} out of order",
            )
        )
        return f"{rule} as {self.label()}"

    def rules(self, pad: str) -> str:
        return "".join(f"{pad}{self.rule()}\n" for _ in range(self.rng.choice((0, 0, 1, 1, 2))))

    def step(self, pad: str, start: str | None = None) -> str:
        inner = f"{pad}    "
        begins = f"{inner}start on {start or self.mark()}\n" if start or self.rng.random() < 0.3 else ""
        number = self.rng.randrange(1, 3)
        goal = f"{inner}until {number} {self.mark()}\n"
        return f"{pad}step {self.label()}\n{begins}{goal}{self.rules(inner)}"

    def event(self, start: str) -> str:
        text = f"event {self.label()}\n    attempts {self.rng.choice(('1', '2', '2', '3', 'without limit'))}\n"
        text += "    carry on\n" if self.rng.random() < 0.1 else ""
        text += f"    start on {start}\n{self.rules('    ')}"
        kind = self.rng.randrange(4)
        if kind == 0:
            return text + "".join(self.step("    ") for _ in range(self.rng.choice((1, 2, 2, 3))))
        order = ("in order", "in any order", "any one of")[kind - 1]
        starts = self.rng.sample(("touch", "slip", "knot red"), 2) if kind == 3 else (None, None)
        inside = "".join(self.step("        ", each) for each in starts)
        return f"{text}    {order} {self.label()}\n{self.rules('        ')}{inside}"

    def standard(self) -> str:
        two = self.rng.random() < 0.25
        return _HEAD + self.event("go") + (f"\n{self.event(self.rng.choice(('go', 'touch')))}" if two else "")


def untimed(standard: Standard) -> bool:
    """Whether no clock is read."""
    return not any(clock.bound for clock in compile_standard(standard).clocks)


def editions(rng: Random) -> tuple[str, Standard, str, Standard]:
    """A random standard without a clock and an alteration of it that has none either."""
    while True:
        text = _Author(rng).standard()
        old = meant(text)
        if old is None:
            continue
        for _ in range(20):
            other, new = altered(rng, text, rng.choice((1, 1, 2, 3)))
            if untimed(new):
                return text, old, other, new


class TooMany(Exception):
    """There are more states than are looked at."""


def automaton(machine: Machine, letters: frozenset[tuple[str, str | None]]) -> DFA:
    """The machine as a finite automaton over the marks and values that both editions know."""
    state, _ = initial(machine)
    states: dict[State, int] = {}
    going: dict[int, dict[str, int]] = {}
    accepting: set[int] = set()

    def number(found: State) -> int:
        found = from_now(machine, found)
        if found not in states:
            if len(states) == _MOST_STATES:
                raise TooMany
            states[found] = len(states)
            left.append(found)
        return states[found]

    left: list[State] = []
    first = number(state)
    while left:
        here = left.pop()
        place = states[here]
        if here.decided:
            accepting.add(place)
        going[place] = {
            _letter(letter): place if here.decided is not None else number(logged(machine, here, *letter).state)
            for letter in letters
        }
    names = {_letter(letter) for letter in letters}
    return DFA(
        states=set(going), input_symbols=names, transitions=going, initial_state=first, final_states=accepting
    )


def _letter(letter: tuple[str, str | None]) -> str:
    return letter[0] if letter[1] is None else f"{letter[0]} {letter[1]}"


def letters_of(old: Machine, new: Machine) -> frozenset[tuple[str, str | None]]:
    """Each mark with each value that both editions know."""
    known = []
    for machine in (old, new):
        values = ((mark.name, each) for mark in machine.standard.marks for each in all_values(machine, mark))
        known.append({(name, each) for name, each in values if each is None or isinstance(each, str)})
    return frozenset(known[0] & known[1])


# --- held together ---------------------------------------------------------------------------------------------


@frozen
class Wrong:
    seed: str
    old: str
    new: str
    told: str

    def __str__(self) -> str:
        return f"--- {self.seed}\n{self.old}\n=== altered\n{self.new}\n!!! {self.told}\n"


@define
class Trial:
    counts: Counter[str] = field(factory=Counter)
    wrong: list[Wrong] = field(factory=list)


def try_one(seed: str, trial: Trial) -> None:
    text, old, other, new = editions(Random(seed))
    machines = compile_standard(old), compile_standard(new)
    letters = letters_of(*machines)
    try:
        one, another = (automaton(machine, letters) for machine in machines)
    except TooMany:
        trial.counts["too large, left out"] += 1
        return
    wanted = (not one <= another, not another <= one)
    comparison = compare(old, new)
    found = (comparison.course.lost.word, comparison.course.gained.word)
    trial.counts[f"pairs {comparison.course.word.value}"] += 1
    if found != wanted:
        trial.wrong.append(
            Wrong(seed, text, other, f"GO under one alone: {found} claimed, {wanted} by the referee")
        )
        return
    for claim, side, apart in zip(
        (comparison.course.lost, comparison.course.gained), (0, 1), (one - another, another - one), strict=True
    ):
        if claim.shown is not None:
            shortest = apart.minimum_word_length()
            trial.counts["shortest logs"] += 1
            if claim.entries != shortest:
                told = f"side {side}: a log of {claim.entries} entries, the shortest has {shortest}"
                trial.wrong.append(Wrong(seed, text, other, told))


def tried(seed: str, count: int) -> Trial:
    trial = Trial()
    for number in range(count):
        try_one(f"{seed}/{number}", trial)
    return trial


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    started = time.monotonic()
    share = max(1, min(_SHARE, count // jobs))
    work = [(f"{seed}.{part}", min(share, count - part * share)) for part in range(-(-count // share))]
    whole = Trial()
    with Pool(jobs) as pool:
        for trial in pool.imap_unordered(_tried, work):
            whole.counts += trial.counts
            whole.wrong += trial.wrong
    for wrong in whole.wrong[:3]:
        print(wrong)
    print(f"untimed: {count}, seed {seed}, wrong: {len(whole.wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(whole.counts.items()):
        print(f"    {name}: {number}")
    return 1 if whole.wrong else 0


def _tried(job: tuple[str, int]) -> Trial:
    return tried(*job)
