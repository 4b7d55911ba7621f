"""From the parser's nodes to the syntax tree: lines and blocks, with their spans and comments."""

from collections.abc import Callable, Iterable
from itertools import pairwise
from typing import cast

from standfast.codes import reading
from standfast.language import syntax
from standfast.language.nodes import Node, Word
from standfast.language.parts import AMOUNT, Parts, sure
from standfast.values import frozen


@frozen
class Builder(Parts):
    """Builds the lines and blocks of one source."""

    # --- lines -----------------------------------------------------------------------------------------------

    def line(self, node: Node) -> syntax.Line:
        return _LINES[node.rule](self, node)

    def edition(self, node: Node) -> syntax.Line:
        return syntax.Edition(text=sure(self.text(node)), **self.facts(node))

    def in_force(self, node: Node) -> syntax.Line:
        return syntax.InForce(date=self.amounts.date(sure(node.word("DATE"))), **self.facts(node))

    def authority(self, node: Node) -> syntax.Line:
        return syntax.Authority(text=sure(self.text(node)), **self.facts(node))

    def caution(self, node: Node) -> syntax.Line:
        return syntax.Caution(text=sure(self.text(node)), **self.facts(node))

    def events_in_any_order(self, node: Node) -> syntax.Line:
        return syntax.EventsInAnyOrder(**self.facts(node))

    def owed_fails(self, node: Node) -> syntax.Line:
        return syntax.OwedFails(**self.facts(node))

    def times_within(self, node: Node) -> syntax.Line:
        return syntax.TimesWithin(length=self.amounts.duration(sure(node.node("duration"))), **self.facts(node))

    def guidance(self, node: Node) -> syntax.Line:
        return syntax.Guidance(text=sure(self.text(node)), **self.facts(node))

    def accept(self, node: Node) -> syntax.Line:
        code = sure(node.word("ID"))
        if not (len(code.text) == 4 and code.text[1:].isdecimal()):
            self.amounts.report(reading.NOT_A_FINDING, code, found=code.text)
        return syntax.Accept(code=self.name(code), why=sure(self.text(node)), **self.facts(node))

    def carry_on(self, node: Node) -> syntax.Line:
        return syntax.CarryOn(**self.facts(node))

    def condition(self, node: Node) -> syntax.Line:
        test = node.node("test")
        demand = node.word("YES") is not None if test is None else self.test(test)
        return syntax.Condition(name=self.own_name(node), demand=demand, title=self.text(node), **self.facts(node))

    def mark(self, node: Node) -> syntax.Line:
        choices, measured = node.node("choices"), node.node("measured")
        return syntax.Mark(
            name=self.own_name(node),
            choices=() if choices is None else self.own_names(choices),
            unit=None if measured is None else self.name(sure(measured.word("UNIT"))),
            picks=self.picks(node),
            rounding=self.rounding(node),
            heading=node.word("A_HEADING") is not None,
            names_round=node.word("NAMES_A_ROUND") is not None,
            title=self.text(node),
            **self.facts(node),
        )

    def fact(self, node: Node) -> syntax.Line:
        choices, measured = node.node("choices"), node.node("measured")
        return syntax.Fact(
            name=self.own_name(node),
            choices=() if choices is None else self.own_names(choices),
            unit=None if measured is None else self.name(sure(measured.word("UNIT"))),
            heading=node.word("A_HEADING") is not None,
            number=node.word("A_NUMBER") is not None,
            title=self.text(node),
            **self.facts(node),
        )

    def only_for(self, node: Node) -> syntax.Line:
        fact, *choices = self.own_names(node)
        return syntax.OnlyFor(fact=fact, choices=tuple(choices), **self.facts(node))

    def attempts(self, node: Node) -> syntax.Line:
        number = node.word("INT")
        least, greatest, as_range = self.bounds(node.node("least", "most", "range"))
        return syntax.Attempts(
            number=None if number is None else self.amounts.whole(number),
            least=least,
            greatest=greatest,
            as_range=as_range,
            **self.facts(node),
        )

    def rest(self, node: Node) -> syntax.Line:
        least, greatest, as_range = self.bounds(sure(node.node("least", "most", "range")))
        return syntax.Rest(least=least, greatest=greatest, as_range=as_range, **self.facts(node))

    def start(self, node: Node) -> syntax.Line:
        return syntax.Start(
            first=node.word("FIRST") is not None,
            pattern=self.pattern(node),
            more_than=self.times(node),
            whose=self.whose(node),
            **self.facts(node),
        )

    def until(self, node: Node) -> syntax.Line:
        number = self.counted(node, sure(node.node("pattern")))
        pattern, whose = self.pattern(node), self.whose(node)
        return syntax.Until(number=number, pattern=pattern, whose=whose, **self.facts(node))

    def until_totals(self, node: Node) -> syntax.Line:
        amount = self.amounts.amount(sure(node.node(*AMOUNT)))
        return syntax.UntilTotals(mark=self.own_name(node), amount=amount, **self.facts(node))

    def for_time(self, node: Node) -> syntax.Line:
        return syntax.For(length=self.amounts.duration(sure(node.node("duration"))), **self.facts(node))

    def time_limit(self, node: Node) -> syntax.Line:
        word = sure(node.word("WITHIN", "UNDER", "BEFORE"))
        return syntax.TimeLimit(
            word="not before" if word.kind == "BEFORE" else word.text,
            length=self.amounts.duration(sure(node.node("duration"))),
            sentence=self.text(node),
            label=self.label(node),
            **self.facts(node),
        )

    def count_limit(self, node: Node) -> syntax.Line:
        word = sure(node.word("WITHIN", "BEFORE", "LEAST"))
        return syntax.CountLimit(
            word="at least" if word.kind == "LEAST" else word.text,
            number=sure(self.counted(node, node)),
            mark=self.own_name(node),
            whose=self.whose(node),
            sentence=self.text(node),
            label=self.label(node),
            **self.facts(node),
        )

    def silence_limit(self, node: Node) -> syntax.Line:
        silence = self.silence(sure(node.node("silence")))
        return syntax.SilenceLimit(
            mark=silence.mark,
            length=silence.length,
            or_more=silence.or_more,
            sentence=self.text(node),
            label=self.label(node),
            **self.facts(node),
        )

    def figure_limit(self, node: Node) -> syntax.Line:
        return syntax.FigureLimit(
            figure=self.figure(sure(node.node("figure"))),
            test=self.test(sure(node.node("test"))),
            whose=self.whose(node),
            sentence=self.text(node),
            label=self.label(node),
            **self.facts(node),
        )

    def score(self, node: Node) -> syntax.Line:
        head = self.head(node)
        figure = head.node("figure")
        return syntax.Score(
            figure=None if figure is None else self.figure(figure),
            rounding=self.rounding(head),
            band=self.band(head),
            lines=cast("tuple[syntax.ScoreRow | syntax.Otherwise, ...]", tuple(self.inner(node))),
            below=self.below(head),
            **self.facts(head),
        )

    def score_row(self, node: Node) -> syntax.Line:
        figure, test = node.node("figure"), node.node("test")
        return syntax.ScoreRow(
            figure=None if figure is None else self.figure(figure),
            test=self.printed_test(node) if test is None else self.test(test),
            points=self.amounts.whole(node.words("INT")[-1]),
            **self.facts(node),
        )

    def otherwise(self, node: Node) -> syntax.Line:
        points = node.word("INT")
        return syntax.Otherwise(
            points=None if points is None else self.amounts.whole(points),
            sentence=self.text(node),
            **self.facts(node),
        )

    def fault(self, node: Node) -> syntax.Line:
        consequence = sure(self.consequence(node))
        trigger: syntax.Occurrence | syntax.OutOfOrder | syntax.Silence
        if silence := node.node("silence"):
            trigger = self.silence(silence)
        elif out_of_order := node.node("out_of_order"):
            trigger = syntax.OutOfOrder(self.pattern(out_of_order))
        else:
            occurrence = sure(node.node("occurrence"))
            trigger = syntax.Occurrence(self.pattern(occurrence), self.times(occurrence))
        return syntax.Fault(
            consequence=consequence,
            trigger=trigger,
            whose=self.whose(node),
            label=self.label(node),
            **self.facts(node),
        )

    def levels(self, node: Node) -> syntax.Line:
        outer, inner = node.words("NAME")
        number, first, *last = (self.amounts.whole(word) for word in node.words("INT"))
        pace = node.node("measure")
        return syntax.Levels(
            outer=self.name(outer),
            number=number,
            inner=self.name(inner),
            first=first,
            last=last[0] if last else None,
            pace=None if pace is None else self.amounts.amount(pace),
            **self.facts(node),
        )

    def heights(self, node: Node) -> syntax.Line:
        lengths = tuple(self.amounts.amount(measure) for measure in node.nodes("measure"))
        return syntax.Heights(lengths=lengths, **self.facts(node))

    def number_of_rounds(self, node: Node) -> syntax.Line:
        return syntax.NumberOfRounds(number=self.amounts.whole(sure(node.word("INT"))), **self.facts(node))

    def paced(self, node: Node) -> syntax.Line:
        return syntax.Paced(over=self.amounts.amount(sure(node.node("measure"))), **self.facts(node))

    def tries(self, node: Node) -> syntax.Line:
        return syntax.Tries(number=self.amounts.whole(sure(node.word("INT"))), **self.facts(node))

    def unmarked(self, node: Node) -> syntax.Line:
        return syntax.Unmarked(word=sure(node.word("MADE", "MISSED", "PASSED")).text, **self.facts(node))

    def out(self, node: Node) -> syntax.Line:
        number = node.word("INT")
        return syntax.Out(
            number=None if number is None else self.amounts.whole(number),
            in_a_row=node.word("IN_A_ROW") is not None,
            pattern=self.pattern(node) if number is None else None,
            sentence=self.text(node),
            label=self.label(node),
            **self.facts(node),
        )

    def given(self, node: Node) -> syntax.Line:
        amount = node.node(*AMOUNT)
        name, *choices = self.own_names(node)
        value: syntax.Amount | syntax.Name | bool = node.word("YES") is not None
        if amount is not None:
            value = self.amounts.amount(amount)
        elif choices:
            value = choices[0]
        whose = self.id_after(node, "FOR")
        return syntax.Given(name=name, value=value, candidate=whose, **self.facts(node))

    def entry(self, node: Node) -> syntax.Line:
        mark, *values = node.words("NAME")
        amount = node.node(*AMOUNT, "round")
        value: syntax.Name | syntax.Amount | syntax.Round | None = None
        if amount is not None:
            value = self.round(amount)
        elif values:
            value = self.name(values[0])
        return syntax.CaseEntry(
            at=self.amounts.clock(sure(node.word("CLOCK"))),
            mark=self.name(mark),
            value=value,
            by=self.id_after(node, "BY"),
            candidate=self.id_after(node, "FOR"),
            **self.facts(node),
        )

    def end(self, node: Node) -> syntax.Line:
        return syntax.CaseEntry(at=self.amounts.clock(sure(node.word("CLOCK"))), mark=None, **self.facts(node))

    def id_after(self, node: Node, kind: str) -> syntax.Name | None:
        for before, word in pairwise(node.parts):
            if isinstance(before, Word) and before.kind == kind and isinstance(word, Word):
                return self.name(word)
        return None

    def gives(self, node: Node) -> syntax.Line:
        path, clock, points = node.node("path"), node.word("CLOCK"), node.word("INT")
        word = sure(node.word(*_GIVEN_WORDS))
        furthest = node.node(*AMOUNT, "round")
        return syntax.Gives(
            path=() if path is None else self.path(path),
            word=word.text,
            at=None if clock is None else self.amounts.clock(clock),
            candidate=self.id_after(node, "FOR"),
            furthest=None if furthest is None else self.round(furthest),
            points=None if points is None else self.amounts.whole(points),
            grade=self.own_name(node) if word.kind == "GRADE" else None,
            **self.facts(node),
        )

    # --- blocks ----------------------------------------------------------------------------------------------

    def inner(self, node: Node) -> "Iterable[syntax.Line]":
        """The lines of a block, in written order."""
        return (self.line(part) for part in node.parts[1:] if isinstance(part, Node))

    def head(self, node: Node) -> Node:
        """The head line of a block."""
        return cast(Node, node.parts[0])

    def conditions(self, node: Node) -> syntax.Line:
        head = self.head(node)
        lines = cast("tuple[syntax.Condition | syntax.Guidance | syntax.Accept, ...]", tuple(self.inner(node)))
        return syntax.Conditions(lines=lines, below=self.below(head), **self.facts(head))

    def candidate(self, node: Node) -> syntax.Line:
        head = self.head(node)
        lines = cast("tuple[syntax.Fact | syntax.Guidance | syntax.Accept, ...]", tuple(self.inner(node)))
        return syntax.Candidate(lines=lines, below=self.below(head), **self.facts(head))

    def marks(self, node: Node) -> syntax.Line:
        head = self.head(node)
        lines = cast("tuple[syntax.Mark | syntax.Guidance | syntax.Accept, ...]", tuple(self.inner(node)))
        return syntax.Marks(lines=lines, below=self.below(head), **self.facts(head))

    def always(self, node: Node) -> syntax.Line:
        head = self.head(node)
        lines = cast("tuple[syntax.BlockLine, ...]", tuple(self.inner(node)))
        return syntax.Always(lines=lines, below=self.below(head), **self.facts(head))

    def grade(self, node: Node) -> syntax.Line:
        head = self.head(node)
        return syntax.Grade(
            name=self.own_name(head),
            title=self.text(head),
            lines=cast(
                "tuple[syntax.FigureLimit | syntax.Guidance | syntax.Accept, ...]", tuple(self.inner(node))
            ),
            below=self.below(head),
            **self.facts(head),
        )

    def block(self, node: Node) -> syntax.Line:
        """An event, a step or a group."""
        head = self.head(node)
        words = " ".join(part.text for part in head.parts if isinstance(part, Word) and part.text.isalpha())
        word = next(word for word in syntax.BlockWord if words.startswith(word.value))
        return syntax.Block(
            word=word,
            name=self.own_name(head),
            title=self.text(head),
            lines=cast("tuple[syntax.BlockLine, ...]", tuple(self.inner(node))),
            below=self.below(head),
            **self.facts(head),
        )

    def case(self, node: Node) -> syntax.Line:
        head = self.head(node)
        log = node.node("log")
        log_head = None if log is None else self.head(log)
        log_facts = None if log_head is None else self.facts(log_head)
        event = None if log_head is None else log_head.word("NAME")
        entries = () if log is None else tuple(self.inner(log))
        return syntax.Case(
            title=sure(self.text(head)),
            given=cast("tuple[syntax.Given, ...]", tuple(map(self.line, node.nodes("given")))),
            event=None if event is None else self.name(event),
            entries=cast("tuple[syntax.CaseEntry, ...]", entries),
            gives=cast("tuple[syntax.Gives, ...]", tuple(map(self.line, node.nodes("gives")))),
            log_above=() if log_facts is None else log_facts["above"],
            log_beside=None if log_facts is None else log_facts["beside"],
            below=self.below(head),
            **self.facts(head),
        )

    def standard(self, node: Node) -> syntax.Standard:
        """The whole `file`."""
        own, *blocks = node.nodes(
            "standard", "candidate", "conditions", "marks", "always", "grade", "event", "case"
        )
        head = self.head(own)
        return syntax.Standard(
            source=self.amounts.source,
            name=self.own_name(head),
            title=self.text(head),
            header=cast("tuple[syntax.HeaderLine, ...]", tuple(self.inner(own))),
            blocks=cast(
                "tuple[syntax.FileBlock, ...]",
                tuple(map(self.line, blocks)),
            ),
            below=self.comments.end,
            **self.facts(head),
        )


_GIVEN_WORDS = (
    "GO",
    "NO_GO",
    "UNFINISHED",
    "VOID",
    "FAILS",
    "RESTARTS",
    "NOTES",
    "DISQUALIFIES",
    "HALTS",
    "BEGINS",
    "OUT",
    "FURTHEST",
    "POINTS",
    "GRADE",
)

_BLOCKS: dict[str, Callable[[Builder, Node], syntax.Line]] = {
    "event": Builder.block,
    "step": Builder.block,
    "group": Builder.block,
    "rounds": Builder.block,
}
_LINES: dict[str, Callable[[Builder, Node], syntax.Line]] = {
    **_BLOCKS,
    **{
        builder.__name__: builder
        for builder in (
            Builder.edition,
            Builder.in_force,
            Builder.authority,
            Builder.caution,
            Builder.events_in_any_order,
            Builder.owed_fails,
            Builder.times_within,
            Builder.guidance,
            Builder.accept,
            Builder.carry_on,
            Builder.candidate,
            Builder.fact,
            Builder.only_for,
            Builder.conditions,
            Builder.condition,
            Builder.marks,
            Builder.mark,
            Builder.always,
            Builder.grade,
            Builder.attempts,
            Builder.best,
            Builder.rest,
            Builder.start,
            Builder.only_if_begun,
            Builder.until,
            Builder.until_totals,
            Builder.for_time,
            Builder.time_limit,
            Builder.count_limit,
            Builder.silence_limit,
            Builder.figure_limit,
            Builder.score,
            Builder.score_row,
            Builder.otherwise,
            Builder.fault,
            Builder.levels,
            Builder.heights,
            Builder.number_of_rounds,
            Builder.paced,
            Builder.tries,
            Builder.unmarked,
            Builder.out,
            Builder.case,
            Builder.given,
            Builder.entry,
            Builder.end,
            Builder.gives,
        )
    },
}
