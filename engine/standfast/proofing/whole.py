"""Logs of whole tests, made of ways through single events.

A survey knows each event alone. Its way becomes a log of the whole test by what must come before it (the events
before it passed; nothing, where events come in any order) and what may follow. Entries that are free come a second
apart. Nothing here is believed: whoever asks for a log grades it under the whole standard.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from standfast.log.entry import Entry, SessionLog
from standfast.machine.ahead import left
from standfast.machine.compile import compile_standard
from standfast.machine.explore import Explorer, Node
from standfast.machine.parts import Machine, Phase
from standfast.machine.state import Breached, Completed, Ended, Opened, Restarted
from standfast.machine.witness import CANDIDATE, OTHER, SECOND, facts_of, log_of, pinned
from standfast.model.rules import Effect, Limit
from standfast.model.standard import Clause, Event, Standard
from standfast.proofing.sights import Sight
from standfast.proofing.slices import alone, without
from standfast.proofing.survey import Surveys
from standfast.values import evolve, frozen

GAP = SECOND
"""Microseconds between entries that are free to come at any time."""

MOST_TRIED = 400
"""Positions looked at for a way on, before it is given up."""


@frozen
class Piece:
    """A log of one event from its opening, and the microseconds between the piece before it and its beginning."""

    log: SessionLog
    gap: int

    @property
    def length(self) -> int:
        """Microseconds from its beginning to its last step."""
        return self.log.entries[-1].at if self.log.end is None else self.log.end


_MILD = (Effect.NOTE, Effect.PASS, Effect.MISS, Effect.OUT)


class Composer:
    """Makes logs of a whole test. `gap` 0 asks for the earliest times, `quickest` for the least time too."""

    def __init__(self, standard: Standard, surveys: Surveys) -> None:
        self.standard = standard
        self.surveys = surveys
        self._passed: dict[tuple[str, int, bool], Piece | None] = {}

    def joined(self, pieces: Iterable[Piece], session: str = "") -> SessionLog:
        """The pieces one after another, under facts that meet every condition."""
        entries: list[Entry] = []
        begins, end, first = 0, None, True
        for piece in pieces:
            begins += 0 if first else piece.gap
            if piece.gap >= GAP:  # free to come later, so at a whole second
                begins = -(-begins // SECOND) * SECOND
            for entry in piece.log.entries:
                number = len(entries) + 1
                entries.append(evolve(entry, number=number, line=number + 1, at=entry.at + begins))
            end = None if piece.log.end is None else begins + piece.log.end
            begins, first = begins + piece.length, False
        if end is None and entries and any(event.best is not None for event in self.standard.events):
            end = entries[-1].at  # it decides what is open for a better attempt
        shared = any(entry.candidate == OTHER for entry in entries)
        if shared:
            entries = [evolve(entry, candidate=entry.candidate or CANDIDATE) for entry in entries]
        return SessionLog(
            session=session,
            standard=self.standard.name,
            edition=self.standard.edition,
            candidates=(CANDIDATE, OTHER) if shared else (CANDIDATE,),
            conditions=facts_of(self.standard),
            facts={CANDIDATE: self.standard.settled},
            entries=tuple(entries),
            end=end,
            grader=None,
            started=None,
            digest="",
        )

    def piece(self, event: Event | None, sight: Sight, gap: int = GAP) -> Piece | None:
        """The way to a sight; of a whole test where `event` is None."""
        log = log_of(sight.machine, sight.node, session="", last=sight.last, gap=gap, demand=sight.demand)
        free = event is not None and event.clause.start is not None
        return None if log is None else Piece(log, gap if free else 0)

    def passed(self, event: Event, gap: int = GAP, *, quickest: bool = False) -> Piece | None:
        """An attempt at the event that ends GO: one on which nothing acts where there is one, or the quickest."""
        key = event.label, gap, quickest
        if key not in self._passed:
            survey = self.surveys.events[event.label]
            sight = survey.quickest if quickest else survey.go
            if not quickest and sight is not None:
                sight = self._way(survey.machine, None, go, untouched=True) or sight
            self._passed[key] = None if sight is None else self.piece(event, sight, gap)
        return self._passed[key]

    def passed_with(
        self, event: Event, limits: Mapping[str, Sequence[Limit]], besides: Limit, gap: int = GAP
    ) -> Piece | None:
        """An attempt at the event that ends GO with more limits kept in some of its clauses, by path.

        What else stands at the path of the limit `besides` is not asked for: it may be what is to be broken.
        """
        kept = evolve(event, clause=_with(event.clause, limits, besides.path))
        machine = compile_standard(without(alone(self.standard, kept), [besides]))
        sight = self._way(machine, None, go, untouched=True) or self._way(machine, None, go, untouched=False)
        return None if sight is None else self.piece(event, sight, gap)

    def before(self, event: Event | None, gap: int = GAP) -> list[Piece] | None:
        """What must have happened before the event can open; None if it cannot be made to."""
        if event is None or self.standard.events_in_any_order:
            return []
        earlier = self.standard.events[: self.standard.events.index(event)]
        return _all(self.done(each, gap) for each in earlier)

    def after(self, event: Event | None, gap: int = GAP) -> list[Piece] | None:
        """The other events, passed; those before this one only where events come in any order."""
        if event is None:
            return []
        here = self.standard.events.index(event)
        first = 0 if self.standard.events_in_any_order else here
        others = (each for each in self.standard.events[first:] if each is not event)
        return _all(self.passed(each, gap) for each in others)

    def done(self, event: Event, gap: int = GAP) -> Piece | None:
        """The event passed, or where nobody can pass it and the test goes on all the same, failed."""
        passed = self.passed(event, gap)
        if passed is not None or not self.standard.carry_on or event.attempts is None:
            return passed
        failed = self.failed(event, gap)
        if failed is None:
            return None
        return Piece(self.joined([failed] * event.attempts), GAP if event.clause.start is not None else 0)

    def failed(self, event: Event, gap: int = GAP) -> Piece | None:
        """A first attempt that fails and is charged, then the rest there must be."""
        sight = self._failing(event)
        if sight is None:
            return None
        piece = self.piece(event, sight, gap)
        if piece is None:
            return None
        least = None if event.rest_between is None else event.rest_between.least
        rest = 0 if least is None else int(least.length.base)
        due = sight.node.move.due
        if event.clause.start is None and due is not None and due.phase is Phase.LAST:
            rest -= 1  # the next one opens by itself, not when the log shows that time has passed
        return Piece(piece.log, max(rest, GAP) if event.clause.start is not None else rest)

    def _failing(self, event: Event) -> Sight | None:
        """Of the breaches in a first attempt those with the fewest entries first, then on to its end."""
        survey = self.surveys.events[event.label]
        firsts = [
            sight
            for sight in survey.broken.values()
            if sum(isinstance(s, Opened) for node in sight.node.path() for s in node.signals) == 1
        ]
        for sight in sorted(firsts, key=lambda sight: sight.node.entries):
            if failed_charged(sight.node):
                return sight
        for sight in sorted(firsts, key=lambda sight: sight.node.entries):
            rest, explorer = left(sight.machine), Explorer(sight.machine)
            for node in explorer.onward(pinned(sight.node, sight.last), rest):
                if failed_charged(node):
                    return Sight(sight.machine, node)
                if explorer.visited > MOST_TRIED or go(node):
                    break
        return None

    def attempts(self, event: Event, gap: int = GAP, *, go: bool) -> list[Piece] | None:
        """Every attempt at the event used, all failed or the last one GO."""
        assert event.attempts is not None
        before, failed, passed = self.before(event, gap), self.failed(event, gap), self.passed(event, gap)
        if before is None or failed is None or (go and passed is None):
            return None
        first = Piece(failed.log, GAP if event.clause.start is not None else 0)
        tries = [first, *[failed] * (event.attempts - 1)]
        if go and passed is not None:
            tries[-1] = Piece(passed.log, tries[-1].gap)
        return [*before, *tries]

    def test(self, gap: int = GAP, *, quickest: bool = False) -> list[Piece] | None:
        """Every event passed, one after another as written."""
        return _all(self.passed(event, gap, quickest=quickest) for event in self.standard.events)

    def onward(self, sight: Sight, reached: Callable[[Node], bool]) -> Sight | None:
        """The way to a sight and on to the first node that has reached something, with nothing failed between."""
        start = pinned(sight.node, sight.last)
        if reached(start):
            return sight
        found = self._way(sight.machine, start, reached, untouched=True)
        return found or self._way(sight.machine, start, reached, untouched=False)

    def _way(
        self, machine: Machine, start: Node | None, reached: Callable[[Node], bool], *, untouched: bool
    ) -> Sight | None:
        """A way on that a log bears out, with nothing failed or put back and, if `untouched`, not even a note."""

        def spoiled(node: Node) -> bool:
            return _spoiled(node) or (untouched and any(isinstance(signal, Breached) for signal in node.signals))

        rest = left(machine)
        explorer = Explorer(machine)
        for node in explorer.onward(start, lambda node: None if spoiled(node) else rest(node)):
            sight = Sight(machine, node)
            if reached(node) and not spoiled(node) and self.piece(None, sight) is not None:
                return sight
            if explorer.visited > MOST_TRIED:
                break
        return None


def _with(clause: Clause, limits: Mapping[str, Sequence[Limit]], besides: str) -> Clause:
    """The clause with these limits, and without the scores at the path `besides`."""
    more = limits.get(clause.path, ())
    items = tuple(_with(item, limits, besides) for item in clause.items)
    scores = tuple(score for score in clause.scores if score.path != besides)
    return evolve(clause, limits=(*clause.limits, *more), scores=scores, items=items)


def go(node: Node) -> bool:
    """Whether an attempt ends GO here."""
    return any(isinstance(signal, Ended) and signal.effect is None for signal in node.signals)


def failed_charged(node: Node) -> bool:
    """Whether an attempt fails here, or is halted, and counts; not if the whole test ends with it."""
    if any(isinstance(signal, Breached) and signal.breach.ends_test for signal in node.signals):
        return False
    endings = (signal for signal in node.signals if isinstance(signal, Ended))
    return any(s.effect is Effect.FAIL or (s.effect is Effect.HALT and s.charged) for s in endings)


def completes(place: int) -> Callable[[Node], bool]:
    """Whether the place completes at a node."""
    return lambda node: any(isinstance(signal, Completed) and signal.place == place for signal in node.signals)


def _spoiled(node: Node) -> bool:
    """Whether something graver than a note, or than what ends a try or rounds, acted, or a clause was put back."""
    return any(
        isinstance(signal, Restarted)
        or (isinstance(signal, Ended) and signal.effect is not None)
        or (isinstance(signal, Breached) and signal.breach.effect not in _MILD)
        for signal in node.signals
    )


def _all(pieces: Iterator[Piece | None]) -> list[Piece] | None:
    found = list(pieces)
    return None if None in found else [piece for piece in found if piece is not None]
