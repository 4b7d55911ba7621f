"""What is not filled in yet in a table that was printed to be filled in, and the order of its rows.

`_` stands where something is to be filled in. A header line whose value it is, and a row whose time it is, are
left out; a row in which an amount, a `by` or a note was filled in and the time was not is refused. In a table with
`# order: by candidate` each candidate's rows stand together, so they are read in the order of their times, equal
ones as they stand. One more row filled in then moves the numbers of others, so nothing is corrected by number.
"""

import re
from collections.abc import Iterable, Mapping

from standfast.codes import fill_in as codes
from standfast.log.cells import Cell
from standfast.log.corrections import CORRECTIONS
from standfast.log.findings import Refused, shown
from standfast.log.lines import TextLine
from standfast.log.members import Member
from standfast.log.times import Elapsed, Timestamp, read_time

BLANK = "_"
ORDER = "order"
BY_CANDIDATE = "by candidate"
_PRINTED = ("mark", "candidate")
_WORDS = re.compile("[A-Za-z][A-Za-z0-9_ ]*")  # a choice or a round in words, as a sheet has it beforehand

Row = tuple[TextLine, tuple[Member, ...] | Refused]


def left_blank(cells: Mapping[str, Cell]) -> bool | Refused:
    """Whether a row is as printed; Refused where all but its time was filled in. Its cells by their columns."""
    at = cells.get("at")
    if at is None or at.stripped != BLANK:
        return False
    for column, cell in cells.items():
        printed = column in _PRINTED or (column == "value" and _WORDS.fullmatch(cell.stripped))
        if cell is not at and cell.stripped and not printed:
            facts = {"text": shown(cell.stripped), "column": column}
            return Refused(codes.TIME_NOT_FILLED_IN, facts, at.start, at.end)
    return True


def in_order_of_time(rows: Iterable[Row]) -> list[Row]:
    """The rows by their times; where one has none that can be read it stays behind the row before it.

    Corrections come last, each refused.
    """
    entries: list[tuple[Elapsed | Timestamp | None, bool, Row]] = []
    corrections: list[Row] = []
    last: Elapsed | Timestamp | None = None
    for row in rows:
        given = () if isinstance(row[1], Refused) else row[1]
        correction = next((member for member in given if member.key in CORRECTIONS), None)
        if correction is not None:
            facts = {"word": correction.key}
            refused = Refused(codes.CORRECTED_BY_NUMBER, facts, correction.start, correction.end)
            corrections.append((row[0], refused))
            continue
        members = {member.key: member.value for member in given}
        text = members.get("at", members.get("end"))
        time = read_time(text) if isinstance(text, str) else None
        last = last if time is None or isinstance(time, Refused) else time
        entries.append((last, "end" in members, row))
    if len({type(time) for time, _, _ in entries if time is not None}) > 1:
        return [row for _, _, row in entries] + corrections  # elapsed times and a clock's: refused later on
    entries.sort(key=_place)
    return [row for _, _, row in entries] + corrections


def _place(entry: tuple[Elapsed | Timestamp | None, bool, Row]) -> tuple[int, int, bool]:
    time, is_end, _ = entry
    match time:
        case Elapsed(microseconds):
            return 0, microseconds, is_end
        case Timestamp():
            return time.minute, time.microseconds, is_end
        case None:
            return -1, 0, is_end
