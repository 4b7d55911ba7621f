"""A log whose times are in doubt, followed through a machine: every way it can go, and where that ends otherwise.

Entry by entry, each position is kept with the region in which the times of the entries lie that lead to it; a
region that lies within another of the same position is not followed further. So what is found can be, and what is
not found cannot be.
"""

from collections.abc import Iterator
from itertools import chain

from standfast.log.entry import Entry
from standfast.machine.doubting import Doubting, Kept
from standfast.machine.linear import AtMost, instant_of, unknown_of
from standfast.machine.parts import Machine
from standfast.machine.region import Region
from standfast.machine.state import Decided, State
from standfast.machine.step import initial
from standfast.machine.whole import Undecided
from standfast.values import define, field, frozen

MOST_STEPS = 20_000
"""Steps taken before it is given up."""


@frozen(kw_only=True)
class Timeline:
    """What one candidate's verdict hangs on: the entries heard, whether each is the candidate's own, and the end.

    `times` are those of the entries and, last, of the end if there is one; the times of unknown 1, 2 and so on.
    They may lie before the session's zero: an event opens by a mark, so nothing runs from there.
    `still` are the unknowns of which there is no doubt.
    """

    machine: Machine
    entries: tuple[tuple[Entry, bool], ...]
    end: int | None
    still: frozenset[int] = frozenset()

    @property
    def times(self) -> tuple[int, ...]:
        return (*(entry.at for entry, _ in self.entries), *(() if self.end is None else (self.end,)))

    def bounds(self, doubt: int) -> list[tuple[int, int]]:
        """Of each time the least and the greatest it may be; none may be after the greatest of a later one."""
        found: list[tuple[int, int]] = []
        for number, at in reversed(list(enumerate(self.times, 1))):
            by = 0 if number in self.still else doubt
            latest = at + by if not found else min(at + by, found[-1][1])
            found.append((at - by, latest))
        return found[::-1]


@frozen
class Way:
    """A position after so many entries, the times that lead to it, and what the last step asked of them."""

    state: State
    region: Region
    parent: "Way | None" = field(default=None, eq=False, repr=False)
    asked: tuple[AtMost, ...] = field(default=(), eq=False, repr=False)
    grade: str | None = None

    def limits(self) -> tuple[AtMost, ...]:
        """All that was asked on the way."""
        limits: list[AtMost] = []
        way: Way | None = self
        while way is not None:
            limits += way.asked
            way = way.parent
        return tuple(limits)


@define
class Walk:
    """All ways of a timeline whose times may each be wrong by `doubt`."""

    timeline: Timeline
    doubt: int
    kept: Kept = field(init=False)
    steps: int = 0

    def __attrs_post_init__(self) -> None:
        self.kept = Kept.of(self.timeline.machine)

    def ends(self) -> Iterator[Way]:
        """The ways to where the test is decided or the log ends; Undecided if that would take too long."""
        ways = [Way(initial(self.timeline.machine)[0], Region.anywhere())]
        for number, bounds in enumerate(self.timeline.bounds(self.doubt), 1):
            found: dict[State, list[Way]] = {}
            for way in ways:
                for following in self.following(way, number, bounds):
                    if following.state.decided is not None:
                        yield following
                    else:
                        _keep(found.setdefault(following.state, []), following)
            ways = list(chain.from_iterable(found.values()))
        yield from ways

    def following(self, way: Way, number: int, bounds: tuple[int, int]) -> Iterator[Way]:
        """The ways on by the next entry, or the end."""
        region = way.region.later(number, *bounds, number - 1 if number > 1 else None)
        scripts: list[tuple[bool, ...]] = [()] if region is not None else []
        while scripts:
            self.steps += 1
            if self.steps > MOST_STEPS:
                raise Undecided
            script = scripts.pop()
            work = Doubting.of(self.timeline.machine, way.state)
            assert region is not None
            work.region, work.kept_times, work.script = region, self.kept, script
            self.take(work, number)
            scripts += [(*work.answers[:k], not work.answers[k]) for k in range(len(script), len(work.answers))]
            state, signals = work.frozen()
            grade = next((signal.grade for signal in signals if isinstance(signal, Decided)), None)
            yield Way(state, work.region.of(self.unknowns(state)), way, tuple(work.asked), grade)

    def take(self, work: Doubting, number: int) -> None:
        work.pass_time(instant_of(number))
        if number > len(self.timeline.entries):
            work.end_bests()
            return
        entry, own = self.timeline.entries[number - 1]
        if own:
            work.take(entry)
        else:
            work.overhear(entry)

    def unknowns(self, state: State) -> Iterator[int]:
        """Those that a position can still be asked about."""
        for instant in (state.now, *state.clocks):
            if instant:
                yield unknown_of(instant)
        kept = [figure for n, figure in enumerate(state.kept) if n in self.kept.registers]
        for event, best in zip(self.timeline.machine.events, state.bests, strict=True):
            if event.best is not None and best:
                registers = (event.best.register, *event.best.kept)
                figures = (best[0], *best[2:])
                kept += [f for n, f in zip(registers, figures, strict=True) if n in self.kept.registers]
        for number in kept:
            if number is not None:
                yield from self.kept.unknowns(int(number))


def _keep(ways: list[Way], way: Way) -> None:
    """Add the way, unless another has its region."""
    if not any(known.region.includes(way.region) for known in ways):
        ways[:] = [known for known in ways if not way.region.includes(known.region)]
        ways.append(way)
