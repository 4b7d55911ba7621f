"""A line that does not follow the grammar, with what is needed to find out why."""

import re
from collections.abc import Callable
from functools import cached_property

from standfast.codes import Code
from standfast.diagnostic import Diagnostic
from standfast.language.nodes import Node, Stuck
from standfast.language.places import Place
from standfast.language.words import shortened
from standfast.source import Source
from standfast.values import define, field, frozen

Attempt = Callable[[str, str], Node | Stuck]

MOST_TRIED = 600_000
"""Characters of wordings tried for a mend in one file; after that a finding only says what was expected."""
_FOR_EACH = 30  # characters' worth of work that a wording takes, however short
_NOT_TRIED = Stuck((), (frozenset(),), 0)

_RUN = re.compile(r'"[^"]*"?|[^\s",]+(?:,(?=\d)[^\s",]+)*|,')
_QUOTED_FACTS = frozenset({"word", "found", "unit", "number", "near"})


@define
class Tries:
    """Tries other wordings for the lines of a file; once too much has been tried nothing is found to help."""

    attempt: Attempt
    left: int = field(factory=lambda: MOST_TRIED)

    @property
    def spent(self) -> bool:
        return self.left < 0

    def wording(self, text: str, rule: str) -> Node | Stuck:
        if not self.spent:
            self.left -= _FOR_EACH + len(text)
        return _NOT_TRIED if self.spent else self.attempt(text, rule)


@frozen(slots=False)
class FaultyLine:
    """A line, the rule of the grammar it should follow, and where it got stuck.

    `start` is its offset in the source; all other offsets are in `text`. `attempt` tries a text with a rule: a
    finding that names a mend has seen it help.
    """

    source: Source = field(repr=False)
    text: str
    start: int
    place: Place
    rule: str
    stuck: Stuck
    attempt: Attempt = field(repr=False)

    @cached_property
    def run(self) -> tuple[int, int]:
        """What it got stuck in, cut at blanks, commas and quotes; empty at the line's end."""
        runs = (found.span() for found in _RUN.finditer(self.text))
        end = len(self.text)
        return next((run for run in runs if run[0] <= self.stuck.at < run[1]), (end, end))

    @property
    def piece(self) -> str:
        return self.text[slice(*self.run)]

    def wanted_at(self, offset: int) -> frozenset[str]:
        """The kinds of word that fit where a word begins; none where no word does."""
        starts = (*(word.start for word in self.stuck.before), self.stuck.at)
        return self.stuck.expected[starts.index(offset)] if offset in starts else frozenset()

    def wanted_before_comma(self) -> frozenset[str]:
        """Where it got stuck right after a comma: the kinds that fit in its place; else none."""
        before = self.stuck.before
        return self.stuck.expected[-2] if before and before[-1].kind == "COMMA" else frozenset()

    def finding(self, code: Code, where: tuple[int, int], **facts: str) -> Diagnostic:
        """A finding about part of the line."""
        shown = {key: shortened(fact) if key in _QUOTED_FACTS else fact for key, fact in facts.items()}
        return Diagnostic(code, self.source.span(self.start + where[0], self.start + where[1]), shown)

    def replaced(self, where: tuple[int, int], by: str) -> str:
        return self.text[: where[0]] + by + self.text[where[1] :]

    def mended(self, text: str) -> bool:
        """Whether the line can be read when it is written so."""
        return isinstance(self.attempt(text, self.rule), Node)

    def helped(self, where: tuple[int, int], by: str) -> bool:
        """Whether with that part replaced the line can be read, or at least the word after that part."""
        result = self.attempt(self.replaced(where, by), self.rule)
        if isinstance(result, Node):
            return True
        after = where[0] + len(by)
        return any(word.start >= after for word in result.before)
