"""Conditions of two editions held against each other: which facts of a session meet them."""

from collections.abc import Iterator, Sequence
from enum import Enum
from fractions import Fraction
from itertools import chain, pairwise

from standfast.model.rules import Test
from standfast.model.standard import Condition, Standard
from standfast.quantity import Quantity, Unit
from standfast.values import evolve, frozen

_LEAST = Fraction(1, 1_000_000)
Stated = Quantity | bool


class Word(Enum):
    """How the new edition stands to the old: by what gets GO, or by what meets a condition."""

    SAME = "same"
    HARDER = "harder"
    EASIER = "easier"
    MIXED = "mixed"
    NOT_DECIDED = "not decided"

    @property
    def mirrored(self) -> "Word":
        return {Word.HARDER: Word.EASIER, Word.EASIER: Word.HARDER}.get(self, self)


@frozen
class ConditionChange:
    """A condition that is not met by the same facts in both editions; in one alone, it came or went.

    `lost` is a fact that meets it in the old edition alone, `gained` one that does so in the new alone, `both` one
    that meets it in both. Where `kind`, nothing can be stated to both.
    """

    name: str
    old: tuple[str, ...]
    new: tuple[str, ...]
    lost: Stated | None
    gained: Stated | None
    both: Stated | None
    kind: bool = False

    @property
    def word(self) -> Word:
        if self.kind:
            return Word.NOT_DECIDED
        return word_of(lost=self.lost is not None, gained=self.gained is not None)


def word_of(*, lost: bool, gained: bool) -> Word:
    """By whether something is GO under the old edition alone, and under the new alone."""
    if lost:
        return Word.MIXED if gained else Word.HARDER
    return Word.EASIER if gained else Word.SAME


def condition_changes(old: Standard, new: Standard) -> tuple[ConditionChange, ...]:
    """Every condition that is not the same, those of events included; all make the session VOID alike."""
    ours, theirs = _by_name(old), _by_name(new)
    changes = (_change(name, ours.get(name, []), theirs.get(name, [])) for name in {**ours, **theirs})
    return tuple(change for change in changes if change.word is not Word.SAME)


def over_all(kinds: Sequence[tuple[ConditionChange, ...]]) -> tuple[ConditionChange, ...]:
    """Of each condition what is so for any kind of candidate: a share of a fact asks another amount of each."""
    found: dict[str, ConditionChange] = {}
    for change in chain.from_iterable(kinds):
        first = found.setdefault(change.name, change)
        found[change.name] = evolve(
            first,
            lost=change.lost if first.lost is None else first.lost,
            gained=change.gained if first.gained is None else first.gained,
            both=change.both if first.both is None else first.both,
        )
    return tuple(found.values())


def void_by(changes: tuple[ConditionChange, ...], side: int) -> dict[str, Stated]:
    """What to state so that all conditions are met on one side and some are not on the other; empty: nothing."""
    own = {each.name: fact for each in changes if (fact := (each.lost, each.gained)[side]) is not None}
    apart = [each.name for each in changes if each.both is None]
    if not all(name in own for name in apart):
        return {}  # no fact at all meets one of them on this side
    return {name: own[name] for name in apart or list(own)[:1]}


def _by_name(standard: Standard) -> dict[str, list[Condition]]:
    found: dict[str, list[Condition]] = {}
    for condition in (*standard.conditions, *(c for event in standard.events for c in event.conditions)):
        found.setdefault(condition.name, []).append(condition)
    return found


def _change(name: str, old: list[Condition], new: list[Condition]) -> ConditionChange:
    words = tuple(c.words for c in old), tuple(c.words for c in new)
    if len({_kind(condition) for condition in (*old, *new)}) > 1:
        return ConditionChange(name, *words, None, None, None, kind=True)
    facts = list(_facts([*old, *new]))
    lost = next((fact for fact in facts if _meets(old, fact) and not _meets(new, fact)), None)
    gained = next((fact for fact in facts if _meets(new, fact) and not _meets(old, fact)), None)
    both = next((fact for fact in facts if _meets(old, fact) and _meets(new, fact)), None)
    return ConditionChange(name, *words, lost, gained, both)


def _kind(condition: Condition) -> object:
    return bool if isinstance(condition.demand, bool) else _unit(condition.demand).dimension


def _unit(test: Test) -> Unit:
    return (test.first if test.around is None else test.around).unit


def _meets(conditions: list[Condition], fact: Stated) -> bool:
    """Whether a fact meets all of them; without any, every fact does."""
    for condition in conditions:
        demand = condition.demand
        if isinstance(demand, bool) or isinstance(fact, bool):
            if demand is not fact:
                return False
        elif not demand.holds(fact.base):
            return False
    return True


def _facts(conditions: list[Condition]) -> Iterator[Stated]:
    """One fact of each kind that no demand tells apart, round ones first."""
    tests = [condition.demand for condition in conditions if isinstance(condition.demand, Test)]
    if not tests:
        yield from (True, False)
        return
    unit = _unit(tests[0])
    ends = sorted({Fraction(0), *(end.base / unit.factor for test in tests for end in test.ends())})
    whole = all(test.first.unit.name == "" for test in tests)
    step = Fraction(1) if whole else _LEAST
    for amount in (*ends, ends[-1] + 1, *_between(ends, whole=whole)):
        yield Quantity(((amount, unit),))
    for amount in (each + by for each in ends for by in (-step, step)):
        if amount >= 0:
            yield Quantity(((amount, unit),))


def _between(ends: list[Fraction], *, whole: bool) -> Iterator[Fraction]:
    for low, high in pairwise(ends):
        middle = (low + high) / 2
        for places in (1,) if whole else (1, 10, 100, 1000):
            rounded = Fraction(round(middle * places), places)
            if low < rounded < high:
                yield rounded
                break
