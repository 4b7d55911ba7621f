"""The keys of one object of a log, taken one by one: each of the right kind, none unknown, none twice."""

import re
from collections.abc import Iterable
from functools import cache

from standfast.codes import log as codes
from standfast.diagnostic import nearest
from standfast.log.findings import Findings, shown
from standfast.log.lines import TextLine
from standfast.log.members import Member, Number, described
from standfast.source import Span

# Control characters, line separators and those that turn the direction of writing, halves of a character.
_NOT_SHOWN = "[\x00-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
_NOT_SHOWN_IN_A_NOTE = "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"

HEADER = "the header"

KEYS_OTHERWISE: dict[str, tuple[str, ...]] = {
    "assessor": ("grader",),
    "comment": ("note",),
    "date": ("started",),
    "event": ("mark",),
    "examiner": ("grader", "by"),
    "grader": ("by",),
    "id": ("session",),
    "instructor": ("grader", "by"),
    "remark": ("note",),
    "start": ("started",),
    "t": ("at",),
    "test": ("standard",),
    "time": ("at", "started"),
    "timestamp": ("at", "started"),
    "version": ("edition",),
    "who": ("candidate",),
    "zero": ("started",),
}
"""What others call a key, and the keys it may be."""


class Fields:
    """One object; `what` is its name in messages. Reports on opening what stands twice or is unknown.

    `said` are the keys to be named in messages, where they are more. What another object says may be put in place
    of what this one does; it keeps its own place then.
    """

    def __init__(
        self,
        what: str,
        line: TextLine,
        members: Iterable[Member],
        known: tuple[str, ...],
        findings: Findings,
        said: tuple[str, ...] = (),
    ) -> None:
        self.what = what
        self.line = line
        self._findings = findings
        self._members: dict[str, tuple[TextLine, Member]] = {}
        self._meant: set[str] = set()
        self._known = known
        self._said = said or known
        for member in members:
            self.take(line, member)

    def take(self, line: TextLine, member: Member) -> None:
        """One more key with its value, on a line of its own perhaps."""
        place = line.span(member.key_start, member.key_end)
        if member.key in self._members:
            self._findings.add(codes.KEY_TWICE, place, {"key": shown(member.key), "what": self.what})
        elif member.key in self._known:
            self._members[member.key] = line, member
        else:
            facts = {"key": shown(member.key), "what": self.what, "known": listed(self._said)}
            meant = [key for key in KEYS_OTHERWISE.get(member.key, ()) if key in self._said]
            facts |= {"near": f'"{meant[0]}"'} if meant else _near_key(member.key, self._said, self._findings)
            self._meant.add(facts.get("near", "").strip('"'))
            self._findings.add(codes.UNKNOWN_KEY, place, facts)

    def put(self, key: str, other: "Fields", others: str) -> None:
        """Takes for `key` what the other object has for the key `others`; its `null` takes the key out."""
        line, member = other._members[others]
        if member.value is None:
            self._members.pop(key, None)
        else:
            self._members[key] = line, member

    def member(self, key: str) -> Member | None:
        found = self._members.get(key)
        return None if found is None else found[1]

    def span(self, key: str) -> Span:
        """Where the value of a key stands (a text without its quotes), or the line where it is missing."""
        found = self._members.get(key)
        return self.line.span() if found is None else value_span(*found)

    def written(self, key: str) -> str | None:
        """What stands for a key, right or wrong, as far as it can be shown; None where nothing does."""
        found = self._members.get(key)
        if found is None:
            return None
        line, member = found
        value = member.value.text if isinstance(member.value, Number) else member.value
        if isinstance(value, str):
            return shown(value) if _not_shown(key, value) else value
        return shown(line.text[member.start : member.end])

    def text(self, key: str, example: str = "") -> str | None:
        """The text of a key, None if it is missing or was refused; with an `example` it must be there."""
        found = self._members.get(key)
        if found is None:
            if example and key not in self._meant:  # else it is there under another name, which was told
                facts = {"what": self.what, "key": key, "example": f'"{key}":"{example}"'}
                facts |= {"line": f"# {key}: {example}"} if self.what == HEADER else {}
                self._findings.add(codes.MISSING_KEY, self.line.span(), facts)
            return None
        return checked_text(*found, key, self._findings)


def _near_key(key: str, known: Iterable[str], findings: Findings) -> dict[str, str]:
    return {name: f'"{found}"' for name, found in near(key, known, findings).items()}


def checked_text(line: TextLine, member: Member, key: str, findings: Findings) -> str | None:
    """The value as a text that is not empty and can be shown; else None and a finding."""
    value = member.value
    if not isinstance(value, str):
        facts = {"key": key, "found": described(value), "wanted": "a text in quotes"}
        if isinstance(value, Number):
            facts["mended"] = f'"{shown(value.text)}"'
        findings.add(codes.WRONG_KIND, value_span(line, member), facts)
        return None
    if not value.strip():
        findings.add(codes.EMPTY_TEXT, line.span(member.start, member.end), {"key": key})
        return None
    if bad := _not_shown(key, value):
        facts = {"key": key, "character": f"U+{ord(bad[0]):04X}"}
        findings.add(codes.BAD_CHARACTER, value_span(line, member), facts)
        return None
    return value


def is_sound(key: str, text: str) -> bool:
    """Whether there is nothing wrong with the text of a key."""
    return bool(text.strip()) and _not_shown(key, text) is None


def _not_shown(key: str, text: str) -> re.Match[str] | None:
    """The first character that the text of a key may not have."""
    if text.isascii() and text.isprintable():
        return None
    return _pattern(_NOT_SHOWN_IN_A_NOTE if key == "note" else _NOT_SHOWN).search(text)


@cache
def _pattern(characters: str) -> re.Pattern[str]:
    return re.compile(characters)  # only where it is needed: it takes long


def value_span(line: TextLine, member: Member) -> Span:
    """Where a value stands; a text without its quotes."""
    return line.span(member.start + member.quotes, member.end - member.quotes)


def near(name: str, known: Iterable[str], findings: Findings) -> dict[str, str]:
    """The fact of a help line that names the nearest known name; empty where none is near."""
    found = None if findings.full else nearest(name, known)
    return {} if found is None else {"near": shown(found)}


def listed(names: Iterable[str]) -> str:
    return ", ".join(f"`{shown(name)}`" for name in names)
