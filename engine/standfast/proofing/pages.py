"""Pages of the boundary book: logs written as files, read again, and graded by both programs."""

from collections.abc import Iterable, Iterator

from standfast.codes import boundary as codes
from standfast.definition import judge
from standfast.diagnostic import Diagnostic, has_errors
from standfast.log.bind import bind
from standfast.log.entry import SessionLog
from standfast.log.reader import read_log
from standfast.log.writer import log_bytes
from standfast.machine.compile import compile_standard
from standfast.model.rules import Rule
from standfast.model.standard import Standard
from standfast.proofing.book import Page, Side
from standfast.proofing.cases import difference
from standfast.proofing.checks import Check, kept
from standfast.proofing.finding import Finding, log_lines
from standfast.replay import replay
from standfast.values import evolve
from standfast.verdict import Outcome, Verdict

_ENDINGS = {
    Side.QUICKEST: "quickest",
    Side.KEPT: "kept",
    Side.BROKEN: "broken",
    Side.TRIGGERED: "triggered",
    Side.SPARED: "spared",
    Side.REACHED: "reached",
    Side.SHORT: "short",
}


class Pages:
    """The pages made so far, in order."""

    def __init__(self, standard: Standard) -> None:
        self.standard = standard
        self.machine = compile_standard(standard)
        self.made: list[Page] = []
        self._names: set[str] = set()

    def add(self, path: str, words: str, side: Side, logs: Iterable[SessionLog], check: Check) -> Page | None:
        """A page of the first log that passes the check; None if none does."""
        name = self._name(f"{path}.{_ENDINGS[side]}")
        for log in logs:
            # Most logs fail the check, and to write one down and read it again takes long.
            if check(self.verdict(log), log) is None:
                continue
            data = log_bytes(evolve(log, session=name))
            graded = self._graded(name, data)
            told = None if graded is None else check(graded[1], graded[0])
            if graded is None or told is None:
                continue
            page = Page(
                name=name,
                path=path,
                words=words,
                side=side,
                told=told,
                log=graded[0],
                lines=log_lines(graded[0]),
                data=data,
                machine=graded[1],
                definition=judge(self.standard, graded[0])[0],
            )
            self.made.append(page)
            self._names.add(name)
            return page
        return None

    def add_kept(self, rule: Rule, path: str, logs: Iterable[SessionLog]) -> Page | None:
        """A page of a figure just kept: in a test that is GO where any of the logs is, else in a GO attempt."""
        check = kept(rule, path)
        others: list[SessionLog] = []

        def go_first() -> Iterator[SessionLog]:
            for log in logs:
                verdict = self.verdict(log)
                if check(verdict, log) is not None and verdict.outcome is Outcome.GO:
                    yield log
                elif check(verdict, log) is not None:
                    others.append(log)
            yield from others

        return self.add(path, rule.words, Side.KEPT, go_first(), check)

    def verdict(self, log: SessionLog) -> Verdict:
        """What the machine says of a log that is not written down."""
        return replay(self.machine, log)[0]

    def _graded(self, name: str, data: bytes) -> tuple[SessionLog, Verdict] | None:
        """The log as a grader would read it; None for one that cannot be written down exactly."""
        raw, found = read_log(name, data)
        if raw is None or has_errors(found):
            return None
        log, found = bind(raw, self.standard)
        if log is None or has_errors(found):
            return None
        return log, replay(self.machine, log)[0]

    def _name(self, wanted: str) -> str:
        name, number = wanted, 1
        while name in self._names:
            number += 1
            name = f"{wanted}_{number}"
        return name


def disagreements(pages: Pages) -> Iterator[Finding]:
    for page in pages.made:
        if page.alike:
            continue
        found, expected = difference(page.machine, page.definition)
        facts = {"name": page.name, "found": found, "expected": expected}
        diagnostic = Diagnostic(codes.BOOK_DISAGREEMENT, pages.standard.span, facts, log=page.lines)
        yield Finding(diagnostic, "")
