"""A log sheet to be filled in: header lines, then each candidate has a row for each mark, in the order of steps.

A time is `_` until it is filled in. What is printed is what a passing attempt is made of, one attempt an event,
then the marks that rules against the candidate name; the row of an end stands last. A row may be copied where more
is seen. `read_log` takes the sheet as it is for a log of nothing.
"""

from collections.abc import Iterator, Sequence

from standfast.log.blanks import BLANK, BY_CANDIDATE, ORDER
from standfast.log.cells import neutral, quoted
from standfast.log.lines import BYTE_ORDER_MARK
from standfast.log.roster import Listed
from standfast.log.sheet_header import FOR
from standfast.log.sheet_writer import COLUMNS
from standfast.model.rules import (
    Fault,
    Occurrence,
    OutOfOrder,
    Pattern,
    Rule,
    Start,
    Until,
    UntilTotals,
    marks_named,
)
from standfast.model.standard import Clause, Event, Mark, Standard
from standfast.values import frozen

Printed = tuple[str, str]
"""A mark, and the value that is printed with it: empty where it is to be filled in, or there is none."""


@frozen(kw_only=True)
class Sitting:
    """What is known beforehand of the session the sheet is for; None is left to be filled in, or out."""

    session: str
    started: str | None = None
    grader: str | None = None


def fill_in_bytes(standard: Standard, roster: Sequence[Listed], sitting: Sitting) -> bytes:
    """The sheet as comma-separated values that a spreadsheet opens (RFC 4180)."""
    lines = [quoted(f"# {key}: {neutral(value)}", value) for key, value in _header(standard, roster, sitting)]
    lines.append(",".join(COLUMNS))
    printed = tuple(printed_marks(standard))
    for each in roster:
        lines += [_row(mark, value, each.candidate) for mark, value in printed]
    lines.append(_row("end", "", ""))
    return BYTE_ORDER_MARK + "".join(line + "\r\n" for line in lines).encode()


def _row(mark: str, value: str, candidate: str) -> str:
    cells = {"at": BLANK, "mark": mark, "value": value, "candidate": candidate}
    return ",".join(quoted(neutral(cells.get(column, ""))) for column in COLUMNS)


def _header(standard: Standard, roster: Sequence[Listed], sitting: Sitting) -> Iterator[tuple[str, str]]:
    yield from (("session", sitting.session), ("standard", standard.name), ("edition", standard.edition))
    yield ORDER, BY_CANDIDATE
    yield from (("candidate", each.candidate) for each in roster)
    if sitting.started is not None:
        yield "started", sitting.started
    yield "grader", sitting.grader or BLANK
    own = (condition for event in standard.events for condition in event.conditions)
    for name in dict.fromkeys(condition.name for condition in (*standard.conditions, *own)):
        yield f"condition {name}", BLANK
    for each in roster:
        stated = dict(each.facts)
        for fact in standard.facts:
            yield f"fact {fact.name}", f"{stated.get(fact.name, BLANK)}{FOR}{each.candidate}"


def printed_marks(standard: Standard) -> Iterator[Printed]:
    """What is printed for each candidate, event by event; last what is looked for at any time."""
    marks = {mark.name: mark for mark in standard.marks}
    for event in standard.events:
        yield from _event(event, marks)
    always = (*standard.always.limits, *standard.always.faults)
    yield from dict.fromkeys(named for rule in always for named in _named(rule, marks))


def _event(event: Event, marks: dict[str, Mark]) -> Iterator[Printed]:
    course = list(_course(event.clause, marks))
    yield from course
    against = (named for clause in event.clause.walk() for rule in clause.rules() for named in _named(rule, marks))
    for mark, value in dict.fromkeys(against):
        if (mark, value) not in course and (value or all(each != mark for each, _ in course)):
            yield mark, value


def _course(clause: Clause, marks: dict[str, Mark]) -> Iterator[Printed]:
    """What a passing run of the clause is made of, in the order of its steps."""
    if clause.start is not None:
        yield from (_printed(clause.start.pattern, marks) for _ in range(clause.start.more_than + 1))
    for name in [""] if clause.rounds is None else [each.words for each in clause.rounds.rounds]:
        match clause.goal:
            case Until(pattern=pattern, number=number):
                mark, value = _printed(pattern, marks)
                value = name if marks[mark].names_round and name[:1].isalpha() else value
                yield from ((mark, value) for _ in range(number))
            case UntilTotals(mark=mark):
                yield mark, ""
        for item in clause.items:
            yield from _course(item, marks)


def _named(rule: Rule, marks: dict[str, Mark]) -> Iterator[Printed]:
    if isinstance(rule, Start | Until | UntilTotals):
        return  # a mark of the course
    if isinstance(rule, Fault) and isinstance(rule.trigger, Occurrence | OutOfOrder):
        yield _printed(rule.trigger.pattern, marks)
    else:
        yield from ((mark, "") for mark in marks_named(rule))


def _printed(pattern: Pattern, marks: dict[str, Mark]) -> Printed:
    """A choice is printed where the rule names one."""
    chosen = pattern.choices if marks[pattern.mark].choices and not pattern.other else ()
    return pattern.mark, chosen[0] if len(chosen) == 1 else ""
