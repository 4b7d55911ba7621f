"""Random standards so small that every log of them can be tried.

Lengths are a few microseconds, the grain of time itself: between one instant of the grid and the next there is
nothing that a log could say. Every kind of rule comes out.
"""

from random import Random

from attrs import define, field

from standfast.diagnostic import has_errors
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.model.standard import Standard
from standfast.source import Source

_MARKS = {
    "go": 'go "A signal"',
    "tap": 'tap "A tap"',
    "slip": 'slip "A slip"',
    "knot": 'knot is one of red, blue "A knot"',
    "load": 'load in kg "A load"',
}
_SETS = (("go", "tap"), ("go", "tap", "slip"), ("go", "tap", "slip"), ("go", "knot"), ("go", "tap", "load"))


@define
class _Author:
    """Writes one small standard; `left` is how many rules may still be written."""

    rng: Random
    marks: tuple[str, ...]
    left: int
    names: int = 0
    taken: list[set[str]] = field(factory=list)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def length(self) -> str:
        return f"0.00{self.rng.choice((1, 2, 2, 3, 4))} ms"

    def pattern(self) -> str:
        mark = self.rng.choice(self.marks)
        if mark == "knot" and self.chance(0.7):
            return self.rng.choice(("knot red", "knot blue", "knot other than red"))
        if mark == "load" and self.chance(0.7):
            word = self.rng.choice(("at least", "over", "under", "at most", "exactly"))
            return f"load {word} {self.rng.choice((1, 2))} kg"
        return mark

    def label(self, last: str) -> str:
        """Nothing, or the label that a second line with the same last part of its path needs."""
        given = last
        while given in self.taken[-1]:
            self.names += 1
            given = f"label_{self.names}"
        self.taken[-1].add(given)
        return "" if given == last else f" as {given}"

    def whose(self, share: float) -> str:
        """Now and then whose entries a number of marks counts."""
        if not self.chance(share):
            return ""
        return self.rng.choice((", once a grader", ", by anyone", ", once a grader, by anyone"))

    # --- rules -----------------------------------------------------------------------------------------

    def figure_limit(self) -> str:
        """A limit on a figure of the clause being written."""
        kinds = ["time", "count"]
        if "load" in self.marks:
            kinds += ["total", "largest", "smallest", "each", "last"]
        kind = self.rng.choice(kinds)
        test = self.rng.choice(("at least", "at most", "over", "under", "exactly", "from"))
        amounts = {"time": ("0.001 ms", "0.002 ms", "0.003 ms"), "count": ("1", "2", "2")}.get(
            kind, ("1 kg", "2 kg", "2 kg")
        )
        amount = f"{amounts[0]} to {self.rng.choice(amounts[1:])}" if test == "from" else self.rng.choice(amounts)
        mark = "" if kind == "time" else self.rng.choice(self.marks) if kind == "count" else "load"
        of = f" of {mark}" if mark else ""
        return f"{kind}{of} {test} {amount}" + self.label("_".join(filter(None, (kind, mark))))

    def limit(self) -> str:
        if self.chance(0.2):
            return self.figure_limit()
        mark = self.rng.choice(self.marks)
        words, last = self.rng.choice(
            (
                (f"within {self.length()}", "within"),
                (f"within {self.length()}", "within"),
                (f"under {self.length()}", "under"),
                (f"not before {self.length()}", "not_before"),
                (f"within 1 {mark}{self.whose(0.2)}", f"within_{mark}"),
                (f"before 2 {mark}{self.whose(0.2)}", f"before_{mark}"),
                (f"at least 1 {mark}{self.whose(0.2)}", f"at_least_{mark}"),
                (f"no {mark} for over {self.length()}", f"no_{mark}"),
                (f"no {mark} for {self.length()} or more", f"no_{mark}"),
            )
        )
        return words + self.label(last)

    def consequence(self, effects: tuple[str, ...], *, by_time: bool) -> tuple[str, str]:
        effect = self.rng.choice(effects)
        if effect == "restart":
            at_once = " at once" if self.chance(0.4) else ""
            return effect + at_once, ", at most once" if by_time or self.chance(0.5) else ""
        charged = effect == "halt" and (by_time or self.chance(0.4))
        return effect, ", charged" if charged else ""

    def fault(self, effects: tuple[str, ...]) -> str:
        kind = self.rng.randrange(5)
        if kind == 0:
            mark = self.rng.choice(self.marks)
            over = self.rng.choice((f"over {self.length()}", f"{self.length()} or more"))
            trigger, last = f"no {mark} for {over}", f"no_{mark}"
        else:
            pattern = self.pattern()
            last = pattern.split()[0]
            trigger = pattern + ("", "", f" more than once{self.whose(0.3)}", " out of order")[kind - 1]
            last += ".out_of_order" if kind == 4 else ""
        effect, end = self.consequence(effects, by_time=kind == 0)
        return f"{effect} on {trigger}{end}{self.label(last)}"

    def rules(self, pad: str, effects: tuple[str, ...], most: int) -> str:
        text = ""
        for _ in range(min(self.left, self.rng.randrange(most + 1))):
            self.left -= 1
            text += f"{pad}{self.limit() if self.chance(0.5) else self.fault(effects)}\n"
        return text

    def rest(self, effects: tuple[str, ...], *, has_start: bool, between: str = "") -> str:
        def otherwise(*, by_time: bool) -> str:
            effect, end = self.consequence(effects, by_time=by_time)
            return f", else {effect}{end}"

        least = f"at least {self.length()}{between}{otherwise(by_time=False)}"
        greatest = f"at most {self.length()}"
        if not has_start or self.chance(0.6):
            return least
        if self.chance(0.5):
            return f"{greatest}{between}{otherwise(by_time=True)}"
        return f"{least}, {greatest}{otherwise(by_time=True)}"

    # --- blocks ----------------------------------------------------------------------------------------

    def goal(self) -> str:
        kind = self.rng.randrange(5)
        if kind == 0:
            return f"for {self.length()}"
        if kind == 1:
            return f"until 2 {self.pattern()}{self.whose(0.3)}"
        if kind == 2 and "load" in self.marks:
            return f"until load totals {self.rng.choice((1, 2))} kg"
        return f"until {self.pattern()}"

    def start(self, pattern: str | None = None) -> str:
        if self.chance(0.1):
            return f"start on {pattern or self.pattern()} more than once{self.whose(0.3)}"
        return f"start {'with first' if self.chance(0.4) else 'on'} {pattern or self.pattern()}"

    def step(
        self, depth: int, effects: tuple[str, ...], start: str | None = None, *, may_wait: bool = False
    ) -> tuple[str, bool]:
        """A step, and whether it has a start mark; one that `may_wait` is at times only owed if it has begun."""
        self.names += 1
        pad = "    " * (depth + 1)
        self.taken.append(set())
        has_start = start is not None or self.chance(0.3)
        text = f"{'    ' * depth}step step_{self.names}\n"
        text += f"{pad}{self.start(start)}\n" if has_start else ""
        text += f"{pad}only if begun\n" if has_start and may_wait and self.chance(0.5) else ""
        text += f"{pad}{self.goal()}\n{self.rules(pad, effects, 2)}"
        self.taken.pop()
        return text, has_start

    def steps(self, depth: int, effects: tuple[str, ...], number: int) -> str:
        text = ""
        for position in range(number):
            words, has_start = self.step(depth, effects)
            if position and self.chance(0.3):
                text += f"{'    ' * depth}rest {self.rest(effects, has_start=has_start)}\n"
            text += words
        return text

    def group(self, effects: tuple[str, ...]) -> str:
        self.names += 1
        order = self.rng.choice(("in order", "in any order", "any one of"))
        self.taken.append(set())
        text = f"    {order} group_{self.names}\n"
        text += f"        {self.start()}\n" if self.chance(0.3) else ""
        text += self.rules("        ", effects, 2)
        if order == "in order":
            text += self.steps(2, effects, 2)
        elif order == "in any order":
            text += "".join(self.step(2, effects, may_wait=True)[0] for _ in range(2))
        else:
            starts = [*self.marks, "knot red", "knot blue"] if "knot" in self.marks else list(self.marks)
            text += "".join(self.step(2, effects, start)[0] for start in self.rng.sample(starts, 2))
        self.taken.pop()
        return text

    def event(self, label: str, start: str | None) -> str:
        effects = ("note", "restart", "fail", "fail", "disqualify", "halt")
        attempts = self.rng.choice(("1", "1", "2", "without limit"))
        between = ""
        if self.chance(0.1 if attempts == "1" else 0.4):
            own = ("note", "disqualify") if attempts == "without limit" else ("note", "fail", "disqualify")
            between = f", rest {self.rest(own, has_start=start is not None, between=' between')}"
        self.taken.append(set())
        text = f"event {label}\n    attempts {attempts}{between}\n"
        text += "    carry on\n" if self.chance(0.15) else ""
        text += f"    {self.start(start)}\n" if start is not None else ""
        text += self.rules("    ", effects, 2)
        kind = self.rng.randrange(8)
        if kind == 0:
            text += f"    {self.goal()}\n"
        elif kind < 5:
            text += self.steps(1, effects, self.rng.choice((1, 2, 2, 3)))
        else:
            text += self.group(effects)
            text += self.step(1, effects)[0] if self.chance(0.2) else ""
        self.taken.pop()
        return text

    def standard(self) -> str:
        two = self.chance(0.2)
        text = 'standard small "Small"\n    edition "1"\n    in force from 2026-01-01\n'
        text += self.rng.choice(("    carry on\n", "    events in any order\n", "", "")) if two else ""
        text += "\nmarks\n"
        text += "".join(f"    {_MARKS[mark]}\n" for mark in self.marks) + "\n"
        if self.chance(0.2):
            self.taken.append(set())
            rules = self.rules("    ", ("note", "fail", "disqualify", "halt"), 1)
            self.taken.pop()
            text += f"always\n{rules}\n" if rules else ""
        text += self.event("drill", "go")
        return text + "\n" + self.event("drill_2", self.rng.choice(("go", "tap", None))) if two else text


def small_standard(rng: Random) -> tuple[str, Standard]:
    """A legal one, with its text; drafts that are refused are thrown away."""
    while True:
        text = _Author(rng, rng.choice(_SETS), rng.choice((1, 2, 3, 4, 5))).standard()
        tree, found = read(Source("small", text))
        if tree is not None and not has_errors(found):
            standard, found = resolve(tree)
            if standard is not None and not has_errors(found):
                return text, standard
