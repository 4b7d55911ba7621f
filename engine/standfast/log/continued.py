"""Logs of one session that continue each other, as one log of one candidate.

The log that started first gives the zero. Entries are numbered on from log to log and keep the lines of their own
file. Who joined or left a log has in it what stands between; only the last log's end is an end.
"""

from collections.abc import Sequence
from fractions import Fraction
from hashlib import sha256
from itertools import pairwise

from standfast.codes import continued as codes
from standfast.diagnostic import Diagnostic, Label
from standfast.log.entry import Correction, Entry, Header, LogPart, SessionLog
from standfast.log.findings import shown
from standfast.log.times import Timestamp, read_time
from standfast.model.standard import Condition, Standard
from standfast.quantity import Quantity
from standfast.values import evolve, frozen


@frozen
class Kept:
    """A log, its header and the standard it was kept under."""

    standard: Standard
    header: Header
    log: SessionLog


@frozen
class Joined:
    """One log, from `logs` in the order of their starting."""

    logs: tuple[Kept, ...]
    log: SessionLog


def continued(logs: Sequence[Kept], candidate: str) -> Joined | tuple[Diagnostic, ...]:
    """One log of the candidate, who is in each of these, or why there is none."""
    if len(logs) == 1:
        return Joined((logs[0],), evolve(logs[0].log, candidates=(candidate,)))
    named = {"session": shown(logs[0].log.session), "candidate": shown(candidate)}
    zeros: list[tuple[Timestamp, Kept]] = []
    wrong: list[Diagnostic] = []
    for each in logs:
        zero = None if each.log.started is None else read_time(each.log.started)
        if isinstance(zero, Timestamp):
            zeros.append((zero, each))
        else:
            wrong.append(Diagnostic(codes.WITHOUT_ZERO, each.header.span, named))
    zeros.sort(key=lambda each: (each[0], last_instant(each[1].log.while_there(candidate))))
    for (zero, each), (start, other) in pairwise(zeros):
        facts = named | {"file": each.log.name}
        label = Label(each.header.span, "started before")
        if other.standard.digest != each.standard.digest:
            editions = {"edition": other.standard.edition, "before": each.standard.edition}
            wrong.append(Diagnostic(codes.OTHER_EDITION, other.header.span, facts | editions, (label,)))
        if start.since(zero, 0) < last_instant(each.log.while_there(candidate)):
            place = other.header.place("started")
            wrong.append(Diagnostic(codes.AT_THE_SAME_TIME, place, facts, (label,)))
    ordered = tuple(each for _, each in zeros)
    wrong += _differing(ordered, candidate)
    if wrong:
        return tuple(wrong)
    since = [start.since(zeros[0][0], 0) for start, _ in zeros]
    log = _joined(ordered[0].standard, [each.log for each in ordered], since, candidate)
    if not log.corrections or any(each.log.corrections and each.log.uncorrected is None for each in ordered):
        return Joined(ordered, log)
    without = [each.log.uncorrected or each.log for each in ordered]
    uncorrected = _joined(ordered[0].standard, without, since, candidate)
    return Joined(ordered, evolve(log, uncorrected=uncorrected))


def last_instant(log: SessionLog) -> int:
    """Until when the log goes."""
    return max((0 if log.end is None else log.end, *(entry.at for entry in log.entries)))


def _joined(standard: Standard, logs: Sequence[SessionLog], since: Sequence[int], candidate: str) -> SessionLog:
    entries: list[Entry] = []
    corrections: list[Correction] = []
    parts: list[LogPart] = []
    number = 0
    for log, zero in zip(logs, since, strict=True):
        there = log.while_there(candidate)
        entries += [evolve(each, number=each.number + number, at=each.at + zero) for each in there.entries]
        corrections += [evolve(each, place=each.place + number) for each in log.corrections]
        places = [each.number for each in log.entries] + [each.number for each in log.presence]
        last = max((0, *places, *(each.place for each in log.corrections)))
        parts.append(
            LogPart(
                name=log.name,
                digest=log.digest,
                first=number + 1,
                last=number + last,
                zero=zero,
                until=zero + last_instant(there),
            )
        )
        number += last
    last_end = logs[-1].while_there(candidate).end
    graders = {log.grader for log in logs}
    facts = {name: value for log in logs for name, value in log.facts.get(candidate, {}).items()}
    return evolve(
        logs[0],
        candidates=(candidate,),
        conditions=_conditions(standard, logs),
        facts={candidate: facts} if facts else {},
        entries=tuple(entries),
        presence=(),
        end=None if last_end is None else last_end + since[-1],
        grader=graders.pop() if len(graders) == 1 else None,
        digest=sha256("".join(f"{log.digest}\n" for log in logs).encode()).hexdigest(),
        name=", ".join(log.name for log in logs),
        zero=logs[0].zero if all(log.zero is not None for log in logs) else None,
        corrections=tuple(corrections),
        uncorrected=None,
        parts=tuple(parts),
    )


def _conditions(standard: Standard, logs: Sequence[SessionLog]) -> dict[str, Quantity | bool]:
    """Of each condition what is worst for the session; one of the whole test must be stated in every log."""
    every = {condition.name for condition in standard.conditions}
    found: dict[str, Quantity | bool] = {}
    for condition in _declared(standard):
        stated = [log.conditions[condition.name] for log in logs if condition.name in log.conditions]
        if stated and (len(stated) == len(logs) or condition.name not in every):
            found[condition.name] = min(stated, key=lambda value: _margin(condition, value))
    return found


def _margin(condition: Condition, value: Quantity | bool) -> tuple[bool, Fraction]:
    """What is worse comes first; of a condition that hangs on a fact only one value is stated."""
    demand = condition.demand
    if isinstance(demand, bool) or isinstance(value, bool):
        return value is demand, Fraction(0)
    if demand.of is not None:
        return True, Fraction(0)
    return demand.holds(value.base), demand.margin(value.base)


def _declared(standard: Standard) -> tuple[Condition, ...]:
    return (*standard.conditions, *(each for event in standard.events for each in event.conditions))


def _differing(logs: Sequence[Kept], candidate: str) -> list[Diagnostic]:
    """What is stated of the candidate in two logs and is not the same, with conditions that hang on it."""
    wrong: list[Diagnostic] = []
    before: dict[str, tuple[str, Kept]] = {}
    for each in logs:
        stated = [(f"fact `{name}`", value) for name, value in each.log.facts_stated(candidate)]
        for condition in _declared(each.standard):
            if (
                not isinstance(condition.demand, bool)
                and condition.demand.of
                and condition.name in each.log.conditions
            ):
                stated.append((f"condition `{condition.name}`", str(each.log.conditions[condition.name])))
        for what, value in stated:
            known, other = before.setdefault(what, (value, each))
            if known != value:
                facts = {
                    "what": what,
                    "candidate": shown(candidate),
                    "found": shown(value),
                    "before": shown(known),
                }
                facts["file"] = other.log.name
                wrong.append(Diagnostic(codes.FACTS_DIFFER, each.header.span, facts))
    return wrong
