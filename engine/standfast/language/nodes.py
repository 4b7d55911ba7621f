"""What the parser found, with no parser in it: words and the rules of the grammar they make up."""

from standfast.values import frozen


@frozen
class Word:
    """A token: the kind is the terminal's name in the grammar; `start` and `end` are offsets in the source."""

    kind: str
    text: str
    start: int
    end: int

    @property
    def type(self) -> str:
        """The kind, as a parser asks for it."""
        return self.kind


@frozen
class Node:
    """A rule of the grammar with its parts in written order. INVARIANT: it holds at least one word."""

    rule: str
    parts: "tuple[Node | Word, ...]"

    @property
    def start(self) -> int:
        return self.parts[0].start

    @property
    def end(self) -> int:
        return self.parts[-1].end

    def word(self, *kinds: str) -> Word | None:
        """The first of its own words that is of one of these kinds."""
        for part in self.parts:
            if isinstance(part, Word) and part.kind in kinds:
                return part
        return None

    def words(self, kind: str) -> tuple[Word, ...]:
        return tuple(part for part in self.parts if isinstance(part, Word) and part.kind == kind)

    def node(self, *rules: str) -> "Node | None":
        """The first of its own parts that is one of these rules."""
        for part in self.parts:
            if isinstance(part, Node) and part.rule in rules:
                return part
        return None

    def nodes(self, *rules: str) -> "tuple[Node, ...]":
        return tuple(part for part in self.parts if isinstance(part, Node) and part.rule in rules)

    def first(self) -> Word:
        """The word it begins with."""
        part = self.parts[0]
        return part if isinstance(part, Word) else part.first()

    def moved(self, by: int) -> "Node":
        """The same, that many characters further on."""
        moved = (
            part.moved(by)
            if isinstance(part, Node)
            else Word(part.kind, part.text, part.start + by, part.end + by)
            for part in self.parts
        )
        return Node(self.rule, tuple(moved))


@frozen
class Stuck:
    """How far a line follows a rule of the grammar.

    `words` are the words up to and with the one that does not fit; where no word can begin at `at`, that one is
    missing. `expected` holds the kinds that would have fitted at each word, the last for where it got stuck.
    Offsets are in the text that was tried.
    """

    words: tuple[Word, ...]
    expected: tuple[frozenset[str], ...]
    at: int

    @property
    def found(self) -> Word | None:
        return self.words[-1] if len(self.words) == len(self.expected) else None

    @property
    def before(self) -> tuple[Word, ...]:
        """The words that fitted."""
        return self.words[: len(self.expected) - 1]

    @property
    def wanted(self) -> frozenset[str]:
        """The kinds that would have fitted where it got stuck."""
        return self.expected[-1]
