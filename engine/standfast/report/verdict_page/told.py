"""What an entry or time did in an attempt, in few words."""

from collections.abc import Iterable, Iterator

from standfast.report.brief.spoken import listed, name
from standfast.verdict import AttemptResult, Reason


def begun(event: str, paths: Iterable[str]) -> str:
    """`begins throws and reach`; names are those within the event."""
    return f"begins {listed(tuple(name(path.removeprefix(f'{event}.')) for path in paths))}"


def completed(event: str, paths: Iterable[str]) -> str:
    return begun(event, paths).replace("begins", "completes", 1)


def told_of(event: str, attempt: AttemptResult, at: int, entry: int | None) -> Iterator[str]:
    """What an entry, or of None time alone, did at an instant: reasons, what was completed, what began."""
    for reason in attempt.reasons:
        if reason.at == at and reason.entry == entry:
            yield reason_told(reason)
    moments = [moment for moment in attempt.moments if moment.at == at and moment.entry == entry]
    done = [moment.path for moment in moments if moment.completed]
    began = [moment.path for moment in moments if not moment.completed]
    if done:
        yield completed(event, done)
    if began:
        yield begun(event, began)


def reason_told(reason: Reason) -> str:
    sentence = f", {reason.sentence}" if reason.sentence else ""
    return f"{reason.kind.value} by {reason.path}{sentence}"
