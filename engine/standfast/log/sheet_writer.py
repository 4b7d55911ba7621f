"""A session log as comma-separated values that `read_log` takes for the same log, and a spreadsheet opens.

It begins with a byte order mark, which tells a spreadsheet that it is UTF-8. Times have a decimal, so that none is
taken for hours and minutes, and no cell is run as a formula.
"""

import re

from standfast.log.cells import neutral, quoted
from standfast.log.corrections import PRESENCE
from standfast.log.entry import SessionLog
from standfast.log.lines import BYTE_ORDER_MARK
from standfast.log.sheet import NOTHING
from standfast.log.sheet_header import FOR
from standfast.log.writer import Row, rows

COLUMNS = ("at", "mark", "value", "candidate", "by", "note")
FOR_CORRECTIONS = ("strike", "amend", "seen_by")
_WHOLE = re.compile(r"[0-9]+:[0-9]{2}(:[0-9]{2})?")


def csv_bytes(log: SessionLog) -> bytes:
    """Header lines, a head row, then a row for each entry, the end and each correction (RFC 4180)."""
    below = tuple(rows(log))
    presence = PRESENCE if any(key in row for row in below for key in PRESENCE) else ()
    columns = (*COLUMNS, *presence, *(FOR_CORRECTIONS if log.corrections else ()))
    lines = [quoted(f"# {key}: {neutral(value)}", value) for key, value in _header(log)]
    lines.append(",".join(columns))
    for row in below:
        cells = _cells(row)
        lines.append(",".join(quoted(neutral(cells.get(column, ""))) for column in columns))
    return BYTE_ORDER_MARK + "".join(line + "\r\n" for line in lines).encode()


def _header(log: SessionLog) -> list[tuple[str, str]]:
    lines = [("session", log.session), ("standard", log.standard)]
    if log.edition is not None:
        lines.append(("edition", log.edition))
    lines += [("candidate", candidate) for candidate in log.candidates]
    if log.started is not None:
        lines.append(("started", log.started))
    for name, stated in log.conditions.items():
        value = ("yes" if stated else "no") if isinstance(stated, bool) else str(stated)
        lines.append((f"condition {name}", value))
    for candidate, facts in log.facts.items():
        whose = f"{FOR}{candidate}" if len(log.candidates) > 1 else ""
        lines += [(f"fact {name}", f"{fact}{whose}") for name, fact in facts.items()]
    if log.grader is not None:
        lines.append(("grader", log.grader))
    return lines


def _cells(row: Row) -> dict[str, str]:
    """The cells of an entry, a correction or an end, by column."""
    cells = {key: NOTHING if value is None else str(value) for key, value in row.items()}
    if "end" in cells:
        cells = {"at": cells["end"], "mark": "end"}
    if _WHOLE.fullmatch(cells.get("at", "")):
        cells["at"] += ".0"
    return cells
