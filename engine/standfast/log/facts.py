"""The candidate's facts in the header of a log: read as written, then understood by one standard.

`facts` holds the facts of every candidate in the log, `{"body_mass":"80 kg"}`, or those of each under the
candidate's name, `{"C-1":{"body_mass":"80 kg"}}`, or both, as long as none is stated twice of one candidate.
"""

import re
from collections.abc import Iterator

from standfast.codes import log as codes
from standfast.codes import log_facts as fact_codes
from standfast.log.amount import read_amount
from standfast.log.entry import RawLog, StatedFact
from standfast.log.fields import Fields, checked_text, listed, near, value_span
from standfast.log.findings import Findings, Refused, shown
from standfast.log.lines import TextLine
from standfast.log.members import Member, Number, described, members_at
from standfast.model.rules import FULL_CIRCLE
from standfast.model.standard import Fact, Facts, Standard
from standfast.quantity import Quantity, count
from standfast.source import Span


def stated_facts(
    fields: Fields, findings: Findings, of_one: tuple[str, Span] | None = None
) -> tuple[StatedFact, ...]:
    """What the header says under `facts`, or the line with which one candidate joins, all of it of that one."""
    stated = fields.member("facts")
    if stated is None:
        return ()
    line = fields.line
    if not isinstance(stated.value, dict):
        _not_an_object(line, stated, "facts", findings)
        return ()
    if of_one is None:
        return tuple(_of_all(line, stated, findings))
    members = _members(line, stated, "the facts", findings)
    return tuple(fact for member in members for fact in _fact(line, member, of_one, findings))


def _not_an_object(line: TextLine, member: Member, key: str, findings: Findings) -> None:
    facts = {"key": key, "found": described(member.value), "wanted": "an object"}
    findings.add(codes.WRONG_KIND, value_span(line, member), facts)


def _of_all(line: TextLine, stated: Member, findings: Findings) -> Iterator[StatedFact]:
    for member in _members(line, stated, "the facts", findings):
        if not isinstance(member.value, dict):
            yield from _fact(line, member, None, findings)
            continue
        place = _key_span(line, member)
        for inner in _members(line, member, f"the facts of `{shown(member.key)}`", findings):
            yield from _fact(line, inner, (member.key, place), findings)


def _members(line: TextLine, around: Member, what: str, findings: Findings) -> Iterator[Member]:
    """The members of an object; one whose key stands twice is refused."""
    seen: set[str] = set()
    for member in members_at(line.text, around.start):
        if member.key in seen:
            findings.add(codes.KEY_TWICE, _key_span(line, member), {"key": shown(member.key), "what": what})
        else:
            seen.add(member.key)
            yield member


def _key_span(line: TextLine, member: Member) -> Span:
    return line.span(member.key_start + 1, member.key_end - 1)


def _fact(
    line: TextLine, member: Member, whose: tuple[str, Span] | None, findings: Findings
) -> Iterator[StatedFact]:
    value = member.value.text if isinstance(member.value, Number) else None
    if value is None:
        value = checked_text(line, member, shown(member.key), findings)
    if value is not None:
        yield StatedFact(
            name=member.key,
            value=value,
            candidate=None if whose is None else whose[0],
            name_span=_key_span(line, member),
            span=value_span(line, member),
            candidate_span=None if whose is None else whose[1],
        )


def bound_facts(
    raw: RawLog, standard: Standard, candidates: tuple[str, ...], findings: Findings
) -> dict[str, Facts]:
    """The facts of each candidate; one that is declared and not stated is no error here."""
    if raw.facts and not standard.facts:
        findings.add(codes.FACTS, raw.facts[0].name_span)
        return {}
    declared = {fact.name: fact for fact in standard.facts}
    found: dict[str, dict[str, Quantity | str]] = {candidate: {} for candidate in candidates}
    for stated in raw.facts:
        if stated.candidate is not None and stated.candidate not in found:
            facts = {"name": shown(stated.candidate)} | near(stated.candidate, candidates, findings)
            findings.add(fact_codes.FACTS_OF_NOBODY, stated.candidate_span or stated.name_span, facts)
            continue
        fact = declared.get(stated.name)
        if fact is None:
            facts = {"name": shown(stated.name), "standard": standard.name}
            findings.add(fact_codes.UNKNOWN_FACT, stated.name_span, facts | near(stated.name, declared, findings))
            continue
        value = understood(stated, fact, findings)
        if isinstance(value, Refused):
            findings.add(value.code, stated.span, value.facts)
            continue
        for candidate in candidates if stated.candidate is None else (stated.candidate,):
            if fact.name in found[candidate]:
                facts = {"name": fact.name, "candidate": shown(candidate)}
                findings.add(fact_codes.FACT_TWICE, stated.name_span, facts)
                break
            found[candidate][fact.name] = value
    return {candidate: facts for candidate, facts in found.items() if facts}


def understood(stated: StatedFact, fact: Fact, findings: Findings) -> Quantity | str | Refused:
    if fact.unit is None:
        if stated.value in fact.choices:
            return stated.value
        facts = {"value": shown(stated.value), "mark": fact.name, "known": listed(fact.choices)}
        return Refused(codes.UNKNOWN_CHOICE, facts | near(stated.value, fact.choices, findings))
    if fact.is_number:
        if re.fullmatch(r"[0-9]{1,12}", stated.value):
            return count(int(stated.value))
        return Refused(fact_codes.NO_WHOLE_NUMBER, {"text": shown(stated.value), "name": fact.name})
    amount = read_amount(stated.value, fact.name, fact.unit)
    if isinstance(amount, Refused):
        return amount
    named = {"text": shown(stated.value), "name": fact.name}
    if fact.heading and amount.base >= FULL_CIRCLE:
        return Refused(fact_codes.NO_HEADING, named)
    if fact.shared and amount.base == 0:
        return Refused(fact_codes.SHARE_OF_NOTHING, named)
    return amount
