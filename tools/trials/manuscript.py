"""A shipped standard as lines to be spoilt: its canonical text, what each line means, what proof says of it."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

from attrs import define, field, frozen

from standfast.diagnostic import has_errors
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.model.rules import Rule
from standfast.model.standard import Clause, Event, Kind, Mark, Standard
from standfast.proofing.cases import case_findings
from standfast.proofing.findings import proof
from standfast.source import Source

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = {path.stem: path for path in sorted((ROOT / "standards").glob("*/*.standard"))}


@define(eq=False)
class Line:
    text: str

    @property
    def indent(self) -> str:
        return self.text[: len(self.text) - len(self.text.lstrip())]

    @property
    def words(self) -> str:
        return self.text.strip()


@frozen
class Found:
    """A finding that is not accepted: its code, the number of its line and what stands there."""

    code: str
    number: int
    words: str

    def __str__(self) -> str:
        return f"{self.code} at line {self.number}: {self.words}"


@define
class Manuscript:
    """The lines of a shipped standard, and what they meant before they were touched.

    Cases and acceptances are left out, so that all that is doubted shows, but for `whole`.
    """

    name: str
    whole: bool = False
    standard: Standard = field(init=False)
    lines: list[Line] = field(init=False)
    _written: tuple[Line, ...] = field(init=False)

    def __attrs_post_init__(self) -> None:
        text, self.standard = _shipped(self.name, self.whole)
        self.lines = [Line(line) for line in text.splitlines()]
        self._written = tuple(self.lines)

    @property
    def text(self) -> str:
        return "".join(f"{line.text}\n" for line in self.lines)

    def known(self, code: str, line: Line) -> bool:
        """Whether proof says so of the untouched standard."""
        return any((each.code, each.words) == (code, line.words) for each in untouched(self.name, self.whole))

    # --- lines -----------------------------------------------------------------------------------------

    def of(self, thing: Rule | Clause | Mark) -> Line:
        """The line on which something is written, of a block the first."""
        return self._written[thing.span.line - 1]

    def find(self, words: str) -> Line:
        return next(line for line in self.lines if line.words == words)

    def add(self, head: Line, words: str) -> Line:
        """A new first line in the block with this head."""
        return self.after(head, f"{head.indent}    {words}")

    def after(self, line: Line, text: str) -> Line:
        new = Line(text)
        self.lines.insert(self.lines.index(line) + 1, new)
        return new

    def block(self, head: Line) -> list[Line]:
        """The lines of a block below its head."""
        after = self.lines[self.lines.index(head) + 1 :]
        inside = f"{head.indent} "
        return after[: next((n for n, line in enumerate(after) if not line.text.startswith(inside)), len(after))]

    # --- clauses ---------------------------------------------------------------------------------------

    def clauses(self) -> Iterator[tuple[Event, Clause]]:
        for event in self.standard.events:
            for clause in event.clause.walk():
                yield event, clause

    def around(self, clause: Clause) -> list[Clause]:
        """The clauses around one, the nearest first."""
        outer = [c for _, c in self.clauses() if clause.path.startswith(f"{c.path}.")]
        return sorted(outer, key=lambda c: -c.depth)

    def must_be_done(self, clause: Clause) -> bool:
        """Whether the event cannot be passed without the clause."""
        around = self.around(clause)
        may_wait = any(each.only_if_begun for each in (clause, *around))
        return not may_wait and all(outer.kind is not Kind.ONE_OF for outer in around)


def findings(name: str, text: str) -> tuple[Found, ...]:
    """What proof says of a text that is a legal standard, its cases included."""
    tree, told = read(Source(name, text))
    standard, more = (None, ()) if tree is None else resolve(tree)
    if standard is None or has_errors((*told, *more)):
        raise ValueError(f"not a legal standard:\n{text}\n{[d.message for d in (*told, *more)]}")
    lines = text.splitlines()
    found = [*proof(standard).findings, *(d for case in standard.cases for d in case_findings(standard, case))]
    numbers = [(d.code.number, d.span.line) for d in found if d.span is not None and d.accepted is None]
    return tuple(Found(code, number, lines[number - 1].strip()) for code, number in numbers)


@cache
def untouched(name: str, whole: bool) -> tuple[Found, ...]:
    return findings(name, _shipped(name, whole)[0])


@cache
def _shipped(name: str, whole: bool) -> tuple[str, Standard]:
    tree, found = read(Source(name, SHIPPED[name].read_text(encoding="utf-8")))
    assert tree is not None and not found
    text = canonical(tree, comments=False)
    text = text if whole else _bare(text)
    tree, found = read(Source(name, text))
    assert tree is not None and not found
    standard, found = resolve(tree)
    assert standard is not None and not found
    return text, standard


def _bare(text: str) -> str:
    """A canonical text, in which cases come last, without them and without acceptances."""
    lines = text.partition("\ncase ")[0].splitlines()
    return "".join(f"{line}\n" for line in lines if not line.lstrip().startswith("accept "))
