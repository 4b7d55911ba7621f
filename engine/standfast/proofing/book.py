"""The boundary book of a standard: values only.

A page is one log with what two programs say of it; a pair is what the book shows of one clause.
"""

from enum import Enum

from standfast.diagnostic import Diagnostic
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.values import frozen
from standfast.verdict import Measure, Verdict


class Side(Enum):
    """On which side of a clause a log lies."""

    QUICKEST = "quickest GO"
    KEPT = "just kept"
    BROKEN = "just broken"
    TRIGGERED = "triggered"
    SPARED = "not triggered"
    REACHED = "just reached"
    SHORT = "just short"


@frozen(kw_only=True)
class Told:
    """What a log shows of a clause: what happens, in words, when, and by how much."""

    what: str
    at: int | None
    figure: Measure | None = None
    margin: Measure | None = None


@frozen(kw_only=True)
class Page:
    """One log. `name` is unlike that of every other page and fit for a file.

    `lines` is the log as the lines of a case, `data` as a file. `machine` and `definition` are the two verdicts,
    which must be alike.
    """

    name: str
    path: str
    words: str
    side: Side
    told: Told
    log: SessionLog
    lines: tuple[str, ...]
    data: bytes
    machine: Verdict
    definition: Verdict

    @property
    def alike(self) -> bool:
        return self.machine == self.definition


@frozen(kw_only=True)
class Pair:
    """What the book shows of one clause: the page for each side it has, by name, and why one is missing.

    A fault without a number is not triggered in a quickest GO, so that one page serves many pairs. `accepted` is
    the author's reason where a missing page was accepted.
    """

    path: str
    words: str
    pages: tuple[tuple[Side, str], ...]
    missing: tuple[tuple[Side, str], ...]
    accepted: str | None = None


class Part(Enum):
    """What a clause of a standard is, where its parts are counted."""

    FACT = "fact of the candidate"
    CONDITION = "condition"
    EVENT = "event"
    GROUP = "group"
    STEP = "step"
    START = "start"
    GOAL = "goal"
    LIMIT = "limit"
    SCORE = "score"
    FAULT = "fault"
    REST = "rest"
    RESTARTS = "number of restarts"


@frozen(kw_only=True)
class Touched:
    """A clause, and the titles of the cases that touch it, as `coverage` says."""

    path: str
    words: str
    part: Part
    cases: tuple[str, ...]


@frozen
class Tried:
    """A worked case and what speaks against it."""

    title: str
    findings: tuple[Diagnostic, ...]

    @property
    def holds(self) -> bool:
        return not self.findings


@frozen
class Book:
    """Pages and pairs in the order of the standard. `findings` say what is missing."""

    standard: Standard
    pages: tuple[Page, ...]
    pairs: tuple[Pair, ...]
    touched: tuple[Touched, ...]
    cases: tuple[Tried, ...]
    findings: tuple[Diagnostic, ...]
