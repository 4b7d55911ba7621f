"""Rounds as meant: what each is called, the limits on how many are made and how far, what ends them."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from standfast.codes import meaning as codes
from standfast.codes import rounds as round_codes
from standfast.diagnostic import Label
from standfast.language import syntax
from standfast.language.printer import round_words, words
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


# --- limits and what ends the rounds -----------------------------------------------------------------------

_KINDS = {"made": FigureKind.MADE, "missed": FigureKind.MISSED, "furthest": FigureKind.FURTHEST}


def limit(scope: Scope, place: Place, line: syntax.RoundLimit, held: Rounds) -> Limit:
    if isinstance(line.test, syntax.Test):
        test = _numbers(scope, place, line.test, held)
    else:
        first = _number(scope, place, line.test.first, held)
        second = None if line.test.second is None else _number(scope, place, line.test.second, held)
        if second is not None and first.base > second.base:
            shown = {"first": round_words(line.test.first), "second": line.test.span.text}
            scope.refuse(codes.BACKWARDS, line.test.span, **shown)
        test = Test(line.test.comparison, first, second)
    return Limit(
        path=scope.claim_rule(place, line.word, line.span, line.label),
        words=words(line),
        sentence=None if line.sentence is None else line.sentence.text,
        order=scope.next_order(),
        depth=place.depth,
        span=line.span,
        figure=Figure(_KINDS[line.word]),
        test=test,
    )


def _numbers(scope: Scope, place: Place, written: syntax.Test, held: Rounds) -> Test:
    for amount in (written.first, *(() if written.second is None else (written.second,))):
        if amount.quantity.base == 0:
            scope.refuse(codes.NOUGHT, amount.span, what=amount.span.text)
        elif amount.quantity.base > len(held.rounds):
            facts = {"words": str(amount.quantity), "number": str(len(held.rounds)), "name": place.path}
            scope.refuse(round_codes.MORE_THAN_ROUNDS, amount.span, **facts)
    return amounts.test(scope, written, Dimension.COUNT)


def _number(scope: Scope, place: Place, written: syntax.Round, held: Rounds) -> Quantity:
    """The place of a round in the row, from 1."""
    found = find(scope, place.path.rpartition(".")[2], written, held)
    return count(1 if found is None else held.index(found.words) + 1)


def find(scope: Scope, name: str, written: syntax.Round, held: Rounds) -> Round | None:
    """The round that is named; None (and a refusal) where there is none of that name."""
    parts = tuple((word.text, whole.number) for word, whole in written.parts)
    found = held.named(parts, None if written.length is None else written.length.quantity)
    if found is None:
        facts = {"first": held.rounds[0].words, "last": held.rounds[-1].words}
        scope.refuse(round_codes.UNKNOWN_ROUND, written.span, words=round_words(written), name=name, **facts)
    return found


def all_made(scope: Scope, place: Place, block: syntax.Block, held: Rounds) -> Limit:
    """What is meant where no limit says how many rounds are to be made."""
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
