"""What is said of a verdict whose times may be wrong, as lines for a terminal."""

from collections.abc import Iterator
from datetime import datetime

from standfast.report.amounts import seconds, when
from standfast.report.lines import folded, unbroken
from standfast.verdict import CloseCall, Doubt, Firmness, Shift, Verdict


def doubt_lines(verdict: Verdict) -> Iterator[str]:
    """Whether it stands; of a close call each verdict it could be as well, and on which times that hangs."""
    if verdict.doubt is None:
        return
    yield from folded(doubt_words(verdict.doubt))
    for other in verdict.doubt.others:
        yield from folded(close_call_words(other), 2)
        for shift in other.shifts:
            yield from folded(shift_words(shift, verdict.zero), 4)


def outcome_words(verdict: Verdict) -> str:
    """The outcome, and whether it is a close call."""
    return verdict.outcome.value + (f", {Firmness.CLOSE_CALL.value}" if is_close_call(verdict) else "")


def is_close_call(verdict: Verdict) -> bool:
    return verdict.doubt is not None and verdict.doubt.firmness is Firmness.CLOSE_CALL


def doubt_words(doubt: Doubt) -> str:
    within = unbroken(seconds(doubt.within))
    match doubt.firmness:
        case Firmness.STANDS:
            return f"stands however each time is wrong by up to {within}"
        case Firmness.CLOSE_CALL:
            return f"close call: each time may be wrong by up to {within}"
        case Firmness.NOT_DECIDED:
            unknown = f"not decided whether it stands if each time is wrong by up to {within}"
            return f"{unknown}: that would take too long to find out"


def close_call_words(other: CloseCall) -> str:
    said = other.outcome.value + ("" if other.grade is None else f" with grade {other.grade}")
    return f"{said} if times are wrong by {unbroken(seconds(other.least))}"


def shift_words(shift: Shift, zero: datetime | None) -> str:
    what = "the end" if shift.entry is None else f"entry {shift.entry} (line {shift.line})"
    return f"{what} at {when(shift.at, zero)}, {by_words(shift)}"


def by_words(shift: Shift) -> str:
    return unbroken(f"were it {seconds(abs(shift.by))} {'later' if shift.by > 0 else 'earlier'}")
