"""Rounds as meant: what each is called, the limits on how many are made and how far, what ends them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.language.printer import amount_words, words
from standfast.model import amounts
from standfast.model.patterns import pattern
from standfast.model.rules import (
    Closing,
    Effect,
    Fault,
    Figure,
    FigureKind,
    Limit,
    Misses,
    Occurrence,
    Round,
    Rounds,
    Test,
)
from standfast.model.scope import Place, Scope
from standfast.quantity import Comparison, Dimension, Quantity, count

MOST = 500
RowLine = syntax.Levels | syntax.Heights | syntax.NumberOfRounds

Named = syntax.Round | syntax.Amount | syntax.Name
"""What may stand where a round is named; a name alone and a bare number are refused."""


def rounds(scope: Scope, block: syntax.Block) -> Rounds:
    """The rounds of a block; one only where it says none, which is refused."""
    written = [line for line in block.lines if isinstance(line, RowLine)]
    name = block.name
    if not written:
        scope.refuse(round_codes.NO_ROUNDS, name.span, name=name.text)
    for line in written[1:]:
        if not (isinstance(line, syntax.Levels) and isinstance(written[0], syntax.Levels)):
            also = Label(written[0].span, "the first ones")
            scope.refuse(round_codes.ROUNDS_MIXED, line.span, also, words=words(line))
            return _of(scope, block, [Round("round 1", (("round", 1),))])
    found = [each for line in written for each in _row(scope, line)]
    _in_turn(scope, [line for line in written if isinstance(line, syntax.Levels)])
    if len(found) > MOST:
        facts = {"name": name.text, "number": str(len(found)), "most": str(MOST)}
        scope.refuse(round_codes.TOO_MANY_ROUNDS, name.span, **facts)
    return _of(scope, block, found[:MOST] or [Round("round 1", (("round", 1),))])


def _of(scope: Scope, block: syntax.Block, found: Sequence[Round]) -> Rounds:
    paced = [line for line in block.lines if isinstance(line, syntax.Paced)]
    tries = [line for line in block.lines if isinstance(line, syntax.Tries)]
    unmarked = [line for line in block.lines if isinstance(line, syntax.Unmarked)]
    several: tuple[tuple[str, Sequence[syntax.Line]], ...] = (
        ("paced over", paced),
        ("tries", tries),
        ("unmarked rounds", unmarked),
    )
    for word, lines in several:
        for line in lines[1:]:
            scope.refuse(codes.LINE_TWICE, line.span, Label(lines[0].span, "the first one"), word=word)
    return Rounds(
        rounds=tuple(found),
        tries=amounts.number(scope, tries[0].number, amounts.MOST) if tries else 1,
        unmarked=Closing(unmarked[0].word) if unmarked else None,
        paced=amounts.above_nought(scope, paced[0].over, None) if paced else None,
    )


def _row(scope: Scope, line: RowLine) -> Iterator[Round]:
    match line:
        case syntax.Levels():
            pace = None if line.pace is None else amounts.above_nought(scope, line.pace, None)
            last = line.first if line.last is None else line.last
            outer = (line.outer.text, line.number.number)
            if last.number < line.first.number:
                scope.refuse(round_codes.ROUND_TWICE, last.span, words=f"{line.inner.text} {last.number}")
            for number in range(line.first.number, min(last.number, line.first.number + MOST) + 1):
                yield _levelled((outer, (line.inner.text, number)), pace)
        case syntax.Heights():
            seen: list[Quantity] = []
            for length in line.lengths:
                dimension = line.lengths[0].quantity.dimension
                quantity = amounts.above_nought(scope, length, None)
                if quantity.dimension is not dimension:
                    facts = {"found": amounts.SPOKEN[quantity.dimension], "expected": amounts.SPOKEN[dimension]}
                    scope.refuse(round_codes.OTHER_MEASURES, length.span, amount=str(quantity), **facts)
                elif any(quantity.base == other.base for other in seen):
                    scope.refuse(round_codes.ROUND_TWICE, length.span, words=str(quantity))
                seen.append(quantity)
                yield Round(str(quantity), length=quantity)
        case syntax.NumberOfRounds():
            for number in range(1, min(amounts.number(scope, line.number), MOST + 1) + 1):
                yield Round(f"round {number}", (("round", number),))


def _levelled(parts: tuple[tuple[str, int], ...], pace: Quantity | None) -> Round:
    return Round(" ".join(f"{name} {number}" for name, number in parts), parts, pace=pace)


def _in_turn(scope: Scope, levels: Sequence[syntax.Levels]) -> None:
    """Levels are numbered upwards and called by the same words."""
    for before, line in pairwise(levels):
        called = (line.outer.text, line.inner.text) == (before.outer.text, before.inner.text)
        if not called or line.number.number <= before.number.number:
            also = Label(before.span, "the row before")
            facts = {"words": f"{line.outer.text} {line.number.number}: {line.inner.text} {line.first.number}"}
            scope.refuse(round_codes.ROUND_TWICE, line.span, also, **facts)


# --- tests on rounds, and what ends them ---------------------------------------------------------------------


def test(scope: Scope, name: str, written: syntax.Test, held: Rounds) -> Test:
    """A comparison with rounds, as places in the row from 1."""
    if written.of is not None:
        facts = {"first": held.rounds[0].words, "last": held.rounds[-1].words}
        scope.refuse(round_codes.UNKNOWN_ROUND, written.span, words=written.span.text, name=name, **facts)
        return Test(Comparison.AT_LEAST, count(1))
    ends = [find(scope, name, end, held) for end in (written.first, written.second) if end is not None]
    names = tuple(held.rounds[0].words if end is None else end.words for end in ends)
    first, *others = (count(held.index(words) + 1) for words in names)
    second = others[0] if others else None
    if second is not None and first.base > second.base:
        scope.refuse(codes.BACKWARDS, written.span, first=names[0], second=names[1])
    return Test(written.comparison, first, second, rounds=names)


def find(scope: Scope, name: str, written: Named, held: Rounds) -> Round | None:
    """The round that is named; None (and a refusal) where there is none of that name, or it is a bare number."""
    match written:
        case syntax.Round(parts=parts):
            found = held.named(tuple((word.text, whole.number) for word, whole in parts), None)
        case syntax.Amount(quantity=quantity) if quantity.dimension is not Dimension.COUNT:
            found = held.named((), quantity)
        case syntax.Amount():
            meant = held.readings(written.span.text)
            facts = dict(zip(("one", "other"), (each.words for each in meant), strict=False))
            shown = {"value": written.span.text, "name": name, "example": held.rounds[-1].words}
            scope.refuse(round_codes.BARE_ROUND, written.span, **shown, **facts)
            return None
        case syntax.Name():
            found = None
    if found is None:
        said = written.text if isinstance(written, syntax.Name) else amount_words(written)
        facts = {"first": held.rounds[0].words, "last": held.rounds[-1].words}
        scope.refuse(round_codes.UNKNOWN_ROUND, written.span, words=said, name=name, **facts)
    return found


def all_made(scope: Scope, place: Place, block: syntax.Block, held: Rounds) -> Limit:
    """What is meant where no line speaks of how many rounds are made, missed, or how far they go."""
    number = count(len(held.rounds))
    return Limit(
        path=scope.claim_rule(place, "made", block.span),
        words=f"made at least {number}",
        sentence=None,
        order=scope.next_order(),
        depth=place.depth,
        span=block.span,
        figure=Figure(FigureKind.MADE),
        test=Test(Comparison.AT_LEAST, number),
    )


def out(scope: Scope, place: Place, line: syntax.Out) -> Fault:
    trigger: Misses | Occurrence
    if line.pattern is None:
        assert line.number is not None
        trigger = Misses(amounts.number(scope, line.number, amounts.MOST), line.in_a_row)
        part = "out" if line.in_a_row else "out_in_all"
    else:
        trigger = Occurrence(pattern(scope, line.pattern))
        part = f"out_{trigger.pattern.mark}"
    return Fault(
        path=scope.claim_rule(place, part, line.span, line.label),
        words=words(line),
        sentence=None if line.sentence is None else line.sentence.text,
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        effect=Effect.OUT,
        trigger=trigger,
    )
