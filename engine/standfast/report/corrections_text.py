"""The corrections of a verdict as lines for a terminal: who, why, what, and whether they changed it."""

from collections.abc import Iterator

from standfast.log.entry import Correction, Stated
from standfast.report.amounts import when
from standfast.report.lines import folded
from standfast.verdict import Verdict

_KEYS = ("at", "mark", "value", "candidate", "by", "note", "join", "leave")


def corrections_line(verdict: Verdict) -> str:
    """The line at the head of a verdict; empty without corrections."""
    without, number = verdict.uncorrected, len(verdict.corrections)
    if without is None:
        return ""
    they = "1 correction" if number == 1 else f"{number} corrections"
    if without.outcome is None:
        return f"{they}: without {'it' if number == 1 else 'them'} the log gives no verdict"
    if not verdict.changed_by_corrections:
        return f"{they}: the verdict is {verdict.outcome.value} without {'it' if number == 1 else 'them'} too"
    decided = "" if without.decided_at is None else f", decided at {when(without.decided_at, verdict.zero)}"
    points = "" if without.points is None else f", {without.points} points"
    grade = "" if without.grade is None else f", grade {without.grade}"
    it = "it" if number == 1 else "them"
    return f"{they} changed the verdict: without {it} {without.outcome.value}{decided}{points}{grade}"


def correction_lines(verdict: Verdict) -> Iterator[str]:
    """Each correction with what it did, under a heading; nothing without corrections."""
    if verdict.corrections:
        yield from ("", "corrections")
    for each in verdict.corrections:
        yield from folded(correction_words(each), 2)
        yield from folded(correction_done(each), 6)


def correction_words(correction: Correction) -> str:
    """What was corrected, how, by whom and why."""
    what = "the end" if correction.of_end else f"entry {correction.place}"
    how = "struck" if correction.after is None else "amended"
    by = f"by {correction.by} on line {correction.on_line}"
    return f"{what} (line {correction.line}) {how} {by}, because: {correction.why}"


def correction_done(correction: Correction) -> str:
    """What a correction changed."""
    before, after = correction.before, correction.after
    if after is None:
        return f"it said: {_said(before)}"
    pairs = ((key, getattr(before, key), getattr(after, key)) for key in _KEYS)
    changes = [f"{key} {_quoted(now)} for {_quoted(was)}" for key, was, now in pairs if was != now]
    return f"now {'; '.join(changes)}" if changes else "nothing is another than before"


def _said(stated: Stated) -> str:
    pairs = ((key, getattr(stated, key)) for key in _KEYS)
    return "; ".join(f"{key} {_quoted(value)}" for key, value in pairs if value is not None) or "nothing"


def _quoted(value: str | None) -> str:
    return "nothing" if value is None else f"`{value}`"
