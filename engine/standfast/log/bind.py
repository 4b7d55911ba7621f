"""From a log as written to a log as one standard understands it.

Every mark, value and condition is looked up and measured here; what the standard does not declare is an error
with the nearest name. A condition that is declared and not stated is no error: it makes the verdict VOID.
"""

import re
from collections.abc import Mapping

from standfast.codes import log as codes
from standfast.codes import log_facts as fact_codes
from standfast.codes import rounds as codes_of_rounds
from standfast.diagnostic import Diagnostic
from standfast.log.amount import DIGITS, read_amount
from standfast.log.entry import ALL, Entry, RawEntry, RawFact, RawLog, SessionLog
from standfast.log.facts import bound_facts
from standfast.log.fields import listed, near
from standfast.log.findings import Findings, Refused, shown
from standfast.model.rules import FULL_CIRCLE
from standfast.model.standard import Clause, Condition, Mark, Standard
from standfast.quantity import Dimension, Quantity, count
from standfast.values import frozen

_AT = re.compile(r'"at"\s*:\s*"([^"]*)"')
_WHOLE_NUMBER = re.compile("[0-9]+")
_BARE_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")


@frozen(eq=False)
class Vocabulary:
    """What a standard declares that its logs may say, looked up once for all of them.

    `rounds` are the clauses that marks name rounds of, `graded` the marks whose entries say by whom.
    """

    standard: Standard
    marks: Mapping[str, Mark]
    rounds: Mapping[str, Clause]
    graded: frozenset[str]
    conditions: Mapping[str, Condition]


def vocabulary(standard: Standard) -> Vocabulary:
    conditions: dict[str, Condition] = {}
    for condition in (*standard.conditions, *(c for event in standard.events for c in event.conditions)):
        conditions.setdefault(condition.name, condition)
    marks = {mark.name: mark for mark in standard.marks}
    return Vocabulary(standard, marks, standard.round_marks(), standard.once_a_grader, conditions)


def bind(raw: RawLog, standard: Standard) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    """The log under that standard, or None; then every problem, at most 50 listed.

    A log of another standard or edition is not looked into further.
    """
    return bound(raw, vocabulary(standard))


def bound(raw: RawLog, known: Vocabulary) -> tuple[SessionLog | None, tuple[Diagnostic, ...]]:
    """As `bind` does, by what was looked up of the standard before."""
    standard, findings, header = known.standard, Findings(cells=raw.cells), raw.header
    if header.standard != standard.name:
        facts = {"name": shown(header.standard), "standard": standard.name}
        findings.add(codes.OTHER_STANDARD, header.place("standard"), facts)
        return None, findings.diagnostics()
    if header.edition is not None and header.edition != standard.edition:
        facts = {"edition": shown(header.edition), "standard": standard.name, "given": standard.edition}
        findings.add(codes.OTHER_EDITION, header.place("edition"), facts)
        return None, findings.diagnostics()
    conditions = _conditions(raw, known, findings)
    entries = tuple(_entry(entry, raw, known, findings) for entry in raw.entries)
    named = raw.candidates
    stated = bound_facts(raw, standard, named, findings)
    if findings.count:
        return None, findings.diagnostics()
    log = SessionLog(
        session=header.session,
        standard=header.standard,
        edition=header.edition,
        candidates=named,
        conditions=conditions,
        facts=stated,
        entries=entries,
        presence=raw.presence,
        end=raw.end,
        grader=header.grader,
        started=header.started_text,
        digest=raw.digest,
        name=raw.source.name,
        zero=raw.zero,
        corrections=raw.corrections,
        uncorrected=None if raw.uncorrected is None else bound(raw.uncorrected, known)[0],
    )
    return log, ()


def _entry(entry: RawEntry, raw: RawLog, known: Vocabulary, findings: Findings) -> Entry:
    value = entry_value(entry, known, findings)
    named = raw.header.candidates
    candidate = named[0] if entry.candidate is None and named else entry.candidate
    return Entry(
        number=entry.number,
        line=entry.span.line,
        at=entry.at,
        mark=entry.mark,
        value=value,
        candidate=None if candidate == ALL else candidate,
        by=entry.by,
        note=entry.note,
    )


def entry_value(entry: RawEntry, known: Vocabulary, findings: Findings) -> str | Quantity | None:
    """The value of an entry as its mark understands it, whatever is wrong with either among the findings."""
    mark = known.marks.get(entry.mark)
    if mark is None:
        facts = {"name": shown(entry.mark), "standard": known.standard.name}
        facts |= near(entry.mark, known.marks, findings)
        if entry.mark == "end" and (at := _AT.search(entry.span.text)):
            facts["at"] = at[1]
        findings.add(codes.UNKNOWN_MARK, entry.mark_span, facts)
        return None
    clause = known.rounds.get(mark.name)
    value = _value(entry, mark, findings) if clause is None else _round(entry, mark, clause, findings)
    if entry.by is None and mark.name in known.graded:
        findings.add(codes.NO_GRADER, entry.mark_span, {"mark": mark.name})
    return value


def _round(entry: RawEntry, mark: Mark, clause: Clause, findings: Findings) -> str | None:
    """The round that an entry names, in words; None for the one now open, or where it was refused."""
    if entry.value is None or entry.value_span is None:
        return None
    assert clause.rounds is not None
    text = " ".join(entry.value.split())
    words = text.split(" ")
    parts: tuple[tuple[str, int], ...] = ()
    if len(words) % 2 == 0 and all(_WHOLE_NUMBER.fullmatch(each) and len(each) <= DIGITS for each in words[1::2]):
        parts = tuple((words[n], int(words[n + 1])) for n in range(0, len(words), 2))
    found = clause.rounds.named(parts, None)
    spoken = clause.rounds.rounds[0].length
    if found is None and spoken is not None:
        amount = read_amount(text, mark.name, spoken.unit)
        found = None if isinstance(amount, Refused) else clause.rounds.named((), amount)
    if found is not None:
        return found.words
    facts = {"value": shown(entry.value), "mark": mark.name, "name": clause.label}
    facts["example"] = clause.rounds.rounds[-1].words
    if _BARE_NUMBER.fullmatch(text):
        meant = (each.words for each in clause.rounds.readings(text))
        facts |= dict(zip(("one", "other"), meant, strict=False))
        findings.add(codes_of_rounds.LOG_BARE_ROUND, entry.value_span, facts)
    else:
        facts |= near(text, (each.words for each in clause.rounds.rounds), findings)
        findings.add(codes_of_rounds.LOG_UNKNOWN_ROUND, entry.value_span, facts)
    return None


def _value(entry: RawEntry, mark: Mark, findings: Findings) -> str | Quantity | None:
    """The value of an entry for a declared mark; None where there is none, or it was refused."""
    if entry.value is None or entry.value_span is None:
        if mark.choices:
            findings.add(codes.VALUE_MISSING, entry.mark_span, {"mark": mark.name, "known": listed(mark.choices)})
        elif mark.unit is not None:
            facts = {"mark": mark.name, "example": f"40 {mark.unit.name}"}
            findings.add(codes.VALUE_MISSING, entry.mark_span, facts)
        return None
    if mark.unit is not None:
        amount = read_amount(entry.value, mark.name, mark.unit)
        if isinstance(amount, Quantity) and mark.heading and amount.base >= FULL_CIRCLE:
            amount = Refused(fact_codes.NO_HEADING, {"text": shown(entry.value), "name": mark.name})
        if isinstance(amount, Refused):
            findings.add(amount.code, entry.value_span, amount.facts)
            return None
        return amount
    facts = {"value": shown(entry.value), "mark": mark.name}
    if not mark.choices:
        findings.add(codes.VALUE_UNWANTED, entry.value_span, facts)
        return None
    if entry.value not in mark.choices:
        facts |= {"known": listed(mark.choices)} | near(entry.value, mark.choices, findings)
        findings.add(codes.UNKNOWN_CHOICE, entry.value_span, facts)
    return entry.value


def _conditions(raw: RawLog, known: Vocabulary, findings: Findings) -> dict[str, Quantity | bool]:
    standard, declared = known.standard, known.conditions
    stated: dict[str, Quantity | bool] = {}
    for fact in raw.conditions:
        condition = declared.get(fact.name)
        if condition is None:
            facts = {"name": shown(fact.name), "standard": standard.name} | near(fact.name, declared, findings)
            findings.add(codes.UNKNOWN_CONDITION, fact.name_span, facts)
            continue
        value = _stated(fact, condition, standard)
        if isinstance(value, Refused):
            findings.add(value.code, fact.span, value.facts)
        else:
            stated[fact.name] = value
    return stated


def _stated(fact: RawFact, condition: Condition, standard: Standard) -> Quantity | bool | Refused:
    demand, value = condition.demand, fact.value
    text = shown(value) if isinstance(value, str) else str(value).lower()
    facts = {"name": condition.name, "text": text}
    if isinstance(demand, bool):
        return value if isinstance(value, bool) else Refused(codes.NOT_YES_OR_NO, facts)
    of = None if demand.of is None else standard.fact(demand.of)
    unit = demand.first.unit if of is None or of.unit is None else of.unit
    if unit.dimension is Dimension.COUNT:
        if isinstance(value, bool) or not _WHOLE_NUMBER.fullmatch(value):
            return Refused(codes.NOT_A_COUNT, facts)
        if len(value) > DIGITS:
            return Refused(codes.TOO_LARGE, facts | {"limit": str(DIGITS)})
        return count(int(value))
    if isinstance(value, bool):
        return Refused(
            codes.YES_OR_NO_UNWANTED, facts | {"example": f"40 {unit.name}" if of else str(demand.first)}
        )
    return read_amount(value, condition.name, unit)
