"""A verdict with what it was given by, and which entries of the log belong to which attempt."""

from collections.abc import Iterator

from standfast.log.entry import Correction, Entry, SessionLog
from standfast.model.standard import Standard
from standfast.values import frozen
from standfast.verdict import AttemptResult, EventResult, Outcome, Shift, Verdict

Span = tuple[EventResult, AttemptResult]


@frozen(kw_only=True)
class Judged:
    """`standard` is the one for this candidate, if all is stated that it needs of the candidate."""

    standard: Standard
    log: SessionLog
    verdict: Verdict

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The candidate's own entries and those for all."""
        return self.log.entries_for(self.verdict.candidate)

    @property
    def last_instant(self) -> int:
        """Until when the log goes."""
        logged = [entry.at for entry in self.entries]
        return max([*logged, self.end or 0])

    @property
    def end(self) -> int | None:
        """When it was over for the candidate."""
        return self.log.while_there(self.verdict.candidate).end

    def attempts(self) -> list[Span]:
        """Those of all events, in the order they were opened in."""
        every = [(event, attempt) for event in self.verdict.events for attempt in event.attempts]
        return sorted(every, key=lambda each: (each[1].opened_at, _first(each[1])))

    def entries_in(self, attempt: AttemptResult | None) -> tuple[Entry, ...]:
        """The entries of an attempt; of None those of no attempt."""
        return tuple(entry for entry in self.entries if self._attempt_at(entry) is attempt)

    def replaced_in(self, attempt: AttemptResult | None) -> tuple[Entry, ...]:
        """What stood in the log and was struck, or is at another time by now, where it stood.

        Empty where nothing can be made of the log without its corrections.
        """
        if self.log.uncorrected is None:
            return ()
        now = {entry.number: entry.at for entry in self.entries}
        return tuple(
            entry
            for entry in self.log.uncorrected.entries_for(self.verdict.candidate)
            if entry.number in self.corrections
            and now.get(entry.number) != entry.at
            and self._attempt_at(entry) is attempt
        )

    @property
    def shifts(self) -> dict[int | None, tuple[Outcome, Shift]]:
        """By the entry (of the end None) the times a close call hangs on, each with the verdict it could be."""
        others = () if self.verdict.doubt is None else self.verdict.doubt.others
        return {shift.entry: (other.outcome, shift) for other in reversed(others) for shift in other.shifts}

    @property
    def corrections(self) -> dict[int, Correction]:
        """The last correction of each entry that has any."""
        return {each.place: each for each in self.verdict.corrections if not each.of_end}

    def _attempt_at(self, entry: Entry) -> AttemptResult | None:
        begun = [a for _, a in self.attempts() if (a.opened_at, _first(a)) <= (entry.at, entry.number)]
        return begun[-1] if begun and _holds(begun[-1], entry) else None


def _first(attempt: AttemptResult) -> int:
    """The entry that opened it; nought where that was none."""
    return next((m.entry for m in attempt.moments if m.at == attempt.opened_at and m.entry is not None), 0)


def _holds(attempt: AttemptResult, entry: Entry) -> bool:
    """Whether the attempt had not ended before the entry, which is after its opening."""
    if attempt.ended_at is None or entry.at < attempt.ended_at:
        return True
    return entry.at == attempt.ended_at and entry.number <= max(_deciding_entries(attempt), default=entry.number)


def _deciding_entries(attempt: AttemptResult) -> Iterator[int]:
    yield from (m.entry for m in attempt.moments if m.at == attempt.ended_at and m.entry is not None)
    yield from (r.entry for r in attempt.reasons if r.at == attempt.ended_at and r.entry is not None)
