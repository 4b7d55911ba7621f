"""A session log as the bytes of its file: JSON Lines that `read_log` takes for the same log.

What was corrected is written as it was, and the corrections after it.
"""

import json
from collections.abc import Iterator, Mapping

from standfast.log.entry import ALL, Correction, Entry, Presence, SessionLog, Stated
from standfast.quantity import Dimension, Quantity, clock
from standfast.values import asdict

Row = Mapping[str, object]


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
    lines = [header, *rows(log)]
    return "".join(json.dumps(line, ensure_ascii=False, separators=(",", ":")) + "\n" for line in lines).encode()


def rows(log: SessionLog) -> Iterator[Row]:
    """What stands below the header: entries and ends as they were logged, then the corrections.

    A correction of an end stands right after it, since another end may follow.
    """
    somebody_came = bool(log.presence) or any(each.before.join or each.before.leave for each in log.corrections)
    named = len(log.candidates) > 1 or somebody_came  # else what was for all would be taken for an own entry
    entries = {entry.number: _entry(entry, named=named) for entry in log.entries}
    entries |= {each.number: _presence(each) for each in log.presence}
    ends: dict[int, list[Row]] = {}
    for each in reversed(log.corrections):
        if each.of_end:
            was: list[Row] = [{"end": each.before.at}] if _is_first(each, log) else []
            ends[each.place] = [*was, _correction(each), *ends.get(each.place, [])]
        else:
            entries[each.place] = _stated(each.before)
    for number in range(max((*entries, *ends), default=0) + 1):
        if number in entries:
            yield entries[number]
        yield from ends.get(number, ())
    if log.end is not None and not _amended(log):
        yield {"end": clock(log.end)}
    yield from (_correction(each) for each in log.corrections if not each.of_end)


def _is_first(correction: Correction, log: SessionLog) -> bool:
    """Whether no correction of the same end stands before it."""
    return next(c for c in log.corrections if c.of_end and c.line == correction.line) is correction


def _amended(log: SessionLog) -> bool:
    """Whether the end that holds is one that corrections left."""
    last = next((each for each in reversed(log.corrections) if each.of_end), None)
    return last is not None and last.after is not None


def _stated(stated: Stated) -> Row:
    return {key: value for key, value in asdict(stated).items() if value is not None}


def _correction(correction: Correction) -> Row:
    target = "end" if correction.of_end else correction.place
    said = {"by": correction.by, "note": correction.why}
    before, after = asdict(correction.before), correction.after
    if after is None:
        return {"strike": target, **said}
    # Its time and mark, or who it is, are always said, as they must be where it puts back what was struck.
    stated = asdict(after).items()
    always = ("at", "mark", "join", "leave")
    now = {k: v for k, v in stated if v != before[k] or (k in always and v is not None)}
    whose = now.pop("join", None) or now.pop("leave", None)
    now |= {} if whose is None else {"candidate": whose}
    if "by" in now:
        now["seen_by"] = now.pop("by")
    return {"amend": target, **now, **said}


def _entry(entry: Entry, *, named: bool) -> Row:
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


def _presence(presence: Presence) -> Row:
    whose = {"join" if presence.joins else "leave": presence.candidate}
    said = {key: text for key, text in (("by", presence.by), ("note", presence.note)) if text is not None}
    return {"at": clock(presence.at), **whose, **said}


def _fact(fact: Quantity | bool) -> str | bool | int:
    if isinstance(fact, bool):
        return fact
    whole = fact.dimension is Dimension.COUNT and fact.base.denominator == 1
    return int(fact.base) if whole else str(fact)
