"""One of the two machines in a comparison: what each step can lead to, worked out once a position.

A side knows nothing of clock values. It says what a step asks of its clocks, and which figures it answered for
without knowing them; whether both sides' answers can be true together is seen where they are walked together.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from standfast.difference.doings import Answer, Doings, Key, Source
from standfast.difference.hearing import Hearing
from standfast.log.entry import Entry
from standfast.machine.alike import Settling
from standfast.machine.asking import NOW
from standfast.machine.explore import matters
from standfast.machine.guards import guard_of
from standfast.machine.parts import LIVE, Bar, Breach, Due, Judged, Machine, Place, Rung
from standfast.machine.rounds import rounds_of
from standfast.machine.state import Breached, Decided, Signal, State
from standfast.machine.step import initial
from standfast.machine.values import ANYTHING, Span
from standfast.machine.zone import Guard
from standfast.model.rules import Effect
from standfast.quantity import Quantity
from standfast.values import define, evolve, field, frozen

Sums = tuple[tuple[Fraction, Fraction], ...]

GO, NO_GO = -1, -2
"""The numbers of the two positions in which a side is decided."""

_NO_CLOCKS = frozenset[int]()


@frozen(eq=False)
class Outcome:
    """What a step may lead to on one side: the position `after`, and what must be so that it does.

    `asked` are the guards on its clocks, `answers` the answers about figures. `resets` are the clocks it set,
    `done` what it did to registers. `acts` are the paths of the rules graver than a note that acted.
    """

    after: int
    asked: tuple[Guard, ...]
    answers: tuple[Answer, ...]
    resets: frozenset[int]
    done: Mapping[Key, tuple[Source, ...]]
    acts: tuple[str, ...]
    changed: bool
    signals: tuple[Signal, ...]
    added: tuple[tuple[int, bool], ...]
    noted: tuple[int, ...]
    paced: tuple[int, ...]
    judged: tuple[tuple[Judged | Bar | Rung, bool], ...]


@frozen(eq=False)
class Waiting:
    """A due of a position, with its place among those of one instant and kind."""

    number: int
    due: Due
    rank: tuple[int, int, int]


@frozen
class Kind:
    """One kind of step: what is logged, or the due with this number, or the log's end.

    `place` is the number of the value's class among those of the mark, or the name of a round: with the mark it
    says which value it is.
    """

    mark: str | None = None
    place: int | str = 0
    by: str | None = None
    other: bool = False
    due: int | None = None
    end: bool = False
    value: str | Quantity | None = field(default=None, eq=False)
    span: Span = field(default=ANYTHING, eq=False)


@define(eq=False)
class Side:
    """The positions of one machine, by number, each kept once."""

    machine: Machine
    bounds: dict[int, int] = field(init=False)
    _positions: list[tuple[State, Sums]] = field(factory=list)
    _numbers: dict[tuple[object, ...], int] = field(factory=dict)
    _outcomes: dict[int, dict[Kind, tuple[Outcome, ...]]] = field(factory=dict)
    _by_read: dict[tuple[object, ...], tuple[Outcome, ...]] = field(factory=dict)
    _read_at: int = NO_GO
    _entries: dict[Kind, Entry] = field(factory=dict)
    _dues: dict[int, tuple[Waiting, ...]] = field(factory=dict)
    _running: dict[int, tuple[int, ...]] = field(factory=dict)
    _mattering: dict[int, frozenset[str]] = field(factory=dict)
    _due_numbers: dict[int, int] = field(init=False)
    _settling: Settling = field(init=False)
    _hearing: Hearing = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.bounds = {number: clock.bound for number, clock in enumerate(self.machine.clocks) if clock.bound}
        self._due_numbers = {id(due): number for number, due in enumerate(self.machine.dues)}
        self._settling = Settling(self.machine)
        self._hearing = Hearing(self.machine)

    # --- positions -------------------------------------------------------------------------------------

    def state(self, number: int) -> State:
        return self._positions[number][0]

    def sums(self, number: int) -> Sums:
        return self._positions[number][1]

    def numbered(self, state: State, sums: Sums) -> int:
        """The number of a position that is not decided."""
        key = _told_apart(state, sums)
        number = self._numbers.get(key)
        if number is None:
            number = self._numbers[key] = len(self._positions)
            self._positions.append((state, sums))
        return number

    def _settled(self, work: Doings) -> int:
        """The number of the position that a step came to."""
        if work.decided is not None or False in work.standings:  # under `carry on` it goes on, and cannot be GO
            return GO if work.decided else NO_GO
        state, sums = self._settling.settled(work, work.sums)
        return self.numbered(state, tuple(sums))

    def running(self, number: int) -> tuple[int, ...]:
        """The clocks that run there and are compared with something."""
        if number < 0:
            return ()
        known = self._running.get(number)
        if known is None:
            clocks = self.state(number).clocks
            known = self._running[number] = tuple([clock for clock in self.bounds if clocks[clock] is not None])
        return known

    def dues(self, number: int) -> tuple[Waiting, ...]:
        """What time alone could bring about there."""
        if number < 0:
            return ()
        if number not in self._dues:
            work = self._work(number)
            self._dues[number] = tuple(
                Waiting(self._due_numbers[id(due)], due, work.rank(due)) for due in work.live_dues()
            )
        return self._dues[number]

    def mattering(self, number: int) -> frozenset[str]:
        """The marks that anything names there."""
        if number < 0:
            return frozenset()
        known = self._mattering.get(number)
        if known is None:
            state, marks = self.state(number), self.machine.standard.marks
            known = frozenset(each.name for each in marks if matters(self.machine, each.name, state))
            self._mattering[number] = known
        return known

    def any_best(self, number: int) -> bool:
        """Whether the end of a log would decide something."""
        return number >= 0 and any(self.state(number).bests)

    # --- steps -----------------------------------------------------------------------------------------

    def first(self) -> Outcome:
        """The session's zero."""
        state, signals = initial(self.machine)
        work = Doings.of(self.machine, state)
        work.sums = [(Fraction(0), Fraction(0))] * len(self.machine.totals)
        work.signals += signals
        return self._outcome(work, None)

    def outcomes(self, number: int, kind: Kind) -> tuple[Outcome, ...]:
        """Everything that the step may lead to from a position that is not decided.

        Entries of which the same is read share it; its signals then tell the entry of the first.
        """
        here = self._outcomes.get(number)
        if here is None:
            here = self._outcomes[number] = {}
        found = here.get(kind)
        if found is None:
            read = self._read(number, kind)
            found = self._by_read.get(read) if read is not None else None
            if found is None:
                found = tuple(self._taken(number, kind))
            here[kind] = found
            if read is not None:
                self._by_read[read] = found
        return found

    def _read(self, number: int, kind: Kind) -> tuple[object, ...] | None:
        """What tells the entry apart from others of its mark there; None of what is the only one of its kind."""
        mark, value = kind.mark, kind.value
        if mark is None or value is None:
            return None
        if self._read_at != number:  # what was read elsewhere is not asked for again
            self._read_at = number
            self._by_read.clear()
        if kind.other:  # it raises counts, wherever they stand
            read: tuple[bool, ...] | None = self._hearing.fits(mark, kind.place, value)
        else:
            read = self._hearing.read(number, self.state(number), mark, kind.place, value)
        return None if read is None else (mark, kind.by, kind.other, read)

    def _taken(self, number: int, kind: Kind) -> Sequence[Outcome]:
        found: list[Outcome] = []
        scripts: list[tuple[bool, ...]] = [()]
        while scripts:
            script = scripts.pop()
            work = self._work(number, script, kind.span)
            if kind.due is not None:
                work.fire(self.machine.dues[kind.due])
            elif kind.end:
                work.end_bests()
            else:
                (work.overhear if kind.other else work.take)(self._entry(kind))
            answers = tuple(question.answer for question in work.asked)
            scripts += [(*answers[:k], False) for k in range(len(script), len(answers))]
            found.append(self._outcome(work, number))
        return found

    def _entry(self, kind: Kind) -> Entry:
        entry = self._entries.get(kind)
        if entry is None:
            assert kind.mark is not None
            entry = Entry(number=1, line=0, at=0, mark=kind.mark, value=kind.value, by=kind.by)
            self._entries[kind] = entry
        return entry

    def _outcome(self, work: Doings, before: int | None) -> Outcome:
        after = self._settled(work)
        resets = _NO_CLOCKS
        if NOW in work.clocks:
            resets = frozenset([clock for clock, since in enumerate(work.clocks) if since == NOW])
        changed = after != before or bool(work.asked) or any(clock in self.bounds for clock in resets)
        return Outcome(
            after=after,
            asked=tuple([guard_of(question) for question in work.asked if question.clock is not None]),
            answers=tuple(work.answers),
            resets=resets,
            done=work.sources(),
            acts=tuple(_acts(work.signals)),
            changed=changed or bool(work.doings),
            signals=tuple(work.signals),
            added=tuple(work.added),
            noted=tuple(work.noted),
            paced=tuple(work.paced),
            judged=tuple([(each.limit, each.answer) for each in work.asked if each.limit is not None]),
        )

    def _work(self, number: int, script: tuple[bool, ...] = (), span: Span = ANYTHING) -> Doings:
        state, sums = self._positions[number]
        work = Doings.of(self.machine, state)
        work.script, work.value_range, work.sums = script, span, list(sums)
        return work

    # --- other positions -------------------------------------------------------------------------------

    def with_sums(self, number: int, sums: Sums) -> int:
        state, known = self._positions[number]
        return number if sums == known else self.numbered(state, sums)

    def with_rolls(self, number: int, rolls: tuple[tuple[str, ...], ...]) -> int:
        state, sums = self._positions[number]
        return number if rolls == state.rolls else self.numbered(evolve(state, rolls=rolls), sums)

    def open_rounds(self, number: int, mark: str) -> Place | None:
        """The place whose rounds the mark names, if a round of it is open."""
        index = self.machine.round_marks.get(mark)
        if number < 0 or index is None or self.state(number).locations[index] not in LIVE:
            return None
        return self.machine.places[index]

    def closings(self, number: int, place: Place) -> Iterator[tuple[int, int, bool]]:
        """The rounds after the open one up to where the rounds are over: each one's number, the position with all
        before it closed unmarked, and whether that ended the rounds.
        """
        rounds, work = rounds_of(place), self._work(number)
        assert rounds.unmarked is not None
        for child in place.children:
            work.put_to_sleep(self.machine.places[child])
        over = False
        while not over and work.counters[rounds.open] < len(rounds.names) - 1:
            work.close_round(place, rounds.unmarked)
            over = any(work.reached(out) for out in rounds.outs)
            yield work.counters[rounds.open], self._settled(work), over


def _told_apart(state: State, sums: Sums) -> tuple[object, ...]:
    """What is not the same in all settled positions; fractions as whole numbers, which are faster to look up."""
    return (
        state.locations,
        state.counters,
        tuple([None if value is None else value.as_integer_ratio() for value in state.values]),
        tuple([None if figure is None else figure.as_integer_ratio() for figure in state.kept]),
        tuple([tuple([each.as_integer_ratio() for each in run]) for run in state.readings]),
        state.bests,
        state.flags,
        state.clocks,
        state.standings,
        state.open,
        state.rolls,
        state.points,
        tuple([(low.as_integer_ratio(), high.as_integer_ratio()) for low, high in sums]),
    )


def _acts(signals: Sequence[Signal]) -> Sequence[str]:
    found = []
    for signal in signals:
        match signal:
            case Breached(breach=breach, asked=asked) if breach.effect is not Effect.NOTE:
                found.append(_path(breach, used_up=asked is not None))
            case Decided(go=True, grade=str(grade)):
                found.append(f"grades.{grade}")
            case _:
                pass
    return found


def _path(breach: Breach, *, used_up: bool) -> str:
    return f"{breach.rule.path}.at_most" if used_up else breach.rule.path
