"""Rules of random standards: limits, scores, faults and rests."""

import re

from attrs import define
from plausible_words import (
    BANDS,
    SCORED,
    STEPS,
    TESTED,
    Words,
)


@define
class Rules(Words):
    """Writes single rules."""

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
        amounts = TESTED.get(measure) or tuple(measure.split("|"))
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
                amount = self.rng.choice(SCORED.get(measure) or measure.split("|"))
                text += f"{inner}{words} {test} {amount} gives {self.rng.randrange(6)}\n"
        last = f"gives {self.rng.randrange(4)}" if self.chance(0.7) else 'fails "too little"'
        return f"{text}{inner}otherwise {last}\n"

    def table(self, pad: str, inner: str, whom: str, inside: list[str]) -> str:
        words, measure = self.scored_figure(inside)
        text = f"{pad}score from {words}{self.rounded(words, measure)}{whom}\n"
        amounts = list(SCORED.get(measure) or measure.split("|"))[: self.rng.choice((1, 2, 3))]
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
        return f", rounded {way.format(self.rng.choice(STEPS.get(measure, ('2', '3'))))}"

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
