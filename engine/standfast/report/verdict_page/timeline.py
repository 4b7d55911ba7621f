"""What a picture of time shows, and the same in words. Instants are microseconds since the session's zero."""

from bisect import bisect
from collections.abc import Iterator
from datetime import datetime
from enum import Enum
from itertools import groupby

from standfast.report.amounts import when
from standfast.values import frozen


class Look(Enum):
    """What became of a clause or an attempt, or what an entry did."""

    GO = "go"
    AGAIN = "restart"  # it was put back and began again; a try that was missed
    FAILED = "fail"
    HALTED = "halt"
    CUT = "note"  # it was still open when its attempt, or the log, ended; an entry that did nothing
    PLAIN = "plain"  # an entry


_MANY = 60  # entries
STRUCK, AMENDED, MOVED = "struck", "amended", "was here"


@frozen
class Bar:
    since: int
    until: int
    look: Look


@frozen
class Extent:
    """From when a limit runs, and its ends: the last is the farthest; when it was broken, None if it was not.

    `noted`: that it was broken is only noted.
    """

    since: int
    ends: tuple[int, ...]
    broken: int | None = None
    noted: bool = False


@frozen
class Row:
    """A clause with the times it was open, or a limit with its extents; `said` tells which, in one line."""

    words: str
    depth: int
    said: str
    bars: tuple[Bar, ...] = ()
    extents: tuple[Extent, ...] = ()


@frozen(kw_only=True)
class Tick:
    """An entry of the log. `told` is what it did, `note` what was noted with it and how it was corrected.

    `corrected` says that it was: `struck`, `amended`, or `was here` of one that is at another time by now.
    `shifted` is where it would be in the nearest verdict that a close call could be as well.
    """

    at: int
    number: int
    mark: str
    look: Look
    told: tuple[str, ...] = ()
    note: str = ""
    corrected: str = ""
    shifted: int | None = None

    @property
    def alike(self) -> tuple[object, ...]:
        """What is the same of entries that can be told together."""
        return (self.mark, self.look, self.told, self.note, self.corrected, self.shifted)

    @property
    def is_ordinary(self) -> bool:
        """Whether it broke nothing, is as it was first logged, and no close call hangs on it."""
        return self.look in (Look.PLAIN, Look.CUT) and not self.corrected and self.shifted is None

    @property
    def is_gone(self) -> bool:
        return self.corrected in (STRUCK, MOVED)

    @property
    def words(self) -> str:
        return f"{self.number} {self.mark}"


@frozen
class Instant:
    """An instant that no entry makes by itself: when it was decided, where the log ends, what time alone did.

    Of one that `is_drawn` a line goes through the whole picture.
    """

    at: int
    words: str
    is_drawn: bool


@frozen(kw_only=True)
class Timeline:
    name: str
    since: int
    until: int
    ticks: tuple[Tick, ...]
    rows: tuple[Row, ...]
    instants: tuple[Instant, ...]
    zero: datetime | None

    def lines(self) -> tuple[tuple[int, str], ...]:
        """The picture in words, each with how far in it stands: what happened, as it did, then the limits."""
        happened = [(run[0].at, self._ticks(run)) for run in self._runs()]
        happened += [(each.at, f"{self._when(each.at)}: {each.words}") for each in self.instants]
        told = [line for _, line in sorted(happened, key=lambda each: each[0])]
        return tuple((0, line) for line in (*told, *self._rows()))

    def _runs(self) -> Iterator[list[Tick]]:
        """The entries one by one; of very many, those alike that follow one another together."""
        if len(self.ticks) <= _MANY:
            yield from ([tick] for tick in self.ticks)
            return
        acted = sorted(each.at for each in self.instants)
        for _, run in groupby(self.ticks, key=lambda tick: (tick.alike, bisect(acted, tick.at))):
            yield list(run)

    def _ticks(self, run: list[Tick]) -> str:
        first, last = run[0], run[-1]
        at, entries = self._when(first.at), f"entry {first.number}"
        if len(run) > 1:
            at, entries = f"{at} to {self._when(last.at)}", f"entries {first.number} to {last.number}"
        note = f" ({first.note})" if first.note else ""
        done = f"; {'; '.join(first.told)}" if first.told else ""
        return f"{at}: {entries}, {first.mark}{note}{done}"

    def _rows(self) -> Iterator[str]:
        for row in self.rows:
            for extent in row.extents:
                ends = " and ".join(self._when(end) for end in extent.ends)
                told = "broken, which is only noted," if extent.noted else "broken"
                broken = "" if extent.broken is None else f", {told} at {self._when(extent.broken)}"
                yield f"{row.said}: from {self._when(extent.since)} to {ends}{broken}"

    def _when(self, at: int) -> str:
        return when(at, self.zero)
