"""What all of resolving shares: the declared marks, the paths given so far, the written order, what was found."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import count

from standfast.codes import Code
from standfast.codes import facts as fact_codes
from standfast.codes import meaning as codes
from standfast.diagnostic import Diagnostic, Label, nearest
from standfast.language import syntax
from standfast.model.rules import Rounds
from standfast.model.standard import Clause, Fact, Mark
from standfast.source import Span
from standfast.values import define, evolve, field, frozen

_NUMBERS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


@frozen
class Place:
    """Where a line stands: the path and depth of the clause around it, and the path of the `rounds` it is in."""

    path: str
    depth: int
    rounds: str | None = None


@define
class Paths:
    """The paths given so far, each with the place that has it.

    A path is a label, or several with dots between, never a position; it leads to one clause or one rule.
    """

    clauses: dict[str, Span] = field(factory=dict)
    rules: dict[str, Span] = field(factory=dict)

    def holder(self, path: str) -> Span | None:
        return self.clauses.get(path) or self.rules.get(path)


@define
class Scope:
    """What all of resolving shares.

    `rounds` are those of each clause that has some, by its path; `spoken_of` the paths of those of which a line
    asks how many were made or missed, or how far they went. `round_marks` are the clauses by the marks that name
    one of their rounds, filled for the cases.
    """

    marks: dict[str, Mark] = field(factory=dict)
    facts: dict[str, Fact] = field(factory=dict)
    found: list[Diagnostic] = field(factory=list)
    paths: Paths = field(factory=Paths)
    clause_paths: frozenset[str] = frozenset()
    rounds: Mapping[str, Rounds] = field(factory=dict)
    spoken_of: frozenset[str] = frozenset()
    round_marks: dict[str, Clause] = field(factory=dict)
    scored_paths: frozenset[str] = frozenset()
    numbers: Iterator[int] = field(factory=lambda: count(1))

    def refuse(self, code: Code, span: Span, *also: Label, **facts: str) -> None:
        self.found.append(Diagnostic(code, span, facts, also))

    def next_order(self) -> int:
        """The next place in the canonical written order."""
        return next(self.numbers)

    def apart(self) -> "Scope":
        """The same scope with no paths given: for a clause whose own path is refused, which is error enough."""
        return evolve(self, paths=Paths())

    def claim_rule(self, place: Place, part: str, span: Span, label: syntax.Name | None = None) -> str:
        """The path of a rule; `label` replaces the last part."""
        path = f"{place.path}.{label.text if label else part}"
        self._free(path, span, codes.PATH_TWICE)
        self.paths.rules.setdefault(path, span)
        return path

    def claim_clause(self, path: str, name: syntax.Name) -> bool:
        """Give a clause its path; False (and a refusal) where it is taken."""
        code = codes.LABEL_TWICE if path in self.paths.clauses else codes.PATH_TWICE
        free = self._free(path, name.span, code)
        self.paths.clauses.setdefault(path, name.span)
        return free

    def _free(self, path: str, span: Span, code: Code) -> bool:
        other = self.paths.holder(path)
        if other is None:
            return True
        first, second = sorted((other, span), key=lambda each: each.start)
        facts = {"path": path, "name": path.rpartition(".")[2]}
        self.refuse(code, second, Label(first, "the other one"), **facts)
        return False

    def mark(self, name: syntax.Name, number: int = 1) -> Mark | None:
        """The declared mark; after a number above one a plural s may follow, unless that is a mark's own name."""
        known = self.marks.get(name.text)
        if known is None and number != 1 and name.text.endswith("s"):
            known = self.marks.get(name.text[:-1])
        if known is None:
            self.refuse(codes.UNKNOWN_MARK, name.span, **self._meant(name.text))
        return known

    def _meant(self, name: str) -> dict[str, str]:
        """What an unknown mark may be: a number in letters, a choice of a mark, or one that looks like it."""
        chosen = next((mark.name for mark in self.marks.values() if name in mark.choices), None)
        if name in _NUMBERS:
            return {"name": name, "near": str(_NUMBERS.index(name) + 2)}
        return near(name, self.marks) if chosen is None else {"name": name, "near": f"{chosen} {name}"}

    def fact(self, name: syntax.Name) -> Fact | None:
        """The declared fact of the candidate; another name is refused."""
        known = self.facts.get(name.text)
        if known is None:
            self.refuse(fact_codes.UNKNOWN_FACT, name.span, **near(name.text, self.facts))
        return known

    def mark_name(self, name: syntax.Name, number: int = 1) -> str:
        """The name of the mark as declared, or as written where it is not (which is refused)."""
        known = self.mark(name, number)
        return known.name if known else name.text


def near(name: str, known: Iterable[str]) -> dict[str, str]:
    """The facts of an unknown name: `name`, and `near` where a known one looks like it."""
    close = nearest(name, known)
    return {"name": name} if close is None else {"name": name, "near": close}
