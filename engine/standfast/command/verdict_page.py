"""The page that `grade --page` writes."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from attrs import define, field

from standfast.command.exits import Mistake
from standfast.command.files import unwritable
from standfast.diagnostic import Diagnostic
from standfast.log.entry import SessionLog
from standfast.model.candidate import specialised, unstated
from standfast.model.standard import Standard
from standfast.report.verdict_page.html import verdicts_html
from standfast.report.verdict_page.judged import Judged
from standfast.verdict import Verdict

_ENDING = ".html"


@define
class VerdictPage:
    """What is to stand on a page, kept until all is graded; without a `file` nothing is kept or written."""

    file: str | None
    judged: list[Judged] = field(factory=list)
    not_graded: list[str] = field(factory=list)
    is_written: bool = False

    def __attrs_post_init__(self) -> None:
        if self.file is not None and not self.file.endswith(_ENDING):
            raise Mistake(f"`{self.file}` after --page does not end in `{_ENDING}`; name the page to be written")

    def add(self, standard: Standard, log: SessionLog, verdicts: Iterable[Verdict]) -> None:
        if self.file is None:
            return
        for verdict in verdicts:
            facts = log.facts.get(verdict.candidate, {})
            own = standard if unstated(standard, facts) else specialised(standard, facts)
            self.judged.append(Judged(standard=own, log=log, verdict=verdict))

    def write(self) -> Iterator[Diagnostic]:
        """Writes the page; what kept it from being written."""
        if self.file is None:
            return
        try:
            Path(self.file).write_bytes(verdicts_html(self.judged, self.not_graded).encode())
        except OSError as error:
            yield unwritable(self.file, error)
        else:
            self.is_written = True
