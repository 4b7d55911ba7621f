"""What a new edition makes of an archive: who changes, from what to what, by which rule; who is counted apart."""

from enum import Enum

from standfast.values import frozen
from standfast.verdict import Outcome, Owed, Reason


class Why(Enum):
    """Why a log, or a candidate of it, is counted apart."""

    NOT_READ = "no log that can be read"
    OTHER_STANDARD = "a log of another standard"
    NOT_OF_OLD = "not as the old edition has it"
    NOT_OF_NEW = "not as the new edition has it"
    OLD_LACKS = "without what the old edition asks for"
    NEW_LACKS = "without what the new edition asks for"


@frozen
class Unread:
    """A file that is no log, by its name."""

    name: str


@frozen
class Worth:
    """What a verdict comes to."""

    outcome: Outcome
    grade: str | None
    points: int | None


@frozen(kw_only=True)
class Change:
    """A candidate who changes. `by` is what the verdict that is not GO rests on: the new one, if it is not.

    Of one that is not decided, what failed an attempt at the event that is open, else what is owed first.
    """

    log: str
    session: str
    candidate: str
    old: Worth
    new: Worth
    by: tuple[Reason | Owed, ...]
    by_new: bool

    @property
    def paths(self) -> tuple[str, ...]:
        """Those of the rules it is by, each once."""
        return tuple(dict.fromkeys(each.path for each in self.by))


@frozen
class Apart:
    """Counted apart for one cause. `what` names the marks and facts that are lacking, or the error found.

    `passed`: how many of them are GO under the edition that does not lack anything.
    """

    why: Why
    what: str
    count: int
    logs: tuple[str, ...]
    passed: int = 0


@frozen(kw_only=True)
class Impact:
    """`table` says how many went from which outcome to which; `otherwise` of how many only the reasons changed."""

    logs: int
    table: tuple[tuple[Outcome, Outcome, int], ...]
    changes: tuple[Change, ...]
    otherwise: int
    apart: tuple[Apart, ...]

    @property
    def compared(self) -> int:
        """How many candidates were graded under both."""
        return sum(count for _, _, count in self.table)
