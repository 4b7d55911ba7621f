"""What is claimed of two editions: that some log is so, shown by one, that none is, or that it is not decided."""

from collections.abc import Sequence

from standfast.difference.conditions import Word, word_of
from standfast.difference.shown import Shown
from standfast.values import frozen

MOST_PAIRS = 20_000
"""Pairs of positions after which a walk gives up; it is shared by all kinds of candidate."""


@frozen
class Claim:
    """That some log is as asked, `shown` by one; if not shown and `decided`, that there is none.

    No log as asked has fewer entries than a `shortest` one.
    """

    shown: Shown | None
    decided: bool
    shortest: bool = True

    @property
    def word(self) -> bool | None:
        """Whether there is one; None: not decided."""
        return True if self.shown is not None else False if self.decided else None

    @property
    def entries(self) -> int:
        """Of the log that is shown."""
        return 0 if self.shown is None else self.shown.entries


NONE = Claim(None, True)
UNKNOWN = Claim(None, False)


@frozen
class Course:
    """What the course of a test, or of one event, does.

    `lost`: a log is GO under the old edition and not under the new; `gained`: the other way round; `told`: a log
    is decided alike under both, and other rules acted, or the same in another order, or another grade is given.
    """

    lost: Claim
    gained: Claim
    told: Claim

    @property
    def word(self) -> Word:
        if self.lost.word and self.gained.word:
            return Word.MIXED
        if self.lost.word is None or self.gained.word is None:
            return Word.NOT_DECIDED
        return word_of(lost=self.lost.word, gained=self.gained.word)

    @property
    def left_open(self) -> bool:
        """Whether something of it, reasons included, is not decided."""
        return None in (self.lost.word, self.gained.word, self.told.word)


SAME = Course(NONE, NONE, NONE)


def shorter(claims: Sequence[Claim]) -> Claim:
    """That a log is as one of them says: the shortest that is shown; there is none if all say so."""
    logs = [claim for claim in claims if claim.shown is not None]
    if not logs:
        return Claim(None, all(claim.decided for claim in claims))
    first = min(logs, key=lambda claim: claim.entries)
    return Claim(first.shown, True, all(each.decided and each.shortest for each in claims))
