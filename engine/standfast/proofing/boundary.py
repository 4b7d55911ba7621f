"""The boundary book of a standard: for every number the log that just meets it and the log that just misses it.

Beside these pairs: the log that triggers each fault and one that does not, and for each event and the whole test
the quickest GO. What a survey says can happen in one event becomes logs of the whole test; the first that really
shows it under the whole standard is the page. A clause with a side that no log shows is a finding.
"""

from collections.abc import Iterable, Iterator
from itertools import chain, tee

from standfast.codes import boundary as codes
from standfast.diagnostic import in_reading_order
from standfast.log.entry import SessionLog
from standfast.machine.witness import CANDIDATE
from standfast.model.candidate import representatives, specialised, unstated
from standfast.model.rules import (
    OF_ROUNDS,
    Fault,
    FigureKind,
    For,
    Goal,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    Pattern,
    RestBound,
    Rule,
    Score,
    Silence,
    Start,
    Until,
    UntilTotals,
    counted,
)
from standfast.model.standard import Clause, Condition, Event, Fact, Facts, Grade, Standard, bounds
from standfast.proofing import scored
from standfast.proofing.book import Book, Page, Pair, Side
from standfast.proofing.cases import all_reasons
from standfast.proofing.checks import (
    Check,
    acted,
    condition_fails,
    condition_holds,
    decided_go,
    happens,
    idle,
    just_broken,
    kept_so_far,
    lacking,
    passed,
    stated,
    used_up,
)
from standfast.proofing.coverage import clauses, touched, tried
from standfast.proofing.edges import edges, edges_of
from standfast.proofing.edits import by_one_again, edited, shortened, without_last
from standfast.proofing.finding import about, accepted, block_of, owners
from standfast.proofing.happenings import figures_of, signals
from standfast.proofing.higher import Higher
from standfast.proofing.pages import Pages, disagreements
from standfast.proofing.shown import Row, Shown
from standfast.proofing.survey import Surveys, surveyed
from standfast.proofing.ways import Ways
from standfast.quantity import Quantity
from standfast.source import Span
from standfast.values import evolve
from standfast.verdict import Outcome

TEST = "test"
"""Stands for a path where a page is about the whole test."""
PROVED = "it is proved that there is none"
MOST_ATTEMPTS = 50
"""More of them are not shown used up; nor are those at an event in which nothing fails."""
NOT_FOUND = "none was found within the bounds of the search"


def boundary_book(standard: Standard, surveys: Surveys | None = None) -> Book:
    """The whole book of a standard, and what its cases touch; without `surveys` they are made here.

    Where candidates differ in their facts, a clause is shown for the first kind of them that has both its sides.
    """
    pages, shown = Pages(standard), Shown(tuple(_paths(standard)))
    for facts in representatives(standard) if standard.facts else ({},):
        one = specialised(standard, facts) if standard.facts else standard
        maker = _Maker(one, surveyed(one) if surveys is None else surveys, pages, shown.complete)
        maker.whole()
        shown.add(maker.shown)
    findings = [*(row.missing for row in shown.rows if row.missing is not None), *disagreements(pages)]
    found = list(accepted(standard, findings, of_book=True))
    answers = iter([finding.diagnostic.accepted for finding in found])
    pairs = [row.pair if row.missing is None else evolve(row.pair, accepted=next(answers)) for row in shown.rows]
    used = {name for pair in pairs for _, name in pair.pages}
    place = {path: number for number, path in enumerate(shown.order)}
    return Book(
        standard,
        tuple(sorted((page for page in pages.made if page.name in used), key=lambda page: place[page.path])),
        tuple(pairs),
        touched(standard),
        tried(standard),
        in_reading_order(finding.diagnostic for finding in found),
    )


def _paths(standard: Standard) -> Iterator[str]:
    """Every path that has rows in a book, in order."""
    yield TEST
    events = {event.label for event in standard.events}
    for path, _, _ in clauses(standard):
        yield path
        if path in events:
            yield f"{path}.attempts"


class _Maker:
    """Makes the pages of one standard and pairs them; paths that are `complete` are left alone."""

    def __init__(self, standard: Standard, surveys: Surveys, pages: Pages, complete: frozenset[str]) -> None:
        self.standard = standard
        self.pages = pages
        self.complete = complete
        self.ways = Ways(standard, surveys)
        self.shown: list[Row] = []
        self.owners = owners(standard)
        self.base = self.ways.composer.joined(())
        self.quickest: dict[str | None, Page] = {}

    # --- the test, its conditions and events -----------------------------------------------------------

    def whole(self) -> None:
        if TEST in self.complete:
            self.base = next(self._once(self.ways.passed_test(), decided_go(None)), self.base)
        else:
            self.test()
        for fact in self.pages.standard.facts:
            self.fact(fact)
        for condition in self.standard.conditions:
            self.condition(condition)
        lowest = self.standard.grades[-1].limits if self.standard.grades else ()
        for rule in (*self.standard.always.limits, *self.standard.always.faults, *lowest):
            self.rule(None, None, rule)
        for grade in self.standard.grades[:-1]:
            self.higher(grade)
        for event in self.standard.events:
            self.event(event)

    def higher(self, grade: Grade) -> None:
        """A grade above the lowest: for each limit it is just given, and a lower one in its place."""
        beside = Higher.of(self.standard, grade, self.ways.bases(None, ""), self.ways.in_rounds)
        for limit in grade.limits if any(each.path not in self.complete for each in grade.limits) else ():
            found: list[tuple[Side, Page | None, str]] = []
            for side, logs, checks in beside.sides(limit):
                pages = (self.pages.add(limit.path, limit.words, side, logs, check) for check in checks)
                found.append((side, next((page for page in pages if page is not None), None), NOT_FOUND))
            self._pair(limit.path, limit.words, limit.span, f"grades.{grade.name}", found)

    def fact(self, fact: Fact) -> None:
        """The log of a test that is passed, with the fact stated and without it."""
        named = unstated(self.pages.standard, _without_fact(self.base, fact))
        if fact.path in self.complete or fact not in named:
            return
        logs = {
            Side.KEPT: self.base,
            Side.BROKEN: evolve(self.base, facts={CANDIDATE: _without_fact(self.base, fact)}),
        }
        found = []
        for side, log in logs.items():
            page = self.pages.add(fact.path, fact.words, side, [log], stated(fact, there=side is Side.KEPT))
            found.append((side, page, NOT_FOUND))
        self._pair(fact.path, fact.words, fact.span, "candidate", found)

    def test(self) -> None:
        quick = decided_go(self.ways.least())
        page = self.pages.add(TEST, "the whole test", Side.QUICKEST, self.ways.quickest_test(), quick)
        why = self._why(any(map(self.ways.impassable, self.standard.events)))
        self._pair(TEST, "the whole test", self.standard.span, "", [(Side.QUICKEST, page, why)])
        if page is not None:
            self.quickest[None] = page
            self.base = next(self._once(self.ways.passed_test(), decided_go(None)), page.log)

    def event(self, event: Event) -> None:
        if event.label not in self.complete:
            self.quickest_of(event)
        number = event.attempts
        if number is not None and number <= MOST_ATTEMPTS and self.ways.composer.failed(event) is not None:
            self.attempts(event, number)
        for condition in event.conditions:
            self.condition(condition)
        for bound in () if event.rest_between is None else bounds(event.rest_between):
            self.rest(event, event.clause, bound)
        for clause in event.clause.walk():
            for rule in clause.rules():
                self.rule(event, clause, rule)

    def quickest_of(self, event: Event) -> None:
        label = event.label
        words = event.clause.title or label
        page = self.pages.add(label, words, Side.QUICKEST, self.ways.quickest(event), passed(label))
        why = self._why(self.ways.impassable(event))
        self._pair(label, words, event.clause.span, label, [(Side.QUICKEST, page, why)])
        if page is not None:
            self.quickest[label] = page

    def attempts(self, event: Event, number: int) -> None:
        """The last attempt passed, and the last attempt failed."""
        path, words = f"{event.label}.attempts", f"attempts {number}"
        if path in self.complete:
            return
        found: list[tuple[Side, Page | None, str]] = []
        for side, outcome in ((Side.KEPT, Outcome.GO), (Side.BROKEN, Outcome.NO_GO)):
            logs = self.ways.attempts(event, go=side is Side.KEPT)
            page = self.pages.add(path, words, side, logs, used_up(event, outcome))
            proved = self.ways.impassable(event) if side is Side.KEPT else self.ways.barred(event)
            found.append((side, page, self._why(proved)))
        self._pair(path, words, event.clause.span, event.label, found)

    def condition(self, condition: Condition) -> None:
        """The log of a test that is passed, under facts on both sides."""
        if condition.path in self.complete:
            return
        demand = condition.demand
        sides: list[tuple[Quantity | bool, Quantity | bool]]
        sides = [(demand, not demand)] if isinstance(demand, bool) else list(edges(demand))
        found: list[tuple[Side, Page | None, str]] = []
        for number, (inside, outside) in enumerate(sides):
            both = [(Side.KEPT, inside), (Side.BROKEN, outside)]
            for side, fact in both[number and inside == sides[0][0] :]:
                check = condition_holds(condition, fact) if side is Side.KEPT else condition_fails(condition)
                log = evolve(self.base, conditions={**self.base.conditions, condition.name: fact})
                page = self.pages.add(condition.path, condition.words, side, [log], check)
                found.append((side, page, NOT_FOUND))
        self._pair(condition.path, condition.words, condition.span, condition.path.rpartition(".")[0], found)

    # --- rules -----------------------------------------------------------------------------------------

    def rule(self, event: Event | None, clause: Clause | None, rule: Rule) -> None:
        match rule:
            case Limit() if _is_short(rule):
                self.numbered(event, rule, rule.path)
            case Limit():
                self.figured(event, rule)
            case Score():
                assert event is not None and clause is not None
                self.scored(event, clause, rule)
            case Fault(trigger=Silence() | Misses()):
                self.numbered(event, rule, rule.path)
            case Fault(trigger=Occurrence(pattern=pattern, more_than=number)):
                if number:
                    self.numbered(event, rule, rule.path)
                self.fault(event, rule, pattern, numbered=bool(number))
            case Fault(trigger=OutOfOrder(pattern=pattern)):
                self.fault(event, rule, pattern, numbered=False)
            case RestBound():
                assert event is not None and clause is not None
                self.rest(event, clause, rule)
            case Start():
                assert event is not None and clause is not None
                if rule.more_than:
                    self.started(event, clause, rule)
                self.measured(event, clause, rule, rule.pattern, completed=False)
            case Until() | UntilTotals() | For():
                assert event is not None and clause is not None
                self.goal(event, clause, rule)
        if isinstance(rule, Fault | RestBound) and rule.at_most is not None:
            self.numbered(event, rule, f"{rule.path}.at_most")

    def numbered(self, event: Event | None, rule: Rule, path: str) -> None:
        """A figure held against a number: just kept, and broken by as little as can be."""
        if path in self.complete:
            return
        kept_logs = self.ways.kept(event, rule, path)
        if isinstance(rule, Limit):  # in rounds the figure is that of the last try
            owner = self.owners.get(path)
            edits = (
                self._edited(event, rule, inside, "" if owner is None else owner.path)
                for inside, _ in edges_of(rule)
            )
            kept_logs = chain(kept_logs, chain.from_iterable(edits))
        page = self.pages.add_kept(rule, path, kept_logs)
        if page is None:
            so_far = kept_so_far(self.pages.machine, rule, path)
            page = self.pages.add(path, rule.words, Side.KEPT, self.ways.kept_so_far(event, path), so_far)
        broken_logs = self.ways.broken(event, rule, path)
        other = self.pages.add(path, rule.words, Side.BROKEN, broken_logs, acted(path))
        clause = None if isinstance(rule, RestBound) else self.owners.get(rule.path)
        unkept = self.ways.cannot(event, path, "met") or (
            clause is not None and self.ways.cannot(event, clause.path, "completed")
        )
        found = [
            (Side.KEPT, page, self._why(unkept)),
            (Side.BROKEN, other, self._why(self.ways.cannot(event, path, "broken"))),
        ]
        if other is not None and path == rule.path:
            found += self._by_one_again(rule, other, Side.SPARED, idle(path))
        self._pair(path, rule.words, rule.span, block_of(rule, self.owners), found)

    def figured(self, event: Event | None, rule: Limit) -> None:
        """A figure at each end of its test: just passing, and just not."""
        path, words = rule.path, rule.words
        owner = self.owners.get(path)
        found: list[tuple[Side, Page | None, str]] = []
        for inside, outside in edges_of(rule):
            for side, amount in ((Side.KEPT, inside), (Side.BROKEN, outside)):
                logs = self._edited(event, rule, amount, "" if owner is None else owner.path)
                if side is Side.KEPT:
                    logs = chain(self.ways.kept(event, rule, path), logs)
                    page = self.pages.add_kept(rule, path, logs)
                else:
                    cut = (each for log in logs for each in self._cut(log, path))
                    once, again = tee(chain(self.ways.broken(event, rule, path), cut))
                    page = self.pages.add(path, words, side, once, just_broken(rule, amount))
                    page = page or self.pages.add(path, words, side, again, acted(path))
                where = "met" if side is Side.KEPT else "broken"
                found.append((side, page, self._why(where == "broken" and self.ways.cannot(event, path, where))))
        self._pair(path, words, rule.span, block_of(rule, self.owners), found)

    def scored(self, event: Event, clause: Clause, rule: Score) -> None:
        """Each row at each end of its test: its points just given, and just not."""
        if rule.path in self.complete:
            return
        bases = list(self.ways.bases(event, clause.path))
        exact = scored.unrounded(self.standard, self.pages.verdict)
        for row in rule.rows:
            found: list[tuple[Side, Page | None, str]] = []
            for inside, outside in scored.ends(rule, row):
                for side, amount, check in (
                    (Side.REACHED, inside, scored.gets(rule, row, inside)),
                    (Side.SHORT, outside, scored.misses(rule, row, outside)),
                ):
                    logs = scored.with_figure(self.standard, rule, row, bases, exact, amount)
                    logs = chain(self.ways.in_rounds(scored.as_limit(rule, row), int(amount.base)), logs)
                    found.append((side, self.pages.add(rule.path, row.words, side, logs, check), NOT_FOUND))
            self._pair(rule.path, row.words, rule.span, block_of(rule, self.owners), found)

    def _edited(self, event: Event | None, rule: Limit, amount: Quantity, owner: str) -> Iterator[SessionLog]:
        kinds = (rule.figure.kind, *(part.kind for part in rule.figure.parts))
        if FigureKind.POINTS in kinds:
            scores = [score for clause, score in self.standard.scores() if f"{clause.path}.".startswith(owner)]
            bases = self.ways.bases(event, owner)
            yield from scored.with_points(self.standard, scores, bases, self.pages.verdict, int(amount.base))
        yield from self.ways.in_rounds(rule, int(amount.base))
        for base in self.ways.bases(event, owner):
            told = signals(self.pages.machine, base, base.candidates[0])
            figures = [row.figure for signal in told for row in figures_of(signal) if row.path == rule.path]
            yield from edited(self.standard, rule, base, figures[-1] if figures else None, amount)

    def _cut(self, log: SessionLog, path: str) -> Iterator[SessionLog]:
        """The log up to where the clause acts."""
        for reason in all_reasons(self.pages.verdict(log)):
            if reason.path == path and reason.entry is not None:
                yield evolve(log, entries=log.entries[: reason.entry], end=None)
            elif reason.path == path and reason.at is not None:
                before = tuple(entry for entry in log.entries if entry.at <= reason.at)
                yield evolve(log, entries=before, end=reason.at + 1)

    def fault(self, event: Event | None, rule: Fault, pattern: Pattern, *, numbered: bool) -> None:
        """The entry that triggers it and one that does not: of another value where there is one, else none."""
        path, words = rule.path, rule.words
        if path in self.complete:
            return
        logs = list(self._once(self.ways.broken(event, rule, path), acted(path)))
        found: list[tuple[Side, Page | None, str]] = []
        why = self._why(self.ways.cannot(event, path, "broken"))
        for inside, outside in () if pattern.test is None else edges(pattern.test):
            page = self.pages.add(path, words, Side.TRIGGERED, _with_value(logs, inside), acted(path))
            spared = self.pages.add(path, words, Side.SPARED, _with_value(logs, outside), idle(path))
            found += [(Side.TRIGGERED, page, why), (Side.SPARED, spared, why)]
        if not found and not numbered:
            page = self.pages.add(path, words, Side.TRIGGERED, logs, acted(path))
            others = self._other_choices(pattern)
            swapped = (log for value in others for log in _with_value(logs, value))
            spared = self.pages.add(path, words, Side.SPARED, swapped, idle(path))
            quickest = self.quickest.get(None if event is None else event.label)
            if spared is None and quickest is not None and idle(path)(quickest.machine, quickest.log) is not None:
                spared = quickest
            if spared is None:
                spared = self.pages.add(path, words, Side.SPARED, map(without_last, logs), idle(path))
            found += [(Side.TRIGGERED, page, why), (Side.SPARED, spared, why)]
        if found:
            self._pair(path, words, rule.span, block_of(rule, self.owners), found)

    def _other_choices(self, pattern: Pattern) -> tuple[str, ...]:
        mark = self.standard.mark(pattern.mark)
        assert mark is not None
        return tuple(value for value in mark.choices if not pattern.fits(mark.name, value))

    def rest(self, event: Event, clause: Clause, bound: RestBound) -> None:
        """A bound that a mark meets or misses; a rest that time alone ends just ends."""
        if clause.start is not None:
            self.numbered(event, bound, bound.path)
            return
        check = happens(clause.path, completed=False)
        why = self._why(self.ways.cannot(event, bound.path, "met"))
        self._reached(bound, self.ways.rested(event, bound.path), check, clause.path, why, completed=False)

    def goal(self, event: Event, clause: Clause, rule: Goal) -> None:
        """A goal with a number: just reached, and just short of it."""
        if not isinstance(rule, Until) or rule.number > 1:
            check = happens(clause.path, completed=True)
            why = self._why(self.ways.cannot(event, clause.path, "completed"))
            logs = self.ways.completed(event, clause.path)
            self._reached(rule, logs, check, clause.path, why, completed=True)
        if isinstance(rule, Until):
            self.measured(event, clause, rule, rule.pattern, completed=True)

    def started(self, event: Event, clause: Clause, rule: Start) -> None:
        """A start that is counted: with the last entry it takes, and without it."""
        check = happens(clause.path, completed=False)
        why = self._why(self.ways.cannot(event, clause.path, "began"))
        self._reached(rule, self.ways.began(event, clause.path), check, clause.path, why, completed=False)

    def measured(self, event: Event, clause: Clause, rule: Rule, pattern: Pattern, *, completed: bool) -> None:
        """A goal or start that asks for an amount: just enough, and just not."""
        if pattern.test is None or rule.path in self.complete:
            return
        ways = self.ways.completed if completed else self.ways.began
        check = happens(clause.path, completed=completed)
        lacks = lacking(rule, clause.path, completed=completed)
        logs = list(self._once(ways(event, clause.path), check))
        why = self._why(self.ways.cannot(event, clause.path, "completed" if completed else "began"))
        found: list[tuple[Side, Page | None, str]] = []
        for inside, outside in edges(pattern.test):
            page = self.pages.add(rule.path, rule.words, Side.REACHED, _with_value(logs, inside), check)
            short = self.pages.add(rule.path, rule.words, Side.SHORT, _with_value(logs, outside), lacks)
            found += [(Side.REACHED, page, why), (Side.SHORT, short, why)]
        self._pair(rule.path, rule.words, rule.span, block_of(rule, self.owners), found)

    def _reached(
        self, rule: Rule, logs: Iterable[SessionLog], check: Check, path: str, why: str, *, completed: bool
    ) -> None:
        """A log that ends as something is reached, and the same with its last step just short."""
        if rule.path in self.complete:
            return
        page = self.pages.add(rule.path, rule.words, Side.REACHED, logs, check)
        shorter = () if page is None else shortened(page.log)
        short = self.pages.add(
            rule.path, rule.words, Side.SHORT, shorter, lacking(rule, path, completed=completed)
        )
        found = [(Side.REACHED, page, why), (Side.SHORT, short, why)]
        if page is not None:
            lacks = lacking(rule, path, completed=completed)
            found += self._by_one_again(rule, page, Side.SHORT, lacks)
        self._pair(rule.path, rule.words, rule.span, block_of(rule, self.owners), found)

    def _by_one_again(
        self, rule: Rule, page: Page, side: Side, check: Check
    ) -> list[tuple[Side, Page | None, str]]:
        """Of a count of one entry a grader: the page's log with its last entry by a grader who was counted."""
        count = counted(rule)
        if count is None or not count[1].once_a_grader:
            return []
        again = self.pages.add(rule.path, rule.words, side, by_one_again(page.log, count[0]), check)
        return [] if again is None else [(side, again, NOT_FOUND)]

    # --- pairing ---------------------------------------------------------------------------------------

    @staticmethod
    def _why(proved: bool) -> str:
        return PROVED if proved else NOT_FOUND

    def _once(self, logs: Iterable[SessionLog], check: Check) -> Iterator[SessionLog]:
        """The first log that passes the check, for its value to be changed."""
        for log in logs:
            if check(self.pages.verdict(log), log) is not None:
                yield log
                return

    def _pair(
        self, path: str, words: str, span: Span, block: str, found: Iterable[tuple[Side, Page | None, str]]
    ) -> None:
        pages = tuple((side, page.name) for side, page, _ in found if page is not None)
        missing = tuple((side, why) for side, page, why in found if page is None)
        finding = None
        if missing:
            facts = {
                "words": words,
                "side": " or ".join(dict.fromkeys(side.value for side, _ in missing)),
                "why": ", ".join(dict.fromkeys(why for _, why in missing)),
            }
            finding = about(codes.NO_PAIR, block, span, facts)
        self.shown.append(Row(Pair(path=path, words=words, pages=pages, missing=missing), finding))


def _without_fact(log: SessionLog, fact: Fact) -> Facts:
    """What the log states of its candidate but for one fact."""
    return {name: value for name, value in log.facts[CANDIDATE].items() if name != fact.name}


def _is_short(limit: Limit) -> bool:
    """Whether it is one that the short words can say: a time, a count or a silence with one end."""
    one_end = limit.test.has_least is not limit.test.has_most
    return one_end and limit.figure.kind in (FigureKind.TIME, FigureKind.COUNT, FigureKind.SILENCE, *OF_ROUNDS)


def _with_value(logs: Iterable[SessionLog], value: str | Quantity) -> Iterator[SessionLog]:
    """The logs with another value of the last entry."""
    for log in logs:
        yield evolve(log, entries=(*log.entries[:-1], evolve(log.entries[-1], value=value)))
