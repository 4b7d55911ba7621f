"""What can be tried at a pair of positions, and what becomes of it: everything about a step but its times.

It is the same at whatever times the pair is reached, so it is worked out once and then only held against zones.
"""

from collections.abc import Iterable, Iterator, Sequence

from standfast.difference.clockwork import Asked, Clockwork, Turn
from standfast.difference.figures import Figures
from standfast.difference.node import NOTHING_TOLD, Node, Told
from standfast.difference.side import Kind, Outcome, Side, Waiting
from standfast.machine.panels import NOBODY, Names, Panel, renamed
from standfast.machine.parts import Phase
from standfast.machine.zone import Guard
from standfast.values import define, field, frozen

_MOST_TOLD = 3
"""Rules that one side may be behind; with more the sides are taken to differ."""

Outcomes = tuple[Outcome | None, Outcome | None]


@frozen(eq=False)
class Following:
    """The pair of positions after a step; what a `Node` says of it."""

    old: int
    new: int
    in_step: int
    told: Told
    names: Names
    turn: Turn
    guards: tuple[Guard, ...]


@frozen(eq=False)
class Ways:
    """What a step can lead to on one side (None: nothing happens there), and what each asks of the clocks."""

    outcomes: tuple[Outcome | None, ...]
    asked: tuple[Asked, ...]
    changed: bool


NOTHING_ASKED = Asked(())
_ASK_NOTHING: tuple[Asked, ...] = (NOTHING_ASKED,)
_NO_CLOCKS = frozenset[int]()
_STAYS = Ways((None,), (NOTHING_ASKED,), changed=False)


Found = dict[tuple[int, int], Following | None]


@define(eq=False)
class Try:
    """One kind of step, with its ways on each side; `guards`: that it is this that comes next.

    `found` holds for each way of the one and the other side what follows, once it has been asked for; None: their
    answers cannot both be true, or nothing changes.
    """

    kind: Kind
    due: Phase | None
    guards: Asked
    ours: Ways
    theirs: Ways
    found: Found = field(factory=dict)


@define(eq=False)
class Tries:
    """Of two sides; `panels` are those of both together, `telling`: see `Ground`."""

    old: Side
    new: Side
    figures: Figures
    clockwork: Clockwork
    panels: Sequence[Panel]
    telling: bool
    offset: int = field(init=False)
    _rolled: bool = field(init=False)
    _entries: dict[tuple[int, int, int], tuple[Ways, ...]] = field(factory=dict)
    _shifts: dict[frozenset[int], frozenset[int]] = field(factory=dict)
    _run: dict[int, tuple[int, ...]] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self.offset = len(self.old.machine.clocks)
        self._rolled = bool(self.old.machine.rolls or self.new.machine.rolls)

    def clock(self, side: int, clock: int) -> int:
        return clock + self.offset * side

    def dues(self, old: int, new: int) -> list[tuple[int, Waiting]]:
        return [
            (number, due)
            for number, side, position in ((0, self.old, old), (1, self.new, new))
            for due in side.dues(position)
        ]

    def before_all(self, dues: Iterable[tuple[int, Waiting]]) -> Asked:
        """An entry comes before any of these."""
        guards = (
            (self.clock(side, each.due.clock), None, each.due.after - (each.due.phase is not Phase.LAST))
            for side, each in dues
        )
        return self.clockwork.asked(tuple(guards))

    def of(
        self,
        old: int,
        new: int,
        kinds: tuple[Kind | None, Kind | None],
        guards: Asked,
        due: Phase | None = None,
    ) -> Try | None:
        """The step of these kinds, one a side; None where it changes nothing."""
        ours, theirs = self._ways(0, old, kinds[0]), self._ways(1, new, kinds[1])
        if not (ours.changed or theirs.changed):
            return None
        return Try(kinds[0] or kinds[1] or Kind(), due, guards, ours, theirs)

    def entries(self, old: int, new: int, kinds: tuple[Kind, ...], guards: Asked) -> Iterator[Try]:
        """The entries of these kinds, all of one mark, that change something."""
        shared: dict[tuple[Ways, Ways], Found] = {}
        for kind, ours, theirs in zip(
            kinds, self._entered(0, old, kinds), self._entered(1, new, kinds), strict=True
        ):
            if ours.changed or theirs.changed:
                yield Try(kind, None, guards, ours, theirs, shared.setdefault((ours, theirs), {}))

    def _entered(self, number: int, position: int, kinds: tuple[Kind, ...]) -> tuple[Ways, ...]:
        key = number, position, id(kinds)
        known = self._entries.get(key)
        if known is None:
            side = (self.old, self.new)[number]
            if kinds and kinds[0].mark in side.mattering(position):
                every = [side.outcomes(position, kind) for kind in kinds]
                made = {outcomes: self._of(number, outcomes) for outcomes in dict.fromkeys(every)}
                known = tuple([made[outcomes] for outcomes in every])
            else:
                known = (_STAYS,) * len(kinds)
            self._entries[key] = known
        return known

    def _ways(self, number: int, position: int, kind: Kind | None) -> Ways:
        side = (self.old, self.new)[number]
        if kind is None or position < 0 or (kind.mark is not None and kind.mark not in side.mattering(position)):
            return _STAYS
        return self._of(number, side.outcomes(position, kind))

    def _of(self, number: int, outcomes: tuple[Outcome, ...]) -> Ways:
        asked = _ASK_NOTHING
        if len(outcomes) > 1 or outcomes[0].asked:
            asked = tuple([self._asked(number, each.asked) if each.asked else NOTHING_ASKED for each in outcomes])
        return Ways(outcomes, asked, any(each.changed for each in outcomes))

    def _asked(self, number: int, guards: tuple[Guard, ...]) -> Asked:
        if number:
            guards = tuple([(clock + self.offset, least, most) for clock, least, most in guards])
        return self.clockwork.asked(guards)

    def following(self, node: Node, tried: Try, way: tuple[int, int]) -> Following | None:
        """What follows the node where its sides go so."""
        if way not in tried.found:
            ours, theirs = tried.ours, tried.theirs
            both = ours.outcomes[way[0]], theirs.outcomes[way[1]]
            changed = any(each is not None and each.changed for each in both)
            guards = (*tried.guards.guards, *ours.asked[way[0]].guards, *theirs.asked[way[1]].guards)
            tried.found[way] = self.after(node, both, guards) if changed else None
        return tried.found[way]

    def after(
        self, node: Node, outcomes: Outcomes, guards: tuple[Guard, ...], *, first: bool = False
    ) -> Following | None:
        """What follows, or None where both sides' answers cannot be true or nothing has changed."""
        ours, theirs = outcomes
        old = node.old if ours is None else ours.after
        new = node.new if theirs is None else theirs.after
        in_step = 0
        if self.figures.pairs:
            live = 0 if first else self.figures.live(node.old, node.new)
            both = None if ours is None or theirs is None else (ours, theirs)
            if both is not None and not self.figures.agree(both, node.in_step, live):
                return None
            in_step = self.figures.after(node.in_step, live, outcomes, old, new)
            if in_step & self.figures.summed:
                sums = self.figures.joined(in_step, self.old.sums(old), self.new.sums(new))
                if sums is None:
                    return None
                old, new = self.old.with_sums(old, sums[0]), self.new.with_sums(new, sums[1])
        names = NOBODY
        if self._rolled:
            old, new, names = self._with_names(old, new)
        resets = _NO_CLOCKS if ours is None else ours.resets
        if theirs is not None and theirs.resets:
            resets |= self._shifted(theirs.resets)
        running = (*self.old.running(old), *self._running(new))
        told = self._told(node.told, ours, theirs) if self.telling else NOTHING_TOLD
        stays = (old, new, told, in_step) == (node.old, node.new, node.told, node.in_step)
        if stays and not first and resets.isdisjoint(running):
            return None
        return Following(old, new, in_step, told, names, self.clockwork.turn(running, resets), guards)

    def _shifted(self, resets: frozenset[int]) -> frozenset[int]:
        """Clocks of the new side by their numbers among those of both."""
        known = self._shifts.get(resets)
        if known is None:
            known = self._shifts[resets] = frozenset([clock + self.offset for clock in resets])
        return known

    def _running(self, new: int) -> tuple[int, ...]:
        """The same for those that run there."""
        known = self._run.get(new)
        if known is None:
            known = self._run[new] = tuple([clock + self.offset for clock in self.new.running(new)])
        return known

    def rolls(self, old: int, new: int) -> tuple[tuple[str, ...], ...]:
        """Who stands on the rolls of both sides."""
        empty: tuple[tuple[str, ...], ...] = ()
        ours = self.old.state(old).rolls if old >= 0 else ((),) * len(self.old.machine.rolls)
        theirs = self.new.state(new).rolls if new >= 0 else empty
        return (*ours, *theirs, *((),) * (len(self.new.machine.rolls) if new < 0 else 0))

    def _with_names(self, old: int, new: int) -> tuple[int, int, Names]:
        """The positions with graders named by what they stand on, on both sides together."""
        rolls = self.rolls(old, new)
        if not any(rolls):
            return old, new, {}
        named, names = renamed(self.panels, rolls)
        half = len(self.old.machine.rolls)
        old = old if old < 0 else self.old.with_rolls(old, named[:half])
        new = new if new < 0 else self.new.with_rolls(new, named[half:])
        return old, new, names

    def _told(self, before: Told, ours: Outcome | None, theirs: Outcome | None) -> Told:
        one, other, differ = before
        one += () if ours is None else ours.acts
        other += () if theirs is None else theirs.acts
        while one and other and not differ:
            differ, one, other = one[0] != other[0], one[1:], other[1:]
        if differ or max(len(one), len(other)) > _MOST_TOLD:
            return (), (), True
        return one, other, False
