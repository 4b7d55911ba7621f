"""Numbers, measures, times and dates: from words to exact values, with what is wrong with them."""

from datetime import date
from fractions import Fraction
from itertools import pairwise

from standfast.codes import Code, reading
from standfast.diagnostic import Diagnostic
from standfast.language import syntax
from standfast.language.nodes import Node, Word
from standfast.language.words import CALENDAR, UNIT_MEANT, shortened
from standfast.quantity import COUNT, PERCENT, RATES, UNITS, Dimension, Quantity
from standfast.source import Source, Span
from standfast.values import field, frozen

DIGITS = 12
DECIMALS = 6


@frozen
class Amounts:
    """Reads the amounts of one source; what is wrong with one is added to `problems` and a value still given."""

    source: Source
    problems: list[Diagnostic] = field(factory=list)

    def report(self, code: Code, where: Node | Word, **facts: str) -> None:
        shown = {name: shortened(fact) for name, fact in facts.items()}
        self.problems.append(Diagnostic(code, self.span(where), shown))

    def span(self, part: Node | Word) -> Span:
        return self.source.span(part.start, part.end)

    def fraction(self, word: Word) -> Fraction:
        """An INT or DECIMAL, exactly; 1 where it is too long to be one."""
        whole, _, decimals = word.text.partition(".")
        whole, decimals = whole.lstrip("0"), decimals.rstrip("0")
        if len(whole) > DIGITS:
            self.report(reading.TOO_LARGE, word, digits=str(DIGITS))
            return Fraction(1)
        if len(decimals) > DECIMALS:
            self.report(reading.TOO_FINE, word, number=word.text, decimals=str(DECIMALS))
            return Fraction(1)
        return Fraction(int(f"0{whole}{decimals}"), 10 ** len(decimals))

    def whole(self, word: Word) -> syntax.Whole:
        return syntax.Whole(int(self.fraction(word)), self.span(word))

    def number(self, node: Node) -> Fraction:
        word = node.word("INT", "DECIMAL")
        assert word is not None
        return self.fraction(word)

    def amount(self, node: Node) -> syntax.Amount:
        """A `number`, a `measure`, a `rate` or a `share` in percent."""
        if node.rule == "rate":
            return self.rate(node)
        if node.rule == "number":
            return syntax.Amount(Quantity(((self.number(node), COUNT),)), self.span(node))
        if node.rule == "share":
            number = node.node("number")
            assert number is not None
            return syntax.Amount(Quantity(((self.number(number), PERCENT),)), self.span(node))
        parts = []
        for part in node.nodes("part"):
            number, unit = part.node("number"), part.word("UNIT")
            assert number is not None and unit is not None
            parts.append((self.number(number), UNITS[unit.text]))
        for (_, larger), (_, smaller) in pairwise(parts):
            if {larger.dimension, smaller.dimension} != {Dimension.TIME}:
                self.report(reading.SEVERAL_PARTS, node, found=self.span(node).text)
                break
            if larger.factor <= smaller.factor:
                self.report(reading.UNITS_NOT_FALLING, node, found=self.span(node).text)
                break
        else:
            return syntax.Amount(Quantity(tuple(parts)), self.span(node))
        return syntax.Amount(Quantity((parts[0],)), self.span(node))

    def rate(self, node: Node) -> syntax.Amount:
        number, unit = node.node("number"), node.word("UNIT")
        assert number is not None and unit is not None
        rate = RATES.get(unit.text)
        if rate is None:
            self.report(reading.NOT_A_RATE, unit, found=unit.text)
            rate = RATES["s"]
        return syntax.Amount(Quantity(((self.number(number), rate),)), self.span(node))

    def duration(self, node: Node) -> syntax.Amount:
        """A measure that must be a length of time."""
        measure = node.node("measure")
        assert measure is not None
        amount = self.amount(measure)
        if amount.quantity.dimension is not Dimension.TIME:
            self.report(reading.NOT_A_TIME, measure, found=str(amount.quantity))
        return amount

    def clock(self, word: Word) -> syntax.Clock:
        clock, _, decimals = word.text.partition(".")
        decimals = decimals.rstrip("0")
        pieces = clock.lstrip("0").split(":")
        micros = 0
        if len(pieces[0]) > DIGITS:
            self.report(reading.TOO_LARGE, word, digits=str(DIGITS))
        elif len(decimals) > DECIMALS:
            self.report(reading.TOO_FINE, word, number=word.text, decimals=str(DECIMALS))
        elif any(int(piece) > 59 for piece in pieces[1:]):
            self.report(reading.NO_SUCH_CLOCK, word, found=word.text)
        else:
            seconds = 0
            for piece in pieces:
                seconds = seconds * 60 + int(piece or 0)
            micros = seconds * 1_000_000 + int(decimals.ljust(DECIMALS, "0") or 0)
        return syntax.Clock(micros, self.span(word))

    def date(self, word: Word) -> syntax.Name:
        try:
            date.fromisoformat(word.text)
        except ValueError:
            self.report(reading.NO_SUCH_DATE, word, found=word.text)
        return syntax.Name(word.text, self.span(word))


def unit_slip(number: str, unit: str, may_be_bare: bool) -> tuple[Code, dict[str, str]]:
    """The finding about a word that is no unit; `number` stands before it (or is empty), and may stand alone."""
    if unit.lower() in CALENDAR:
        hours = CALENDAR[unit.lower()]
        near = (
            {"near": f"{int(number) * hours} h"} if hours and number.isdecimal() and len(number) < DIGITS else {}
        )
        return reading.CALENDAR_UNIT, {"unit": unit, **near}
    facts = {"unit": unit, "units": ", ".join(f"`{name}`" for name in UNITS)}
    meant = UNIT_MEANT.get(unit.lower()) or (unit.lower() if unit.lower() in UNITS else None)
    if meant is not None:
        facts["near"] = f"{number} {meant}".lstrip()
    elif may_be_bare:
        facts["advice"] = f"take it away if `{number}` is a plain number, or write one of the units"
    return reading.UNKNOWN_UNIT, facts
