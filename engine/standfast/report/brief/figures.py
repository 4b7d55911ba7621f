"""Limits on values, rates and sums, in one sentence each."""

from standfast.model.rules import Figure, FigureKind, Limit, Part
from standfast.quantity import Rounding
from standfast.report.brief.setting import Setting, called
from standfast.report.brief.spoken import amount, listed, name, tested

_VALUES = {
    FigureKind.TOTAL: "the total of all",
    FigureKind.LARGEST: "the largest",
    FigureKind.SMALLEST: "the smallest",
    FigureKind.LAST: "the last",
    FigureKind.EACH: "each",
}
ROUNDS = {
    FigureKind.MADE: "the number of rounds made",
    FigureKind.MISSED: "the number of rounds missed",
    FigureKind.FURTHEST: "the furthest round made",
}


def sentence(rule: Limit, setting: Setting, then: str) -> str:
    """What is measured from when to when, what it must be, and what follows if it is not."""
    run = f"from {setting.opening().words} to {setting.completion()}"
    allowed = tested(rule.test)
    what = phrase(rule.figure, setting)
    whens = []
    if rule.acts_at_once:
        whens.append("as soon as it can no longer be")
    if rule.judged_late:
        whens.append(f"if it is not at {setting.completion()}")
    there = "" if rule.test.has_most and not rule.test.has_least else "; with nothing logged for it it is not met"
    if rule.figure.kind is FigureKind.EACH:
        whens, there = ["at the first that is not"], ""
    if rule.figure.kind in (FigureKind.COUNT, FigureKind.TOTAL, FigureKind.TIME, FigureKind.POINTS):
        there = ""
    if any(part.kind in ROUNDS for part in rule.figure.parts):
        there = ""
    if rule.figure.must_be_there:
        there = "; with no reading, or a number of them that has no rule, it is not met" + "".join(
            dict.fromkeys(f"; {joining(p, setting)}" for p in rule.figure.all_parts() if p.readings is not None)
        )
    return f"{what[0].upper()}{what[1:]}, {run}, is {allowed}; {' or '.join(whens)}, {then}{there}."


def phrase(figure: Figure, setting: Setting) -> str:
    """`the largest “load”`, `the time of “carry” plus the time of “lower”`."""
    parts = figure.parts or (Part(figure.kind, figure.mark, None),)
    return " plus ".join(_part(part, setting) for part in parts)


def _part(part: Part, setting: Setting) -> str:
    where = "" if part.path is None else f" in {_clause(part.path, setting)}"
    if part.kind is FigureKind.TIME:
        return f"the time{'' if part.path is None else f' of {_clause(part.path, setting)}'}"
    if part.kind is FigureKind.POINTS:
        own = "the sum of all points" if setting.clause is None else "the sum of the points in it"
        return own if part.path is None else f"the points for {_clause(part.path, setting)}"
    if part.kind in ROUNDS:
        return f"{ROUNDS[part.kind]}{where}"
    mark = setting.mark(part.mark or "")
    match part.kind:
        case FigureKind.COUNT:
            return f"the number of {mark}{where}"
        case FigureKind.READING:
            return f"the reading of {mark}{where}"
        case FigureKind.RATE:
            return f"the rate of {mark}, from the first to the last of them{where}"
        case _:
            return f"{_VALUES[part.kind]} {mark}{where}"


def joining(part: Part, setting: Setting) -> str:
    """`of 3 readings of “watch” the middle counts, of 2 the longer, rounded up to 0.1 seconds`."""
    assert part.readings is not None and part.mark is not None
    said = [f"of {number} the {pick.value}" for number, pick in part.readings.picks]
    if part.readings.rounding is not None:
        said.append(rounded(part.readings.rounding))
    return f"what counts of the readings of {setting.mark(part.mark)}: one by itself, {', '.join(said)}"


def rounded(rounding: Rounding) -> str:
    """`rounded nearest to 0.1 seconds, ties up`."""
    way, _, ties = rounding.way.value.partition(",")
    return f"rounded {way} to {amount(rounding.step)}{',' if ties else ''}{ties}"


def _clause(path: str, setting: Setting) -> str:
    clauses = (clause for event in setting.standard.events for clause in event.clause.walk())
    return called(next(clause for clause in clauses if clause.path == path))


def short(rule: Limit) -> str:
    """The same in few words, for a picture: `largest load, at most 30 kilograms`."""
    return f"{short_figure(rule.figure)}, {tested(rule.test)}"


def short_figure(figure: Figure) -> str:
    parts = figure.parts or (Part(figure.kind, figure.mark, None),)
    said = []
    for part in parts:
        words = [part.kind.value, *([] if part.mark is None else [name(part.mark)])]
        last = [] if part.path is None else [f"in {name(part.path.rpartition('.')[2])}"]
        said.append(" ".join((*words, *last)))
    return listed(said, "plus")
