"""The order of a log's times, and how long after the session's zero each of them is."""

from datetime import datetime

from standfast.codes import log as codes
from standfast.diagnostic import Label
from standfast.log.findings import Findings, shown
from standfast.log.header import Opening
from standfast.log.times import Elapsed, Timestamp
from standfast.source import Span
from standfast.values import frozen


@frozen
class Moment:
    """A time of the log as written, and whose it is (`entry 3`, `the end`)."""

    time: Elapsed | Timestamp
    text: str
    who: str
    span: Span


class Clock:
    """Takes the times of a log one after another.

    INVARIANT: what it returns is right for a log without findings; for others it goes on as best it can, so
    that each slip is reported once.
    """

    def __init__(self, findings: Findings) -> None:
        self._findings = findings
        self._last: Moment | None = None
        self._mixed = False
        self._long_minutes: set[int] = set()

    def place(self, moment: Moment, opening: Opening | None) -> int:
        """Microseconds since the zero that the log's opening gives (None: the log has no header)."""
        last = self._last
        if last is not None and type(moment.time) is not type(last.time):
            if not self._mixed:
                self._mixed = True
                facts = {"text": shown(moment.text), "found": _one(moment.time), "before": _many(last.time)}
                self._findings.add(codes.MIXED_TIMES, moment.span, facts, Label(last.span, last.who))
            return 0
        if last is not None and _before(moment.time, last.time):
            facts = {
                "text": shown(moment.text),
                "this": moment.who,
                "before": shown(last.text),
                "that": f"{last.who}, line {last.span.line}",
            }
            self._findings.add(codes.BACKWARDS, moment.span, facts, Label(last.span, last.who))
        self._last = moment
        if isinstance(moment.time, Elapsed):
            return moment.time.microseconds
        return 0 if opening is None else self._since_zero(moment.time, moment, opening, last is None)

    def shown_at_zero(self, opening: Opening) -> datetime | None:
        """The zero of a log of timestamps, on the clock of the zone it is written in.

        None for one that shows a leap second: a time reckoned from the zero may be a second out there.
        """
        if self._last is None or isinstance(self._last.time, Elapsed) or opening.zero is None:
            return None
        return None if self._long_minutes else opening.zero.shown

    def _since_zero(self, time: Timestamp, moment: Moment, opening: Opening, first: bool) -> int:
        zero = opening.zero
        if zero is None:
            if first and opening.zero_span is None:
                self._findings.add(codes.NO_ZERO, moment.span)
            return 0
        assert opening.zero_span is not None
        if time < zero:
            facts = {"text": shown(moment.text), "zero": shown(opening.zero_span.text)}
            self._findings.add(codes.BEFORE_ZERO, moment.span, facts, Label(opening.zero_span, "the zero"))
        self._long_minutes.update(each.minute for each in (zero, time) if each.in_leap_second)
        # Times are in order, so every minute with a second 60 that was shown is over, but perhaps this one.
        return time.since(zero, len(self._long_minutes) - (time.minute in self._long_minutes))


def _before(time: Elapsed | Timestamp, other: Elapsed | Timestamp) -> bool:
    if isinstance(time, Elapsed) and isinstance(other, Elapsed):
        return time.microseconds < other.microseconds
    return isinstance(time, Timestamp) and isinstance(other, Timestamp) and time < other


def _one(time: Elapsed | Timestamp) -> str:
    return "an elapsed time" if isinstance(time, Elapsed) else "a timestamp"


def _many(time: Elapsed | Timestamp) -> str:
    return "elapsed times" if isinstance(time, Elapsed) else "timestamps"
