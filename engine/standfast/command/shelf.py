"""The standards at hand, and which of them a log was kept under.

A file named on the command line is read at once. Of a folder only what a log needs is: the files that begin
with the wanted name, so that a broken one that could be meant is never passed over. A file of a folder that
begins with no name at all is named, once, since it could be anything.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date

from standfast.codes import Code, files
from standfast.command.files import STANDARD_ENDING, Opened, decoded, opened, shipped_standards
from standfast.command.standards import load_standard
from standfast.diagnostic import Diagnostic, nearest
from standfast.log.entry import Header
from standfast.model.standard import Standard
from standfast.pipeline import Ready
from standfast.source import Source, Span
from standfast.values import define, evolve, field, frozen

Found = tuple[Standard | None, tuple[Diagnostic, ...]]

_NAME = re.compile(r"(?:[ \t]*(?:#[^\n]*)?\r?\n)*[ \t]*standard[ \t]+([a-z][a-z0-9_]*)(?=[\s\"]|$)")
_EDITION = re.compile(r'\r?\n[ \t]+edition[ \t]+"([^"\n]*)"')


@frozen(eq=False)
class _RuleFile:
    """A rule file with the name and edition its first lines show; None where they show none."""

    source: Source
    data: bytes
    name: str | None
    edition: str | None


@define
class Shelf:
    """`first` is what was found on looking the places through."""

    first: tuple[Diagnostic, ...]
    _places: str
    _files: Sequence[_RuleFile]
    _loaded: dict[str, Found] = field(factory=dict)
    _told: set[str] = field(factory=set)
    _ready: dict[str, Ready] = field(factory=dict)

    def find(self, header: Header) -> Found:
        """The standard and edition a log was kept under, or why there is none.

        The errors of a rule file are given only with the first log that can mean no other.
        """
        named = [file for file in self._files if file.name == header.standard]
        if not named:
            return None, (self._unknown(header),)
        needed = [file for file in named if header.edition in (None, file.edition) or file.edition is None]
        broken = [file.source.name for file in needed if self._load(file)[0] is None]
        if broken:
            import shlex  # only where something is wrong

            facts = {"name": header.standard, "files": _listed(broken), "command": shlex.join(broken)}
            told = self._errors_of(needed[0]) if len(needed) == 1 else ()
            return None, (*told, Diagnostic(files.BROKEN_STANDARD, header.place("standard"), facts))
        standards = [standard for file in needed if (standard := self._load(file)[0]) is not None]
        return self._meant(header, standards, [file.edition for file in named if file.edition])

    def anew(self) -> "Shelf":
        """The same standards, their errors told as if no log had been graded."""
        return evolve(self, told=set(self._told))

    def ready(self, standard: Standard) -> Ready:
        """One that `find` gave, made ready once for all logs."""
        name = standard.span.source.name
        if name not in self._ready:
            self._ready[name] = Ready(standard)
        return self._ready[name]

    def bytes_of(self, standard: Standard) -> bytes:
        """Of the file of one that `find` gave."""
        return next(file.data for file in self._files if file.source.name == standard.span.source.name)

    def _load(self, file: _RuleFile) -> Found:
        name = file.source.name
        if name not in self._loaded:
            self._loaded[name] = load_standard(file.source)
        return self._loaded[name]

    def _errors_of(self, file: _RuleFile) -> tuple[Diagnostic, ...]:
        """Those of a rule file, once."""
        if file.source.name in self._told:
            return ()
        self._told.add(file.source.name)
        return self._load(file)[1]

    def _meant(self, header: Header, standards: Sequence[Standard], editions: Iterable[str]) -> Found:
        """The one of the standards of the wanted name that the header means."""
        facts = {"name": header.standard, "places": self._places, "editions": _listed(editions)}
        day = header.started
        if header.edition is not None:
            facts["edition"] = header.edition
            meant = [standard for standard in standards if standard.edition == header.edition]
            if not meant:
                return _none(files.UNKNOWN_EDITION, header.place("edition"), facts)
            if day is not None and meant[0].in_force > day:
                facts |= {"since": meant[0].in_force.isoformat(), "date": day.isoformat()}
                return _none(files.NOT_YET_IN_FORCE, header.place("started"), facts)
        elif day is None:
            meant = list(standards)
        else:
            meant = _latest(standards, day)
            if not meant:
                return _none(files.NONE_IN_FORCE, header.place("started"), facts | {"date": day.isoformat()})
        alike = next((s for s in meant[1:] if s.edition == meant[0].edition), None)
        if alike is not None:
            names = {"first": meant[0].span.source.name, "second": alike.span.source.name}
            return _none(
                files.TWO_ALIKE, header.place("edition", "standard"), facts | names | {"edition": alike.edition}
            )
        if len(meant) > 1:
            return _none(files.WHICH_EDITION, header.place("standard"), facts)
        return meant[0], ()

    def _unknown(self, header: Header) -> Diagnostic:
        facts = {"name": header.standard, "places": self._places}
        near = nearest(header.standard, [file.name for file in self._files if file.name is not None])
        return Diagnostic(
            files.UNKNOWN_STANDARD, header.place("standard"), facts | ({"near": near} if near else {})
        )


def shelf(places: Sequence[str]) -> Shelf:
    """The standards in these files and folders; without any, those that come with standfast."""
    called = _listed(places) if places else "the standards that come with standfast"
    found: list[Diagnostic] = []
    rule_files: list[_RuleFile] = []
    loaded: dict[str, Found] = {}
    unnamed: list[str] = []
    for file in opened(places or [shipped_standards()], STANDARD_ENDING, files.NO_STANDARDS):
        source = decoded(file) if isinstance(file, Opened) else file
        if isinstance(source, Diagnostic):
            found.append(source)
            continue
        name, edition = _shown(source.text)
        assert isinstance(file, Opened)
        if file.given:
            standard, diagnostics = loaded[source.name] = load_standard(source)
            found += diagnostics if standard is None else ()
        elif name is None:
            unnamed.append(source.name)
        rule_files.append(_RuleFile(source, file.data, name, edition))
    if unnamed:
        found.append(Diagnostic(files.UNNAMED_STANDARD, None, {"files": _listed(unnamed)}))
    return Shelf(tuple(found), called, rule_files, loaded, set(loaded))


def _shown(text: str) -> tuple[str | None, str | None]:
    name = _NAME.match(text)
    if name is None:
        return None, None
    header = re.split(r"\n(?=[^\s#])", text[name.end() :], maxsplit=1)[0]
    edition = _EDITION.search(header)
    return name[1], None if edition is None else edition[1]


def _latest(standards: Iterable[Standard], day: date) -> list[Standard]:
    """Those in force on the day, of the latest date; more than one only where dates are equal."""
    in_force = [standard for standard in standards if standard.in_force <= day]
    return [s for s in in_force if s.in_force == max(each.in_force for each in in_force)]


def _none(code: Code, span: Span, facts: dict[str, str]) -> Found:
    return None, (Diagnostic(code, span, facts),)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f"`{name}`" for name in dict.fromkeys(names))
