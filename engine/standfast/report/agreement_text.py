"""Several graders on the same candidates, for a terminal: where they differ, then how far they agree."""

from collections.abc import Iterator
from decimal import Decimal

from standfast.agreement.coefficients import Agreement, Coefficient, Undefined
from standfast.agreement.graders import Class, Difference, Subject
from standfast.agreement.pairs import Pair
from standfast.log.entry import Entry
from standfast.quantity import SECOND, clock
from standfast.report.amounts import margin_text
from standfast.report.lines import folded, table
from standfast.verdict import Measure

_WHY = {
    Undefined.TOO_FEW: "not defined: it takes two candidates or more",
    Undefined.NO_LIBRARY: "not computed: its package is not installed",
}


def subject_text(subject: Subject) -> str:
    """One candidate: what each grader's log came to, then where the logs differ, two by two."""
    said = "the outcomes are alike" if subject.alike else "the outcomes differ"
    lines = [
        *folded(f"candidate {subject.candidate}, session {subject.session}: {said}"),
        *folded(f"standard {subject.standard}, edition {subject.edition}"),
    ]
    graders = [one.grader for one in subject.graded]
    rows = [("", *graders)]
    for question in subject.questions:
        given = dict(question.outcomes)
        rows.append((_about(question.about), *(given.get(grader, "-") for grader in graders)))
    lines += [f"  {line}" for line in table(rows)]
    for difference in subject.differences:
        lines += ["", *_difference(difference)]
    return "\n".join(lines) + "\n"


def class_text(each: Class) -> str:
    """How far the graders agree over all candidates, in one table."""
    head = f"agreement of {', '.join(each.graders)} under {each.standard}, edition {each.edition}"
    rows = [("about", "what", "graders", "candidates", "value")]
    for one in each.agreements:
        rows += _agreement(one)
    return "\n".join([*folded(head), *table(rows)]) + "\n"


def _about(event: str | None) -> str:
    return "verdict" if event is None else f"event {event}"


def _agreement(one: Agreement) -> Iterator[tuple[str, str, str, str, str]]:
    about = _about(one.about)
    yield about, "graded alike", "all", str(one.candidates), f"{one.alike} of {one.candidates}"
    for each in one.cohen:
        yield about, "Cohen's kappa", ", ".join(each.graders), str(each.over), _value(each)
    yield about, "Fleiss' kappa", "all", str(one.fleiss.over), _value(one.fleiss)
    yield about, "Krippendorff's alpha", "all", str(one.alpha.over), _value(one.alpha)


def _value(one: Coefficient) -> str:
    if one.value is not None:
        return f"{Decimal(one.value):z.3f}"
    if one.why is Undefined.NOTHING_VARIES:
        return f"not defined: all are {one.category}, so nothing varies"
    assert one.why is not None
    return _WHY[one.why]


def _difference(one: Difference) -> list[str]:
    first, second = one.first.grader, one.second.grader
    both = [pair for pair in one.pairs if pair.apart is not None]
    alone = len(one.pairs) - len(both)
    apart = [abs(pair.apart or 0) for pair in both]
    said = f"{first} and {second}: {_number(len(both))} matched, {alone} of one alone"
    if apart:
        said += f"; times up to {_seconds(max(apart))} apart"
    rows = [_row(pair) for pair in one.pairs if pair.apart != 0 or not pair.same_value]
    rows += [("end", _clock(one.first.end), _clock(one.second.end), "")] if one.first.end != one.second.end else []
    rows += [(name, mine or "-", theirs or "-", "stated otherwise") for name, mine, theirs in one.stated]
    lines = folded(said)
    return lines + [f"  {line}" for line in table([("", first, second, "apart"), *rows])] if rows else lines


def _row(pair: Pair) -> tuple[str, str, str, str]:
    if pair.first is None or pair.second is None:
        said = "only one has it"
    else:
        said = _seconds(pair.apart or 0)
        said += "" if pair.same_value else ", another value"
    return pair.mark, _entry(pair.first), _entry(pair.second), said


def _entry(entry: Entry | None) -> str:
    if entry is None:
        return "-"
    value = "" if entry.value is None else f" {entry.value}"
    return f"{clock(entry.at)}{value} (entry {entry.number})"


def _clock(at: int | None) -> str:
    return "-" if at is None else clock(at)


def _seconds(micros: int) -> str:
    return margin_text(Measure(micros, SECOND))


def _number(count: int) -> str:
    return f"{count or 'no'} entr{'y' if count == 1 else 'ies'}"
