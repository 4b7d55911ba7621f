"""That nobody can pass, by the lines alone: they ask for more entries, amounts or time than they allow.

In an attempt that passes each clause that is needed is completed once without a break. What that takes at least is
added up from the lines inside it; what its faults and limits allow is the most there can be, since none of them
acted. Of rounds as many are completed as must be made, each in a try of its own. Nothing is asked of an item that
need not begin. Amounts are in base units.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from standfast.model.rules import (
    OWN,
    Closing,
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    Part,
    Pattern,
    Silence,
    Start,
    Test,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Kind, Standard
from standfast.quantity import Comparison
from standfast.values import define, field, frozen

_BREAKS = (Effect.RESTART, Effect.FAIL, Effect.HALT, Effect.DISQUALIFY)
"""What a fault does that never acts in the run of a clause that completes it."""

_CLOSES = (Effect.MISS, Effect.PASS, Effect.OUT)
"""What a fault does that never acts in the try that makes a round."""

_HAS_LEAST = (Comparison.AT_LEAST, Comparison.OVER, Comparison.EXACTLY, Comparison.FROM_TO)
_HAS_MOST = (Comparison.AT_MOST, Comparison.UNDER, Comparison.EXACTLY, Comparison.FROM_TO)

_NOUGHT = Fraction(0)


def asks_more_than_it_allows(standard: Standard) -> bool:
    """Whether the lines show that no log is GO; the standard is meant for one kind of candidate."""
    return _Demands(standard).impossible


@frozen(slots=False)
class _Demands:
    """What every GO takes of one standard."""

    standard: Standard
    _known: dict[tuple[str, Pattern], int] = field(init=False, factory=dict, eq=False)

    @cached_property
    def impossible(self) -> bool:
        always = self.standard.always
        return (
            self.course.torn
            or any(map(self._impossible, self.events))
            or any(self._impossible(self.chains[path][-1]) for path, _ in self.read)
            or any(
                self._forbids(clause, fault, all_over=True) for fault in always.faults for clause in self.events
            )
            or any(self._falls_short(limit, self.events) for limit in always.limits)
        )

    @cached_property
    def events(self) -> tuple[Clause, ...]:
        return tuple(event.clause for event in self.standard.events)

    @cached_property
    def chains(self) -> dict[str, tuple[Clause, ...]]:
        """By its path each clause, with those around it before it; what lies in rounds is left out."""
        return {chain[-1].path: chain for event in self.events for chain in _chains(event, ())}

    @cached_property
    def course(self) -> "_Course":
        return _Course.of(self.standard, self.chains)

    @property
    def needed(self) -> dict[str, Clause]:
        """The clauses that every GO completes, by their paths."""
        return self.course.needed

    def items(self, clause: Clause) -> list[Clause]:
        """Its items that must begin (of `any one of`, that one of them must; of rounds, in one that is made)."""
        if clause.kind is Kind.ONE_OF:
            return [item for item in clause.items if item.path in self.needed] or list(clause.items)
        return [item for item in clause.items if not item.only_if_begun or item.path in self.needed]

    @cached_property
    def read(self) -> frozenset[tuple[str, str]]:
        """Clauses, by their paths, that every GO completes with a reading of a mark in them."""
        lines = [(limit, clause.path) for clause in self.needed.values() for limit in clause.limits]
        lines += [(limit, "") for limit in self.standard.always.limits]
        return frozenset(
            (part.path or own, part.mark)
            for limit, own in lines
            for part in limit.figure.all_parts()
            if part.kind is FigureKind.READING and part.mark is not None and (part.path or own) in self.needed
        )

    # --- what it takes at least ------------------------------------------------------------------------

    def entries(self, clause: Clause, pattern: Pattern) -> int:
        """Those that fit while the clause is open; a start signal of its own comes before."""
        key = clause.path, pattern
        if key not in self._known:
            first = clause.start is not None and clause.start.first and _begins(clause.start, pattern)
            self._known[key] = max(int(first), self._inside(clause, pattern), self._asked(clause, pattern))
        return self._known[key]

    def _inside(self, clause: Clause, pattern: Pattern) -> int:
        items = self.items(clause)
        match clause.kind:
            case Kind.ROUNDS:
                return _made(clause) * self._of_round(clause, pattern)
            case Kind.IN_ORDER:
                return sum(_signals(item.start, pattern) + self.entries(item, pattern) for item in items)
            case Kind.ANY_ORDER:  # an entry is counted by all at once, but used by one alone
                used = sum(self._used(item, pattern) for item in items)
                return max([used, *(self.entries(item, pattern) for item in items)])
            case Kind.ONE_OF:
                return min(_signals(item.start, pattern) + self.entries(item, pattern) for item in items)
            case Kind.STEP:
                return self._of_goal(clause, pattern)

    def _of_round(self, clause: Clause, pattern: Pattern) -> int:
        """The same for one round that is made."""
        inside = (_signals(item.start, pattern) + self.entries(item, pattern) for item in clause.items)
        return sum(inside) if clause.items else self._of_goal(clause, pattern)

    def _used(self, clause: Clause, pattern: Pattern) -> int:
        """The entries that begin it or something in it, or advance a goal in it."""
        starts = int(clause.start is not None and _begins(clause.start, pattern))
        each = [self._used(item, pattern) for item in self.items(clause)]
        match clause.kind:
            case Kind.IN_ORDER | Kind.ANY_ORDER:
                inside = sum(each)
            case Kind.ONE_OF:
                inside = min(each)
            case Kind.STEP:
                inside = self._of_goal(clause, pattern)
            case Kind.ROUNDS:
                inside = 0
        return max(starts, inside) if clause.start is not None and clause.start.first else starts + inside

    def _of_goal(self, step: Clause, pattern: Pattern) -> int:
        match step.goal:
            case Until(pattern=goal, number=number, counting=counting) if not counting.by_anyone:
                return number if _fits_inside(goal, pattern) else 0
            case UntilTotals(mark=mark, amount=amount) if pattern == Pattern(mark):
                most = self.amounts(step, mark)[1]
                return 1 if not most else int(-(-amount.base // most))
            case _:
                return 0

    def _asked(self, clause: Clause, pattern: Pattern) -> int:
        """What its limits and silences ask of a mark, whatever its value."""
        if pattern != Pattern(pattern.mark):
            return 0
        least = [int((clause.path, pattern.mark) in self.read)]
        for limit in clause.limits:
            figure, test = limit.figure, limit.test
            if figure.mark != pattern.mark:
                continue
            if figure.kind is FigureKind.COUNT and test.comparison in _HAS_LEAST and not figure.counting.by_anyone:
                least.append(int(test.first.base) + (test.comparison is Comparison.OVER))
            elif figure.kind is FigureKind.SILENCE and test.comparison in _HAS_MOST:
                least.append(self._to_break(clause, (test.second or test.first).base))
        for fault in clause.faults:
            match fault.trigger:
                case Silence(mark=pattern.mark, length=length) if fault.effect in _BREAKS:
                    least.append(self._to_break(clause, length.base))
        return max(least)

    def _to_break(self, clause: Clause, silence: Fraction) -> int:
        """The entries that break the clause's time into stretches no longer than a silence may be."""
        return int(-(-self.time(clause) // silence)) - 1 if silence else 0

    def time(self, clause: Clause) -> Fraction:
        """From its beginning to its completion."""
        asked = [
            limit.test.first.base
            for limit in clause.limits
            if limit.figure.kind is FigureKind.TIME and limit.test.comparison in _HAS_LEAST
        ]
        each = [_rest(item) + self.time(item) for item in self.items(clause)]
        if isinstance(clause.goal, For):
            each.append(clause.goal.length.base)
        return max([self._together(clause, each), *asked])

    def total(self, clause: Clause, mark: str) -> Fraction:
        """What the amounts of a mark logged while it is open add up to."""
        each = [self.total(item, mark) for item in self.items(clause)]
        match clause.goal:
            case UntilTotals(mark=goal, amount=amount) if goal == mark:
                each.append(amount.base)
        return max(
            self._together(clause, each), self.amounts(clause, mark)[0] * self.entries(clause, Pattern(mark))
        )

    def _together(self, clause: Clause, each: Sequence[Fraction]) -> Fraction:
        """What items that take so much each, or a goal, take together at least."""
        match clause.kind:
            case Kind.ROUNDS:
                return _made(clause) * sum(each, _NOUGHT)
            case Kind.IN_ORDER:
                return sum(each, _NOUGHT)
            case Kind.ONE_OF:
                return min(each)
            case Kind.ANY_ORDER | Kind.STEP:
                return max(each, default=_NOUGHT)

    def amounts(self, clause: Clause, mark: str) -> tuple[Fraction, Fraction | None]:
        """The least and the greatest that may be logged of the mark while it is open; None: any."""
        least, most = _NOUGHT, None
        limits, faults = [*self.standard.always.limits], [*self.standard.always.faults]
        for each in self.chains[clause.path]:
            limits += each.limits
            faults += each.faults
        for low, high in (*_allowed(limits, mark), *_not_broken(faults, mark)):
            least = max(least, low)
            most = high if most is None else most if high is None else min(most, high)
        return least, most

    # --- and what is allowed ---------------------------------------------------------------------------

    def _impossible(self, clause: Clause) -> bool:
        """Whether it cannot be completed."""
        if any(self._forbids(clause, fault) for fault in clause.faults):
            return True
        if any(self._falls_short(limit, (clause,)) for limit in clause.limits):
            return True
        if clause.kind is Kind.ROUNDS and not _made(clause):
            return False
        inside = map(self._impossible, self.items(clause))
        return all(inside) if clause.kind is Kind.ONE_OF else any(inside)

    def _forbids(self, clause: Clause, fault: Fault, *, all_over: bool = False) -> bool:
        """Whether it would act.

        One that holds `all_over` may not yet where the entry opens an attempt; a restart at once may itself begin
        the run that completes the clause, and the entry is then none of it.
        """
        match fault.trigger:
            case Occurrence(pattern=pattern, more_than=number, counting=counting) if counting == OWN:
                if clause.kind is Kind.ROUNDS and fault.effect in _CLOSES:  # it counts over all rounds
                    return not number and _made(clause) > 0 and self._of_round(clause, pattern) > 0
                before = (all_over or fault.at_once) and _opens(clause, pattern.mark)
                acts = fault.effect in _BREAKS or (fault.effect in _CLOSES and fault.effect is not Effect.OUT)
                return acts and self.entries(clause, pattern) - before > number
            case _:
                return False

    def _falls_short(self, limit: Limit, clauses: Sequence[Clause]) -> bool:
        """Whether a limit on these clauses together allows less than they take."""
        if limit.test.comparison not in _HAS_MOST or limit.figure.counting != OWN:
            return False
        each = [self._least(part, clauses) for part in limit.figure.all_parts()]
        if _must_be_there(limit):  # what nothing is known of is nought at least
            each = [amount or _NOUGHT for amount in each]
        known = [amount for amount in each if amount is not None]
        least, most = sum(known, _NOUGHT), (limit.test.second or limit.test.first).base
        timed = any(part.kind is FigureKind.TIME for part in limit.figure.all_parts())
        # what completes by time does so before a strict limit at that instant
        strict = limit.test.comparison is Comparison.UNDER and not timed
        return len(known) == len(each) and (most < least or (most == least and strict))

    def _least(self, part: Part, clauses: Sequence[Clause]) -> Fraction | None:
        """What a figure comes to at least; None where that is not known, or it may not be there."""
        if part.path is not None:
            if part.path not in self.needed:
                return None
            clauses = (self.needed[part.path],)
        elif clauses is self.events and part.mark is not None and any(_opens(each, part.mark) for each in clauses):
            return None  # what opens the first attempt may not count
        match part:
            case Part(kind=FigureKind.TIME):
                return sum(map(self.time, clauses), _NOUGHT)
            case Part(kind=FigureKind.COUNT, mark=str(mark)):
                return Fraction(sum(self.entries(clause, Pattern(mark)) for clause in clauses))
            case Part(kind=FigureKind.TOTAL, mark=str(mark)):
                return sum((self.total(clause, mark) for clause in clauses), _NOUGHT)
            case Part(kind=FigureKind.READING, mark=str(mark)) if len(clauses) == 1:
                return self._read_at_least(clauses[0], mark)
            case Part(kind=FigureKind.READING):
                return _NOUGHT
            case Part(kind=FigureKind.LARGEST | FigureKind.SMALLEST | FigureKind.LAST, mark=str(mark)):
                there = len(clauses) == 1 and self.entries(clauses[0], Pattern(mark)) > 0
                return self.amounts(clauses[0], mark)[0] if there else None
            case _:
                return None

    def _read_at_least(self, clause: Clause, mark: str) -> Fraction:
        """What the reading of a mark in a clause comes to at least, by limits on it there."""
        least = (
            limit.test.first.base
            for limit in clause.limits
            if (limit.figure.kind, limit.figure.mark) == (FigureKind.READING, mark)
            and limit.test.comparison in _HAS_LEAST
        )
        return max(least, default=_NOUGHT)


@define
class _Course:
    """What every GO completes. `torn`: it would need two ways where only one is taken."""

    chains: Mapping[str, tuple[Clause, ...]]
    needed: dict[str, Clause] = field(factory=dict)
    torn: bool = False
    _taken: dict[str, str] = field(factory=dict)

    @classmethod
    def of(cls, standard: Standard, chains: Mapping[str, tuple[Clause, ...]]) -> "_Course":
        course = cls(chains)
        for event in standard.events:
            course._needs(event.clause)
        lowest = standard.grades[-1].limits if standard.grades else ()
        limits: list[Limit] = [*standard.always.limits, *lowest]
        seen = set[str]()
        while new := [clause for clause in course.needed.values() if clause.path not in seen]:
            seen.update(clause.path for clause in new)
            for path in _asked_of((*limits, *(limit for clause in new for limit in clause.limits))):
                course._goes_through(path)
        return course

    def _needs(self, clause: Clause) -> None:
        self.needed[clause.path] = clause
        if clause.kind in (Kind.IN_ORDER, Kind.ANY_ORDER):
            for item in clause.items:
                if not item.only_if_begun:
                    self._needs(item)

    def _goes_through(self, path: str) -> None:
        """A clause must be completed, and so those around it; in rounds it may have been in any of them."""
        chain = self.chains.get(path, ())
        if any(each.kind is Kind.ROUNDS for each in chain[:-1]):
            return
        for outer, inner in pairwise(chain):
            if outer.kind is Kind.ONE_OF:
                self.torn |= self._taken.setdefault(outer.path, inner.path) != inner.path
        for each in chain:
            self._needs(each)


def _asked_of(limits: Iterable[Limit]) -> Iterator[str]:
    """The clauses, by path, of which limits ask for a figure that must be there."""
    for limit in limits:
        if _must_be_there(limit):
            yield from (part.path for part in limit.figure.all_parts() if part.path is not None)


def _must_be_there(limit: Limit) -> bool:
    """Whether it is broken where its figure is not there, or a part of it is not."""
    return limit.figure.must_be_there or limit.test.comparison not in (Comparison.AT_MOST, Comparison.UNDER)


def _chains(clause: Clause, around: tuple[Clause, ...]) -> Iterator[tuple[Clause, ...]]:
    chain = (*around, clause)
    yield chain
    for item in clause.items:
        yield from _chains(item, chain)


def _made(clause: Clause) -> int:
    """The rounds that must be made, each by a try of its own."""
    if clause.rounds is None or clause.rounds.unmarked is Closing.MADE:
        return 0
    asked = (
        limit.test.first.base + (limit.test.comparison is Comparison.OVER)
        for limit in clause.limits
        if limit.figure.kind is FigureKind.MADE and limit.test.comparison in _HAS_LEAST
    )
    return int(max(asked, default=0))


def _rest(item: Clause) -> Fraction:
    """How long the pause before an item takes at least."""
    least = None if item.rest is None else item.rest.least
    if least is None or (item.start is not None and least.effect in (Effect.NOTE, Effect.RESTART)):
        return _NOUGHT
    return least.length.base


def _begins(start: Start, pattern: Pattern) -> bool:
    """Whether an entry that begins it fits."""
    return not start.counting.by_anyone and _fits_inside(start.pattern, pattern)


def _opens(clause: Clause, mark: str) -> bool:
    """Whether it begins with the mark, which is then its first entry."""
    return clause.start is not None and clause.start.first and clause.start.pattern.mark == mark


def _signals(start: Start | None, pattern: Pattern) -> int:
    """The entries that fit from when a clause waits until its signal is given."""
    if start is None or start.first or not _begins(start, pattern):
        return 0
    return start.more_than + 1


def _fits_inside(inner: Pattern, outer: Pattern) -> bool:
    """Whether all that fits the one fits the other."""
    if inner.mark != outer.mark:
        return False
    if outer == Pattern(outer.mark) or inner == outer:
        return True
    choices = set(inner.choices), set(outer.choices)
    if not inner.choices or inner.other or not outer.choices:
        return False
    return choices[0].isdisjoint(choices[1]) if outer.other else choices[0] <= choices[1]


Range = tuple[Fraction, Fraction | None]


def _allowed(limits: Sequence[Limit], mark: str) -> Iterator[Range]:
    """Between what each amount of the mark must lie by limits on one clause."""
    for limit in limits:
        kind, test = limit.figure.kind, limit.test
        if limit.figure.mark != mark:
            continue
        if kind in (FigureKind.EACH, FigureKind.SMALLEST) and test.comparison in _HAS_LEAST:
            yield test.first.base, None
        if kind in (FigureKind.EACH, FigureKind.LARGEST) and test.comparison in _HAS_MOST:
            yield _NOUGHT, (test.second or test.first).base


def _not_broken(faults: Sequence[Fault], mark: str) -> Iterator[Range]:
    """The same by faults on an amount."""
    for fault in faults:
        match fault.trigger:
            case Occurrence(
                pattern=Pattern(mark=of, test=Test(comparison=comparison, first=end)),
                more_than=0,
                counting=counting,
            ) if of == mark and counting == OWN and fault.effect in _BREAKS:
                if comparison in (Comparison.AT_MOST, Comparison.UNDER):
                    yield end.base, None
                elif comparison in (Comparison.AT_LEAST, Comparison.OVER):
                    yield _NOUGHT, end.base
