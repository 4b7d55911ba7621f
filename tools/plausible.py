"""Random standards and random logs that look like real ones, for the trials and the laws.

A standard is made as text, so that a pair goes all the way from reading to verdict. A log is made by walking the
machine: most entries are ones that something waits for, most times lie at, just before or just after a deadline,
and ties at one instant are common. Everything comes from the one generator given, so a seed names a trial.
"""

from fractions import Fraction
from random import Random

from attrs import define, field

from standfast.log.entry import Entry, SessionLog
from standfast.machine.parts import Location, Machine
from standfast.machine.state import State
from standfast.machine.step import Work, enter, initial
from standfast.model.standard import Mark
from standfast.quantity import Quantity

BARE = ("go", "touch", "slip", "call", "bell")
CHOICES = ("red", "green", "blue")
MARKS = """marks
    go "A signal"
    touch "A touch"
    slip "A slip"
    call "A call"
    bell "A bell"
    knot is one of red, green, blue "A knot"
    line_in in m "Line recovered"
"""


@define
class _Author:
    """Writes one random standard; `taken` holds the path ends used in the block being written."""

    rng: Random
    names: int = 0
    taken: list[set[str]] = field(factory=list)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def name(self, kind: str) -> str:
        self.names += 1
        return f"{kind}_{self.names}"

    def length(self, low: int = 1) -> str:
        return f"{self.rng.choice([low, low + 1, low + 2, low + 3, low + 5, low + 8])} s"

    def mark(self) -> str:
        return self.rng.choice((*BARE, "knot", "line_in"))

    def pattern(self) -> str:
        mark = self.mark()
        if mark == "knot" and self.chance(0.6):
            some = " or ".join(self.rng.sample(CHOICES, self.rng.choice((1, 1, 2))))
            return f"knot other than {some}" if self.chance(0.3) else f"knot {some}"
        if mark == "line_in" and self.chance(0.6):
            word = self.rng.choice(("at least", "over", "under", "at most"))
            return f"line_in {word} {self.rng.choice((2, 3, 5))} m"
        return mark

    def counted(self) -> str:
        return f"{self.rng.choice((1, 1, 2, 2, 3))} {self.mark()}"

    def tail(self, last: str) -> str:
        """A sentence at times, and the label that the path needs."""
        words = f' "sentence {self.names}"' if self.chance(0.3) else ""
        if last in self.taken[-1]:
            return f"{words} as {self.name('label')}"
        self.taken[-1].add(last)
        return words

    # --- rules -----------------------------------------------------------------------------------------

    def limit(self, pad: str) -> str:
        kind = self.rng.randrange(8)
        if kind < 2:
            word = ("within", "under")[kind]
            return f"{pad}{word} {self.length(4)}{self.tail(word)}\n"
        if kind == 2:
            return f"{pad}not before {self.length()}{self.tail('not_before')}\n"
        if kind < 6:
            word = ("within", "before", "at least")[kind - 3]
            number, mark = self.counted().split()
            number = str(int(number) + 1) if word == "before" else number
            return f"{pad}{word} {number} {mark}{self.tail(f'{word.replace(chr(32), chr(95))}_{mark}')}\n"
        mark = self.mark()
        end = f"for over {self.length(2)}" if kind == 6 else f"for {self.length(2)} or more"
        return f"{pad}no {mark} {end}{self.tail(f'no_{mark}')}\n"

    def consequence(self, effects: tuple[str, ...], *, by_time: bool) -> tuple[str, str]:
        """The effect words, and what ends the line."""
        effect = self.rng.choice(effects)
        words, end = effect, ""
        if effect == "restart":
            if self.chance(0.4):
                words += " at once"
            if by_time or self.chance(0.6):
                end = f", at most {self.rng.choice(('1 time', '2 times'))}"
        if effect == "halt" and (by_time or self.chance(0.3)):
            end = ", charged"
        return words, end

    def fault(self, pad: str, effects: tuple[str, ...]) -> str:
        silent = self.chance(0.2)
        if silent:
            mark = self.mark()
            trigger = f"no {mark} for " + (
                f"over {self.length(2)}" if self.chance(0.5) else f"{self.length(2)} or more"
            )
            last = f"no_{mark}"
        else:
            trigger = self.pattern()
            last = trigger.split()[0]
            if self.chance(0.2):
                trigger += " out of order"
                last += ".out_of_order"
            elif self.chance(0.35):
                trigger += f" more than {self.rng.choice(('1 time', '2 times'))}"
        words, end = self.consequence(effects, by_time=silent)
        sentence = f' "fault {self.names}"' if end or self.chance(0.3) else ""
        label = "" if last not in self.taken[-1] else f" as {self.name('label')}"
        self.taken[-1].add(last)
        return f"{pad}{words} on {trigger}{sentence}{end}{label}\n"

    def rules(self, pad: str, effects: tuple[str, ...], most: int) -> str:
        text = ""
        for _ in range(self.rng.randrange(most + 1)):
            text += self.limit(pad) if self.chance(0.5) else self.fault(pad, effects)
        return text

    def rest_bounds(self, effects: tuple[str, ...], *, has_start: bool) -> str:
        def bound(word: str, length: str) -> str:
            effect, end = self.consequence(effects, by_time=word == "at most")
            sentence = ' "rest"' if end or self.chance(0.3) else ""
            return f"{word} {length}, else {effect}{sentence}{end}"

        least = bound("at least", self.length())
        if not has_start or self.chance(0.5):
            return least
        greatest = bound("at most", self.length(8))
        return greatest if self.chance(0.4) else f"{least}, {greatest}"

    # --- blocks ----------------------------------------------------------------------------------------

    def goal(self, pad: str) -> str:
        kind = self.rng.randrange(6)
        if kind < 2:
            return f"{pad}for {self.length()}\n"
        if kind == 2:
            return f"{pad}until line_in totals {self.rng.choice((3, 5, 8))} m\n"
        if kind == 3:
            return f"{pad}until {self.rng.choice((2, 3))} {self.pattern()}\n"
        return f"{pad}until {self.pattern()}\n"

    def start(self, pad: str, pattern: str | None = None) -> str:
        words = "start with first" if self.chance(0.4) else "start on"
        return f"{pad}{words} {pattern or self.pattern()}\n"

    def item(self, depth: int, effects: tuple[str, ...], start: str | None) -> tuple[str, bool]:
        """A step or group, and whether it has a start mark. `start` demands one with that pattern."""
        pad, inner = "    " * depth, "    " * (depth + 1)
        has_start = start is not None or self.chance(0.4)
        self.taken.append(set())
        begin = self.start(inner, start) if has_start else ""
        if depth >= 4 or self.chance(0.7):
            text = f"{pad}step {self.name('step')}\n{begin}{self.goal(inner)}"
            text += self.rules(inner, effects, 3)
        else:
            order = self.rng.choice(("in order", "in any order", "any one of"))
            text = f"{pad}{order} {self.name('group')}\n{begin}{self.rules(inner, effects, 2)}"
            text += self.items(depth + 1, order, effects)
        self.taken.pop()
        return text, has_start

    def items(self, depth: int, order: str, effects: tuple[str, ...]) -> str:
        pad = "    " * depth
        if order == "any one of":
            starts = self.rng.sample(("go", "touch", "call", "knot red", "knot green"), self.rng.choice((1, 2, 3)))
            return "".join(self.item(depth, effects, start)[0] for start in starts)
        text = ""
        for number in range(self.rng.choice((1, 2, 2, 3))):
            words, has_start = self.item(depth, effects, None)
            if number and order == "in order" and self.chance(0.4):
                text += f"{pad}rest {self.rest_bounds(effects, has_start=has_start)}\n"
            text += words
        return text

    def event(self, start: str | None, *, halts: bool, any_order: bool) -> str:
        """An event; without a start mark it has neither halts nor boundless attempts."""
        effects: tuple[str, ...] = ("note", "restart", "fail", "disqualify")
        if start is not None and halts:
            effects = (*effects, "halt")
        attempts = "without limit" if start is not None and self.chance(0.15) else str(self.rng.choice((1, 2, 3)))
        between = ""
        if attempts != "1" and self.chance(0.4):
            own = ("note", "fail", "disqualify")
            greatest = start is not None and attempts != "without limit" and not any_order
            between = self.between(own, has_start=greatest)
        self.taken.append(set())
        text = f"event {self.name('event')}\n    attempts {attempts}{between}\n"
        if self.chance(0.25):
            text += "    carry on\n"
        if start is not None:
            text += self.start("    ", start)
        text += self.rules("    ", effects, 2)
        text += self.goal("    ") if self.chance(0.1) else self.items(1, "in order", effects)
        self.taken.pop()
        return text + "\n"

    def between(self, effects: tuple[str, ...], *, has_start: bool) -> str:
        least = f"at least {self.length()} between, else {self.rng.choice(effects)}"
        if not has_start or self.chance(0.5):
            return f", rest {least}"
        effect, length = self.rng.choice(effects), self.length(8)
        if self.chance(0.5):
            return f", rest at most {length} between, else {effect}"
        return f", rest {least}, at most {length}, else {effect}"

    def standard(self) -> str:
        text = 'standard random_one "A random standard"\n    edition "1"\n    in force from 2026-01-01\n'
        carry_on, any_order = self.chance(0.2), self.chance(0.2)
        if carry_on:
            text += "    carry on\n"
        if any_order:
            text += "    events in any order\n"
        if self.chance(0.2):
            text += "    owed at the end fails\n"
        text += "\n"
        if self.chance(0.15):
            text += "conditions\n    depth at least 2.5 m\n    guards at least 2\n    helmet yes\n\n"
        text += MARKS + "\n"
        number = self.rng.choice((1, 1, 2, 3))
        starts: list[str | None] = list(self.rng.sample(("go", "bell", "call"), 3)[:number])
        if not any_order:
            starts = [s if n == 0 or self.chance(0.6) else None for n, s in enumerate(starts)]
        halts = None not in starts
        if self.chance(0.35):
            self.taken.append(set())
            effects = ("note", "fail", "disqualify", *(("halt",) if halts else ()))
            text += "always\n" + (self.rules("    ", effects, 3) or self.limit("    ")) + "\n"
            self.taken.pop()
        for start in starts:
            text += self.event(start, halts=halts, any_order=any_order)
        return text


def random_standard(rng: Random) -> str:
    """The text of a standard; nearly always a legal one."""
    return _Author(rng).standard()


# --- logs --------------------------------------------------------------------------------------------------


def _value(rng: Random, mark: Mark) -> str | Quantity | None:
    if mark.choices:
        return rng.choice(mark.choices)
    if mark.unit is not None:
        return Quantity(((Fraction(rng.choice((0, 1, 2, 3, 4, 5))), mark.unit),))
    return None


def _time(rng: Random, work: Work, now: int) -> int:
    """The next entry's time: now, near a deadline, or some seconds on."""
    dues = [since + due.after for due in work.live_dues() if (since := work.clocks[due.clock]) is not None]
    kind = rng.random()
    if dues and kind < 0.45:
        return max(now, rng.choice(dues) + rng.choice((0, 0, 0, -1, 1, -500_000)))
    if kind < 0.65:
        return now
    return now + rng.choice((1, 2, 3, 4, 6)) * 500_000


def _mark(rng: Random, machine: Machine, state: State) -> Mark:
    wanted = [
        name
        for name, watch in machine.watches.items()
        for use in watch.uses
        if state.locations[use.place] is (Location.WAITING if use.begins else Location.OPEN)
    ]
    if wanted and rng.random() < 0.7:
        name = rng.choice(wanted)
        found = machine.standard.mark(name)
        assert found is not None
        return found
    return rng.choice(machine.standard.marks)


def random_log(rng: Random, machine: Machine, *, longest: int = 24) -> SessionLog:
    """A log of up to `longest` entries of one or two candidates."""
    candidates = ("C-1", "C-2") if rng.random() < 0.1 else ("C-1",)
    state, _ = initial(machine)
    entries: list[Entry] = []
    now = 0
    for number in range(1, rng.randrange(1, longest + 1) + 1):
        now = _time(rng, Work.of(machine, state), now)
        mark = _mark(rng, machine, state)
        candidate = rng.choice((None, *candidates)) if len(candidates) > 1 else "C-1"
        entry = Entry(
            number=number,
            line=number + 1,
            at=now,
            mark=mark.name,
            value=_value(rng, mark),
            candidate=candidate,
            by=rng.choice((None, "G-1", "G-2")),
        )
        entries.append(entry)
        if candidate in (None, "C-1"):
            state, _ = enter(machine, state, entry)
        if state.decided is not None and rng.random() < 0.6:
            break
    end = None
    if rng.random() < 0.7:
        end = max(now, _time(rng, Work.of(machine, state), now) + rng.choice((0, 0, 1, 30_000_000)))
    conditions: dict[str, Quantity | bool] = {}
    for condition in machine.standard.conditions:
        if rng.random() < 0.9:
            good = rng.random() < 0.8
            demand = condition.demand
            conditions[condition.name] = (
                good
                if isinstance(demand, bool)
                else demand.first
                if good
                else Quantity(((Fraction(1), demand.first.unit),))
            )
    return SessionLog(
        session="trial",
        standard=machine.standard.name,
        edition=None,
        candidates=candidates,
        conditions=conditions,
        entries=tuple(entries),
        end=end,
        grader=None,
        started=None,
        digest="",
    )
