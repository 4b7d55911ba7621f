"""Records for a terminal: what was kept, a register as a table, and how it stands after grading again."""

from collections.abc import Sequence

from standfast.record.changes import Change, State
from standfast.record.entry import Record, RulingRecord, VerdictRecord, own_digest
from standfast.record.reading import Held
from standfast.report.lines import folded, safe, table
from standfast.values import evolve, frozen

_SHOWN = 12


@frozen
class Listed:
    """A record in a listing, without its verdict's document; `state` is None where it was not graded again."""

    record: Record
    digest: str
    state: State | None = None
    changes: tuple[Change, ...] = ()


def listed(held: Held, state: State | None = None, changes: tuple[Change, ...] = ()) -> Listed:
    record = held.record
    return Listed(
        evolve(record, verdict={}) if isinstance(record, VerdictRecord) else record, held.digest, state, changes
    )


def kept_text(record: Record, folder: str) -> str:
    """What a verdict is shown with when its record is on the disk."""
    lines = folded(f"record {record.number} of {folder}, digest {own_digest(record)[:_SHOWN]}")
    return "\n".join(lines) + "\n"


def register_text(listed: Sequence[Listed]) -> str:
    """A row for each verdict, with the rulings on it below; a ruling on none of them stands at the end."""
    asked = any(one.state is not None for one in listed)
    again = ("graded again",) if asked else ()
    heads = ("record", "verdict", *again, "candidate", "session", "standard", "log")
    rulings: dict[int, list[RulingRecord]] = {}
    verdicts = []
    for one in listed:
        if isinstance(one.record, RulingRecord):
            rulings.setdefault(one.record.of, []).append(one.record)
        else:
            verdicts.append((one.record, one.state))
    rows = [heads, *(_row(record, state if asked else None) for record, state in verdicts)]
    head, *lines = table(rows)
    text = [head]
    for line, (record, _) in zip(lines, verdicts, strict=True):
        text.append(line)
        for ruling in rulings.pop(record.number, []):
            text += ruling_lines(ruling)
    for left in rulings.values():
        for ruling in left:
            text += [f"no verdict {ruling.of}", *ruling_lines(ruling)]
    return "\n".join(text) + "\n"


def ruling_lines(ruling: RulingRecord) -> list[str]:
    said = f"record {ruling.number}: ruled {ruling.outcome} by {ruling.by}, {ruling.at}: {ruling.reason}"
    return folded(said, 4)


def sum_text(listed: Sequence[Listed]) -> str:
    """The register in one line: how many verdicts and rulings, and the digest of its last record."""
    last = listed[-1].digest if listed else None
    verdicts = sum(isinstance(one.record, VerdictRecord) for one in listed)
    rulings = len(listed) - verdicts
    said = f"{_number(verdicts, 'verdict')}, {_number(rulings, 'ruling')}"
    return f"{said}; digest of the last record {last}\n" if last else f"{said}\n"


def missing_text(missing: Sequence[str]) -> str:
    """How many files no longer lie where they did; empty for none."""
    return (
        f"{_number(len(missing), 'file')} not found where graded: the copies alone were checked\n"
        if missing
        else ""
    )


def _row(record: VerdictRecord, state: State | None) -> tuple[str, ...]:
    of = f"{record.standard.name}, {record.standard.edition}"
    again = () if state is None else (state.value,)
    return (
        str(record.number),
        record.outcome,
        *again,
        record.candidate,
        record.session,
        of,
        record.log.file or "-",
    )


def _number(count: int, what: str) -> str:
    return safe(f"{count or 'no'} {what}{'' if count == 1 else 's'}")
