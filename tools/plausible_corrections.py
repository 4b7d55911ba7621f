"""Corrections put into a random log: entries struck and amended, slips that are mended, ends taken back."""

import json
from random import Random

from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.model.standard import Standard

_Row = dict[str, object]
_BY_WHOM = ("G-1", "G-2", "the examiner")


def corrected(rng: Random, log: SessionLog, standard: Standard) -> SessionLog:
    """The log with one to three corrections, or as it was where they would make no log of it."""
    header, *below = (json.loads(line) for line in log_bytes(log).decode().splitlines())
    entries = [row for row in below if "end" not in row]
    end = next((row for row in below if "end" in row), None)
    corrections: list[_Row] = []
    for _ in range(rng.choice((1, 1, 2, 3))):
        corrections += _one(rng, entries)
    ends = [] if end is None else _ends(rng, end) if rng.random() < 0.4 else [end]
    rows = [header, *entries, *ends, *corrections]
    raw, _ = read_log(log.name, "".join(json.dumps(row) + "\n" for row in rows).encode())
    found = None if raw is None else bind(raw, standard)[0]
    return log if found is None else found


def _one(rng: Random, entries: list[_Row]) -> list[_Row]:
    """The corrections of one entry; a slip that is mended is put into the entries."""
    number = rng.randrange(len(entries))
    why = {"by": rng.choice(_BY_WHOM), "note": "a slip"}
    if "mark" not in entries[number]:
        return _of_presence(rng, number, entries, why)
    other = rng.choice([each for each in entries if "mark" in each])
    match rng.randrange(6):
        case 0:
            return [{"strike": number + 1, **why}]
        case 1:
            return [{"amend": number + 1, **_what(other), **why}]
        case 2:
            near = entries[min(number + 1, len(entries) - 1)]
            return [
                {"amend": number + 1, "at": rng.choice((near["at"], entries[max(number - 1, 0)]["at"])), **why}
            ]
        case 3:  # a slip of the time or of what was seen, mended
            was = dict(entries[number])
            slip = {"at": rng.choice(("0:00", "99:00", "0:7"))} if rng.random() < 0.5 else _what(other)
            entries[number] = {key: value for key, value in {**was, **slip}.items() if value is not None}
            return [{"amend": number + 1, "at": was["at"], **_what(was), **why}]
        case 4:
            return [
                {"strike": number + 1, **why},
                {"amend": number + 1, "at": entries[number]["at"], "mark": entries[number]["mark"], **why},
            ]
    row = {"amend": number + 1, "seen_by": rng.choice(_BY_WHOM), **why}
    if "candidate" in entries[number]:
        row["candidate"] = other["candidate"]
    return [row]


def _of_presence(rng: Random, number: int, entries: list[_Row], why: dict[str, str]) -> list[_Row]:
    """The corrections of a line with which a candidate joins or leaves."""
    near = entries[min(number + 1, len(entries) - 1)]["at"]
    whole = {"at": near, "candidate": rng.choice(("C-1", "C-2"))}
    match rng.randrange(4):
        case 0:
            return [{"amend": number + 1, "at": near, **why}]
        case 1:
            return [{"strike": number + 1, **why}, {"amend": number + 1, **whole, **why}]
    return [{"strike": number + 1, **why}]


def _what(entry: _Row) -> _Row:
    """Mark and value as an amendment says them."""
    return {"mark": entry["mark"], "value": entry.get("value")}


def _ends(rng: Random, end: _Row) -> list[_Row]:
    """An end that was taken back or mended, and the corrections of it."""
    why = {"by": rng.choice(_BY_WHOM), "note": "called too soon"}
    match rng.randrange(3):
        case 0:
            return [end, {"strike": "end", **why}]
        case 1:
            return [{"end": "0:00"}, {"strike": "end", **why}, end]
    return [{"end": "0:00"}, {"amend": "end", "at": end["end"], **why}]
