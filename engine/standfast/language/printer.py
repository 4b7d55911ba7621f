"""The canonical layout: one text for one meaning.

Four blanks a level and one empty line between the blocks of the file. In a block: attempts, carry on, rounds and
what is said of them, start, goal, limits, score, faults, guidance, acceptances, conditions, each kind as written,
then the items. Numbers lose noughts that say nothing; names, sentences and comments stay as written.
"""

from collections.abc import Iterable, Sequence

from standfast.language import syntax
from standfast.quantity import clock

_INDENT = "    "

_HEADER_ORDER: tuple[type[syntax.Line], ...] = (
    syntax.Edition,
    syntax.InForce,
    syntax.Authority,
    syntax.Caution,
    syntax.Guidance,
    syntax.CarryOn,
    syntax.EventsInAnyOrder,
    syntax.OwedFails,
    syntax.TimesWithin,
    syntax.Accept,
)
_BLOCK_ORDER: tuple[tuple[type[syntax.Line], ...], ...] = (
    (syntax.Attempts,),
    (syntax.Best,),
    (syntax.CarryOn,),
    (syntax.OnlyFor,),
    (syntax.OnlyIfBegun,),
    (syntax.Levels, syntax.Heights, syntax.NumberOfRounds),
    (syntax.Paced,),
    (syntax.Tries,),
    (syntax.Unmarked,),
    (syntax.Start,),
    (syntax.Until, syntax.UntilTotals, syntax.For),
    (syntax.TimeLimit, syntax.CountLimit, syntax.SilenceLimit, syntax.FigureLimit),
    (syntax.Score,),
    (syntax.ScoreRow, syntax.Otherwise),
    (syntax.Fault, syntax.Out),
    (syntax.Condition, syntax.Mark, syntax.Fact),
    (syntax.Guidance,),
    (syntax.Accept,),
    (syntax.Conditions,),
    (syntax.Block, syntax.Rest),
)
_RANKS = {kind: rank for rank, kinds in enumerate(_BLOCK_ORDER) for kind in kinds}
_FILE_ORDER: tuple[type[syntax.Line], ...] = (
    syntax.Candidate,
    syntax.Conditions,
    syntax.Marks,
    syntax.Always,
    syntax.Grade,
    syntax.Block,
    syntax.Case,
)


def canonical(tree: syntax.Standard, *, comments: bool = True) -> str:
    """The text of a standard, ending in a line end; without `comments` it is what a digest is taken of."""
    return "".join(f"{text}\n" for text, _ in _page(tree, comments=comments).lines)


def canonical_lines(tree: syntax.Standard) -> tuple[tuple[str, int | None], ...]:
    """The lines of that text without comments, each with the line of the file it was written on, if it was."""
    return tuple(_page(tree, comments=False).lines)


def _page(tree: syntax.Standard, *, comments: bool) -> "_Page":
    page = _Page(comments)
    page.head(0, tree.above, _titled(f"standard {tree.name.text}", tree.title), tree.beside, tree.span.line)
    for line in sorted(tree.header, key=lambda line: _HEADER_ORDER.index(type(line))):
        page.line(1, line)
    for block in sorted(tree.blocks, key=lambda block: _FILE_ORDER.index(type(block))):
        page.empty()
        page.line(0, block)
    if tree.below and comments:
        page.empty()
        page.comments(0, tree.below)
    return page


class _Page:
    """The lines written so far, each with the line of the file that it is."""

    def __init__(self, with_comments: bool) -> None:
        self._with_comments = with_comments
        self.lines: list[tuple[str, int | None]] = []

    def empty(self) -> None:
        self.lines.append(("", None))

    def comments(self, level: int, comments: Iterable[str]) -> None:
        if self._with_comments:
            self.lines.extend((_INDENT * level + f"# {comment}".rstrip(), None) for comment in comments)

    def head(self, level: int, above: Iterable[str], text: str, beside: str | None, of_file: int | None) -> None:
        self.comments(level, above)
        if beside is not None and self._with_comments:
            text = f"{text}  # {beside}".rstrip()
        self.lines.append((_INDENT * level + text, of_file))

    def line(self, level: int, line: syntax.Line) -> None:
        """A line and, of a block, all that is in it."""
        self.head(level, line.above, _whole(line), line.beside, line.span.line)
        match line:
            case syntax.Case():
                for given in line.given:
                    self.line(level + 1, given)
                log = "log" if line.event is None else f"log {line.event.text}"
                self.head(level + 1, line.log_above, log, line.log_beside, None)
                for entry in line.entries:
                    self.line(level + 2, entry)
                for gives in line.gives:
                    self.line(level + 1, gives)
                self.comments(level + 1, line.below)
            case (
                syntax.Candidate()
                | syntax.Conditions()
                | syntax.Marks()
                | syntax.Always()
                | syntax.Grade()
                | syntax.Score()
                | syntax.Block()
            ):
                for inner in _sorted(line.lines):
                    self.line(level + 1, inner)
                self.comments(level + 1, line.below)


def _sorted(lines: Sequence[syntax.Line]) -> list[syntax.Line]:
    return sorted(lines, key=lambda line: _RANKS[type(line)])


def _titled(text: str, title: syntax.Text | None) -> str:
    return text if title is None else f'{text} "{title.text}"'


def _whole(line: syntax.Line) -> str:
    """A line's whole text, or that of a block's head."""
    match line:
        case syntax.Fault():
            text = f"{_effect(line.consequence)} on {_trigger(line.trigger)}{_whose(line.whose)}"
            text = _titled(text, line.consequence.sentence) + _modifiers(line.consequence)
            return _labelled(text, line.label)
        case syntax.TimeLimit() | syntax.CountLimit() | syntax.SilenceLimit() | syntax.FigureLimit():
            return _labelled(_titled(words(line), line.sentence), line.label)
        case syntax.Out():
            return _labelled(_titled(words(line), line.sentence), line.label)
        case syntax.Rest():
            return f"rest {_pause(line, '')}"
        case syntax.Attempts():
            text = "attempts without limit" if line.number is None else f"attempts {line.number.number}"
            rests = line.least is not None or line.greatest is not None
            return f"{text}, rest {_pause(line, ' between')}" if rests else text
        case syntax.Guidance() | syntax.Edition() | syntax.Authority() | syntax.Caution():
            return f'{type(line).__name__.lower()} "{line.text.text}"'
        case syntax.Condition():
            return _titled(words(line), line.title)
        case syntax.Mark() | syntax.Fact():
            return _titled(words(line), line.title)
        case syntax.Grade():
            return _titled(f"grade {line.name.text}", line.title)
        case syntax.Otherwise():
            return _titled(words(line), line.sentence)
        case syntax.Block():
            return _titled(f"{line.word.value} {line.name.text}", line.title)
        case syntax.Case():
            return f'case "{line.title.text}"'
        case syntax.Accept():
            return f'accept {line.code.text} "{line.why.text}"'
        case _:
            return words(line)


def words(line: syntax.Line) -> str:
    """The clause of one line in canonical words without sentence and label: `fail on hand_down more than 2 times`.

    Of a rest, or of the one in an attempts line, the lengths without what their breach does.
    """
    match line:
        case syntax.Fault():
            text = f"{_effect(line.consequence)} on {_trigger(line.trigger)}{_whose(line.whose)}"
            return text + _modifiers(line.consequence)
        case syntax.TimeLimit():
            return f"{line.word} {line.length.quantity}"
        case syntax.CountLimit():
            return f"{line.word} {line.number.number} {line.mark.text}{_whose(line.whose)}"
        case syntax.SilenceLimit():
            return _silence(line)
        case syntax.FigureLimit():
            return f"{figure_words(line.figure)} {_test(line.test)}{_whose(line.whose)}"
        case syntax.Score():
            return _score(line)
        case syntax.ScoreRow():
            figure = "" if line.figure is None else f"{figure_words(line.figure)} "
            return f"{figure}{_test(line.test)} gives {line.points.number}"
        case syntax.Otherwise():
            return "otherwise fails" if line.points is None else f"otherwise gives {line.points.number}"
        case syntax.Until():
            number = "" if line.number is None else f"{line.number.number} "
            return f"until {number}{_pattern(line.pattern)}{_whose(line.whose)}"
        case syntax.UntilTotals():
            return f"until {line.mark.text} totals {line.amount.quantity}"
        case syntax.For():
            return f"for {line.length.quantity}"
        case syntax.Levels():
            to = "" if line.last is None else f" to {line.last.number}"
            pace = "" if line.pace is None else f", at {line.pace.quantity}"
            inner = f"{line.inner.text} {line.first.number}{to}"
            return f"{line.outer.text} {line.number.number}: {inner}{pace}"
        case syntax.Heights():
            return f"at {', '.join(str(length.quantity) for length in line.lengths)}"
        case syntax.NumberOfRounds():
            return f"{line.number.number} rounds"
        case syntax.Paced():
            return f"paced over {line.over.quantity}"
        case syntax.Tries():
            return f"tries {line.number.number}"
        case syntax.Unmarked():
            return f"unmarked rounds are {line.word}"
        case syntax.Out():
            return _out(line)
        case syntax.Start():
            start = f"start {'with first' if line.first else 'on'} {_pattern(line.pattern)}"
            return f"{start}{_more_than(line.more_than)}{_whose(line.whose)}"
        case syntax.Best():
            return f"best by {figure_words(line.figure)}"
        case syntax.Rest():
            return f"rest {_lengths(line, '')}"
        case syntax.Attempts():
            return f"rest {_lengths(line, ' between')}"
        case syntax.Condition():
            return f"{line.name.text} {_demand(line.demand)}"
        case syntax.Mark() | syntax.Fact():
            return _declared(line)
        case syntax.OnlyFor():
            return f"only for {line.fact.text} {' or '.join(name.text for name in line.choices)}"
        case syntax.Given():
            whose = "" if line.candidate is None else f" for {line.candidate.text}"
            return f"with {line.name.text} {_stated(line.value)}{whose}"
        case syntax.CaseEntry():
            return _entry(line)
        case syntax.Gives():
            return _gives(line)
        case syntax.TimesWithin():
            return f"times within {line.length.quantity}"
        case syntax.InForce():
            return f"in force from {line.date.text}"
        case _:
            return _FIXED[type(line)]


def _score(line: syntax.Score) -> str:
    figure = "" if line.figure is None else f" from {figure_words(line.figure)}{rounding_words(line.rounding)}"
    return f"score{figure}" if line.band is None else f"score{figure} for {band_words(line.band)}"


def band_words(band: syntax.Band) -> str:
    """`duty shore or boat`, `age from 30 to 39`."""
    which = " or ".join(name.text for name in band.choices) if band.test is None else _test(band.test)
    return f"{band.fact.text} {which}"


_FIXED: dict[type[syntax.Line], str] = {
    syntax.CarryOn: "carry on",
    syntax.OnlyIfBegun: "only if begun",
    syntax.EventsInAnyOrder: "events in any order",
    syntax.OwedFails: "owed at the end fails",
    syntax.Candidate: "candidate",
    syntax.Conditions: "conditions",
    syntax.Marks: "marks",
    syntax.Always: "always",
}


def figure_words(figure: syntax.Figure) -> str:
    return " plus ".join(map(_figure_part, figure.parts))


def _figure_part(part: syntax.FigurePart) -> str:
    path = ".".join(name.text for name in part.path)
    if part.mark is None:
        inside = "of" if part.word is syntax.FigureWord.TIME else "in"
        return f"{part.word.value} {inside} {path}" if path else part.word.value
    return f"{part.word.value} of {part.mark.text}" + (f" in {path}" if path else "")


def rounding_words(rounding: syntax.Rounding | None) -> str:
    """What follows the thing that is rounded, comma included; empty where nothing is."""
    if rounding is None:
        return ""
    way, _, ties = rounding.way.value.partition(",")
    return f", rounded {way} to {rounding.step.quantity}" + (f",{ties}" if ties else "")


def _labelled(text: str, label: syntax.Name | None) -> str:
    return text if label is None else f"{text} as {label.text}"


def _effect(consequence: syntax.Consequence) -> str:
    return consequence.effect.value + (" at once" if consequence.at_once else "")


def _modifiers(consequence: syntax.Consequence) -> str:
    cap = "" if consequence.at_most is None else f", at most {_times(consequence.at_most)}"
    return cap + (", charged" if consequence.charged else "")


def _times(whole: syntax.Whole) -> str:
    return {1: "once", 2: "twice"}.get(whole.number, f"{whole.number} times")


def _trigger(trigger: syntax.Occurrence | syntax.OutOfOrder | syntax.Silence) -> str:
    match trigger:
        case syntax.Silence():
            return _silence(trigger)
        case syntax.OutOfOrder():
            return f"{_pattern(trigger.pattern)} out of order"
        case syntax.Occurrence():
            return _pattern(trigger.pattern) + _more_than(trigger.more_than)


def _more_than(number: syntax.Whole | None) -> str:
    return "" if number is None else f" more than {_times(number)}"


def _whose(whose: syntax.Whose) -> str:
    return (", once a grader" if whose.once_a_grader else "") + (", by anyone" if whose.by_anyone else "")


def _silence(silence: syntax.Silence | syntax.SilenceLimit) -> str:
    length = silence.length.quantity
    return f"no {silence.mark.text} for " + (f"{length} or more" if silence.or_more else f"over {length}")


def _pattern(pattern: syntax.Pattern) -> str:
    match pattern.value:
        case None:
            return pattern.mark.text
        case syntax.Choices():
            other = "other than " if pattern.value.other else ""
            return f"{pattern.mark.text} {other}{' or '.join(name.text for name in pattern.value.names)}"
        case syntax.Test():
            return f"{pattern.mark.text} {_test(pattern.value)}"


def _out(line: syntax.Out) -> str:
    if line.pattern is not None:
        return f"out on {_pattern(line.pattern)}"
    assert line.number is not None
    return f"out on {line.number.number} misses {'in a row' if line.in_a_row else 'in all'}"


def _test(test: syntax.Test) -> str:
    to = "" if test.second is None else f" to {amount_words(test.second)}"
    of = "" if test.of is None else f" of {test.of.text}"
    return f"{test.comparison.value} {amount_words(test.first)}{to}{of}"


def amount_words(amount: syntax.Amount | syntax.Round) -> str:
    """An amount, or a round as a log names it: `level 6 shuttle 10`, `1.93 m`, `round 3`."""
    if isinstance(amount, syntax.Amount):
        return str(amount.quantity)
    return " ".join(f"{name.text} {whole.number}" for name, whole in amount.parts)


def _demand(demand: syntax.Test | bool) -> str:
    return _yes(demand) if isinstance(demand, bool) else _test(demand)


def _yes(holds: bool) -> str:
    return "yes" if holds else "no"


def _stated(value: syntax.Amount | syntax.Name | bool) -> str:
    match value:
        case bool():
            return _yes(value)
        case syntax.Name(text=text):
            return text
        case syntax.Amount(quantity=quantity):
            return str(quantity)


def _declared(line: syntax.Mark | syntax.Fact) -> str:
    """A mark or a fact with its shape."""
    name = line.name.text
    if isinstance(line, syntax.Mark) and line.names_round:
        return f"{name} names a round"
    if line.choices:
        return f"{name} is one of {', '.join(choice.text for choice in line.choices)}"
    if line.heading:
        return f"{name} is a heading"
    if isinstance(line, syntax.Fact) and line.number:
        return f"{name} is a number"
    if line.unit is None:
        return name
    picks = rounding = ""
    if isinstance(line, syntax.Mark):
        picks = "".join(f", of {pick.number.number} the {pick.word.value}" for pick in line.picks)
        rounding = rounding_words(line.rounding)
    return f"{name} in {line.unit.text}{picks}{rounding}"


def _lengths(rest: syntax.Rest | syntax.Attempts, between: str) -> str:
    """The lengths of a pause: `at least 20 s between, at most 5 min`."""
    least, greatest = rest.least, rest.greatest
    if least is not None and greatest is not None:
        if rest.as_range:
            return f"from {least.length.quantity} to {greatest.length.quantity}{between}"
        return f"at least {least.length.quantity}{between}, at most {greatest.length.quantity}"
    if least is not None:
        return f"at least {least.length.quantity}{between}"
    return "" if greatest is None else f"at most {greatest.length.quantity}{between}"


def _pause(rest: syntax.Rest | syntax.Attempts, between: str) -> str:
    """The lengths of a pause with what the breach of each does."""
    least, greatest = rest.least, rest.greatest
    if least is None or greatest is None or rest.as_range:
        bound = greatest if least is None else least
        return _lengths(rest, between) + _otherwise(bound)
    first = f"at least {least.length.quantity}{between}{_otherwise(least)}"
    return f"{first}, at most {greatest.length.quantity}{_otherwise(greatest)}"


def _otherwise(bound: syntax.Bound | None) -> str:
    consequence = None if bound is None else bound.consequence
    if consequence is None:
        return ""
    return _titled(f", else {_effect(consequence)}", consequence.sentence) + _modifiers(consequence)


def otherwise_words(consequence: syntax.Consequence) -> str:
    """What a breach of a rest does, without the sentence: `, else restart, at most twice`."""
    return f", else {_effect(consequence)}{_modifiers(consequence)}"


def _entry(entry: syntax.CaseEntry) -> str:
    said = [clock(entry.at.micros), "end" if entry.mark is None else entry.mark.text]
    match entry.value:
        case syntax.Name(text=text):
            said.append(text)
        case syntax.Amount() | syntax.Round() as amount:
            said.append(amount_words(amount))
    if entry.by is not None:
        said.append(f"by {entry.by.text}")
    if entry.candidate is not None:
        said.append(f"for {entry.candidate.text}")
    return " ".join(said)


def _gives(gives: syntax.Gives) -> str:
    said = ["gives", *([".".join(name.text for name in gives.path)] if gives.path else []), gives.word]
    if gives.word == "furthest":
        said.append("no round" if gives.furthest is None else amount_words(gives.furthest))
    if gives.points is not None:
        said.append(str(gives.points.number))
    if gives.grade is not None:
        said.append(gives.grade.text)
    if gives.at is not None:
        said.append(f"at {clock(gives.at.micros)}")
    if gives.candidate is not None:
        said.append(f"for {gives.candidate.text}")
    return " ".join(said)
