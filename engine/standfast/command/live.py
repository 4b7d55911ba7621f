"""A log followed while it is written: where its candidates stand is shown after each entry."""

import os
import sys
from collections.abc import Sequence

from standfast.codes import log as log_codes
from standfast.command.exits import Mistake
from standfast.command.files import (
    INPUT_NAME,
    LOG_ENDINGS,
    PACKED,
    STANDARD_INPUT,
    Opened,
    of_other_kind,
    text_only,
)
from standfast.command.growing import growing
from standfast.command.sessions import Understood, understand
from standfast.command.shelf import Shelf
from standfast.diagnostic import Diagnostic
from standfast.live.follow import Follower
from standfast.live.position import Stand
from standfast.log.entry import SessionLog
from standfast.log.growing import whole_lines
from standfast.report.diagnostic_text import picture
from standfast.report.documents import line_of
from standfast.report.live_document import live_document
from standfast.report.live_text import live_text
from standfast.values import define, evolve, field


def followed(places: Sequence[str], standards: Shelf, *, as_json: bool) -> Opened | Diagnostic:
    """The log, once no more of it is to come: its end is logged, its input ends, or Ctrl-C is pressed.

    Of standard input the end that is logged ends nothing, since corrections may come after it.
    """
    if len(places) != 1:
        raise Mistake("--live follows one log; name one, or - for standard input")
    (place,) = places
    if place.endswith(PACKED):
        raise Mistake(f"`{place}` is packed: --live follows a log while it is written")
    if os.path.isdir(place):
        raise Mistake(f"`{place}` is a folder: --live follows one log; name its file")
    wrong = of_other_kind(place, LOG_ENDINGS)
    if wrong is not None:
        return wrong
    name = INPUT_NAME if place == STANDARD_INPUT else place
    follow = _Following(name, standards, as_json)
    data = b""
    try:
        for found in growing(place):
            if isinstance(found, Diagnostic):
                return found
            data = found
            if follow.take(data) and place != STANDARD_INPUT:
                break
    except KeyboardInterrupt:
        if follow.whole < len(data):
            data = data[: max(follow.whole, data.rfind(b"\n") + 1)]
    return text_only(Opened(name, data, given=True))


@define
class _Following:
    """`whole` bytes of the log are read; `log` is what was understood of them, None while something is wrong."""

    name: str
    standards: Shelf
    as_json: bool
    whole: int = 0
    log: SessionLog | None = None
    _data: bytes = b""
    _refused: bool = False
    _follower: Follower | None = None
    _told: set[tuple[str, int, str]] = field(factory=set)

    def take(self, data: bytes) -> bool:
        """Shows what the lines that are new give; whether the end of the log is among those read."""
        if not data.startswith(self._data[: self.whole]):
            self.whole = 0
            ends = whole_lines(self.name, data)[-1:]
        else:
            ends = whole_lines(self.name, data, self.whole)
        self._data = data
        if ends:
            self._more(ends)
            self.whole = ends[-1]
        return self.log is not None and self.log.end is not None

    def _more(self, ends: Sequence[int]) -> None:
        """Lines that come together are read together, and shown one by one; if they are more than entries,
        because one of them corrects something or is wrong, it is searched for by halves.
        """
        file = Opened(self.name, self._data[: ends[-1]], given=True)
        understood, found = understand(file, self.standards)
        if understood is not None and self._are_entries(understood.log):
            self._tell(found)
            self._steps(understood)
        elif len(ends) == 1 or (understood is None and self._refused):
            self._tell(found)
            self.log, self._refused = None if understood is None else understood.log, understood is None
            if understood is not None:
                self._show(understood, understood.log)
        else:
            half = len(ends) // 2
            self._more(ends[:half])
            self._more(ends[half:])

    def _are_entries(self, log: SessionLog) -> bool:
        """Whether no more is new in the log than entries and, perhaps, its end."""
        if self.log is None or self._follower is None:
            return not (self._refused or log.corrections or log.presence)
        return self._follower.continues(log) and log.presence == self.log.presence

    def _steps(self, understood: Understood) -> None:
        """The log after each of its entries that is new, then all of it if it has an end."""
        log = understood.log
        known = 0 if self.log is None else len(self.log.entries) + 1
        for number in range(known, len(log.entries) + 1):
            entries = log.entries[:number]
            named = {*understood.header.candidates, *(entry.candidate for entry in entries)}
            named |= {presence.candidate for presence in log.presence}
            candidates = tuple(candidate for candidate in log.candidates if candidate in named)
            if candidates:
                self._show(understood, evolve(log, entries=entries, end=None, candidates=candidates))
        if log.end is not None and (self.log is None or self.log.end is None):
            self._show(understood, log)
        self.log = log

    def _show(self, understood: Understood, log: SessionLog) -> None:
        if self._follower is None or self._follower.standard != understood.standard:
            self._follower = Follower(understood.standard)
        self._write(self._follower.stand(log), ())

    def _tell(self, found: Sequence[Diagnostic]) -> None:
        """What is found for the first time. That no candidate is named yet is only wrong if it stays so."""
        new = []
        for one in found:
            key = (one.code.number, 0 if one.span is None else one.span.line, one.message)
            if key not in self._told and one.code is not log_codes.NO_CANDIDATE:
                self._told.add(key)
                new.append(one)
        if new:
            self._write(None, new)

    def _write(self, stand: Stand | None, found: Sequence[Diagnostic]) -> None:
        if self.as_json:
            sys.stdout.write(line_of(live_document(stand, found)))
        elif stand is not None:
            sys.stdout.write(live_text(stand) + "\n")
        sys.stdout.flush()
        if not self.as_json:
            sys.stderr.write("".join(map(picture, found)))
            sys.stderr.flush()
