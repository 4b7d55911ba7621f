"""A session log as the bytes of its file: JSON Lines that `read_log` takes for the same log."""

import json
from collections.abc import Mapping

from standfast.log.entry import Entry, SessionLog
from standfast.log.header import ALL
from standfast.quantity import Dimension, Quantity, clock


def log_bytes(log: SessionLog) -> bytes:
    """One object a line, each with a line end; what is not stated is left out."""
    several = len(log.candidates) > 1
    header: dict[str, object] = {"session": log.session, "standard": log.standard}
    if log.edition is not None:
        header["edition"] = log.edition
    header |= {"candidates": list(log.candidates)} if several else {"candidate": log.candidates[0]}
    if log.started is not None:
        header["started"] = log.started
    if log.conditions:
        header["conditions"] = {name: _fact(fact) for name, fact in log.conditions.items()}
    if any(log.facts.values()):
        of_each = {whose: {name: str(fact) for name, fact in facts.items()} for whose, facts in log.facts.items()}
        header["facts"] = of_each if several else of_each.get(log.candidates[0], {})
    if log.grader is not None:
        header["grader"] = log.grader
    lines: list[Mapping[str, object]] = [header]
    lines += [_entry(entry, named=several) for entry in log.entries]
    if log.end is not None:
        lines.append({"end": clock(log.end)})
    return "".join(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n" for line in lines).encode()


def _entry(entry: Entry, *, named: bool) -> Mapping[str, object]:
    line: dict[str, object] = {"at": clock(entry.at), "mark": entry.mark}
    if entry.value is not None:
        line["value"] = str(entry.value)
    if named:
        line["candidate"] = ALL if entry.candidate is None else entry.candidate
    if entry.by is not None:
        line["by"] = entry.by
    if entry.note is not None:
        line["note"] = entry.note
    return line


def _fact(fact: Quantity | bool) -> str | bool | int:
    if isinstance(fact, bool):
        return fact
    whole = fact.dimension is Dimension.COUNT and fact.base.denominator == 1
    return int(fact.base) if whole else str(fact)
