"""Corrections of a log: `strike` takes an entry out, `amend` replaces what it names.

A correction stands after what it corrects, also after the end, and is made before anything else is looked at: what
a struck entry says, and what an amendment replaces, is not held against the log. Several of one entry are made in
the order of the file. What is struck can only be put back by an amendment that says it whole.
"""

import re
from collections.abc import Iterable, Mapping

from standfast.codes import corrections as codes
from standfast.diagnostic import Label
from standfast.log.entry import Correction, Stated
from standfast.log.fields import Fields
from standfast.log.findings import Findings
from standfast.log.lines import TextLine
from standfast.log.members import Member, Number, described
from standfast.source import Span
from standfast.values import frozen

CORRECTIONS = ("strike", "amend")
STRIKE_KEYS = ("strike", "by", "note")
AMEND_KEYS = ("amend", "at", "mark", "value", "candidate", "seen_by", "by", "note")
AMEND_END_KEYS = ("amend", "at", "by", "note")
_END = "end"
_REPLACED = {"at": "at", "mark": "mark", "value": "value", "candidate": "candidate", "seen_by": "by"}
"""The keys of an amendment that replace, and the key of the entry whose value each replaces."""
PRESENCE = ("join", "leave")
"""The keys of a line that says that a candidate joins or leaves; an amendment says as `candidate` who it is."""
_NUMBER = re.compile("[1-9][0-9]{0,11}")


@frozen
class Target:
    """What is corrected: the entry with that number, or of the ends the one with that number, which stands after
    `place` entries.
    """

    of_end: bool
    number: int
    place: int

    def __str__(self) -> str:
        return "the end" if self.of_end else f"entry {self.number}"


def entry_target(number: int) -> Target:
    return Target(of_end=False, number=number, place=number)


@frozen
class Written:
    """A correction as written. INVARIANT: `fields` are those of an object in which nothing is wrong but, perhaps,
    what an amendment puts in place of other values.
    """

    target: Target
    fields: Fields
    by: str
    why: str
    place: Span

    @property
    def strikes(self) -> bool:
        return self.fields.member("strike") is not None

    def says(self, keys: Iterable[str]) -> bool:
        """Whether it is an amendment that has all of these."""
        return not self.strikes and all(self.fields.member(key) is not None for key in keys)


Asked = Mapping[Target, list[Written]]


def read_correction(
    line: TextLine, members: tuple[Member, ...], numbers: int, end: Target | None, findings: Findings
) -> Written | None:
    """The correction on a line before which there are entries up to `numbers` and the last end is `end`."""
    before = findings.count
    key = next(member.key for member in members if member.key in CORRECTIONS)
    named = next(member for member in members if member.key == key)
    of_end = named.value == _END
    known = STRIKE_KEYS if key == "strike" else AMEND_END_KEYS if of_end else AMEND_KEYS
    fields = Fields("a `strike`" if key == "strike" else "an `amend`", line, members, known, findings)
    by, why = fields.text("by", example="G-2"), fields.text("note", example="wrong lane")
    target = _target(fields, key, numbers, end, findings)
    if key == "amend" and not any(fields.member(name) for name in _REPLACED) and findings.count == before:
        facts = {"known": ", ".join(f"`{name}`" for name in _REPLACED if name in known)}
        findings.add(codes.AMENDS_NOTHING, line.span(), facts)
    if by is None or why is None or target is None or findings.count > before:
        return None
    return Written(target, fields, by, why, fields.span(key))


def _target(fields: Fields, key: str, numbers: int, end: Target | None, findings: Findings) -> Target | None:
    member = fields.member(key)
    assert member is not None
    if member.value == _END:
        if end is None:
            facts = {"what": "the end", "found": "but no end stands before it"}
            findings.add(codes.NO_SUCH_ENTRY, fields.span(key), facts)
        return end
    text = member.value.text if isinstance(member.value, Number) else ""
    if not _NUMBER.fullmatch(text):
        facts = {"found": described(member.value), "key": key}
        findings.add(codes.NOT_A_NUMBER, fields.span(key), facts)
        return None
    if int(text) > numbers:
        found = f"but the last entry before it is entry {numbers}" if numbers else "but no entry stands before it"
        findings.add(codes.NO_SUCH_ENTRY, fields.span(key), {"what": f"entry {text}", "found": found})
        return None
    return entry_target(int(text))


def corrected(
    fields: Fields, target: Target, asked: Iterable[Written], findings: Findings
) -> tuple[bool, tuple[Correction, ...]]:
    """Makes the corrections of one entry or end in its fields: whether it still stands, and what was done."""
    struck: Written | None = None
    made: list[Correction] = []
    presence = next((key for key in PRESENCE if fields.member(key) is not None), None)
    for each in asked:
        before = _stated(fields, target)
        needed = ("at",) if target.of_end else ("at", "candidate") if presence else ("at", "mark")
        if struck is not None and not each.says(needed):
            whole = {"whole": " and ".join(f"`{key}`" for key in needed)}
            facts = {"what": str(target)} | ({} if each.strikes else whole)
            findings.add(codes.STRUCK_BEFORE, each.place, facts, Label(struck.place, "struck"))
            continue
        if presence and (unfit := next((key for key in ("mark", "value") if each.fields.member(key)), None)):
            facts = {"what": str(target), "how": presence, "key": unfit}
            findings.add(codes.AMENDS_PRESENCE, each.place, facts, Label(fields.line.span(), str(target)))
            continue
        struck = each if each.strikes else None
        for key, replaced in _REPLACED.items():
            if each.fields.member(key) is not None:
                if key == "candidate" and presence:
                    replaced = presence
                fields.put("end" if target.of_end else replaced, each.fields, key)
        made.append(
            Correction(
                of_end=target.of_end,
                place=target.place,
                line=fields.line.number,
                on_line=each.fields.line.number,
                by=each.by,
                why=each.why,
                before=before,
                after=None if each.strikes else _stated(fields, target),
            )
        )
    return struck is None, tuple(made)


def _stated(fields: Fields, target: Target) -> Stated:
    if target.of_end:
        return Stated(at=fields.written("end"))
    return Stated(
        **{key: fields.written(key) for key in ("at", "mark", "value", "candidate", "by", "note", *PRESENCE)},
    )
