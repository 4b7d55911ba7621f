"""Logs that continue each other, graded as one: those of a candidate in one session."""

from collections.abc import Iterator, Sequence

from standfast.codes import continued as codes
from standfast.diagnostic import Diagnostic
from standfast.log.continued import Joined, Kept, continued
from standfast.log.entry import SessionLog
from standfast.pipeline import grade
from standfast.quantity import Quantity
from standfast.values import frozen
from standfast.verdict import Verdict


@frozen
class Together:
    """The verdict on one candidate, by what it was given; None with the errors `found`."""

    logs: tuple[Kept, ...]
    log: SessionLog | None
    verdict: Verdict | None
    found: tuple[Diagnostic, ...]

    @property
    def name(self) -> str:
        return ", ".join(each.log.name for each in self.logs)


def graded_together(logs: Sequence[Kept], doubt: Quantity | None) -> Iterator[Together]:
    """Of each candidate of each session, in the order in which they come in the logs."""
    groups: dict[tuple[str, str, str], list[Kept]] = {}
    for each in logs:
        for candidate in each.log.candidates:
            groups.setdefault((each.standard.name, each.log.session, candidate), []).append(each)
    for (_, _, candidate), group in groups.items():
        joined = continued(group, candidate)
        if not isinstance(joined, Joined):
            yield Together(tuple(group), None, None, joined)
            continue
        (verdict,) = grade(joined.logs[0].standard, joined.log, doubt)
        wrong = _unwatched(verdict, joined.logs)
        yield Together(joined.logs, joined.log, None if wrong else verdict, (wrong,) if wrong else ())


def _unwatched(verdict: Verdict, logs: Sequence[Kept]) -> Diagnostic | None:
    """What an attempt that was open when one log was over came to by time alone before the next one started."""
    for part, after, kept in zip(verdict.parts, verdict.parts[1:], logs[1:], strict=False):
        for attempt in (attempt for event in verdict.events for attempt in event.attempts):
            if attempt.opened_at > part.until:
                continue
            due = [(m.at, m.path) for m in attempt.moments if m.entry is None and part.until < m.at <= after.zero]
            due += [
                (reason.at, reason.path)
                for reason in attempt.reasons
                if reason.entry is None and reason.at is not None and part.until < reason.at < after.zero
            ]
            if due:
                facts = {"candidate": verdict.candidate, "file": part.name, "path": f"`{min(due)[1]}`"}
                return Diagnostic(codes.NOBODY_WATCHED, kept.header.span, facts)
    return None
