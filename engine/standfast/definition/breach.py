"""Breaches: a limit that is broken, a fault that is triggered, and which of several acts."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from standfast.definition.measure import (
    Amount,
    figure_now,
    is_judged_late,
    is_lost,
    is_met,
    least_and_most,
    margin,
    own_points,
    row_of,
)
from standfast.definition.rounds import round_words
from standfast.definition.state import Attempt, Course, Hearing, Run, Tally, micros
from standfast.log.entry import Entry
from standfast.model.rules import (
    Counting,
    Fault,
    FigureKind,
    Limit,
    Occurrence,
    OutOfOrder,
    Part,
    Pattern,
    RestBound,
    Rule,
    Score,
    Silence,
)
from standfast.quantity import Comparison, Dimension, Quantity, count
from standfast.values import evolve, frozen
from standfast.verdict import Deadline, Measure, Reason, ReasonKind, measured

MILDEST_FIRST = (
    ReasonKind.NOTE,
    ReasonKind.PASS,
    ReasonKind.RESTART,
    ReasonKind.MISS,
    ReasonKind.OUT,
    ReasonKind.FAIL,
    ReasonKind.HALT,
    ReasonKind.DISQUALIFY,
)


@frozen(eq=False)
class Breach:
    """One rule breached, at one instant.

    `run` is the clause in progress it stands in: None for a rule of `always` and for a rest between attempts,
    whose event then is `between`. `used_up` tells of a restart that is asked for once too often. `round` is the
    round that is open where the rule stands.
    """

    rule: Limit | Fault | RestBound | Score
    weight: ReasonKind
    run: Run | None = None
    between: Course | None = None
    figure: Measure | None = None
    margin: Measure | None = None
    logged: str | None = None
    deadline: Deadline | None = None
    readings: int | None = None
    used_up: bool = False
    round: str | None = None

    @property
    def gravity(self) -> int:
        return MILDEST_FIRST.index(self.weight)

    @property
    def ends_test(self) -> bool:
        """Rule 13: a broken limit of `always`."""
        return isinstance(self.rule, Limit) and self.run is None

    def reason(self, at: int, cause: Entry | None) -> Reason:
        """Rule 23."""
        return Reason(
            kind=self.weight,
            path=self.rule.path + ".at_most" if self.used_up else self.rule.path,  # Rule 24
            words=self.rule.last_words if isinstance(self.rule, Score) else self.rule.words,
            sentence=self.rule.sentence,
            at=at,
            entry=None if cause is None else cause.number,
            line=None if cause is None else cause.line,
            figure=self.figure,
            margin=self.margin,
            logged=self.logged,
            deadline=self.deadline,
            round=self.round,
            readings=self.readings,
        )


def gravest_first(breaches: Iterable[Breach]) -> list[Breach]:
    """Rule 4: the gravest, among equals the one in the deeper clause, then the first written."""
    return sorted(breaches, key=lambda b: (-b.gravity, -b.rule.depth, b.rule.order))


def breach_of(
    hearing: Hearing,
    rule: Limit | Fault | RestBound | Score,
    run: Run | None,
    *,
    between: Course | None = None,
    figure: Measure | None = None,
    margin: Measure | None = None,
    logged: str | None = None,
    deadline: Deadline | None = None,
) -> Breach:
    """The breach as it weighs in the attempt that is open now."""
    around = None if run is None else run.rounds_around()
    open_round = round_words(around)  # Rule 35
    if isinstance(rule, Score):
        return Breach(rule, ReasonKind.FAIL, run, figure=figure, margin=margin, round=open_round)
    if isinstance(rule, Limit):
        # Rule 4: weighs as a fail. Rule 32: inside a round it misses the try.
        weight = ReasonKind.FAIL if around is None or around is run else ReasonKind.MISS
        return Breach(rule, weight, run, figure=figure, margin=margin, deadline=deadline, round=open_round)
    weight = ReasonKind(rule.effect.value)
    if weight is ReasonKind.RESTART and rule.at_most is not None and hearing.attempt is not None:
        # Rule 14: restarts that took place, over the whole attempt, and this one.
        asked = hearing.attempt.restarts.count(rule.path) + 1
        if asked > rule.at_most:
            limit = count(rule.at_most)
            return Breach(
                rule,
                ReasonKind.FAIL,
                run,
                figure=measured(asked, limit),
                margin=measured(rule.at_most - asked, limit),
                deadline=deadline,
                used_up=True,
                round=open_round,
            )
    return Breach(rule, weight, run, between, figure, margin, logged, deadline, round=open_round)


def is_kept(attempt: Attempt | None, rule: Rule) -> bool:
    """Rule 21: a rule whose failure was kept does nothing more in that attempt."""
    return attempt is not None and rule.path in attempt.kept


def limit_margin(limit: Limit, figure: Amount) -> Fraction:
    """Rule 23: of counts `under N` allows one less than it names, and `over N` wants one more."""
    counted = limit.test.first.dimension is Dimension.COUNT
    apart = counted and limit.test.comparison in (Comparison.UNDER, Comparison.OVER)
    return margin(limit.test, figure) - (1 if apart else 0)


def _with_figure(hearing: Hearing, limit: Limit, run: Run | None, figure: Amount | None) -> Breach:
    bound: Quantity = limit.test.first
    if figure is None:
        return breach_of(hearing, limit, run)
    return breach_of(
        hearing, limit, run, figure=measured(figure, bound), margin=measured(limit_margin(limit, figure), bound)
    )


# --- by an entry -----------------------------------------------------------------------------------------


def _of_value(
    hearing: Hearing, fault: Fault, run: Run | None, pattern: Pattern, entry: Entry, between: Course | None = None
) -> Breach:
    """Rule 23: a value that is compared; the candidate's side is that which does not fit."""
    if pattern.test is None or not isinstance(entry.value, Quantity):
        return breach_of(hearing, fault, run, between=between)
    value, bound = entry.value.base, pattern.test.first
    return breach_of(
        hearing,
        fault,
        run,
        between=between,
        figure=measured(value, bound),
        margin=measured(-margin(pattern.test, value), bound),
        logged=str(entry.value),
    )


def counts(hearing: Hearing, tally: Tally, entry: Entry) -> bool:
    """Rule 4: whether a rule names the mark (and its value fits); naming includes a silence."""
    for limit in tally.limits:
        if limit.figure.mark == entry.mark and _takes(tally, Pattern(entry.mark), limit.figure.counting, entry):
            return True
    for limit, part in _looked_back_at(hearing):
        # Rule 28: a figure counts in the clause it belongs to.
        if part.mark == entry.mark and part.path is None and limit in tally.limits:
            return True
        if part.mark == entry.mark and tally.run is not None and part.path == tally.run.clause.path:
            return True
    for path, part in _scored(hearing):
        belongs_to_test = path is None and tally is hearing.limits
        of_clause = tally.run is not None and path == tally.run.clause.path
        if part.mark == entry.mark and (belongs_to_test or of_clause):
            return True
    for event in hearing.standard.events:
        for part in () if event.best is None else event.best.figure.all_parts():
            # Rule 40: so does the one by which the best of the attempts is found.
            path = event.clause.path if part.path is None else part.path
            if part.mark == entry.mark and tally.run is not None and tally.run.clause.path == path:
                return True
    for fault in tally.faults:
        match fault.trigger:
            case Occurrence(pattern=pattern, counting=counting) if _takes(tally, pattern, counting, entry):
                return True
            case Silence(mark=mark) if mark == entry.mark:
                return True
    return False


def _takes(tally: Tally, pattern: Pattern, counting: Counting, entry: Entry) -> bool:
    """Rule 38: whether it fits and, with `once a grader`, is the first of its grader. It may have been shown."""
    if not pattern.fits(entry.mark, entry.value):
        return False
    earlier = [each for each in tally.taken(pattern, counting) if each is not entry]
    return not (counting.once_a_grader and any(each.by == entry.by for each in earlier))


def _scored(hearing: Hearing) -> Iterator[tuple[str | None, Part]]:
    """Rules 28, 30 and 31: what scores and grades are worked out from, and in which clause (None: the test)."""
    figures = [(clause.path, figure) for clause, score in hearing.standard.scores() for figure in score.figures]
    for path, figure in figures:
        for part in figure.parts or (Part(figure.kind, figure.mark, None),):
            yield part.path or path, part
    for grade in hearing.standard.grades:
        for limit in grade.limits:
            for part in limit.figure.parts or (Part(limit.figure.kind, limit.figure.mark, None),):
                yield part.path, part


def _looked_back_at(hearing: Hearing) -> Iterator[tuple[Limit, Part]]:
    for rule in hearing.standard.rules():
        if isinstance(rule, Limit):
            for part in rule.figure.parts:
                yield rule, part


def by_entry(hearing: Hearing, tally: Tally, entry: Entry) -> Iterator[Breach]:
    """Rules 4 and 10: the faults and count limits that an entry, already shown to them, triggers."""
    for limit in tally.limits:
        counting = limit.figure.counting
        if limit.figure.mark != entry.mark or not _takes(tally, Pattern(entry.mark), counting, entry):
            continue
        if limit.figure.kind is FigureKind.COUNT:
            counted, (_, most) = tally.counted(entry.mark, counting), least_and_most(limit.test)
            if most is not None and counted > most:  # Rule 2: too few is judged later
                yield _with_figure(hearing, limit, tally.run, counted)
        lost = is_lost(hearing, tally, limit, entry)
        if lost is not None:
            yield _with_figure(hearing, limit, tally.run, lost)
    for fault in tally.faults:
        match fault.trigger:
            case Occurrence(pattern=pattern, more_than=0) if pattern.fits(entry.mark, entry.value):
                yield _of_value(hearing, fault, tally.run, pattern, entry)
            case Occurrence(pattern=pattern, more_than=allowed, counting=counting) if _takes(
                tally, pattern, counting, entry
            ):
                counted = tally.fitting(pattern, counting)
                if counted > allowed:
                    number = count(allowed)
                    yield breach_of(
                        hearing,
                        fault,
                        tally.run,
                        figure=measured(counted, number),
                        margin=measured(allowed - counted, number),
                    )


def out_of_order(hearing: Hearing, tally: Tally, entry: Entry) -> Iterator[Breach]:
    """Rule 8: the faults on a mark that has no use."""
    for fault in tally.faults:
        match fault.trigger:
            case OutOfOrder(pattern=pattern) if pattern.fits(entry.mark, entry.value):
                yield _of_value(hearing, fault, tally.run, pattern, entry)


def too_early(hearing: Hearing, use: Run | Course | None) -> Iterator[Breach]:
    """Rule 18: a mark that would begin an item (or an attempt) before the rest's least length is up."""
    if use is None or use.rest_since is None:
        return
    rest = use.clause.rest if isinstance(use, Run) else use.event.rest_between
    if rest is None or rest.least is None:
        return
    taken, least = hearing.now - use.rest_since, rest.least.length
    if taken < micros(least):
        yield breach_of(
            hearing,
            rest.least,
            use.parent if isinstance(use, Run) else None,  # Rule 18: it stands in the clause around it
            between=use if isinstance(use, Course) else None,
            figure=measured(taken, least),
            margin=measured(taken - micros(least), least),
        )


def stops(hearing: Hearing, entry: Entry) -> Iterator[Breach]:
    """Rule 44: what says, between the attempts of an event, that no other follows."""
    for course, pattern, fault in stops_waited_for(hearing):
        if pattern.fits(entry.mark, entry.value):
            yield _of_value(hearing, fault, None, pattern, entry, course)


def stops_waited_for(hearing: Hearing) -> Iterator[tuple[Course, Pattern, Fault]]:
    for course in hearing.can_open():
        begun = any(attempt.charged for attempt in course.attempts)
        for fault in course.event.stops if begun else ():
            assert isinstance(fault.trigger, Occurrence)
            yield course, fault.trigger.pattern, fault


# --- at a completion -------------------------------------------------------------------------------------


def unmet(hearing: Hearing, tally: Tally, until: int) -> list[Breach]:
    """Rules 2 and 29: each limit judged at completion that is not met, but for those on time, as written."""
    found = []
    for limit in sorted(tally.limits, key=lambda each: each.order):
        if is_judged_late(limit) and not is_kept(hearing.attempt, limit):
            figure = figure_now(hearing, tally, limit, until)
            least, _ = least_and_most(limit.test)
            if limit.figure.kind is FigureKind.COUNT:
                met = least is None or (figure is not None and figure >= least)
            else:
                met = is_met(limit, figure)
            if not met:
                breach = _with_figure(hearing, limit, tally.run, figure)
                found.append(_with_readings(limit, tally, breach, figure))
    return found


def _with_readings(limit: Limit, tally: Tally, breach: Breach, figure: Amount | None) -> Breach:
    """Rule 41."""
    if limit.figure.kind is FigureKind.READING and figure is None:
        return evolve(breach, readings=len(tally.values(limit.figure.mark or "")))
    return breach


def at_completion(hearing: Hearing, tally: Tally) -> list[Breach]:
    """Rules 2, 11 and 35: what a clause that would complete now has too few of, then what it is too early for,
    then (rule 30) a score that fails.
    """
    found = unmet(hearing, tally, hearing.now)
    for limit in sorted(tally.limits, key=lambda each: each.order):
        if limit.figure.kind is FigureKind.TIME:
            lasted, (least, _) = hearing.now - tally.since, least_and_most(limit.test)
            if least is not None and lasted < least and not is_kept(hearing.attempt, limit):
                found.append(_with_figure(hearing, limit, tally.run, lasted))
    found += _failed_score(hearing, tally)
    return found


def _failed_score(hearing: Hearing, tally: Tally) -> Iterator[Breach]:
    """Rule 30."""
    run = tally.run
    if run is None or run.clause.score is None or is_kept(hearing.attempt, run.clause.score):
        return
    if own_points(hearing, run, hearing.now) is None:
        score, (_, figure) = run.clause.score, row_of(hearing, run, hearing.now)
        if figure is None or not score.rows:
            yield breach_of(hearing, score, run)
        else:
            test = score.rows[-1].test  # Rule 23
            near = measured(margin(test, figure), test.first)
            yield breach_of(hearing, score, run, figure=measured(figure, test.first), margin=near)


# --- grades ----------------------------------------------------------------------------------------------


def of_lowest_grade(hearing: Hearing, tally: Tally) -> Breach | None:
    """Rule 31: the first limit of the lowest grade that does not hold."""
    for limit in hearing.standard.grades[-1].limits if hearing.standard.grades else ():
        figure = figure_now(hearing, tally, limit, hearing.now)
        if not is_met(limit, figure):
            return _with_readings(limit, tally, _with_figure(hearing, limit, None, figure), figure)
    return None
