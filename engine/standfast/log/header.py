"""The first line of a log: which session, which standard, who was tested, what held."""

import re

from standfast.codes import log as codes
from standfast.log.entry import ALL, Header, RawFact, StatedFact
from standfast.log.facts import stated_facts
from standfast.log.fields import HEADER, Fields, checked_text, value_span
from standfast.log.findings import Findings, Refused, shown
from standfast.log.lines import TextLine
from standfast.log.members import Member, Number, described, items_at, members_at
from standfast.log.times import Elapsed, Timestamp, read_time
from standfast.source import Span
from standfast.values import frozen

KEYS = ("session", "standard", "edition", "candidate", "candidates", "started", "conditions", "facts", "grader")
_DAY = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


@frozen(kw_only=True)
class Opening:
    """What the first line says.

    `header` is None where any part of it is wrong. `candidates` is None where they cannot be told, so that
    entries are not held against them. `zero_span` is where `started` stands, readable or not.
    """

    header: Header | None
    candidates: tuple[str, ...] | None
    conditions: tuple[RawFact, ...]
    facts: tuple[StatedFact, ...]
    zero: Timestamp | None
    zero_span: Span | None


def read_header(line: TextLine, members: tuple[Member, ...], findings: Findings) -> Opening:
    """What a line of JSON says."""
    before = findings.count
    fields = Fields(HEADER, line, members, KEYS, findings)
    conditions, facts = _conditions(fields, findings), stated_facts(fields, findings)
    before_candidates = findings.count
    candidates = _candidates(fields, findings)
    named = candidates if findings.count == before_candidates else None
    return opening(fields, conditions, facts, named, before, findings)


def opening(
    fields: Fields,
    conditions: tuple[RawFact, ...],
    facts: tuple[StatedFact, ...],
    candidates: tuple[str, ...] | None,
    before: int,
    findings: Findings,
) -> Opening:
    """The header with these fields, conditions, facts and candidates; `before` it there were so many findings."""
    session = fields.text("session", example="S-1")
    standard = fields.text("standard", example="NAME")
    edition = fields.text("edition")
    grader = fields.text("grader")
    started = fields.text("started")
    zero = None if started is None else _zero(fields, started, findings)
    header = None
    if session is not None and standard is not None and findings.count == before:
        header = Header(
            session=session,
            standard=standard,
            edition=edition,
            candidates=candidates or (),
            started=None if zero is None else zero.day,
            started_text=started,
            grader=grader,
            span=fields.line.span(),
            spans={key: fields.span(key) for key in ("standard", "edition", "started") if fields.member(key)},
        )
    return Opening(
        header=header,
        candidates=candidates,
        conditions=conditions,
        facts=facts,
        zero=zero,
        zero_span=None if fields.member("started") is None else fields.span("started"),
    )


def _zero(fields: Fields, text: str, findings: Findings) -> Timestamp | None:
    match read_time(text):
        case Timestamp() as zero:
            return zero
        case Elapsed():
            _not_an_instant(fields, text, "an elapsed time", findings)
        case Refused(code=codes.NOT_A_TIME):
            _not_an_instant(
                fields, text, "a day without a time" if _DAY.fullmatch(text) else "no instant", findings
            )
        case Refused(code, facts):
            findings.add(code, fields.span("started"), facts)
    return None


def _not_an_instant(fields: Fields, text: str, found: str, findings: Findings) -> None:
    day = text if _DAY.fullmatch(text) else "2026-04-11"
    facts = {"text": shown(text), "found": found, "example": f"{day}T09:00:00+01:00"}
    findings.add(codes.NOT_A_TIMESTAMP, fields.span("started"), facts)


def _candidates(fields: Fields, findings: Findings) -> tuple[str, ...]:
    named = fields.member("candidate")
    if named is not None and isinstance(named.value, list):
        listed = fields.line.text[named.start : named.end]
        facts = {
            "key": "candidate",
            "found": "a list",
            "wanted": "one text",
            "mended": f'"candidates":{shown(listed)}',
        }
        findings.add(codes.WRONG_KIND, fields.line.span(named.key_start, named.end), facts)
        return ()
    one = fields.text("candidate")
    several = fields.member("candidates")
    if one == ALL:
        findings.add(codes.NAMED_ALL, fields.span("candidate"))
    if several is None:
        return () if one is None else (one,)
    line = fields.line
    if fields.member("candidate") is not None:
        findings.add(codes.BOTH_KEYS, line.span(several.key_start, several.key_end))
    place = value_span(line, several)
    if not isinstance(several.value, list):
        wanted = {"key": "candidates", "found": described(several.value), "wanted": "a list of texts"}
        if isinstance(several.value, str):
            wanted["mended"] = f'"candidate":"{shown(several.value)}"'
            place = line.span(several.key_start, several.end)
        findings.add(codes.WRONG_KIND, place, wanted)
        return ()
    if not several.value:
        findings.add(codes.NO_CANDIDATES, place)
    names: dict[str, None] = {}
    for item in items_at(line.text, several.start):
        name = checked_text(line, item, "candidates", findings)
        if name == ALL:
            findings.add(codes.NAMED_ALL, value_span(line, item))
        elif name in names:
            findings.add(codes.CANDIDATE_TWICE, value_span(line, item), {"name": shown(name)})
        elif name is not None:
            names[name] = None
    return tuple(names)


def _conditions(fields: Fields, findings: Findings) -> tuple[RawFact, ...]:
    stated = fields.member("conditions")
    if stated is None:
        return ()
    line = fields.line
    if not isinstance(stated.value, dict):
        facts = {"key": "conditions", "found": described(stated.value), "wanted": "an object"}
        findings.add(codes.WRONG_KIND, value_span(line, stated), facts)
        return ()
    read: dict[str, RawFact] = {}
    for member in members_at(line.text, stated.start):
        key_place = line.span(member.key_start + 1, member.key_end - 1)
        if member.key in read:
            findings.add(codes.KEY_TWICE, key_place, {"key": shown(member.key), "what": "the conditions"})
            continue
        value: str | bool | None
        match member.value:
            case bool():
                value = member.value
            case Number(text):
                value = text
            case str():
                value = checked_text(line, member, shown(member.key), findings)
            case _:
                wanted = "a measure in quotes, a number, `true` or `false`"
                facts = {"key": shown(member.key), "found": described(member.value), "wanted": wanted}
                findings.add(codes.WRONG_KIND, value_span(line, member), facts)
                value = None
        if value is not None:
            fact = RawFact(name=member.key, value=value, span=value_span(line, member), name_span=key_place)
            read[member.key] = fact
    return tuple(read.values())
