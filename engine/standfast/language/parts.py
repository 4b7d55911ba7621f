"""From the parser's nodes to the parts of a line: names, sentences, tests, patterns, consequences, bounds."""

from fractions import Fraction
from typing import TypedDict, TypeVar

from standfast.codes import reading, rounding, scores, watches
from standfast.language import syntax
from standfast.language.amounts import Amounts, unit_slip
from standfast.language.comments import Comments
from standfast.language.nodes import Node, Word
from standfast.language.syntax import Effect
from standfast.language.words import CALENDAR, PICK_MEANT, UNIT_MEANT, near_word
from standfast.quantity import UNITS, Comparison, Quantity, Way
from standfast.source import Span
from standfast.values import frozen

_T = TypeVar("_T")


class _LineFacts(TypedDict):
    span: Span
    above: tuple[str, ...]
    beside: str | None


def sure(value: _T | None) -> _T:
    """What the grammar promises is there."""
    assert value is not None
    return value


AMOUNT = ("number", "measure", "rate")
"""The rules of the grammar that are amounts."""
WAYS = {
    ("up", ""): Way.UP,
    ("down", ""): Way.DOWN,
    ("nearest", "ties up"): Way.NEAREST_TIES_UP,
    ("nearest", "ties to even"): Way.NEAREST_TIES_TO_EVEN,
}
"""The ways of rounding, by the words after `rounded` and those about ties."""
_TESTS = {
    "LEAST": Comparison.AT_LEAST,
    "MOST": Comparison.AT_MOST,
    "OVER": Comparison.OVER,
    "UNDER": Comparison.UNDER,
    "EXACTLY": Comparison.EXACTLY,
    "FROM": Comparison.FROM_TO,
    "WITHIN": Comparison.WITHIN,
}


@frozen
class Parts:
    """Builds the values of one source. A line's comments are looked up by its number.

    `declared` are the names of the marks, so that `within 90 seconds` is not taken for a number of marks.
    """

    amounts: Amounts
    comments: Comments
    declared: frozenset[str]

    # --- words ---------------------------------------------------------------------------------------------

    def name(self, word: Word) -> syntax.Name:
        return syntax.Name(word.text, self.amounts.span(word))

    def own_name(self, node: Node) -> syntax.Name:
        return self.name(sure(node.word("NAME")))

    def own_names(self, node: Node) -> tuple[syntax.Name, ...]:
        return tuple(self.name(word) for word in node.words("NAME"))

    def text(self, node: Node) -> syntax.Text | None:
        word = node.word("TEXT")
        return None if word is None else syntax.Text(word.text[1:-1], self.amounts.span(word))

    def label(self, node: Node) -> syntax.Name | None:
        label = node.node("label")
        return None if label is None else self.own_name(label)

    def facts(self, node: Node) -> _LineFacts:
        span = self.amounts.span(node)
        above, beside = self.comments.above.get(span.line, ()), self.comments.beside.get(span.line)
        return {"span": span, "above": above, "beside": beside}

    def below(self, head: Node) -> tuple[str, ...]:
        return self.comments.below.get(self.amounts.span(head).line, ())

    def round(self, node: Node) -> syntax.Amount | syntax.Round:
        """A `round` in words, or an amount that may be the measure of one."""
        if node.rule != "round":
            return self.amounts.amount(node)
        words = [part for part in node.parts if isinstance(part, Word)]
        parts = tuple((self.name(words[n]), self.amounts.whole(words[n + 1])) for n in range(0, len(words), 2))
        return syntax.Round(parts, self.amounts.span(node))

    def path(self, node: Node) -> tuple[syntax.Name, ...]:
        word = sure(node.word("NAME", "PATH"))
        names, start = [], word.start
        for text in word.text.split("."):
            names.append(self.name(Word("NAME", text, start, start + len(text))))
            start += len(text) + 1
        return tuple(names)

    # --- figures, tests, patterns, consequences --------------------------------------------------------------

    def figure(self, node: Node) -> syntax.Figure:
        parts = tuple(self.figure_part(part) for part in node.nodes("figure_part"))
        return syntax.Figure(parts, self.amounts.span(node))

    def figure_part(self, node: Node) -> syntax.FigurePart:
        mark, path = node.word("NAME"), node.node("path")
        return syntax.FigurePart(
            syntax.FigureWord(node.first().text),
            None if mark is None else self.name(mark),
            () if path is None else self.path(path),
            self.amounts.span(node),
        )

    def printed_ends(self, node: Node) -> tuple[syntax.Amount, syntax.Amount]:
        """The ends of a row of a printed table; `6:30` means six minutes and a half there."""
        ends: list[syntax.Amount] = []
        for part in node.parts:
            if isinstance(part, Node):
                ends.append(self.amounts.amount(part))
            elif part.kind == "CLOCK":
                seconds = Fraction(self.amounts.clock(part).micros, 1_000_000)
                minutes = ((Fraction(seconds // 60), UNITS["min"]), (seconds % 60, UNITS["s"]))
                shown = tuple(each for each in minutes if each[0]) or minutes[:1]
                ends.append(syntax.Amount(Quantity(shown), self.amounts.span(part)))
        return ends[0], ends[1]

    def printed_test(self, node: Node) -> syntax.Test:
        """A row of a printed table, which is refused."""
        first, second = self.printed_ends(node)
        facts = {"second": str(second.quantity), "points": node.words("INT")[-1].text}
        self.amounts.report(scores.PRINTED_ROW, node, **facts)
        return syntax.Test(Comparison.FROM_TO, first, second, first.span.to(second.span))

    def test(self, node: Node) -> syntax.Test:
        word = sure(node.word(*_TESTS))
        amounts = [self.round(amount) for amount in node.nodes(*AMOUNT, "share", "round")]
        second = amounts[1] if len(amounts) > 1 else None
        fact = node.word("NAME")
        of = None if fact is None else self.name(fact)
        return syntax.Test(_TESTS[word.kind], amounts[0], second, self.amounts.span(node), of)

    def band(self, head: Node) -> syntax.Band | None:
        node = head.node("band")
        if node is None:
            return None
        (fact, *choices), test = self.own_names(node), node.node("test")
        return syntax.Band(
            fact, tuple(choices), None if test is None else self.test(test), self.amounts.span(node)
        )

    def rounding(self, parent: Node) -> syntax.Rounding | None:
        """The rounding among a rule's own parts, if there is one."""
        node = parent.node("rounding")
        if node is None:
            return None
        way, ties = sure(node.word("NAME")), node.node("ties")
        step = self.amounts.amount(sure(node.node(*AMOUNT)))
        written = " ".join(word.text for word in ties.parts if isinstance(word, Word)) if ties is not None else ""
        known = WAYS.get((way.text, written.removeprefix(", ")))
        if known is None:
            self._not_rounded(way, ties, step)
        return syntax.Rounding(known or Way.UP, step, self.amounts.span(node))

    def _not_rounded(self, way: Word, ties: Node | None, step: syntax.Amount) -> None:
        rounded = f"rounded {way.text} to {step.quantity}"
        if way.text not in ("up", "down", "nearest"):
            near = near_word(way.text, {"up", "down", "nearest"})
            self.amounts.report(
                rounding.NO_SUCH_WAY, way, found=way.text, **({} if near is None else {"near": near})
            )
        elif way.text == "nearest":
            found = "" if ties is None else self.amounts.span(ties).text.removeprefix(",").strip()
            code = rounding.NO_TIES if ties is None else rounding.NO_SUCH_TIES
            self.amounts.report(code, way if ties is None else ties, rounded=rounded, found=found)
        else:
            assert ties is not None
            self.amounts.report(rounding.TIES_OF_NO_USE, ties, rounded=rounded)

    def best(self, node: Node) -> syntax.Line:
        return syntax.Best(figure=self.figure(sure(node.node("figure"))), **self.facts(node))

    def only_if_begun(self, node: Node) -> syntax.Line:
        return syntax.OnlyIfBegun(**self.facts(node))

    def picks(self, parent: Node) -> tuple[syntax.Pick, ...]:
        return tuple(self._pick(node) for node in parent.nodes("pick"))

    def _pick(self, node: Node) -> syntax.Pick:
        word = node.parts[-1]
        assert isinstance(word, Word)
        known = {each.value for each in syntax.PickWord}
        if word.text not in known:
            near = PICK_MEANT.get(word.text) or near_word(word.text, known)
            facts = {"found": word.text, **({} if near is None else {"near": near})}
            self.amounts.report(watches.NO_SUCH_PICK, word, **facts)
            word = Word(word.kind, "first", word.start, word.end)
        number = self.amounts.whole(sure(node.word("INT")))
        return syntax.Pick(number, syntax.PickWord(word.text), self.amounts.span(node))

    def pattern(self, parent: Node) -> syntax.Pattern:
        node = sure(parent.node("pattern"))
        value: syntax.Choices | syntax.Test | None = None
        if values := node.node("values"):
            other = values.word("OTHER") is not None
            value = syntax.Choices(self.own_names(values), other, self.amounts.span(values))
        elif test := node.node("test"):
            value = self.test(test)
        return syntax.Pattern(self.own_name(node), value, self.amounts.span(node))

    def counted(self, node: Node, pattern: Node) -> syntax.Whole | None:
        """The number of marks a rule speaks of, if it does; `pattern` has the mark's name."""
        number, mark = node.word("INT"), sure(pattern.word("NAME"))
        if number is None:
            return None
        is_unit = mark.text in UNIT_MEANT or mark.text in CALENDAR
        if is_unit and not {mark.text, mark.text.removesuffix("s")} & self.declared:
            code, facts = unit_slip(number.text, mark.text, may_be_bare=False)
            self.amounts.report(code, mark, **facts)
        return self.amounts.whole(number)

    def times(self, parent: Node) -> syntax.Whole | None:
        node = parent.node("times")
        if node is None:
            return None
        word = sure(node.word("INT", "ONCE", "TWICE"))
        if word.kind == "INT":
            return self.amounts.whole(word)
        return syntax.Whole(1 if word.kind == "ONCE" else 2, self.amounts.span(word))

    def whose(self, node: Node) -> syntax.Whose:
        """Whose entries are counted, by the modifiers among a rule's own parts."""
        written = node.nodes("whose")
        once = [each for each in written if each.word("ONCE") is not None]
        anyone = [each for each in written if each.word("BY") is not None]
        for modifiers, words in ((once, "once a grader"), (anyone, "by anyone")):
            for second in modifiers[1:]:
                self.amounts.report(reading.MODIFIER_TWICE, second, words=words)
        spans = [self.amounts.span(each) for each in written]
        return syntax.Whose(bool(once), bool(anyone), spans[0].to(spans[-1]) if spans else None)

    def consequence(self, node: Node) -> syntax.Consequence | None:
        """The effect among a rule's own parts, with its sentence and modifiers."""
        effect = node.node("effect")
        if effect is None:
            return None
        kind = Effect[effect.parts[0].kind] if isinstance(effect.parts[0], Word) else Effect.NOTE
        cap, charged = node.node("cap"), node.node("charged")
        if cap is not None and kind is not Effect.RESTART:
            self.amounts.report(reading.ONLY_RESTART_HAS_NUMBER, cap, effect=kind.value)
        if charged is not None and kind is not Effect.HALT:
            self.amounts.report(reading.ONLY_HALT_IS_CHARGED, charged, effect=kind.value)
        return syntax.Consequence(
            kind,
            effect.word("ONCE") is not None,
            self.text(node),
            None if cap is None else self.times(cap),
            charged is not None,
            self.amounts.span(effect),
        )

    def silence(self, node: Node) -> syntax.Silence:
        length = self.amounts.duration(sure(node.node("duration")))
        return syntax.Silence(self.own_name(node), length, node.word("MORE") is not None)

    def bounds(self, node: Node | None) -> tuple[syntax.Bound | None, syntax.Bound | None, bool]:
        """The least and the greatest length of a pause, and whether they are written as a range."""
        if node is None:
            return None, None, False
        consequence = self.consequence(node)
        lengths = [self.amounts.duration(duration) for duration in node.nodes("duration")]
        first = syntax.Bound(lengths[0], consequence, lengths[0].span)
        if node.rule == "range":
            return first, syntax.Bound(lengths[1], consequence, lengths[1].span), True
        if node.rule == "most":
            return None, first, False
        greatest = node.node("greatest")
        if greatest is None:
            return first, None, False
        length = self.amounts.duration(sure(greatest.node("duration")))
        return first, syntax.Bound(length, self.consequence(greatest), length.span), False
