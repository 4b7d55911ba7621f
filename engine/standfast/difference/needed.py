"""What every attempt that passes goes through: clauses that it completes, ways that it takes."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import pairwise

from standfast.difference.amounts import HAS_LEAST
from standfast.model.rules import Closing, FigureKind, Limit
from standfast.model.standard import Clause, Kind, Standard
from standfast.quantity import Comparison
from standfast.values import define, field, frozen


@frozen(slots=False)
class Needed:
    """What every GO takes of one standard, which is meant for one kind of candidate."""

    standard: Standard

    @cached_property
    def events(self) -> tuple[Clause, ...]:
        return tuple(event.clause for event in self.standard.events)

    @cached_property
    def chains(self) -> dict[str, tuple[Clause, ...]]:
        """By its path each clause, with those around it before it."""
        return {chain[-1].path: chain for event in self.events for chain in _chains(event, ())}

    @cached_property
    def _course(self) -> "_Course":
        return _Course.of(self.standard, self.chains)

    @property
    def completed(self) -> dict[str, Clause]:
        """The clauses that every GO completes, by their paths; none in rounds."""
        return self._course.needed

    @property
    def torn(self) -> bool:
        """Whether a GO would need two ways where only one is taken."""
        return self._course.torn

    def items(self, clause: Clause) -> list[Clause]:
        """Its items that must begin (of `any one of`, that one of them must; of rounds, in one that is made)."""
        if clause.kind is Kind.ONE_OF:
            return [item for item in clause.items if item.path in self.completed] or list(clause.items)
        return [item for item in clause.items if not item.only_if_begun or item.path in self.completed]

    @cached_property
    def read(self) -> frozenset[tuple[str, str]]:
        """Clauses, by their paths, that every GO completes with a reading of a mark in them."""
        lines = [(limit, clause.path) for clause in self.completed.values() for limit in clause.limits]
        lines += [(limit, "") for limit in self.standard.always.limits]
        return frozenset(
            (part.path or own, part.mark)
            for limit, own in lines
            for part in limit.figure.all_parts()
            if part.kind is FigureKind.READING and part.mark is not None and (part.path or own) in self.completed
        )


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
        if must_be_there(limit):
            yield from (part.path for part in limit.figure.all_parts() if part.path is not None)


def must_be_there(limit: Limit) -> bool:
    """Whether it is broken where its figure is not there, or a part of it is not."""
    return limit.figure.must_be_there or limit.test.comparison not in (Comparison.AT_MOST, Comparison.UNDER)


def _chains(clause: Clause, around: tuple[Clause, ...]) -> Iterator[tuple[Clause, ...]]:
    chain = (*around, clause)
    yield chain
    for item in clause.items:
        yield from _chains(item, chain)


def made(clause: Clause) -> int:
    """The rounds that must be made, each by a try of its own."""
    if clause.rounds is None or clause.rounds.unmarked is Closing.MADE:
        return 0
    asked = (
        limit.test.first.base + (limit.test.comparison is Comparison.OVER)
        for limit in clause.limits
        if limit.figure.kind is FigureKind.MADE and limit.test.comparison in HAS_LEAST
    )
    return int(max(asked, default=0))
