"""The page that `grade --page` writes."""

from collections.abc import Iterable, Iterator

from standfast.command.pages import check_page_name, write_page
from standfast.diagnostic import Diagnostic
from standfast.log.entry import SessionLog
from standfast.model.candidate import specialised, unstated
from standfast.model.standard import Standard
from standfast.report.verdict_page.html import verdicts_html
from standfast.report.verdict_page.judged import Judged
from standfast.values import define, field
from standfast.verdict import Verdict


@define
class VerdictPage:
    """What is to stand on a page, kept until all is graded."""

    file: str
    judged: list[Judged] = field(factory=list)
    not_graded: list[str] = field(factory=list)
    is_written: bool = False

    def __attrs_post_init__(self) -> None:
        check_page_name(self.file)

    def add(self, standard: Standard, log: SessionLog, verdicts: Iterable[Verdict]) -> None:
        for verdict in verdicts:
            facts = log.facts.get(verdict.candidate, {})
            own = standard if unstated(standard, facts) else specialised(standard, facts)
            self.judged.append(Judged(standard=own, log=log, verdict=verdict))

    def write(self) -> Iterator[Diagnostic]:
        """Writes the page; what kept it from being written."""
        found = write_page(self.file, verdicts_html(self.judged, self.not_graded))
        self.is_written = not found
        yield from found
