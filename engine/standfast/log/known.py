"""What the logs of one standard say again and again, understood once; and a regular log by means of it.

An entry of a regular log is its time and a tail, such as `, "mark": "hit"}`. Of tails there are few, so each is
read and looked up once. INVARIANT: what is kept of a tail is what `read_log` and `bind` make of an entry with it;
of one in which they would find anything wrong nothing is kept, and its log is no longer regular.
"""

from standfast.log.bind import Vocabulary, bound, entry_value, vocabulary
from standfast.log.entry import ALL, Entry, RawEntry, RawFact, RawLog, SessionLog
from standfast.log.fields import is_sound
from standfast.log.findings import Findings
from standfast.log.members import Number, pairs_of
from standfast.log.reader import ENTRY_KEYS
from standfast.log.regular import Irregular, RegularLog, make_room
from standfast.model.standard import Standard
from standfast.quantity import Quantity
from standfast.source import Source
from standfast.values import define, evolve

TYPE_CHECKING = False  # as in `typing`, which takes long to load
if TYPE_CHECKING:
    from typing import Any

_KEPT = 2048  # tails and values, so that the memory of a long run stays bounded
_ALIKE = 64  # logs with other conditions
_LONGEST = 1000  # characters of a tail: far within what a line may have
_KEYS = frozenset(ENTRY_KEYS)
_NOWHERE = Source("", "").span(0, 0)

Said = tuple[str, str | Quantity | None, str | None, str | None, str | None]
"""What an entry says beside its time: mark, value, candidate as written, by whom, note."""


class Known:
    """The vocabulary of one standard; of the logs met so far the tails of entries, and a log for each that states
    other conditions.
    """

    def __init__(self, standard: Standard) -> None:
        self.vocabulary = vocabulary(standard)
        self.tails = _Tails(self.vocabulary)
        self._alike: dict[tuple[str, str | None, tuple[RawFact, ...]], SessionLog] = {}

    def session_log(self, log: RegularLog) -> SessionLog | None:
        """The log understood; None where there is anything to be said of it, which is then left to `bind`."""
        opening, header = log.opening, log.opening.header
        like = self._like(opening)
        try:
            entries = () if like is None else tuple(self._entries(log, header.candidates))
        except (Irregular, KeyError):
            return None
        return like and evolve(
            like,
            session=header.session,
            candidates=header.candidates,
            entries=entries,
            end=opening.end,
            grader=header.grader,
            started=header.started_text,
            digest=opening.digest,
            name=opening.source.name,
            zero=opening.zero,
        )

    def _like(self, opening: RawLog) -> SessionLog | None:
        """A log of this standard that states the same of conditions and facts."""
        key = opening.header.standard, opening.header.edition, opening.conditions
        like = None if opening.facts else self._alike.get(key)
        if like is None:
            like, found = bound(opening, self.vocabulary)
            if found:
                return None
            if like is not None and not opening.facts:
                make_room(self._alike, _ALIKE)
                self._alike[key] = like
        return like

    def _entries(self, log: RegularLog, candidates: tuple[str, ...]) -> list[Entry]:
        whose: dict[str | None, str | None] = {**{name: name for name in candidates}, ALL: None}
        if len(candidates) == 1:
            whose[None] = candidates[0]
        tails = self.tails
        entries: list[Any] = []
        for number, (at, tail) in enumerate(zip(log.times, log.tails, strict=True), 1):
            mark, value, candidate, by, note = tails[tail]
            entry = _Draft(number, number + 1, at, mark, value, whose[candidate], by, note)
            entry.__class__ = Entry  # type: ignore[assignment]
            entries.append(entry)
        return entries


@define(weakref_slot=False, eq=False)
class _Draft:
    """What becomes an `Entry` once it is whole: of the same slots, made in a third of the time of a frozen one."""

    number: int
    line: int
    at: int
    mark: str
    value: str | Quantity | None
    candidate: str | None
    by: str | None
    note: str | None


class _Values(dict[tuple[str, str | None, str | None], str | Quantity | None]):
    """The value of an entry with a mark, what is written as its value, and by whom it is."""

    def __init__(self, known: Vocabulary) -> None:
        self._known = known

    def __missing__(self, said: tuple[str, str | None, str | None]) -> str | Quantity | None:
        mark, written, by = said
        findings = Findings()
        entry = RawEntry(
            number=1,
            at=0,
            mark=mark,
            value=written,
            candidate=None,
            by=by,
            note=None,
            span=_NOWHERE,
            mark_span=_NOWHERE,
            value_span=None if written is None else _NOWHERE,
        )
        value = entry_value(entry, self._known, findings)
        if findings.count:
            raise Irregular
        make_room(self, _KEPT)
        self[said] = value
        return value


class _Tails(dict[str, Said]):
    """What tails say. Many come once, with names or notes of their own, so the values are kept beside them."""

    def __init__(self, known: Vocabulary) -> None:
        self._values = _Values(known)

    def __missing__(self, tail: str) -> Said:
        texts = _texts(tail)
        if "mark" not in texts:
            raise Irregular
        mark, by = texts["mark"], texts.get("by")
        value = self._values[mark, texts.get("value"), by]
        make_room(self, _KEPT)
        said = self[tail] = mark, value, texts.get("candidate"), by, texts.get("note")
        return said


def _texts(tail: str) -> dict[str, str]:
    """The keys and texts of an entry with this tail, each sound; a number of a value as it is written."""
    if len(tail) > _LONGEST:
        raise Irregular
    pairs = pairs_of('{"at":"0:00"' + tail)
    if pairs is None:
        raise Irregular
    texts: dict[str, str] = {}
    for key, text in pairs:
        if key == "value" and isinstance(text, Number):
            text = text.text
        elif not isinstance(text, str) or not is_sound(key, text):
            raise Irregular
        texts[key] = text
    if len(texts) != len(pairs) or not texts.keys() <= _KEYS:
        raise Irregular
    return texts
