"""A standard for one candidate: shares worked out, what is not for this candidate left out.

The facts of a candidate are fixed for the session, so all that depends on them is settled before anything is
judged, and what comes after knows of none of it.
"""

from collections.abc import Iterator
from fractions import Fraction
from itertools import islice, pairwise, product
from math import ceil

from standfast.model.rules import (
    FULL_CIRCLE,
    Band,
    Fault,
    Figure,
    FigureKind,
    For,
    Limit,
    Occurrence,
    OutOfOrder,
    Pattern,
    Rule,
    Score,
    Start,
    Test,
    Until,
    UntilTotals,
)
from standfast.model.standard import Always, Clause, Condition, Event, Fact, Facts, Standard
from standfast.quantity import Comparison, Quantity, count
from standfast.values import evolve

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import TypeVar

    R = TypeVar("R", bound=Rule)


def unstated(standard: Standard, facts: Facts) -> tuple[Fact, ...]:
    """The facts, as declared, that a clause in play names and that are not stated.

    Where it cannot be told whether a clause is in play, nothing inside it is asked for.
    """
    if not standard.facts:
        return ()
    needed = {name for rule in _shared(standard) for test in tests(rule) if (name := test.of) is not None}
    for event in standard.events:
        needed |= set(_needed(event, event.clause, facts))
    return tuple(fact for fact in standard.facts if fact.name in needed - facts.keys())


def known_conditions(standard: Standard, facts: Facts) -> tuple[Condition, ...]:
    """The conditions in play, an event's own included, that wait for no fact that is not stated."""
    held = list(standard.conditions)
    for event in standard.events:
        held += event.conditions if in_play(event.clause, facts) else ()
    known = (each for each in held if all(test.of is None or test.of in facts for test in tests(each)))
    return _Settled(standard, facts).rules(tuple(known))


def _shared(standard: Standard) -> Iterator[Rule]:
    yield from standard.conditions
    yield from standard.always.limits
    yield from standard.always.faults


def _needed(event: Event, clause: Clause, facts: Facts) -> Iterator[str]:
    if clause.only_for is not None:
        yield clause.only_for.fact
        if facts.get(clause.only_for.fact) not in clause.only_for.choices:
            return
    yield from (score.band.fact for score in clause.scores if score.band is not None)
    own = event.conditions if clause is event.clause else ()
    for rule in (*own, *clause.rules()):
        yield from (test.of for test in tests(rule) if test.of is not None)
    for item in clause.items:
        yield from _needed(event, item, facts)


def tests(rule: Rule) -> Iterator[Test]:
    """The tests a rule holds an amount against."""
    match rule:
        case Condition(demand=Test() as demand):
            yield demand
        case Limit(test=test):
            yield test
        case Start(pattern=pattern) | Until(pattern=pattern):
            yield from () if pattern.test is None else (pattern.test,)
        case Fault(trigger=Occurrence(pattern=pattern) | OutOfOrder(pattern=pattern)):
            yield from () if pattern.test is None else (pattern.test,)


def specialised(standard: Standard, facts: Facts) -> Standard:
    """The standard for a candidate of whom all is stated that is needed (`unstated` is empty)."""
    settled = _Settled(standard, facts)
    return evolve(
        standard,
        facts=(),
        settled=dict(facts),
        conditions=settled.rules(standard.conditions),
        always=Always(settled.rules(standard.always.limits), settled.rules(standard.always.faults)),
        events=tuple(settled.event(event) for event in standard.events if in_play(event.clause, facts)),
    )


def in_play(clause: Clause, facts: Facts) -> bool:
    """Whether the clause, as far as it says itself, is in the test for a candidate."""
    return clause.only_for is None or facts.get(clause.only_for.fact) in clause.only_for.choices


class _Settled:
    def __init__(self, standard: Standard, facts: Facts) -> None:
        self.declared = {fact.name: fact for fact in standard.facts}
        self.stated = facts

    def event(self, event: Event) -> Event:
        return evolve(event, clause=self.clause(event.clause), conditions=self.rules(event.conditions))

    def clause(self, clause: Clause) -> Clause:
        items = [self.clause(item) for item in clause.items if in_play(item, self.stated)]
        items[:1] = [evolve(item, rest=None) for item in items[:1]]
        return evolve(
            clause,
            start=None if clause.start is None else self.rule(clause.start),
            goal=None if clause.goal is None else self.rule(clause.goal),
            limits=self.rules(clause.limits),
            faults=self.rules(clause.faults),
            scores=tuple(score for score in clause.scores if self.has(score)),
            items=tuple(items),
        )

    def has(self, score: Score) -> bool:
        return score.band is None or score.band.holds(self.stated.get(score.band.fact))

    def rules(self, rules: "tuple[R, ...]") -> "tuple[R, ...]":
        return tuple(map(self.rule, rules))

    def rule(self, rule: "R") -> "R":
        match rule:
            case Condition(demand=Test() as demand):
                return evolve(rule, demand=self.test(demand))
            case Limit(test=test):
                return evolve(rule, test=self.test(test))
            case Start(pattern=pattern) | Until(pattern=pattern):
                return evolve(rule, pattern=self.pattern(pattern))
            case Fault(trigger=Occurrence(pattern=pattern) | OutOfOrder(pattern=pattern) as trigger):
                return evolve(rule, trigger=evolve(trigger, pattern=self.pattern(pattern)))
        return rule

    def pattern(self, pattern: Pattern) -> Pattern:
        return pattern if pattern.test is None else evolve(pattern, test=self.test(pattern.test))

    def test(self, test: Test) -> Test:
        if test.of is None:
            return test
        stated, fact = self.stated[test.of], self.declared[test.of]
        assert isinstance(stated, Quantity) and fact.unit is not None
        if test.comparison is Comparison.WITHIN:
            return evolve(test, of=None, around=stated, heading=fact.heading)
        first, *more = (
            Quantity(((share.base * stated.base / fact.unit.factor, fact.unit),))
            for share in (test.first, test.second)
            if share is not None
        )
        return evolve(test, of=None, first=first, second=more[0] if more else None)


# --- candidates to look at -----------------------------------------------------------------------------------

MOST = 48
"""Kinds of candidate that are looked at."""
_USUAL = 100
_VALUES = (
    FigureKind.EACH,
    FigureKind.LAST,
    FigureKind.LARGEST,
    FigureKind.SMALLEST,
    FigureKind.TOTAL,
    FigureKind.READING,
)
_FINEST = Fraction(1, 1_000_000)


def choices(standard: Standard) -> Iterator[dict[str, str]]:
    """Every combination of choices that `only for` or the band of a score can tell apart."""
    asked = {c.only_for.fact for e in standard.events for c in e.clause.walk() if c.only_for is not None}
    asked |= {band.fact for band in _bands(standard) if band.test is None}
    names = [fact for fact in standard.facts if fact.name in asked]
    for chosen in product(*(fact.choices for fact in names)):
        yield dict(zip((fact.name for fact in names), chosen, strict=True))


def _bands(standard: Standard) -> list[Band]:
    return [score.band for _, score in standard.scores() if score.band is not None]


def facts_used(standard: Standard) -> set[str]:
    """The facts that some rule is held against, or that tell tables apart."""
    used = {test.of for rule in standard.rules() for test in tests(rule) if test.of is not None}
    return used | {band.fact for band in _bands(standard)}


def representatives(standard: Standard, most: int = MOST) -> tuple[Facts, ...]:
    """One candidate of each kind that no clause tells apart, at most so many.

    A measured fact takes each value at which a share of it, or an amount so far from it, equals another number
    held against what is logged of the same mark, or against the same condition, and one value on each side.
    """
    used = facts_used(standard)
    measured = [fact for fact in standard.facts if fact.unit is not None and fact.name in used]
    ranges = [_values(standard, fact) for fact in measured]
    every: Iterator[Facts] = (
        {**chosen, **dict(zip((fact.name for fact in measured), values, strict=True))}
        for chosen in choices(standard)
        for values in product(*ranges)
    )
    return tuple(islice(every, most))


def leaves_some_out(standard: Standard, most: int = MOST) -> bool:
    """Whether some candidate may be of no kind that `representatives` finds."""
    return _too_many(standard, most) or not _by_single_amounts(standard)


def _by_single_amounts(standard: Standard) -> bool:
    """Whether all shares are of one fact each, held against single amounts: these tell apart what is looked at.

    Where amounts or times add up, any sum of them can be where a share tells candidates apart.
    """
    together: dict[str, list[tuple[Test, bool]]] = {}
    for what, test, single in _held_against(standard):
        together.setdefault(what, []).append((test, single))
    for each in together.values():
        shares = [test for test, _ in each if test.of is not None]
        ways = {(test.of, test.comparison is Comparison.WITHIN) for test in shares}
        if len(ways) > 1 or (shares and not all(single for _, single in each)):
            return False
    return True


def _too_many(standard: Standard, most: int) -> bool:
    used = facts_used(standard)
    number = sum(1 for _ in choices(standard))
    for fact in standard.facts:
        number *= len(_values(standard, fact)) if fact.unit is not None and fact.name in used else 1
    return number > most


def _values(standard: Standard, fact: Fact) -> list[Quantity]:
    """The values of a measured fact that are looked at, the usual one first; of a number one for each band."""
    assert fact.unit is not None
    bands = [band for band in _bands(standard) if band.fact == fact.name and band.test is not None]
    ends = {end.base for band in bands if band.test is not None for end in band.test.ends()}
    if fact.is_number:
        kinds: dict[tuple[bool, ...], Quantity] = {}
        for value in samples(fact, sorted(ends)):
            kinds.setdefault(tuple(band.holds(value) for band in bands), value)
        return list(kinds.values())
    against: dict[str, list[Test]] = {}
    for what, test, _ in _held_against(standard):
        against.setdefault(what, []).append(test)
    critical: set[Fraction] = set(ends)
    room = Fraction(0)
    for together in against.values():
        constants = [end.base for test in together if test.of is None for end in _ends(test)]
        for test in together:
            if test.of != fact.name:
                continue
            for end in _ends(test):
                if test.comparison is Comparison.WITHIN:
                    room = max(room, end.base)
                    critical |= {around for c in constants for around in (c - end.base, c + end.base)}
                else:
                    critical |= {constant / end.base for constant in constants}
    return samples(fact, sorted(value / fact.unit.factor for value in critical if value > 0), room)


def samples(fact: Fact, critical: list[Fraction], room: Fraction = Fraction(0)) -> list[Quantity]:
    """Those values of a measured fact or a number, in its unit, and one below, between and above them."""
    assert fact.unit is not None
    if fact.is_number:
        near = {value + by for value in critical for by in (-1, 0, 1) if value + by >= 0}
        return [count(int(value)) for value in sorted(near)]
    if not critical:
        usual = Fraction(5) if fact.heading else Fraction(max(_USUAL, ceil(2 * room / fact.unit.factor)))
        return [Quantity(((usual, fact.unit),))]
    top = Fraction(FULL_CIRCLE) if fact.heading else 2 * critical[-1]
    points = [Fraction(0), *critical, top]
    found = [_rounded((low + high) / 2, low, high) for low, high in pairwise(points)]
    found += [_written(value) for value in critical]
    turned = [value % FULL_CIRCLE if fact.heading else value for value in found]
    return [Quantity(((value, fact.unit),)) for value in dict.fromkeys(turned) if value > 0 or fact.heading]


def _written(number: Fraction) -> Fraction:
    """The number, or the next below that a log can state."""
    return number // _FINEST * _FINEST


def _rounded(number: Fraction, low: Fraction, high: Fraction) -> Fraction:
    """A number between the two with few decimals."""
    for places in (1, 10, 100, 10**3, 10**4, 10**5):
        rounded = Fraction(round(number * places), places)
        if low < rounded < high:
            return rounded
    return _written(number)


def _ends(test: Test) -> Iterator[Quantity]:
    yield test.first
    if test.second is not None:
        yield test.second


def _held_against(standard: Standard) -> "Iterator[tuple[str, Test, bool]]":
    """What is compared, by a name that no other has, the test, and whether it is on a single amount.

    Compared are what is logged of a mark, a condition, and time.

    A total is made of values, and a sum of all its parts, so one number may decide what another can come to.
    """
    for rule in standard.rules():
        match rule:
            case Condition(name=name, demand=Test() as demand):
                yield f"condition {name}", demand, True
            case Limit(figure=figure, test=test):
                yield from ((what, test, _is_single(figure)) for what in _compared(figure))
            case Score(rows=rows):
                for row in rows:
                    yield from ((what, row.test, _is_single(row.figure)) for what in _compared(row.figure))
            case UntilTotals(mark=mark, amount=amount):
                yield f"mark {mark}", Test(Comparison.AT_LEAST, amount), False
            case For(length=length):
                yield "time", Test(Comparison.AT_LEAST, length), False
            case Start(pattern=Pattern(mark=mark, test=Test() as test)):
                yield f"mark {mark}", test, True
            case Until(pattern=Pattern(mark=mark, test=Test() as test)):
                yield f"mark {mark}", test, True
            case Fault(trigger=Occurrence(pattern=Pattern(mark=mark, test=Test() as test))):
                yield f"mark {mark}", test, True
            case Fault(trigger=OutOfOrder(pattern=Pattern(mark=mark, test=Test() as test))):
                yield f"mark {mark}", test, True


def _is_single(figure: Figure) -> bool:
    return figure.kind in (FigureKind.EACH, FigureKind.LAST, FigureKind.LARGEST, FigureKind.SMALLEST)


def _compared(figure: Figure) -> "set[str]":
    parts = figure.all_parts()
    values = {f"mark {part.mark}" for part in parts if part.kind in _VALUES}
    return values | {"time" for part in parts if part.kind is FigureKind.TIME} or {f"figure {figure}"}
