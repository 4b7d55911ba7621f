"""What a register has of a candidate already, before another verdict is added."""

from pathlib import Path

from standfast.record.entry import RulingRecord
from standfast.record.reading import Held, held_in
from standfast.values import frozen

Whom = tuple[str, str, str]
"""Standard, session and candidate."""


@frozen
class Standing:
    """By the numbers of their records: a verdict, and the last ruling on it."""

    verdict: int
    ruling: int | None = None


def standing_in(folder: Path) -> dict[Whom, Standing]:
    """Of each candidate the last verdict that was ruled on, or else the last; of no register nothing.

    What is wrong with a line is not said here: only whole records are looked at.
    """
    verdicts: dict[int, Whom] = {}
    found: dict[Whom, Standing] = {}
    for one in held_in(folder):
        if not isinstance(one, Held) or not one.whole:
            continue
        record = one.record
        if isinstance(record, RulingRecord):
            if record.of in verdicts:
                found[verdicts[record.of]] = Standing(record.of, record.number)
            continue
        whom = verdicts[record.number] = (record.standard.name, record.session, record.candidate)
        if whom not in found or found[whom].ruling is None:
            found[whom] = Standing(record.number)
    return found
