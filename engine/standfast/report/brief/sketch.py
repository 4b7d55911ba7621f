"""A standard in short words, for a picture: what each part asks, and where each breach leads."""

from collections.abc import Iterable, Iterator

from standfast.model.rules import (
    Counting,
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Misses,
    Occurrence,
    OutOfOrder,
    Pattern,
    RestBound,
    Silence,
    Until,
    UntilTotals,
)
from standfast.model.standard import Clause, Condition, Event, Kind, Standard, bounds
from standfast.quantity import Comparison
from standfast.report.brief import figures, points
from standfast.report.brief.course import whom
from standfast.report.brief.figures import short_figure
from standfast.report.brief.rounds import out
from standfast.report.brief.rules import condition
from standfast.report.brief.spoken import amount, counted, listed, name, ordinal, tested, times, whose
from standfast.report.lines import safe
from standfast.values import evolve, frozen

_KINDS = {
    Kind.STEP: None,
    Kind.IN_ORDER: "one after another",
    Kind.ANY_ORDER: "in any order",
    Kind.ONE_OF: "one of these",
    Kind.ROUNDS: "one after another in each round",
}


@frozen
class Short:
    """One rule; `leads` is where its breach leads, `effect` what kind of breach that is."""

    text: str
    leads: str | None = None
    effect: Effect | None = None

    def __str__(self) -> str:
        if self.leads is None:
            return self.text
        return f"{self.text}{',' if self.leads.startswith('else ') else ':'} {self.leads}"


@frozen
class Piece:
    """A part of the picture.

    `pauses` come before it, `ends` after its pieces; `joined` says how its pieces follow one another.
    """

    name: str
    title: str | None = None
    pauses: tuple[Short, ...] = ()
    rules: tuple[Short, ...] = ()
    joined: str | None = None
    in_order: bool = False
    pieces: "tuple[Piece, ...]" = ()
    ends: tuple[Short, ...] = ()

    def lines(self, indent: int = 0) -> Iterator[tuple[int, str]]:
        """All of it in words, each line with how far in it stands."""
        yield from ((indent, str(short)) for short in self.pauses)
        joined = "" if self.joined is None else f" ({self.joined})"
        yield indent, f"{self.name}{': ' + self.title if self.title else ''}{joined}"
        yield from ((indent + 1, str(short)) for short in self.rules)
        for piece in self.pieces:
            yield from piece.lines(indent + 1)
        yield from ((indent + 1, str(short)) for short in self.ends)


def pieces(standard: Standard) -> tuple[Piece, ...]:
    """What is drawn, each in a picture of its own: the whole test, then every event."""
    return (_overview(standard), *(_event(event, number) for number, event in enumerate(standard.events, 1)))


def _overview(standard: Standard) -> Piece:
    """What must hold, what holds at any time, and the events, each in few words."""
    in_any_order = standard.events_in_any_order
    failed = "the others are judged all the same" if standard.carry_on else "the test ends"
    owed = (
        Short("something still owed at the end", "ends the test NO-GO", Effect.FAIL)
        if standard.owed_fails
        else Short("something still owed at the end", "UNFINISHED", Effect.NOTE)
    )
    before = _demands("before it begins", standard.conditions)
    always = _rules(standard.always.limits, standard.always.faults, None, None)
    return Piece(
        name=safe(standard.title),
        rules=(*before, *(evolve(each, text=f"at any time: {each.text}") for each in always), *_grades(standard)),
        joined=_KINDS[Kind.ANY_ORDER if in_any_order else Kind.IN_ORDER] if len(standard.events) > 1 else None,
        in_order=not in_any_order,
        pieces=tuple(_glimpse(event, number) for number, event in enumerate(standard.events, 1)),
        ends=(Short("every event passed", "GO"), Short("an event failed", f"NO-GO, {failed}", Effect.FAIL), owed),
    )


def _event(event: Event, number: int) -> Piece:
    """One event in full."""
    between = () if event.rest_between is None else bounds(event.rest_between)
    greatest = None if event.rest_between is None else event.rest_between.greatest
    carried = (Short("a failure is kept; the try goes on to its last step and fails there"),)
    used_up = () if event.attempts is None else (Short("all tries used up", "event NO-GO", Effect.FAIL),)
    whole = _piece(event.clause, str(number), event)
    extra = (
        Short(_tries(event)),
        *(
            _pause(bound, "between tries", event.clause, event.clause, event, bound is greatest)
            for bound in between
        ),
        *(carried if event.carry_on else ()),
        *_demands("before this event", event.conditions),
    )
    return Piece(
        name=whole.name,
        title=whole.title,
        rules=(*extra, *whole.rules),
        joined=whole.joined,
        in_order=whole.in_order,
        pieces=whole.pieces,
        ends=(Short("all done", "event GO"), *used_up) if event.best is None else _ends_of_best(event),
    )


def _ends_of_best(event: Event) -> tuple[Short, ...]:
    """What becomes of an event that goes on after a try that succeeds."""
    ways = ["no other try"] if event.stops else []
    ways += [] if event.attempts is None else ["all tries used up"]
    ways += ["the next event begins", "the test ends"]
    return (
        Short("all done", "the try succeeds, and another may follow"),
        Short(f"{listed(ways, 'or')}: a try has succeeded", "event GO"),
        *((Short("none has", "event NO-GO", Effect.FAIL),) if event.stops or event.attempts is not None else ()),
    )


def _glimpse(event: Event, number: int) -> Piece:
    clause = event.clause
    return Piece(
        name=f"{number} {_title(clause)}",
        title=None if clause.title is None else safe(clause.title),
        rules=(Short(_tries(event)), *_beginning(clause)),
    )


def _piece(clause: Clause, number: str, event: Event, around: Clause | None = None) -> Piece:
    greatest = None if clause.rest is None else clause.rest.greatest
    rest = () if clause.rest is None or around is None else bounds(clause.rest)
    return Piece(
        name=f"{number} {_title(clause)}",
        title=None if clause.title is None else safe(clause.title),
        pauses=tuple(_pause(bound, "pause", clause, around or clause, event, bound is greatest) for bound in rest),
        rules=(
            *_beginning(clause),
            *_goal(clause),
            *_scored(clause, event),
            *_rules(clause.limits, clause.faults, clause, event),
        ),
        joined=_KINDS[clause.kind] if len(clause.items) > 1 else None,
        in_order=clause.kind in (Kind.IN_ORDER, Kind.ROUNDS),
        pieces=tuple(
            _piece(item, f"{number}.{place}", event, clause) for place, item in enumerate(clause.items, 1)
        ),
    )


def _title(clause: Clause) -> str:
    return name(clause.label).capitalize()


def _tries(event: Event) -> str:
    tries = "tries without limit" if event.attempts is None else counted(event.attempts, "try", "tries")
    if event.best is None:
        return tries
    side = "least" if event.best.least else "greatest"
    return f"{tries}, the one with the {side} {short_figure(event.best.figure)} counts"


def _demands(when: str, conditions: tuple[Condition, ...]) -> tuple[Short, ...]:
    if not conditions:
        return ()
    demands = "; ".join(f"{name(each.name)} {condition(each)}" for each in conditions)
    return (Short(f"{when}: {demands}", "else VOID", Effect.DISQUALIFY),)


def _beginning(clause: Clause) -> tuple[Short, ...]:
    only = whom(clause)
    return (*(() if only is None else (Short(only[0].lower() + only[1:].rstrip(".")),)), *_begins(clause))


def _begins(clause: Clause) -> tuple[Short, ...]:
    if clause.start is None:
        return (Short("opens by itself"),) if clause.depth == 1 else ()
    start = clause.start
    how = "starts with the first" if start.first else "starts on"
    which = f" the {ordinal(start.more_than + 1)}" if start.more_than else ""
    begins = Short(f"{how}{which} {seen(start.pattern)}{_whose(start.counting)}")
    return (begins, Short("need not begin")) if clause.only_if_begun else (begins,)


def _whose(counting: Counting) -> str:
    return whose(counting, "one's own")


def _goal(clause: Clause) -> tuple[Short, ...]:
    if clause.rounds is not None:
        number = Short(counted(len(clause.rounds.rounds), "round", "rounds"))
        tries = Short(f"each tried {counted(clause.rounds.tries, 'time', 'times')} at most")
        return (number, tries, *_reached(clause))
    return _reached(clause)


def _reached(clause: Clause) -> tuple[Short, ...]:
    match clause.goal:
        case Until(pattern=pattern, number=1):
            return (Short(f"until {seen(pattern)}"),)
        case Until(pattern=pattern, number=number, counting=counting):
            return (Short(f"until the {ordinal(number)} {seen(pattern)}{_whose(counting)}"),)
        case UntilTotals(mark=mark, amount=total):
            return (Short(f"until {name(mark)} reaches {amount(total)} in all"),)
        case For(length=length):
            return (Short(f"for {amount(length)}"),)
    return ()


def _rules(
    limits: Iterable[Limit], faults: Iterable[Fault], clause: Clause | None, event: Event | None
) -> tuple[Short, ...]:
    return (
        *(_limit(each, event) for each in limits),
        *(Short(trigger(each), leads(each, clause, event), each.effect) for each in faults),
    )


def _limit(rule: Limit, event: Event | None) -> Short:
    if rule.misses:
        return Short(limit(rule), "else misses a go at the round", Effect.MISS)
    return Short(limit(rule), f"else {_fails(event)}", Effect.FAIL)


def _scored(clause: Clause, event: Event | None) -> tuple[Short, ...]:
    return tuple(
        Short(points.short(score), f"else {_fails(event)}", Effect.FAIL)
        if score.otherwise is None
        else Short(points.short(score))
        for score in clause.scores
    )


def _grades(standard: Standard) -> tuple[Short, ...]:
    return tuple(
        Short(
            f"for grade {name(grade.name)}: {limit(each)}",
            "else the test ends NO-GO" if grade is standard.grades[-1] else "else a lower grade",
            Effect.FAIL if grade is standard.grades[-1] else Effect.NOTE,
        )
        for grade in standard.grades
        for each in grade.limits
    )


def _pause(bound: RestBound, what: str, clause: Clause, around: Clause, event: Event, greatest: bool) -> Short:
    """One bound of the pause before the clause, or between tries."""
    if clause.start is None:
        return Short(f"{what} {amount(bound.length)}")
    word = "at most" if greatest else "at least"
    return Short(f"{what} {word} {amount(bound.length)}", f"else {leads(bound, around, event)}", bound.effect)


def seen(pattern: Pattern) -> str:
    mark = name(pattern.mark)
    if pattern.choices:
        other = "anything but " if pattern.other else ""
        return f"{mark} ({other}{listed([name(each) for each in pattern.choices], 'or')})"
    if pattern.test is not None:
        test = pattern.test
        return f"{mark} ({tested(test)})"
    return mark


def limit(rule: Limit) -> str:
    """Total over every kind of figure and comparison."""
    test = rule.test
    allowed = tested(test)
    mark = name(rule.figure.mark or "")
    match rule.figure.kind:
        case FigureKind.TIME:
            return f"takes {allowed}"
        case FigureKind.COUNT:
            return f"{mark}, {_how_often(rule)}{_whose(rule.figure.counting)}"
        case FigureKind.SILENCE:
            if test.comparison is Comparison.AT_MOST:
                return f"never more than {amount(test.first)} without {mark}"
            if test.comparison is Comparison.UNDER:
                return f"never {amount(test.first)} or more without {mark}"
            return f"longest stretch without {mark}: {allowed}"
        case FigureKind.MADE | FigureKind.MISSED | FigureKind.FURTHEST:
            return rule.words
        case _:
            return figures.short(rule)


def _how_often(rule: Limit) -> str:
    test = rule.test
    first = times(int(test.first.base))
    match test.comparison:
        case Comparison.UNDER:
            return "never" if test.first.base == 1 else f"fewer than {first}"
        case Comparison.OVER:
            return f"more than {first}"
        case Comparison.FROM_TO:
            assert test.second is not None
            return f"at least {first} and at most {times(int(test.second.base))}"
    return f"{test.comparison.value} {first}"


def trigger(fault: Fault) -> str:
    match fault.trigger:
        case Occurrence(pattern=pattern, more_than=0):
            return seen(pattern)
        case Occurrence(pattern=pattern, more_than=number, counting=counting):
            return f"{seen(pattern)}, the {ordinal(number + 1)} time{_whose(counting)}"
        case OutOfOrder(pattern=pattern):
            return f"{seen(pattern)} out of turn"
        case Silence(mark=mark, length=length, or_more=True):
            return f"{amount(length)} or more without {name(mark)}"
        case Silence(mark=mark, length=length):
            return f"more than {amount(length)} without {name(mark)}"
        case Misses() as misses:
            return out(misses)


def leads(rule: Fault | RestBound, clause: Clause | None, event: Event | None) -> str:
    """Where a breach leads; `clause` is the one the rule stands in."""
    match rule.effect:
        case Effect.NOTE:
            return "noted"
        case Effect.PASS:
            return "passes the round"
        case Effect.MISS:
            return "misses a go at the round"
        case Effect.OUT:
            return "ends the rounds" if clause is not None and clause.kind is Kind.ROUNDS else "no other try"
        case Effect.RESTART:
            assert clause is not None
            wait = " at once" if rule.at_once else ""
            most = "" if rule.at_most is None else f", at most {times(rule.at_most)}"
            return f"back to the start of {name(clause.label)}{wait}{most}"
        case Effect.FAIL:
            return "fails the try" if event is None else _fails(event)
        case Effect.HALT:
            return f"stops the try, {'counted' if rule.charged else 'not counted'}"
        case Effect.DISQUALIFY:
            return "ends the test NO-GO"


def _fails(event: Event | None) -> str:
    if event is None:
        return "ends the test NO-GO"
    return "the failure is kept" if event.carry_on else "fails the try"
