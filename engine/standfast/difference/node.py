"""A pair of positions, one of each machine, and the step that led to it."""

from standfast.difference.clockwork import Times
from standfast.difference.side import Kind, Outcome
from standfast.machine.panels import Names
from standfast.machine.parts import Phase
from standfast.machine.zone import Guard
from standfast.values import field, frozen

Told = tuple[tuple[str, ...], tuple[str, ...], bool]
"""The rules that acted on one side and have not yet on the other, and whether both sides differ in them."""

NOTHING_TOLD: Told = ((), (), False)


@frozen(eq=False)
class Node:
    """A pair of positions with their clocks, and the step that led to it first.

    `late`: an expiry that comes after the entries of its instant has just acted. `in_step`: see `Figures`.
    `outcomes` are those of the step on each side, None where it changed nothing; `guards` what it asked of clocks
    and `resets` those it set, by their numbers among both machines' clocks; `due` says of which side and when in
    its instant a due came.
    """

    old: int
    new: int
    times: Times
    late: bool
    in_step: int
    told: Told
    entries: int
    kind: Kind
    due: Phase | None
    outcomes: tuple[Outcome | None, Outcome | None]
    guards: tuple[Guard, ...]
    resets: frozenset[int]
    names: Names
    parent: "Node | None" = field(repr=False)

    def position(self, side: int) -> int:
        return self.new if side else self.old

    def path(self) -> tuple["Node", ...]:
        """The steps from the session's zero to here."""
        nodes: list[Node] = []
        node: Node | None = self
        while node is not None:
            nodes.append(node)
            node = node.parent
        return tuple(reversed(nodes))
