"""How a test goes: its order, tries, beginnings and ends, in sentences."""

from standfast.model.rules import For, Pattern, Readings, Until, UntilTotals
from standfast.model.standard import (
    Acceptance,
    Best,
    Case,
    Clause,
    Event,
    Expectation,
    Fact,
    Given,
    Kind,
    Mark,
    Standard,
)
from standfast.quantity import Quantity, Way, clock
from standfast.report.brief import figures, rounds
from standfast.report.brief.setting import Setting, Voice, called
from standfast.report.brief.spoken import amount, counted, listed, name, plural
from standfast.report.lines import safe

_HAPPENS = {
    Given.FAILS: "fails",
    Given.RESTARTS: "begins anew",
    Given.NOTES: "is noted",
    Given.DISQUALIFIES: "ends the test",
    Given.HALTS: "stops the try for safety",
    Given.BEGINS: "begins",
    Given.OUT: "ends the tries",
}


def of_the_test(standard: Standard) -> tuple[str, ...]:
    """What the header says of the order and of the verdict, and what a verdict means."""
    return (_order(standard), *map(fact, standard.facts), *_verdicts(standard))


def _order(standard: Standard) -> str:
    events = [f"“{name(event.label)}”" for event in standard.events]
    number = counted(len(events), "event", "events")
    if len(events) == 1:
        return f"The test is {number}, {events[0]}."
    if standard.events_in_any_order:
        opens = "each opens on its own start, while no try is open"
        return f"The test is {number} in any order, {listed(events)}: {opens}."
    return f"The test is {number} in this order: {listed(events, 'then')}."


def _and_grade(standard: Standard) -> str:
    if not standard.grades:
        return ""
    lowest = name(standard.grades[-1].name)
    return f" and what the grade “{lowest}” asks for is met; the verdict names the highest grade that is"


def _verdicts(standard: Standard) -> tuple[str, ...]:
    later = "the other events are judged all the same" if standard.carry_on else "later events are not judged"
    one = len(standard.events) == 1
    owed = (
        "Whatever is still owed when the log is ended makes the test NO-GO."
        if standard.owed_fails
        else "UNFINISHED: the log ends before either is certain; what is still owed is listed."
    )
    conditions = any((standard.conditions, *(event.conditions for event in standard.events)))
    return (
        f"GO: {'the event' if one else 'every event'} is passed{_and_grade(standard)}.",
        "NO-GO: the event is failed." if one else f"NO-GO: an event is failed; {later}.",
        owed,
        *_close_calls(standard),
        *_void(conditions=conditions, facts=bool(standard.facts)),
    )


def _close_calls(standard: Standard) -> tuple[str, ...]:
    within = standard.times_within
    if within is None:
        return ()
    doubt = f"Logged times may be wrong by up to {amount(within)}"
    return (f"{doubt}: a verdict that hangs on so much is marked a close call.",)


def _void(*, conditions: bool, facts: bool) -> tuple[str, ...]:
    voids = ["a condition does not hold or is not stated"] if conditions else []
    voids += ["a fact of the candidate that is needed is not stated"] if facts else []
    return (f"VOID: {listed(voids, 'or')}; then nothing else decides.",) if voids else ()


def fact(declared: Fact) -> str:
    """What is to be stated of the candidate, and how."""
    seen = "" if declared.title is None else f" (“{safe(declared.title)}”)"
    if declared.choices:
        how = f"one of {listed([name(each) for each in declared.choices], 'or')}"
    elif declared.heading:
        how = "a heading, from 0 to under 360 degrees"
    elif declared.is_number:
        how = "a whole number"
    else:
        assert declared.unit is not None
        how = f"in {plural(declared.unit)}"
    return f"Stated of the candidate before the test: {name(declared.name)}, {how}{seen}."


def whom(clause: Clause) -> str | None:
    """For which candidates the clause is in the test, where it is not for all."""
    only = clause.only_for
    if only is None:
        return None
    return f"Only for candidates with {name(only.fact)} {listed([name(each) for each in only.choices], 'or')}."


def tries(event: Event, setting: Setting) -> str:
    you = "You have " if setting.voice is Voice.CANDIDATE else ""
    if event.best is not None:
        return you + _best(event, event.best, setting)
    if event.attempts is None:
        return "You have as many tries as you want." if you else "As many tries as the candidate wants."
    number = counted(event.attempts, "try", "tries")
    if event.attempts == 1:
        return f"{you}{number}: if it fails, the event is failed."
    return f"{you}{number}: the first that succeeds passes the event; when all are used up, it is failed."


def _best(event: Event, best: Best, setting: Setting) -> str:
    wanted = "as many tries as are wanted" if setting.voice is Voice.CANDIDATE else "As many tries as are wanted"
    number = wanted if event.attempts is None else counted(event.attempts, "try", "tries")
    closed = ["the next event begins", "the test ends"]
    closed[:0] = [] if event.attempts is None else ["they are used up"]
    closed[:0] = ["it is said that no other does"] if event.stops else []
    side = "least" if best.least else "greatest"
    return (
        f"{number}: one that succeeds passes the event, and more may follow until {listed(closed, 'or')}. "
        f"The one that counts is that with the {side} figure: {figures.phrase(best.figure, setting)}."
    )


def carry_on() -> str:
    return "A failure does not end the try: it is kept, the try goes on to its last step and fails there."


def begins(setting: Setting) -> str:
    assert setting.clause is not None
    only = whom(setting.clause)
    return _begins(setting) if only is None else f"{only} {_begins(setting)}"


def _begins(setting: Setting) -> str:
    clause = setting.clause
    assert clause is not None
    if clause.start is not None:
        start, owed = clause.start, " It need not begin; once it has, it must be done."
        seen, also = setting.signal(start), owed if clause.only_if_begun else ""
        if start.first:
            return f"Begins with the first {seen}, which already counts.{also}"
        if start.more_than:
            since = f"counted from when it begins to wait{setting.whose(start.counting)}"
            return f"Begins on {seen}, {since}; it is only the signal.{also}"
        return f"Begins on {seen}, which is only the signal.{also}"
    if setting.around is None or setting.around.clause is None:
        return "Opens by itself, as soon as the event or try before it has ended."
    if setting.before is None and setting.around.clause.kind is Kind.ROUNDS:
        return "Begins with each round, and with each new go at it."
    how = "by itself" if setting.before is not None else f"with {called(setting.around.clause)}"
    return f"Begins {how}, at {setting.opening().words}."


def goal(setting: Setting) -> str:
    """What completes the clause."""
    clause = setting.clause
    assert clause is not None
    if clause.rounds is not None:
        return rounds.course(clause.rounds, _made(setting, clause))
    match clause.goal:
        case Until(pattern=pattern, number=1):
            return f"Done on {setting.seen(pattern)}."
        case Until(pattern=pattern, number=number, counting=counting):
            since = f"{setting.counted_from(pattern)}{setting.whose(counting)}"
            return f"Done on {setting.nth(number, pattern)}, counted from {since}."
        case UntilTotals(mark=mark, amount=total):
            since = setting.counted_from(Pattern(mark))
            return f"Done when {setting.mark(mark)} adds up to {amount(total)} or more, counted from {since}."
        case For(length=length):
            return f"Goes on for {amount(length)}, from {setting.opening().words}; done when that time is up."
    parts = f"{len(clause.items)} parts"
    match clause.kind:
        case Kind.ANY_ORDER if any(item.only_if_begun for item in clause.items):
            left = "done when none is left that must be done or has begun"
            return f"Its {parts} in any order, also at the same time; {left}."
        case Kind.ANY_ORDER if len(clause.items) > 1:
            return f"Its {parts} in any order, also at the same time; done with the last."
        case Kind.ONE_OF if len(clause.items) > 1:
            return f"One of its {parts}: the first start that comes chooses; done with the part that was chosen."
        case _ if len(clause.items) > 1:
            return f"Its {parts} one after another; done with the last."
    return "It has one part."


def _made(setting: Setting, clause: Clause) -> str:
    """What makes a round, to stand after `made`."""
    match clause.goal:
        case Until(pattern=pattern, number=number):
            since = "" if number == 1 else ", counted from the opening of the round or of the go at it"
            return f"on {setting.nth(number, pattern)}{since}"
    if len(clause.items) == 1:
        return "when its one part is done"
    return f"when its {len(clause.items)} parts are done, one after another"


def mark(declared: Mark, *, graded: bool) -> str:
    """What is to be seen, and what is logged with it; `graded`: by whom too."""
    seen, by = safe(declared.title).rstrip("."), " Log by whom." if graded else ""
    if declared.choices:
        return f"{seen}. Log which: {listed(declared.choices, 'or')}.{by}"
    if declared.heading:
        return f"{seen}. Log its heading, from 0 to under 360 degrees (`deg`).{by}"
    if declared.unit is not None:
        value = f"{seen}. Log its value in {plural(declared.unit)} (`{declared.unit.name}`).{by}"
        return value if declared.readings is None else f"{value} {_joined(declared.readings)}."
    if declared.names_round:
        return f"{seen}. Log the name of the round with it, unless it is the one now open.{by}"
    return f"{seen}.{by}"


_ROUNDED = {
    Way.UP: "rounded up to a multiple of {}, an exact one as it is",
    Way.DOWN: "rounded down to a multiple of {}",
    Way.NEAREST_TIES_UP: "rounded to the nearest multiple of {}, up from the middle of two",
    Way.NEAREST_TIES_TO_EVEN: "rounded to the nearest multiple of {}, to the even one from the middle of two",
}


def _joined(readings: Readings) -> str:
    """Which of several readings counts, and how it is rounded."""
    picks = [f"of {number} readings the {word.value}" for number, word in readings.picks]
    counts = f"{listed(picks)} counts" if picks else "each reading counts"
    if readings.rounding is not None:
        counts += f", {_ROUNDED[readings.rounding.way].format(amount(readings.rounding.step))}"
    return counts[0].upper() + counts[1:]


def example(case: Case) -> str:
    given = [f"{name(fact)} {_fact(value)}" for fact, value in case.given]
    for fact, stated, whose in case.facts:
        of = "" if whose is None else f" for {whose}"
        given.append(f"{name(fact)} {name(stated) if isinstance(stated, str) else amount(stated)}{of}")
    says = listed([_expected(each) for each in case.expectations])
    return f"{safe(case.title)}{': with ' + listed(given) if given else ''}: {says}."


def _fact(value: Quantity | bool) -> str:
    return ("yes" if value else "no") if isinstance(value, bool) else amount(value)


def _expected(each: Expectation) -> str:
    who = f" for {each.candidate}" if each.candidate else ""
    if each.word is Given.POINTS:
        return f"{'the test' if each.path is None else f'`{each.path}`'} gives {each.points} points{who}"
    if each.word is Given.GRADE:
        return f"the grade is {name(each.grade or '')}{who}"
    if each.path is None:
        return f"the test is {each.word.value}{who}"
    if each.word is Given.FURTHEST:
        return f"`{each.path}` goes as far as {safe(each.furthest or 'no round')}{who}"
    if each.at is None:
        return f"`{each.path}` is {each.word.value}{who}"
    return f"`{each.path}` {_HAPPENS[each.word]} at {clock(each.at)}{who}"


def acceptance(each: Acceptance) -> str:
    where = f"`{each.path}`" if each.path else "the header"
    return f"Meant as it stands, in {where}: {safe(each.why)} ({each.code})."
