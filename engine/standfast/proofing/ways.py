"""Logs that may show a clause on one of its sides, likeliest first; whoever asks grades them."""

from collections.abc import Callable, Iterator
from itertools import islice, product

from standfast.log.entry import SessionLog
from standfast.machine.ahead import left, test_go
from standfast.machine.compile import compile_standard
from standfast.machine.explore import Explorer, Node
from standfast.model.rules import OF_ROUNDS, Fault, Figure, FigureKind, Limit, RestBound, Rule, Test
from standfast.model.standard import Event, Standard
from standfast.proofing.checks import strict
from standfast.proofing.edges import edges_of
from standfast.proofing.edits import edited
from standfast.proofing.sights import Sight, Survey
from standfast.proofing.survey import Surveys
from standfast.proofing.whole import GAP, MOST_TRIED, Composer, Piece, completes, go
from standfast.quantity import Comparison, count
from standfast.replay import replay
from standfast.values import evolve

MOST_SEARCHED = 2_000
"""Positions of a whole test looked at for what no composed log shows."""


class Ways:
    def __init__(self, standard: Standard, surveys: Surveys) -> None:
        self.standard = standard
        self.surveys = surveys
        self.composer = Composer(standard, surveys)
        self._free = evolve(
            standard, conditions=(), events=tuple(evolve(event, conditions=()) for event in standard.events)
        )
        self._found: Survey | None = None
        self._search: Iterator[Node] = iter(())
        self._exhausted = False
        self._machine = compile_standard(standard)
        self._in_rounds: dict[object, Piece | None] = {}

    # --- what a survey saw -----------------------------------------------------------------------------

    def broken(self, event: Event | None, rule: Rule, path: str) -> Iterator[SessionLog]:
        """Logs that end as the clause acts, just over its limit; `path` ends in `.at_most` for its restarts."""
        judged_last = event is None and isinstance(rule, Limit) and rule.judged_late and not rule.acts_at_once
        if judged_last and isinstance(rule, Limit) and rule.figure.kind is FigureKind.TIME:
            yield from self.waited(int(rule.test.first.base) - 1)
        for where, sight in self._sights(event, path, lambda survey: survey.broken):
            yield from self._shown(where, sight, after=judged_last)

    def kept(self, event: Event | None, rule: Rule, path: str) -> Iterator[SessionLog]:
        """Logs of an attempt or test that ends GO with the clause kept by nothing to spare."""
        if event is None and isinstance(rule, Limit) and rule.figure.kind is FigureKind.TIME:
            yield from self.waited(int(rule.test.first.base) - strict(rule))
        for where, sight in self._sights(event, path, lambda survey: survey.met):
            onward = self.composer.onward(sight, test_go if where is None else go)
            if onward is not None:
                yield from map(self._mended, self._shown(where, onward, after=True))
                yield from self._shown(where, onward)

    def kept_so_far(self, event: Event | None, path: str) -> Iterator[SessionLog]:
        """Logs that end as the clause around it completes, with nothing to spare."""
        owner = path.removesuffix(".at_most").rpartition(".")[0]
        for where, sight in self._sights(event, path, lambda survey: survey.met):
            inner = (place.index for place in sight.machine.places if place.path == owner)
            for place in inner:
                onward = self.composer.onward(sight, completes(place))
                if onward is not None:
                    yield from self._shown(where, onward)
            yield from self._shown(where, sight)

    def bases(self, event: Event | None, path: str) -> Iterator[SessionLog]:
        """Logs to be changed a little: of the test passed, and those that end as the clause is completed."""
        yield from self.passed_test()
        yield from self.quickest_test()
        if event is not None:
            yield from self.completed(event, path)

    def completed(self, event: Event, path: str) -> Iterator[SessionLog]:
        """Logs that end as the clause is completed."""
        for where, sight in self._sights(event, path, lambda survey: survey.completed):
            yield from self._shown(where, sight)

    def began(self, event: Event, path: str) -> Iterator[SessionLog]:
        """Logs that end as the clause begins."""
        for where, sight in self._sights(event, path, lambda survey: survey.began):
            yield from self._shown(where, sight)

    def rested(self, event: Event, path: str) -> Iterator[SessionLog]:
        """Logs that end as a rest is over by time alone."""
        for where, sight in self._sights(event, path, lambda survey: survey.met):
            yield from self._shown(where, sight)

    def cannot(self, event: Event | None, path: str, where: str) -> bool:
        """Whether it is proved that no log shows it; `where` is what of a survey would (`met`, `broken` ...)."""
        if self._exhausted and self._found is not None and path not in getattr(self._found, where):
            return True
        if event is not None:
            survey, known = self.surveys.events[event.label], event.label not in self.surveys.undecided
            known = known and path not in self.surveys.undecided
            return self.barred(event) or (known and path not in getattr(survey, where))
        surveys = (*self.surveys.events.values(), *self.surveys.whole.values())
        seen = any(path in getattr(survey, where) for survey in surveys)
        return not seen and self.surveys.undecided.isdisjoint((path, *self.surveys.events))

    def barred(self, event: Event) -> bool:
        """Whether it is proved that no attempt at the event can open: one before it cannot be passed."""
        return event.label not in self.surveys.turns()

    def impassable(self, event: Event) -> bool:
        """Whether it is proved that nobody can pass the event."""
        return self.barred(event) or self._unpassed(event)

    def _unpassed(self, event: Event) -> bool:
        return self.surveys.events[event.label].go is None and event.label not in self.surveys.undecided

    # --- passing ---------------------------------------------------------------------------------------

    def quickest(self, event: Event) -> Iterator[SessionLog]:
        """The quickest GO of the event, as soon as it can begin."""
        piece, before = self.composer.passed(event, 0, quickest=True), self.composer.before(event)
        if piece is not None and before is not None:
            yield self.composer.joined([*before, Piece(piece.log, GAP if piece.gap or event.clause.start else 0)])

    def attempts(self, event: Event, *, go: bool) -> Iterator[SessionLog]:
        """Every attempt at the event used, all failed or, with `go`, the last passed; then the other events."""
        for gap in (GAP, 0):
            pieces = self.composer.attempts(event, gap, go=go)
            later = self.composer.after(event, gap) if go else []
            if pieces is not None and later is not None:
                yield self.composer.joined([*pieces, *later])

    def quickest_test(self) -> Iterator[SessionLog]:
        """Each event's quickest GO, one at the heels of another; or with what `always` asks for besides."""
        pieces = self.composer.test(0, quickest=True)
        if pieces is not None:
            yield self._mended(self.composer.joined(pieces))
        yield from self._searched_test(0)

    def least(self) -> int | None:
        """Microseconds that no test passed can last less than; None if an event is never passed."""
        if any(survey.rough for survey in self.surveys.events.values()):
            return None
        shortest = [survey.shortest for survey in self.surveys.events.values()]
        known = [length for length in shortest if length is not None]
        waits = (
            int(limit.test.first.base) + (limit.test.comparison is Comparison.OVER)
            for limit in self.standard.always.limits
            if limit.figure.kind is FigureKind.TIME and limit.test.has_least
        )
        return None if len(known) < len(shortest) else max(sum(known), *waits, 0)

    def passed_test(self) -> Iterator[SessionLog]:
        """Every event passed."""
        for gap in (GAP, 0):
            pieces = self.composer.test(gap)
            if pieces is not None:
                yield self._mended(self.composer.joined(pieces))
        yield from self._searched_test(GAP)

    def _mended(self, log: SessionLog) -> SessionLog:
        """The log, changed by a little where every event is passed but a limit of the whole test is broken."""
        limits = [
            *self.standard.always.limits,
            *(limit for grade in self.standard.grades for limit in grade.limits),
        ]
        for limit in limits:
            reasons = [reason for reason in replay(self._machine, log)[0].reasons if reason.path == limit.path]
            for inside, _ in edges_of(limit) if reasons else ():
                tries = islice(edited(self.standard, limit, log, reasons[-1].figure, inside), MOST_TRIED)
                better = (each for each in tries if not self._breaks(each, limit))
                log = next(better, log)
        return log

    def _breaks(self, log: SessionLog, limit: Limit) -> bool:
        return any(reason.path == limit.path for reason in replay(self._machine, log)[0].reasons)

    def waited(self, total: int) -> Iterator[SessionLog]:
        """Every event passed, the last that waits for a mark so late that the test lasts `total` microseconds."""
        for gap in (GAP, 0):
            pieces = self.composer.test(gap)
            free = [k for k, event in enumerate(self.standard.events) if k and event.clause.start is not None]
            if pieces is None or not free:
                continue
            whole = self.composer.joined(pieces)
            lasts = sum(piece.length for piece in pieces) + sum(piece.gap for piece in pieces[1:])
            wait = total - lasts + whole.entries[0].at
            if wait >= -pieces[free[-1]].gap:
                pieces[free[-1]] = evolve(pieces[free[-1]], gap=pieces[free[-1]].gap + wait)
                yield self.composer.joined(pieces)

    def in_rounds(self, limit: Limit, wanted: int) -> Iterator[SessionLog]:
        """Every event passed, with so many rounds made, or missed, or made so far; in several of them together."""
        own = limit.path.rpartition(".")[0]
        parts = [evolve(part, path=part.path or own) for part in limit.figure.all_parts()]
        if any(part.kind not in OF_ROUNDS for part in parts):
            return
        clauses = {
            clause.path: (event, clause) for event in self.standard.events for clause in event.clause.walk()
        }
        rounds = [clauses[part.path or ""][1].rounds for part in parts]
        for numbers in product(*(range(0 if each is None else len(each.rounds) + 1) for each in rounds)):
            if sum(numbers) != wanted:
                continue
            asked: dict[str, dict[str, list[Limit]]] = {event.label: {} for event in self.standard.events}
            for part, number in zip(parts, numbers, strict=True):
                event, clause = clauses[part.path or ""]
                exactly = Test(Comparison.EXACTLY, count(number))
                path = f"{clause.path}.exactly_{part.kind.value}"
                more = evolve(limit, path=path, figure=Figure(part.kind), test=exactly)
                asked[event.label].setdefault(clause.path, []).append(more)
            pieces = [self._with_rounds(event, asked[event.label], limit) for event in self.standard.events]
            if None not in pieces:
                yield self.composer.joined([piece for piece in pieces if piece is not None])

    def _with_rounds(self, event: Event, limits: dict[str, list[Limit]], asked: Limit) -> Piece | None:
        exactly = tuple((limit.path, limit.test.first) for more in limits.values() for limit in more)
        key = event.label, asked.path, exactly
        if key not in self._in_rounds:
            found = self.composer.passed_with(event, limits, asked) if limits else self.composer.passed(event)
            self._in_rounds[key] = found
        return self._in_rounds[key]

    # --- inside ----------------------------------------------------------------------------------------

    def _shown(self, event: Event | None, sight: Sight, *, after: bool = False) -> Iterator[SessionLog]:
        for gap in (GAP, 0):
            piece = self.composer.piece(event, sight, gap)
            before = self.composer.before(event, gap)
            later = self.composer.after(event, gap) if after else []
            if piece is not None and before is not None and later is not None:
                yield self.composer.joined([*before, piece, *later])

    def _sights(
        self, event: Event | None, path: str, which: Callable[[Survey], dict[str, Sight]]
    ) -> Iterator[tuple[Event | None, Sight]]:
        """Where surveys saw it: of events alone, then of whole tests."""
        if event is not None and self.barred(event):
            return
        for each in self.standard.events if event is None else (event,):
            sight = which(self.surveys.events[each.label]).get(path)
            if sight is not None:
                yield each, sight
        if path in self.surveys.whole:
            sight = which(self.surveys.whole[path]).get(path)
            if sight is not None:
                yield None, sight
        if path in {rule.path for rule in self._searchable()}:
            sight = self._searched(path, which)
            if sight is not None:
                yield None, sight

    def _searchable(self) -> Iterator[Rule]:
        return (rule for rule in self.standard.rules() if isinstance(rule, Limit | Fault | RestBound))

    def _searched(self, path: str, which: Callable[[Survey], dict[str, Sight]]) -> Sight | None:
        """The first way in the whole test, if it is found within bounds."""
        if self._found is None:
            machine = compile_standard(self._free)
            self._explorer = Explorer(machine)
            self._found, self._search = Survey(machine), self._explorer.nodes()
        while path not in which(self._found) and self._explorer.visited < MOST_SEARCHED:
            node = next(self._search, None)
            if node is None:
                self._exhausted = True
                break
            self._found.see(node, self._explorer.attempt_clock)
        return which(self._found).get(path)

    def _searched_test(self, gap: int) -> Iterator[SessionLog]:
        machine = compile_standard(self._free)
        explorer = Explorer(machine)
        rest = left(machine)
        for node in explorer.onward(None, rest):
            if test_go(node):
                for each in (gap, 0):
                    piece = self.composer.piece(None, Sight(machine, node), each)
                    if piece is not None:
                        yield self.composer.joined([piece])
                return
            if explorer.visited > 4 * MOST_TRIED:
                return
