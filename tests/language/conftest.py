"""Random syntax trees: every construct the grammar has, in the canonical order, with comments."""

from collections.abc import Callable, Sequence
from fractions import Fraction
from random import Random
from typing import Any, TypeVar

import attrs
import pytest

from standfast.language import syntax
from standfast.language.syntax import BlockWord, Effect
from standfast.quantity import COUNT, PERCENT, RATES, UNITS, Comparison, Dimension, Quantity, Way
from standfast.source import Source, Span

T = TypeVar("T")
NOWHERE = Span(Source("", ""), 0, 0)
NAMES = ("hit", "throw_2", "a", "kill_cord", "x9", "startle", "ms_", "goes", "hits", "in_order")
TEXTS = ("", "why", "a # in it", "Tread, recover", "1:40 \u2013 d\u00e9j\u00e0 \\n")
COMMENTS = ("", "a comment", "#twice", " set in", 'with "quotes"', "step x")
IDS = ("C-014", "G2", "A", "GOES", "C-")
TIMES = ("h", "min", "s", "ms")
TEST_WORDS = tuple(Comparison)
UNMARKED = tuple(syntax.FigureWord[word] for word in ("TIME", "POINTS", "MADE", "MISSED", "FURTHEST"))


class Trees:
    """Makes one tree after another from a seed."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)

    def maybe(self, value: T, likely: float = 0.5) -> T | None:
        return value if self.random.random() < likely else None

    def some(self, make: Callable[[], T], least: int = 0, most: int = 3) -> tuple[T, ...]:
        return tuple(make() for _ in range(self.random.randint(least, most)))

    def pick(self, values: Sequence[T]) -> T:
        return self.random.choice(values)

    # --- parts ---------------------------------------------------------------------------------------------

    def name(self) -> syntax.Name:
        return syntax.Name(self.pick(NAMES), NOWHERE)

    def id(self) -> syntax.Name:
        return syntax.Name(self.pick(IDS), NOWHERE)

    def text(self) -> syntax.Text:
        return syntax.Text(self.pick(TEXTS), NOWHERE)

    def whole(self) -> syntax.Whole:
        return syntax.Whole(self.pick((0, 1, 2, 3, 12, 999_999_999_999)), NOWHERE)

    def number(self) -> Fraction:
        return Fraction(self.random.choice((0, 1, 5, 60, 1234567, 10**17)), self.pick((1, 2, 10, 1_000_000)))

    def amount(self) -> syntax.Amount:
        if self.random.random() < 0.3:
            return self.length()
        unit = self.pick(
            (COUNT, *RATES.values(), *(unit for unit in UNITS.values() if unit.dimension is not Dimension.TIME))
        )
        return syntax.Amount(Quantity(((self.number() % 10**12, unit),)), NOWHERE)

    def share(self) -> syntax.Amount:
        return syntax.Amount(Quantity(((self.number() % 10**12, PERCENT),)), NOWHERE)

    def length(self) -> syntax.Amount:
        units = [UNITS[name] for name in TIMES if self.random.random() < 0.4] or [UNITS["s"]]
        return syntax.Amount(Quantity(tuple((self.number() % 10**12, unit) for unit in units)), NOWHERE)

    def clock(self) -> syntax.Clock:
        return syntax.Clock(self.random.choice((0, 1, 59_999_999, 3_600_000_000, 10**15 + 10)), NOWHERE)

    def test(self) -> syntax.Test:
        comparison = self.pick(TEST_WORDS)
        make: Callable[[], Any] = self.amount
        if comparison is not Comparison.WITHIN:
            make = self.pick((self.share, self.amount, self.amount_or_round))
        second = make() if comparison is Comparison.FROM_TO else None
        of = self.name() if comparison is Comparison.WITHIN or make == self.share else None
        return syntax.Test(comparison, make(), second, NOWHERE, of)

    def pattern(self) -> syntax.Pattern:
        choices = syntax.Choices(self.some(self.name, 1), self.random.random() < 0.5, NOWHERE)
        return syntax.Pattern(self.name(), self.pick((None, choices, self.test())), NOWHERE)

    def consequence(self) -> syntax.Consequence:
        effect = self.pick(tuple(effect for effect in Effect if effect is not Effect.OUT))
        return syntax.Consequence(
            effect,
            effect is Effect.RESTART and self.random.random() < 0.5,
            self.maybe(self.text()),
            self.maybe(self.whole()) if effect is Effect.RESTART else None,
            effect is Effect.HALT and self.random.random() < 0.5,
            NOWHERE,
        )

    def bound(self) -> syntax.Bound:
        return syntax.Bound(self.length(), self.maybe(self.consequence(), 0.8), NOWHERE)

    def pause(self) -> dict[str, Any]:
        shape = self.random.randint(0, 3)
        if shape == 3:
            first, last = self.bound(), self.length()
            return {
                "least": first,
                "greatest": syntax.Bound(last, first.consequence, NOWHERE),
                "as_range": True,
            }
        return {
            "least": self.bound() if shape != 1 else None,
            "greatest": self.bound() if shape != 0 else None,
            "as_range": False,
        }

    def comments(self) -> dict[str, Any]:
        above = tuple(self.pick(COMMENTS) for _ in range(self.random.choice((0, 0, 0, 1, 2))))
        return {"span": NOWHERE, "above": above, "beside": self.maybe(self.pick(COMMENTS), 0.2)}

    def below(self) -> tuple[str, ...]:
        return tuple(self.pick(COMMENTS) for _ in range(self.random.choice((0, 0, 1, 2))))

    # --- lines ---------------------------------------------------------------------------------------------

    def start(self) -> syntax.Line:
        more_than, first = self.maybe(self.whole(), 0.3), self.random.random() < 0.5
        said: dict[str, Any] = {"first": first, "more_than": more_than, "whose": self.whose()}
        return syntax.Start(pattern=self.pattern(), **said, **self.comments())

    def whose(self) -> syntax.Whose:
        once, anyone = self.random.random() < 0.2, self.random.random() < 0.2
        return syntax.Whose(once, anyone, NOWHERE if once or anyone else None)

    def goal(self) -> syntax.Line:
        match self.random.randint(0, 2):
            case 0:
                number = self.maybe(self.whole())
                whose = self.whose()
                return syntax.Until(number=number, pattern=self.pattern(), whose=whose, **self.comments())
            case 1:
                return syntax.UntilTotals(mark=self.name(), amount=self.amount(), **self.comments())
            case _:
                return syntax.For(length=self.length(), **self.comments())

    def figure(self) -> syntax.Figure:
        return syntax.Figure(self.some(self.figure_part, 1), NOWHERE)

    def figure_part(self) -> syntax.FigurePart:
        word = self.pick(tuple(syntax.FigureWord))
        mark = None if word in UNMARKED else self.name()
        return syntax.FigurePart(word, mark, self.some(self.name), NOWHERE)

    def limit(self) -> syntax.Line:
        facts: dict[str, Any] = {"sentence": self.maybe(self.text()), "label": self.maybe(self.name())}
        facts |= self.comments()
        match self.random.randint(0, 3):
            case 3:
                facts |= {"whose": self.whose()}
                return syntax.FigureLimit(figure=self.figure(), test=self.test(), **facts)
            case 0:
                word = self.pick(("within", "under", "not before"))
                return syntax.TimeLimit(word=word, length=self.length(), **facts)
            case 1:
                word = self.pick(("within", "before", "at least"))
                facts |= {"number": self.whole(), "whose": self.whose()}
                return syntax.CountLimit(word=word, mark=self.name(), **facts)
            case _:
                more = self.random.random() < 0.5
                return syntax.SilenceLimit(mark=self.name(), length=self.length(), or_more=more, **facts)

    def score(self) -> syntax.Line:
        figure = self.maybe(self.figure())
        rows = self.some(lambda: self.score_row(figure), 1)
        last = syntax.Otherwise(points=self.maybe(self.whole()), sentence=None, **self.comments())
        if last.points is None:
            last = attrs.evolve(last, sentence=self.maybe(self.text()))
        return syntax.Score(figure=figure, lines=(*rows, last), below=self.below(), **self.comments())

    def score_row(self, shared: syntax.Figure | None) -> syntax.ScoreRow:
        figure = self.figure() if shared is None else None
        return syntax.ScoreRow(figure=figure, test=self.test(), points=self.whole(), **self.comments())

    def grade(self) -> Any:
        lines = self.some(self.figure_limit, 1) + self.remarks()
        title, name = self.maybe(self.text()), self.name()
        return syntax.Grade(name=name, title=title, lines=lines, below=self.below(), **self.comments())

    def figure_limit(self) -> syntax.FigureLimit:
        said: dict[str, Any] = {"sentence": self.maybe(self.text()), "label": self.maybe(self.name())}
        return syntax.FigureLimit(figure=self.figure(), test=self.test(), **said, **self.comments())

    def fault(self) -> syntax.Line:
        triggers: tuple[syntax.Occurrence | syntax.OutOfOrder | syntax.Silence, ...] = (
            syntax.Occurrence(self.pattern(), self.maybe(self.whole())),
            syntax.OutOfOrder(self.pattern()),
            syntax.Silence(self.name(), self.length(), self.random.random() < 0.5),
        )
        label = self.maybe(self.name())
        return syntax.Fault(
            consequence=self.consequence(),
            trigger=self.pick(triggers),
            whose=self.whose(),
            label=label,
            **self.comments(),
        )

    def guidance(self) -> Any:
        return syntax.Guidance(text=self.text(), **self.comments())

    def accept(self) -> Any:
        return syntax.Accept(code=syntax.Name("D104", NOWHERE), why=self.text(), **self.comments())

    def remarks(self) -> tuple[Any, ...]:
        return self.some(self.guidance, 0, 1) + self.some(self.accept, 0, 1)

    def conditions(self) -> Any:
        return syntax.Conditions(
            lines=self.some(self.condition, 1) + self.remarks(), below=self.below(), **self.comments()
        )

    def condition(self) -> Any:
        demands: tuple[syntax.Test | bool, ...] = (True, False, self.test())
        return syntax.Condition(
            name=self.name(), demand=self.pick(demands), title=self.maybe(self.text()), **self.comments()
        )

    def picked(self) -> syntax.Pick:
        return syntax.Pick(self.whole(), self.pick(tuple(syntax.PickWord)), NOWHERE)

    def rounding(self) -> syntax.Rounding:
        return syntax.Rounding(self.pick(tuple(Way)), self.amount(), NOWHERE)

    def shape(self, shape: int) -> dict[str, Any]:
        return {
            "choices": self.some(self.name, 1) if shape == 1 else (),
            "unit": syntax.Name(self.pick(tuple(UNITS)), NOWHERE) if shape in (2, 4) else None,
            "heading": shape == 3,
            "title": self.maybe(self.text(), 0.8),
        }

    def mark(self) -> Any:
        shape = self.random.randint(0, 5)
        return syntax.Mark(
            name=self.name(),
            names_round=shape == 5,
            picks=self.some(self.picked) if shape == 4 else (),
            rounding=self.maybe(self.rounding()) if shape == 4 else None,
            **self.shape(shape),
            **self.comments(),
        )

    def fact(self) -> Any:
        return syntax.Fact(name=self.name(), **self.shape(self.random.randint(1, 3)), **self.comments())

    def candidate(self) -> Any:
        lines = self.some(self.fact, 1) + self.remarks()
        return syntax.Candidate(lines=lines, below=self.below(), **self.comments())

    def only_for(self) -> syntax.Line:
        return syntax.OnlyFor(fact=self.name(), choices=self.some(self.name, 1), **self.comments())

    # --- blocks --------------------------------------------------------------------------------------------

    def rules(self) -> tuple[Any, ...]:
        return self.some(self.limit) + self.some(self.score, 0, 1) + self.some(self.fault)

    def rest(self) -> Any:
        return syntax.Rest(**self.pause(), **self.comments())

    def items(self, depth: int) -> tuple[Any, ...]:
        return self.some(
            lambda: self.rest() if self.random.random() < 0.3 else self.block(depth), 0 if depth else 1
        )

    def block(self, depth: int) -> Any:
        if depth < 3 and self.random.random() < 0.2:
            return self.rounds(depth)
        words = (
            BlockWord.STEP,
            *([BlockWord.IN_ORDER, BlockWord.ANY_ORDER, BlockWord.ONE_OF] if depth < 3 else []),
        )
        word = self.pick(words)
        lines = self.some(self.only_for, 0, 1) + self.some(lambda: syntax.OnlyIfBegun(**self.comments()), 0, 1)
        lines += self.some(self.start, 0, 1)
        if word is BlockWord.STEP:
            lines += (self.goal(), *self.rules(), *self.remarks())
        else:
            inside = self.items(depth + 1)
            lines += (*self.rules(), *self.remarks(), *(inside or (self.block(3),)))
        return self.named(word, lines)

    def rounds(self, depth: int) -> Any:
        lines: tuple[Any, ...] = self.pick((self.levels, self.heights, self.number_of_rounds))()
        lines += self.some(lambda: syntax.Paced(over=self.measure(), **self.comments()), 0, 1)
        lines += self.some(lambda: syntax.Tries(number=self.whole(), **self.comments()), 0, 1)
        word = self.pick(("made", "missed", "passed"))
        lines += self.some(lambda: syntax.Unmarked(word=word, **self.comments()), 0, 1)
        lines += self.some(self.start, 0, 1)
        if self.random.random() < 0.5:
            number = self.maybe(self.whole())
            lines += (syntax.Until(number=number, pattern=self.pattern(), **self.comments()),)
        lines += self.some(self.limit) + self.some(self.score, 0, 1) + self.some(self.pick((self.fault, self.out)))
        return self.named(
            BlockWord.ROUNDS, lines + self.remarks() + self.some(lambda: self.block(depth + 1), 0, 2)
        )

    def measure(self) -> syntax.Amount:
        units = tuple(unit for unit in UNITS.values() if unit.dimension is not Dimension.TIME)
        return syntax.Amount(Quantity(((self.number() % 10**12, self.pick(units)),)), NOWHERE)

    def levels(self) -> tuple[Any, ...]:
        return self.some(
            lambda: syntax.Levels(
                outer=self.name(),
                number=self.whole(),
                inner=self.name(),
                first=self.whole(),
                last=self.maybe(self.whole()),
                pace=self.maybe(self.measure()),
                **self.comments(),
            ),
            1,
        )

    def heights(self) -> tuple[Any, ...]:
        return (syntax.Heights(lengths=self.some(self.measure, 1), **self.comments()),)

    def number_of_rounds(self) -> tuple[Any, ...]:
        return (syntax.NumberOfRounds(number=self.whole(), **self.comments()),)

    def round(self) -> syntax.Round:
        parts = self.some(lambda: (self.name(), self.whole()), 1)
        one = ((syntax.Name("round", NOWHERE), self.whole()),)
        return syntax.Round(self.pick((parts, one)), NOWHERE)

    def amount_or_round(self) -> syntax.Amount | syntax.Round:
        return self.amount() if self.random.random() < 0.5 else self.round()

    def out(self) -> syntax.Line:
        number = self.maybe(self.whole())
        return syntax.Out(
            number=number,
            in_a_row=number is not None and self.random.random() < 0.5,
            pattern=self.pattern() if number is None else None,
            sentence=self.maybe(self.text()),
            label=self.maybe(self.name()),
            **self.comments(),
        )

    def event(self) -> Any:
        number, pause = self.maybe(self.whole(), 0.8), self.pause()
        if self.random.random() < 0.5:
            pause = {"least": None, "greatest": None, "as_range": False}
        lines: tuple[Any, ...] = (syntax.Attempts(number=number, **pause, **self.comments()),)
        lines += self.some(lambda: syntax.Best(figure=self.figure(), **self.comments()), 0, 1)
        lines += self.some(lambda: syntax.CarryOn(**self.comments()), 0, 1)
        lines += self.some(self.only_for, 0, 1)
        lines += self.some(self.start, 0, 1) + self.some(self.goal, 0, 1) + self.rules() + self.remarks()
        return self.named(BlockWord.EVENT, lines + self.some(self.conditions, 0, 1) + self.items(1))

    def named(self, word: BlockWord, lines: tuple[Any, ...]) -> Any:
        title = self.maybe(self.text())
        name, below = self.name(), self.below()
        return syntax.Block(word=word, name=name, title=title, lines=lines, below=below, **self.comments())

    def case(self) -> Any:
        return syntax.Case(
            title=self.text(),
            given=self.some(self.given),
            event=self.maybe(self.name()),
            entries=self.some(self.entry, 1),
            gives=self.some(self.gives, 1),
            log_above=self.below(),
            log_beside=self.maybe(self.pick(COMMENTS), 0.2),
            below=self.below(),
            **self.comments(),
        )

    def given(self) -> syntax.Given:
        values: tuple[syntax.Amount | syntax.Name | bool, ...] = (True, False, self.amount(), self.name())
        whose = self.maybe(self.id(), 0.2)
        return syntax.Given(name=self.name(), value=self.pick(values), candidate=whose, **self.comments())

    def entry(self) -> syntax.CaseEntry:
        if self.random.random() < 0.2:
            return syntax.CaseEntry(at=self.clock(), mark=None, **self.comments())
        return syntax.CaseEntry(
            at=self.clock(),
            mark=self.name(),
            value=self.pick((None, self.name(), self.amount(), self.round())),
            by=self.maybe(self.id()),
            candidate=self.maybe(self.id()),
            **self.comments(),
        )

    def gives(self) -> syntax.Gives:
        candidate = self.maybe(self.id())
        reserved = tuple(syntax.Name(word, NOWHERE) for word in ("rest", "within", "goal"))
        path = (self.name(), *self.some(self.name), *self.some(lambda: self.pick(reserved), 0, 1))
        said: dict[str, Any] = {"at": None, "candidate": candidate}
        match self.random.randint(0, 5):
            case 3:
                path = self.pick(((), path))
                return syntax.Gives(path=path, word="points", points=self.whole(), **said, **self.comments())
            case 4:
                return syntax.Gives(path=(), word="grade", grade=self.name(), **said, **self.comments())
            case 5:
                furthest = self.maybe(self.amount_or_round())
                facts: dict[str, Any] = {"furthest": furthest, "at": None, "candidate": candidate}
                return syntax.Gives(path=path, word="furthest", **facts, **self.comments())
            case 0:
                word = self.pick(("GO", "NO-GO", "UNFINISHED", "VOID"))
                return syntax.Gives(path=(), word=word, at=None, candidate=candidate, **self.comments())
            case 1:
                word = self.pick(("GO", "NO-GO"))
                return syntax.Gives(path=path, word=word, at=None, candidate=candidate, **self.comments())
            case _:
                word = self.pick(("fails", "restarts", "notes", "disqualifies", "halts", "begins", "out"))
                return syntax.Gives(path=path, word=word, at=self.clock(), candidate=candidate, **self.comments())

    # --- the whole -----------------------------------------------------------------------------------------

    def always(self) -> Any:
        lines = (self.fault(), *self.remarks())
        return syntax.Always(lines=lines, below=self.below(), **self.comments())

    def marks(self) -> Any:
        return syntax.Marks(lines=self.some(self.mark, 1) + self.remarks(), below=self.below(), **self.comments())

    def header(self) -> tuple[Any, ...]:
        date = syntax.Name("2028-02-29", NOWHERE)
        lines: tuple[Any, ...] = (
            syntax.Edition(text=self.text(), **self.comments()),
            syntax.InForce(date=date, **self.comments()),
        )
        lines += self.some(lambda: syntax.Authority(text=self.text(), **self.comments()), 0, 1)
        lines += self.some(lambda: syntax.Caution(text=self.text(), **self.comments()), 0, 2)
        lines += self.some(self.guidance, 0, 1)
        for kind in (syntax.CarryOn, syntax.EventsInAnyOrder, syntax.OwedFails):
            lines += self.some(lambda kind=kind: kind(**self.comments()), 0, 1)  # type: ignore[misc]
        lines += self.some(lambda: syntax.TimesWithin(length=self.length(), **self.comments()), 0, 1)
        return lines + self.some(self.accept, 0, 1)

    def standard(self) -> syntax.Standard:
        blocks = (
            self.some(self.candidate, 0, 1)
            + self.some(self.conditions, 0, 1)
            + self.some(self.marks, 0, 2)
            + self.some(self.always, 0, 1)
            + self.some(self.grade, 0, 2)
        )
        return syntax.Standard(
            source=Source("", ""),
            name=self.name(),
            title=self.maybe(self.text()),
            header=self.header(),
            blocks=blocks + self.some(self.event) + self.some(self.case, 0, 2),
            below=self.below(),
            **self.comments(),
        )


@pytest.fixture
def random_tree() -> Callable[[int], syntax.Standard]:
    """A whole random tree, in the canonical order, for each seed."""
    return lambda seed: Trees(seed).standard()


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if not isinstance(value, syntax.Line | syntax.Standard) and not _is_part(value):
        return value
    fields = (each.name for each in attrs.fields(type(value)) if each.name not in ("span", "source"))
    return {"kind": type(value).__name__} | {name: _plain(getattr(value, name)) for name in fields}


def _is_part(value: Any) -> bool:
    return attrs.has(type(value)) and type(value).__module__.startswith(syntax.__name__)


@pytest.fixture
def plain() -> Callable[[Any], Any]:
    """A tree as plain values without places, to compare what two texts say."""
    return _plain
