"""Random standards that look like real ones, for the trials and the laws.

A standard is made as text, so that a pair goes all the way from reading to verdict; every construct of the
language comes out, the common ones often. Everything comes from the one generator given: a seed names a trial.
"""

import re
from random import Random

from attrs import define, field

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
FACTS = """candidate
    reach in m "How far the candidate reaches"
    duty is one of red, green, blue "A duty"
    wind_from is a heading "A direction"
    age is a number "Whole years"
"""
BANDS = (
    ("duty red", "duty green or blue"),
    ("age under 30", "age from 30 to 39", "age over 39"),
    ("age at most 29", "age at least 30"),
    ("reach under 2 m", "reach from 2 m to 4 m", "reach over 4 m"),
    ("wind_from under 180 deg", "wind_from at least 180 deg"),
)
"""Bands of candidates that leave nobody out."""
HEADING = """    bearing is a heading "A bearing called"
"""
READ = (
    ("watch", "s", ", of 3 the middle, of 2 the longer, rounded up to 0.5 s"),
    ("watch", "s", ", rounded down to 1 s"),
    ("watch", "s", ", of 4 the shorter, of 3 the mean, of 2 the first, rounded nearest to 2 s, ties to even"),
    ("tape", "m", ", of 2 the mean, of 5 the middle, rounded nearest to 1 m, ties up"),
    ("tape", "m", ", of 3 the larger, of 2 the smaller"),
)
"""A mark of which several readings make one, or none."""
LEVELS = ("level 1 shuttle 1", "level 1 shuttle 2", "level 3 shuttle 2")
DEMANDS = (
    "depth at least 2.5 m",
    "guards at least 2",
    "helmet yes",
    "ice no",
    "wind under 20 kt",
    "heat over 4 deg",
    "swell at most 50 cm",
    "crew exactly 3",
    "load from 10 kg to 20 kg",
)
_SHARES = ("25 %", "50 %", "100 %", "250 %")
_GIVEN = ("depth 3 m", "guards 2", "helmet yes", "ice yes", "wind 20 kt", "crew 3", "load 20.5 kg")


_TESTED = {
    "heading": ("90 deg", "180 deg", "270 deg"),
    "time": ("2 s", "3 s", "5 s", "8 s"),
    "count": ("1", "2", "3"),
    "rate": ("20 per min", "0.5 per s", "30 per min", "1 per s"),
    "length": ("2 m", "3 m", "5 m", "300 cm", "10 ft"),
}
_SCORED = {
    "heading": ("90 deg", "180 deg", "270 deg"),
    "time": ("2 s", "3 s", "5 s"),
    "count": ("1", "2", "3"),
    "rate": ("20 per min", "30 per min", "1 per s"),
    "length": ("2 m", "3 m", "5 m"),
}
_STEPS = {
    "time": ("1 s", "2 s", "0.5 s", "300 ms"),
    "count": ("2", "3"),
    "rate": ("10 per min", "1 per s"),
    "length": ("1 m", "2 m", "50 cm", "1 ft"),
}
"""What a scored figure is rounded to."""


@define
class _Author:
    """Writes one random standard; `taken` holds the path ends used in the block being written.

    `graded`: some count takes one entry a grader, so every entry says by whom. `read` is the watch.
    `round_marks` are the marks made up for rounds so far, `own_marks` those of the rounds being written, and
    `rounds` the paths of rounds, each with the names of its own. `trail` are the labels around the line being
    written; `rule_paths` and `clause_paths` those given so far.
    """

    rng: Random
    names: int = 0
    taken: list[set[str]] = field(factory=list)
    trail: list[str] = field(factory=list)
    round_marks: list[str] = field(factory=list)
    own_marks: tuple[str, ...] = ()
    rounds: dict[str, tuple[str, ...]] = field(factory=dict)
    rule_paths: list[str] = field(factory=list)
    clause_paths: list[str] = field(factory=list)
    demands: list[str] = field(factory=list)
    graded: bool = False
    facts: bool = False
    read: tuple[str, str, str] | None = None
    scored: list[str] = field(factory=list)
    grade_names: list[str] = field(factory=list)

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def name(self, kind: str) -> str:
        self.names += 1
        return f"{kind}_{self.names}"

    def enter(self, label: str) -> None:
        self.trail.append(label)
        self.clause_paths.append(".".join(self.trail))
        self.taken.append(set())

    def leave(self) -> None:
        self.trail.pop()
        self.taken.pop()

    # --- amounts and patterns --------------------------------------------------------------------------

    def length(self, low: int = 1) -> str:
        seconds = self.rng.choice([low, low + 1, low + 2, low + 3, low + 5, low + 8])
        if self.chance(0.9):
            return f"{seconds} s"
        return self.rng.choice((f"{seconds}000 ms", f"{seconds}.5 s", f"{seconds} s 500 ms", f"0.{seconds} min"))

    def metres(self) -> str:
        return self.rng.choice(("2 m", "3 m", "5 m", "2 m", "3 m", "5 m", "300 cm", "0.002 km", "10 ft"))

    def times(self) -> str:
        return self.rng.choice(("once", "1 time", "twice", "2 times"))

    def mark(self) -> str:
        if self.own_marks and self.chance(0.5):
            return self.rng.choice(self.own_marks)
        marks = [*BARE, "knot", "line_in", *(["bearing", "bearing"] if self.facts else [])]
        marks += [] if self.read is None else [self.read[0]]
        return self.rng.choice(marks)

    def of_fact(self, mark: str) -> str:
        """A test held against a fact of the candidate."""
        if mark == "bearing":
            if self.chance(0.2):
                return f"bearing {self.rng.choice(('at least 90 deg', 'under 5 deg', 'from 90 deg to 180 deg'))}"
            return f"bearing within {self.rng.choice((5, 10, 90))} deg of wind_from"
        if self.chance(0.3):
            return f"{mark} within {self.rng.choice(('1 m', '2 m', '50 cm'))} of reach"
        if self.chance(0.2):
            return f"{mark} from 25 % to {self.rng.choice(_SHARES)} of reach"
        word = self.rng.choice(("at least", "over", "under", "at most", "exactly"))
        return f"{mark} {word} {self.rng.choice(_SHARES)} of reach"

    def only_for(self, pad: str) -> str:
        """Now and then a line that takes the clause out for some."""
        if not self.facts or self.chance(0.8):
            return ""
        return f"{pad}only for duty {' or '.join(self.rng.sample(CHOICES, self.rng.choice((1, 2))))}\n"

    def pattern(self) -> str:
        mark = self.mark()
        if mark == "knot" and self.chance(0.6):
            some = " or ".join(self.rng.sample(CHOICES, self.rng.choice((1, 1, 2))))
            return f"knot other than {some}" if self.chance(0.3) else f"knot {some}"
        if self.facts and mark in ("line_in", "bearing") and self.chance(0.6):
            return self.of_fact(mark)
        if mark == "line_in" and self.chance(0.6):
            word = self.rng.choice(("at least", "over", "under", "at most", "exactly", "from"))
            if word == "from":
                return f"line_in from {self.rng.choice((1, 2))} m to {self.rng.choice((3, 4))} m"
            return f"line_in {word} {self.metres()}"
        return mark

    def whose(self, share: float = 0.15) -> str:
        """Now and then whose entries a number of marks counts."""
        if not self.chance(share):
            return ""
        words = self.rng.choice((", once a grader", ", by anyone", ", once a grader, by anyone"))
        if self.own_marks and self.chance(0.8):
            words = ", once a grader"  # a mark of a round is not counted by anyone
        self.graded = self.graded or "grader" in words
        return words

    def plural(self, number: int) -> str:
        return "s" if number > 1 and self.chance(0.3) else ""

    def tail(self, last: str) -> str:
        """A sentence at times, and the label that the path needs."""
        words = f' "sentence {self.names}"' if self.chance(0.3) else ""
        return words + self.label(last)

    def label(self, last: str) -> str:
        """The label that the path needs, and at times one that it does not."""
        given = last
        if last in self.taken[-1] or self.chance(0.04):
            given = self.name("label")
        self.taken[-1].add(given)
        self.rule_paths.append(".".join((*self.trail, given)))
        return "" if given == last else f" as {given}"

    def asides(self, pad: str) -> str:
        """Now and then lines that are never judged."""
        text = ""
        if self.chance(0.03):
            text += f'{pad}guidance "guidance {self.names}"\n'
        if self.chance(0.02):
            text += f'{pad}accept D{self.rng.randrange(601, 640)} "why {self.names}"\n'
        return text

    def title(self) -> str:
        return f' "Title {self.names}"' if self.chance(0.1) else ""

    # --- rules -----------------------------------------------------------------------------------------

    def limit(self, pad: str) -> str:
        kind = self.rng.randrange(10)
        if kind > 7:
            return self.figure_limit(pad, self.figure())
        if kind < 2:
            word = ("within", "under")[kind]
            return f"{pad}{word} {self.length(4)}{self.tail(word)}\n"
        if kind == 2:
            return f"{pad}not before {self.length()}{self.tail('not_before')}\n"
        if kind < 6:
            word = ("within", "before", "at least")[kind - 3]
            number, mark = self.rng.choice((1, 1, 2, 2, 3)), self.mark()
            number += word == "before"
            last = f"{word.replace(' ', '_')}_{mark}"
            return f"{pad}{word} {number} {mark}{self.plural(number)}{self.whose()}{self.tail(last)}\n"
        mark = self.mark()
        return f"{pad}{self.silence(mark)}{self.tail(f'no_{mark}')}\n"

    def figure(self) -> tuple[str, str]:
        """A figure of the clause being written, and what it is measured in."""
        if ".".join(self.trail) in self.rounds and self.chance(0.5):
            return self.figure_of_rounds(".".join(self.trail), "")
        if self.read is not None and self.chance(0.6):
            return f"reading of {self.read[0]}", {"s": "time", "m": "length"}[self.read[1]]
        kind = self.rng.choice(("time", "count", "total", "largest", "smallest", "each", "last", "rate"))
        if kind == "time":
            return kind, "time"
        if kind in ("count", "rate"):
            return f"{kind} of {self.mark()}", kind
        if self.facts and kind in ("each", "last") and self.chance(0.6):
            return f"{kind} of bearing", "heading"
        return f"{kind} of line_in", "length"

    def figure_of_rounds(self, path: str, where: str) -> tuple[str, str]:
        """How many were made or missed, or how far they went; measured in the numbers or names it may reach."""
        word, names = self.rng.choice(("made", "missed", "furthest")), self.rounds[path]
        reached = names if word == "furthest" else [str(n) for n in range(1, len(names) + 1)][:3]
        return f"{word}{where}", "|".join(reached)

    def rounds_inside(self, inside: list[str]) -> tuple[str, str] | None:
        """A figure of rounds that stand inside the clause being written, alone or in a sum; None where none do."""
        held = [path for path in inside if path in self.rounds]
        if not held:
            return None
        path, whole = self.rng.choice(held), ".".join(self.trail)
        short = path.removeprefix(f"{whole}.") if self.chance(0.7) else path
        figure, measure = self.figure_of_rounds(path, f" in {short}")
        if figure.startswith("furthest") or self.chance(0.6):
            return figure, measure
        other = self.rng.choice((f"count of {self.mark()}", f"made in {self.rng.choice(held)}"))
        return self.rng.choice((f"{figure} plus {other}", f"{other} plus {figure}")), "count"

    def outside_rounds(self, inside: list[str]) -> list[str]:
        """Those that do not stand in rounds which the clause being written does not stand in."""
        around = f"{'.'.join(self.trail)}."
        shut = [f"{path}." for path in self.rounds if not around.startswith(f"{path}.") or around == f"{path}."]
        return [path for path in inside if not path.startswith(tuple(shut))]

    def figure_inside(self, inside: list[str]) -> tuple[str, str]:
        """A figure of a clause inside, or a sum of two."""
        of_rounds = self.rounds_inside(inside) if self.chance(0.6) else None
        if of_rounds is not None:
            return of_rounds
        whole = ".".join(self.trail)
        path = self.rng.choice(self.outside_rounds(inside))
        path = path.removeprefix(f"{whole}.") if self.chance(0.7) else path
        figure, measure = self.figure()
        while figure.startswith(("each", "rate")) or measure == "heading":
            figure, measure = self.figure()
        figure += f" of {path}" if figure == "time" else f" in {path}"
        if self.chance(0.4):
            reading = figure.startswith("reading")
            other = {"time": "time", "count": f"count of {self.mark()}"}.get(measure, "total of line_in")
            other = (
                f"reading of {self.read[0]}" if reading and self.read is not None and self.chance(0.5) else other
            )
            figure = self.rng.choice((f"{figure} plus {other}", f"{other} plus {figure}"))
        return figure, measure

    def figure_limit(self, pad: str, figure: tuple[str, str]) -> str:
        words, measure = figure
        test = self.rng.choice(("at least", "at most", "over", "under", "exactly", "from"))
        asked = self.asked_of_fact(words, measure)
        amounts = _TESTED.get(measure) or tuple(measure.split("|"))
        amount = self.rng.choice(amounts)
        if test == "from":
            amount = f"{amounts[0]} to {self.rng.choice(amounts[1:3] or amounts)}"
        last = "_plus_".join(
            "_".join(
                word.rpartition(".")[2] for word in part.split() if word != "of" or part.startswith("time of")
            )
            for part in words.split(" plus ")
        )
        whose = self.whose() if measure == "count" and len(words.split()) == 3 else ""
        return f"{pad}{words} {asked or f'{test} {amount}'}{whose}{self.tail(last)}\n"

    def asked_of_fact(self, words: str, measure: str) -> str:
        """A test held against a fact, for some figures of marks that have one."""
        if not self.facts or measure not in ("length", "heading") or self.chance(0.3):
            return ""
        mark = "bearing" if measure == "heading" else "line_in"
        asked = self.of_fact(mark).removeprefix(f"{mark} ")
        single = words.startswith(("each", "last")) and " in " not in words and "plus" not in words
        return "" if asked.startswith("within") and not single else asked

    def looking_back(self, pad: str, before: int, items: str) -> str:
        """Now and then a limit on what is inside, after the items of the block."""
        inside = self.clause_paths[before:]
        if not items or not self.outside_rounds(inside) or not self.chance(0.25):
            return ""
        return self.figure_limit(pad, self.figure_inside(inside))

    def score(self, pad: str, before: int | None = None) -> str:
        """Now and then a score of the clause being written, and a limit on its points.

        `before`: what has been written since is inside the clause.
        """
        if self.own_marks and ".".join(self.trail) not in self.rounds:  # what is inside a round is not scored
            return ""
        inside = [] if before is None else self.clause_paths[before:]
        if not self.chance(0.12):
            return ""
        self.scored.append(".".join(self.trail))
        bands = self.rng.choice(BANDS) if self.facts and self.chance(0.5) else ("",)
        text = "".join(self.score_for(pad, band, inside) for band in bands)
        return text + (self.points(pad, "") if self.chance(0.3) else "")

    def score_for(self, pad: str, band: str, inside: list[str]) -> str:
        """A score of its own, or one for a band."""
        inner = pad + "    "
        last = re.sub(r"\W+", "_", f"score {band}".rstrip())
        self.taken[-1].add(last)
        self.rule_paths.append(f"{self.scored[-1]}.{last}")
        whom = f" for {band}" if band else ""
        if self.chance(0.6):
            text = self.table(pad, inner, whom, inside)
        else:
            text = f"{pad}score{whom}\n"
            for _ in range(self.rng.choice((1, 2, 2))):
                words, measure = self.scored_figure(inside)
                test = self.rng.choice(("at least", "at most", "over", "under", "exactly"))
                amount = self.rng.choice(_SCORED.get(measure) or measure.split("|"))
                text += f"{inner}{words} {test} {amount} gives {self.rng.randrange(6)}\n"
        last = f"gives {self.rng.randrange(4)}" if self.chance(0.7) else 'fails "too little"'
        return f"{text}{inner}otherwise {last}\n"

    def table(self, pad: str, inner: str, whom: str, inside: list[str]) -> str:
        words, measure = self.scored_figure(inside)
        text = f"{pad}score from {words}{self.rounded(words, measure)}{whom}\n"
        amounts = list(_SCORED.get(measure) or measure.split("|"))[: self.rng.choice((1, 2, 3))]
        upper = self.chance(0.5)
        for amount in amounts if upper else reversed(amounts):
            test = self.rng.choice(("under", "at most") if upper else ("over", "at least"))
            text += f"{inner}{test} {amount} gives {self.rng.randrange(6)}\n"
        return text

    def rounded(self, words: str, measure: str) -> str:
        """Now and then a rounding of a scored figure; what is rounded where it is declared is left alone."""
        if words.startswith(("reading", "furthest")) or measure == "heading" or not self.chance(0.3):
            return ""
        way = self.rng.choice(("up to {}", "down to {}", "nearest to {}, ties up", "nearest to {}, ties to even"))
        return f", rounded {way.format(self.rng.choice(_STEPS.get(measure, ('2', '3'))))}"

    def scored_figure(self, inside: list[str]) -> tuple[str, str]:
        of_rounds = self.rounds_inside(inside) if self.chance(0.7) else None
        if of_rounds is not None:
            return of_rounds
        words, measure = self.figure()
        while words.startswith("each"):
            words, measure = self.figure()
        if measure == "time" and self.chance(0.2):
            words = "time plus time"
        return words, measure

    def points(self, pad: str, inside: str) -> str:
        test = self.rng.choice(("at least", "at least", "at most", "over", "under", "exactly"))
        words = f"points in {inside}" if inside else "points"
        last = (
            "_".join(words.rpartition(".")[2].split())
            if "." not in inside
            else f"points_in_{inside.rpartition('.')[2]}"
        )
        return f"{pad}{words} {test} {self.rng.choice((2, 3, 4, 5))}{self.tail(last)}\n"

    def points_inside(self, pad: str, before: int) -> str:
        """Now and then a limit on the points given inside the block, after its items."""
        whole = ".".join(self.trail)
        inside = [path for path in self.scored[before:] if path != whole]
        if not inside or not self.chance(0.4):
            return ""
        path = self.rng.choice(inside)
        return self.points(pad, "" if self.chance(0.5) else path.removeprefix(f"{whole}."))

    def grades(self) -> str:
        """Grades and totals of the whole test, written when all its scores are known."""
        text = ""
        self.trail, self.taken = ["always"], [set()]
        if self.chance(0.4):
            text += "always\n" + self.points("    ", "" if self.chance(0.6) else self.rng.choice(self.scored))
            text += self.figure_limit("    ", self.figure()) if self.chance(0.2) else ""
            text += "\n"
        least = self.rng.choice((4, 3, 2))
        for _ in range(self.rng.choice((0, 1, 2, 3))):
            name = self.name("grade")
            self.grade_names.append(name)
            self.trail, self.taken = ["grades", name], [set()]
            text += f"grade {name}{self.title()}\n    points at least {least}{self.tail('points')}\n"
            of_rounds = self.rounds_inside(self.clause_paths) if self.chance(0.4) else None
            text += self.figure_limit("    ", of_rounds) if of_rounds is not None else ""
            text += self.points("    ", self.rng.choice(self.scored)) if self.chance(0.3) else ""
            figure = self.figure()
            if self.chance(0.3) and not figure[0].startswith("each"):
                text += self.figure_limit("    ", figure)
            text += "\n"
            least = max(1, least - self.rng.choice((0, 1, 2)))
        self.trail, self.taken = [], []
        return text

    def silence(self, mark: str) -> str:
        if self.chance(0.5):
            return f"no {mark} for over {self.length(2)}"
        return f"no {mark} for {self.length(2)} or more"

    def consequence(self, effects: tuple[str, ...], *, by_time: bool) -> tuple[str, str]:
        """The effect words, and what ends the line."""
        effect = self.rng.choice(effects)
        words, end = effect, ""
        if effect == "restart":
            if self.chance(0.4):
                words += " at once"
            if by_time or self.chance(0.6):
                end = f", at most {self.times()}"
        if effect == "halt" and (by_time or self.chance(0.3)):
            end = ", charged"
        return words, end

    def fault(self, pad: str, effects: tuple[str, ...]) -> str:
        silent = self.chance(0.2)
        if silent:
            mark = self.mark()
            trigger = self.silence(mark)
            last = f"no_{mark}"
        else:
            trigger = self.pattern()
            last = trigger.split()[0]
            if self.chance(0.2):
                trigger += " out of order"
                last += ".out_of_order"
            elif self.chance(0.35):
                trigger += f" more than {self.times()}{self.whose(0.3)}"
        words, end = self.consequence(effects, by_time=silent)
        sentence = f' "fault {self.names}"' if end or self.chance(0.3) else ""
        label = self.label(last)
        if "at most" in end:
            self.rule_paths.append(f"{self.rule_paths[-1]}.at_most")
        return f"{pad}{words} on {trigger}{sentence}{end}{label}\n"

    def rules(self, pad: str, effects: tuple[str, ...], most: int) -> str:
        text = self.asides(pad)
        for _ in range(self.rng.randrange(most + 1)):
            text += self.limit(pad) if self.chance(0.5) else self.fault(pad, effects)
        return text

    def rest_bounds(self, effects: tuple[str, ...], *, has_start: bool) -> str:
        def otherwise(*, by_time: bool) -> str:
            effect, end = self.consequence(effects, by_time=by_time)
            sentence = ' "rest"' if end or self.chance(0.3) else ""
            return f", else {effect}{sentence}{end}"

        least = f"at least {self.length()}{otherwise(by_time=False)}"
        if not has_start:  # nothing can breach it: it may say what a breach does, or not
            return least.partition(",")[0] if self.names % 3 == 0 else least
        if self.chance(0.5):
            return least
        if self.chance(0.15):
            return f"from {self.length()} to {self.length(9)}{otherwise(by_time=True)}"
        greatest = f"at most {self.length(8)}{otherwise(by_time=True)}"
        return greatest if self.chance(0.4) else f"{least}, {greatest}"

    # --- blocks ----------------------------------------------------------------------------------------

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

    # --- the whole file --------------------------------------------------------------------------------

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
        known = [given for given in _GIVEN if given.split()[0] in self.demands]
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
