"""Random standards that look like real ones, for the trials and the laws.

A standard is made as text, so that a pair goes all the way from reading to verdict; every construct of the
language comes out, the common ones often. Everything comes from the one generator given: a seed names a trial.
"""

from random import Random

from attrs import define
from plausible_rules import Rules
from plausible_words import CHOICES, DEMANDS, FACTS, GIVEN, HEADING, LEVELS, MARKS, READ


@define
class _Author(Rules):
    """Writes one random standard, block by block."""

    def goal(self, pad: str) -> str:
        kind = self.rng.randrange(6)
        if kind < 2:
            return f"{pad}for {self.length()}\n"
        if kind == 2:
            return f"{pad}until line_in totals {self.rng.choice((3, 5, 8))} m\n"
        if kind == 3:
            return f"{pad}until {self.rng.choice((2, 3))} {self.pattern()}{self.whose(0.3)}\n"
        return f"{pad}until {self.pattern()}\n"

    def start(self, pad: str, pattern: str | None = None) -> str:
        words = "start with first" if self.chance(0.4) else "start on"
        counted = ""
        if words == "start on" and self.chance(0.15):
            counted = f" more than {self.times()}{self.whose(0.5)}"
        return f"{pad}{words} {pattern or self.pattern()}{counted}\n"

    def item(
        self, depth: int, effects: tuple[str, ...], start: str | None, *, may_wait: bool = False
    ) -> tuple[str, bool]:
        """A step or group, and whether it has a start mark. `start` demands one with that pattern.

        One that `may_wait` is at times only owed if it has begun.
        """
        pad, inner = "    " * depth, "    " * (depth + 1)
        has_start = start is not None or self.chance(0.4)
        if depth < 4 and not self.own_marks and self.chance(0.15):
            waits = has_start and may_wait and self.chance(0.4)
            return self.rounds_item(depth, effects, start, has_start=has_start, waits=waits), has_start
        is_step = depth >= 4 or self.chance(0.7)
        name = self.name("step" if is_step else "group")
        self.enter(name)
        begin = self.only_for(inner) + (self.start(inner, start) if has_start else "")
        begin += f"{inner}only if begun\n" if has_start and may_wait and self.chance(0.4) else ""
        if is_step:
            text = f"{pad}step {name}{self.title()}\n{begin}{self.goal(inner)}"
            text += self.rules(inner, effects, 3) + self.score(inner)
        else:
            order = self.rng.choice(("in order", "in any order", "any one of"))
            text = f"{pad}{order} {name}{self.title()}\n{begin}{self.rules(inner, effects, 2)}"
            before, scored = len(self.clause_paths), len(self.scored)
            items = self.items(depth + 1, order, effects)
            text += self.score(inner, before)
            text += items + self.looking_back(inner, before, items) + self.points_inside(inner, scored)
        self.leave()
        return text, has_start

    def rounds_item(
        self, depth: int, effects: tuple[str, ...], start: str | None, *, has_start: bool, waits: bool
    ) -> str:
        pad, inner = "    " * depth, "    " * (depth + 1)
        name = self.name("rounds")
        self.enter(name)
        begin = self.start(inner, start) if has_start else ""
        begin += f"{inner}only if begun\n" if waits else ""
        self.own_marks = (self.name("tick"), self.name("short"))
        self.round_marks += self.own_marks
        most = self.rng.choice((1, 2, 3, 4))
        rows, self.rounds[".".join(self.trail)] = self.rng.choice(
            (
                (f"{inner}{most} rounds\n", tuple(f"round {n}" for n in range(1, most + 1))),
                (f"{inner}at 1 m, 2 m, 250 cm\n", ("1 m", "2 m", "250 cm")),
                (f"{inner}level 1: shuttle 1 to 2, at 8.5 km/h\n{inner}level 3: shuttle 2\n", LEVELS),
            )
        )
        text = f"{pad}rounds {name}{self.title()}\n{rows}"
        text += f"{inner}paced over 20 m\n" if self.chance(0.1) else ""
        text += f"{inner}tries {self.rng.choice((1, 2, 3))}\n" if self.chance(0.5) else ""
        if self.chance(0.5):
            text += f"{inner}unmarked rounds are {self.rng.choice(('made', 'missed', 'passed'))}\n"
        text += begin
        effects = (*effects, "miss", "miss", "pass")
        if self.chance(0.7):
            text += self.figure_limit(inner, self.figure_of_rounds(".".join(self.trail), ""))
        text += self.rules(inner, effects, 2) + self.score(inner)
        text += f"{inner}miss on {self.own_marks[1]}{self.tail(self.own_marks[1])}\n"
        text += self.outs(inner)
        if self.chance(0.5):
            number = "2 " if self.chance(0.2) else ""
            text += f"{inner}until {number}{self.own_marks[0] if self.chance(0.8) else self.pattern()}\n"
        else:
            text += self.items(depth + 1, "in order", effects)
            text += f"{inner}note on {self.own_marks[0]}{self.tail(self.own_marks[0])}\n"
        self.own_marks = ()
        self.leave()
        return text

    def outs(self, inner: str) -> str:
        text = ""
        if self.chance(0.5):
            text += f"{inner}out on {self.rng.choice((1, 2, 2, 3))} misses in a row{self.tail('out')}\n"
        if self.chance(0.3):
            text += f"{inner}out on {self.rng.choice((1, 2, 3))} misses in all{self.tail('out_in_all')}\n"
        if self.chance(0.2):
            pattern = self.pattern()
            text += f"{inner}out on {pattern}{self.tail(f'out_{pattern.split()[0]}')}\n"
        return text

    def items(self, depth: int, order: str, effects: tuple[str, ...]) -> str:
        pad = "    " * depth
        if order == "any one of":
            starts = self.rng.sample(("go", "touch", "call", "knot red", "knot green"), self.rng.choice((1, 2, 3)))
            return "".join(self.item(depth, effects, start)[0] for start in starts)
        text = ""
        many = self.rng.choice((1, 2, 2, 3))
        owed = self.rng.randrange(many)  # whatever begins, one item is owed
        for number in range(many):
            may_wait = order == "in any order" and number != owed
            words, has_start = self.item(depth, effects, None, may_wait=may_wait)
            if number and order == "in order" and self.chance(0.4):
                text += f"{pad}rest {self.rest_bounds(effects, has_start=has_start)}\n"
            text += words
        return text

    def event(self, start: str | None, *, halts: bool, any_order: bool, followed: bool) -> str:
        """An event; without a start mark it has neither halts nor boundless attempts.

        `followed`: by one without a start mark, so that its best attempt cannot be waited for.
        """
        effects: tuple[str, ...] = ("note", "restart", "fail", "disqualify")
        if start is not None and halts:
            effects = (*effects, "halt")
        attempts = "without limit" if start is not None and self.chance(0.15) else str(self.rng.choice((1, 2, 3)))
        between = ""
        if attempts != "1" and self.chance(0.4):
            own = ("note", "fail", "disqualify")
            greatest = start is not None and attempts != "without limit" and not any_order
            between = self.between(own, has_start=greatest)
        name = self.name("event")
        self.enter(name)
        text = f"event {name}{self.title()}\n    attempts {attempts}{between}\n"
        if self.chance(0.05):
            text += self.conditions("    ", 2)
        best = start is not None and not followed and self.chance(0.2)
        if self.chance(0.25):
            text += "    carry on\n"
        text += self.only_for("    ")
        if start is not None:
            text += self.start("    ", start)
        text += self.rules("    ", effects, 2)
        before, scored = len(self.clause_paths), len(self.scored)
        items = "" if self.chance(0.1) else self.items(1, "in order", effects)
        text += self.score("    ", before)
        if best:
            figure, _ = self.rounds_inside(self.clause_paths[before:]) or self.figure()
            text += f"    best by {figure}\n" if not figure.startswith("each") else ""
            if not figure.startswith("each") and self.chance(0.6):
                pattern = self.pattern()
                text += f"    out on {pattern}{self.tail(f'out_{pattern.split()[0]}')}\n"
        text += (items or self.goal("    ")) + self.looking_back("    ", before, items)
        text += self.points_inside("    ", scored)
        self.leave()
        return text + "\n"

    def between(self, effects: tuple[str, ...], *, has_start: bool) -> str:
        least = f"at least {self.length()} between, else {self.rng.choice(effects)}"
        if not has_start or self.chance(0.5):
            return f", rest {least}"
        effect, length = self.rng.choice(effects), self.length(9)
        if self.chance(0.15):
            return f", rest from {self.length()} to {length} between, else {effect}"
        if self.chance(0.5):
            return f", rest at most {length} between, else {effect}"
        return f", rest {least}, at most {length}, else {effect}"

    def conditions(self, pad: str, most: int) -> str:
        some = self.rng.sample(DEMANDS, self.rng.randrange(1, most + 1))
        self.demands += (demand.split()[0] for demand in some)
        lines = "".join(f"{pad}    {demand}{self.title()}\n" for demand in some)
        if self.facts and self.chance(0.5):
            lines += f"{pad}    {self.of_fact('rope')}{self.title()}\n"
        return f"{pad}conditions\n{lines}{self.asides(pad + '    ')}"

    def header(self, *, carry_on: bool, any_order: bool) -> str:
        text = 'standard random_one "A random standard"\n    edition "1"\n    in force from 2026-01-01\n'
        text += '    authority "Nobody"\n' if self.chance(0.05) else ""
        text += '    caution "Mind your step."\n' if self.chance(0.05) else ""
        text += "    carry on\n" if carry_on else ""
        text += "    events in any order\n" if any_order else ""
        text += "    owed at the end fails\n" if self.chance(0.2) else ""
        return text + self.asides("    ")

    def case(self) -> str:
        """A worked example that is legal; what it gives is seldom so."""
        text = f'case "case {self.names}"\n'
        known = [given for given in GIVEN if given.split()[0] in self.demands]
        if self.facts:
            known += ["reach 4 m", "duty green", "wind_from 355 deg for C-1", "age 34"]
        for given in self.rng.sample(known, min(len(known), self.rng.randrange(1, 4))):
            text += f"    with {given}\n"
        events = [path for path in self.clause_paths if "." not in path]
        text += f"    log {self.rng.choice(events)}\n" if self.chance(0.5) else "    log\n"
        now = 0
        for _ in range(self.rng.randrange(1, 6)):
            now += self.rng.choice((0, 1, 4))
            mark = self.mark()
            value = {
                "knot": f" {self.rng.choice(CHOICES)}",
                "line_in": f" {self.metres()}",
                "bearing": " 5 deg",
                "watch": " 2.5 s",
                "tape": " 2.5 m",
            }.get(mark, "")
            by = " by G-2" if self.chance(0.2) or self.graded else ""
            whose = " for C-1" if self.chance(0.2) else ""
            text += f"        0:{now:02}{self.rng.choice(('', '.5'))} {mark}{value}{by}{whose}\n"
            now += 1
        text += f"        0:{now:02} end\n" if self.chance(0.3) else ""
        whose = " for C-1" if self.chance(0.2) else ""
        for _ in range(self.rng.randrange(1, 4)):
            text += f"    gives {self.outcome(events)}{whose}\n"
        return text + "\n"

    def outcome(self, events: list[str]) -> str:
        """Something that a `gives` line can say."""
        whole = self.rng.choice(("GO", "NO-GO", "UNFINISHED", "VOID"))
        event = f"{self.rng.choice(events)} {self.rng.choice(('GO', 'NO-GO'))}"
        begins = f"{self.rng.choice(self.clause_paths)} begins at 1:00:05.25"
        if self.scored and self.chance(0.3):
            clause = self.rng.choice(("", f"{self.rng.choice(self.scored)} "))
            return f"{clause}points {self.rng.randrange(8)}"
        if self.grade_names and self.chance(0.2):
            return f"grade {self.rng.choice(self.grade_names)}"
        if not self.rule_paths:
            return self.rng.choice((whole, event, begins))
        if self.rounds and self.chance(0.2):
            path, names = self.rng.choice(list(self.rounds.items()))
            return f"{path} furthest {self.rng.choice((*names, 'no round'))}"
        does = self.rng.choice(("out", "fails", "restarts", "notes", "disqualifies", "halts"))
        return self.rng.choice((whole, event, begins, f"{self.rng.choice(self.rule_paths)} {does} at 0:05"))

    def remarked(self, text: str) -> str:
        """The text with comments and empty lines in it."""
        lines = []
        for number, line in enumerate(text.splitlines()):
            if self.chance(0.05):
                lines.append(f"{line[: len(line) - len(line.lstrip())]}# above {number}")
            lines.append(f"{line}  # beside {number}" if line and self.chance(0.05) else line)
            if self.chance(0.03):
                lines.append("")
        return "\n".join(lines) + "\n"

    def standard(self) -> str:
        carry_on, any_order = self.chance(0.2), self.chance(0.2)
        text = self.header(carry_on=carry_on, any_order=any_order) + "\n"
        self.facts = self.chance(0.2)
        text += FACTS + self.asides("    ") + "\n" if self.facts else ""
        if self.chance(0.15):
            text += self.conditions("", 4) + "\n"
        before = text + MARKS
        if self.chance(0.25):
            self.read = self.rng.choice(READ)
            before += f'    {self.read[0]} in {self.read[1]}{self.read[2]} "A reading"\n'
        before += (HEADING if self.facts else "") + self.asides("    ")
        text = "\n"
        number = self.rng.choice((1, 1, 2, 3))
        starts: list[str | None] = list(self.rng.sample(("go", "bell", "call"), 3)[:number])
        if not any_order:
            starts = [s if n == 0 or self.chance(0.6) else None for n, s in enumerate(starts)]
        halts = None not in starts
        if self.chance(0.35):
            self.enter("always")
            self.clause_paths.pop()
            effects = ("note", "fail", "disqualify", *(("halt",) if halts else ()))
            text += "always\n" + (self.rules("    ", effects, 3) or self.limit("    ")) + "\n"
            self.leave()
        for start, after in zip(starts, (*starts[1:], "none"), strict=True):
            text += self.event(start, halts=halts, any_order=any_order, followed=after is None)
        text += self.grades() if self.scored and self.chance(0.7) else ""
        names = "".join(f'    {mark} names a round "A mark of a round"\n' for mark in self.round_marks)
        text = before + names + text
        if self.chance(0.15):
            self.enter("always")
            paths, self.trail = self.clause_paths[:-1], []
            self.clause_paths.pop()
            figure = self.figure_inside(paths)
            self.trail = ["always"]
            text += "always\n" + self.figure_limit("    ", figure) + "\n"
            self.leave()
        while self.chance(0.25 if self.demands or self.facts else 0.06):
            text += self.case()
        if self.chance(0.1):
            text = text.replace("\n", f"\n    times within {self.length()}\n", 1)
        return self.remarked(text) if self.chance(0.06) else text


def random_standard(rng: Random) -> str:
    """The text of a standard; nearly always a legal one."""
    return _Author(rng).standard()
