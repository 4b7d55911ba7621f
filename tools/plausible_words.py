"""Words of random standards: names, amounts, patterns, and what stands at the end of a line."""

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
SHARES = ("25 %", "50 %", "100 %", "250 %")
GIVEN = ("depth 3 m", "guards 2", "helmet yes", "ice yes", "wind 20 kt", "crew 3", "load 20.5 kg")


TESTED = {
    "heading": ("90 deg", "180 deg", "270 deg"),
    "time": ("2 s", "3 s", "5 s", "8 s"),
    "count": ("1", "2", "3"),
    "rate": ("20 per min", "0.5 per s", "30 per min", "1 per s"),
    "length": ("2 m", "3 m", "5 m", "300 cm", "10 ft"),
}
SCORED = {
    "heading": ("90 deg", "180 deg", "270 deg"),
    "time": ("2 s", "3 s", "5 s"),
    "count": ("1", "2", "3"),
    "rate": ("20 per min", "30 per min", "1 per s"),
    "length": ("2 m", "3 m", "5 m"),
}
STEPS = {
    "time": ("1 s", "2 s", "0.5 s", "300 ms"),
    "count": ("2", "3"),
    "rate": ("10 per min", "1 per s"),
    "length": ("1 m", "2 m", "50 cm", "1 ft"),
}
"""What a scored figure is rounded to."""


@define
class Words:
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
            return f"{mark} from 25 % to {self.rng.choice(SHARES)} of reach"
        word = self.rng.choice(("at least", "over", "under", "at most", "exactly"))
        return f"{mark} {word} {self.rng.choice(SHARES)} of reach"

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
