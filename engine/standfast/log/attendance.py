"""Which candidates of a log are there: one joins once, before any entry of theirs, and leaves once, after them."""

from standfast.codes import log as codes
from standfast.diagnostic import Label
from standfast.log.findings import Findings, shown
from standfast.source import Span


class Attendance:
    """Takes the candidates' own entries, and who joins and leaves, one after another."""

    def __init__(self, findings: Findings) -> None:
        self._findings = findings
        self._since: dict[str, Span] = {}
        self._left: dict[str, Span] = {}

    def entry(self, candidate: str | None, place: Span) -> None:
        """An entry of the candidate; of None it is one for all, or of nobody that is known."""
        if candidate in self._left:
            assert candidate is not None
            facts = {"name": shown(candidate), "line": str(self._left[candidate].line)}
            self._findings.add(codes.ENTRY_AFTER_LEAVING, place, facts, Label(self._left[candidate], "left"))
        elif candidate is not None:
            self._since.setdefault(candidate, place)

    def presence(self, candidate: str, joins: bool, place: Span) -> None:
        earlier = self._left.get(candidate) or (self._since.get(candidate) if joins else None)
        if earlier is None:
            (self._since if joins else self._left)[candidate] = place
            return
        how = "left" if candidate in self._left else "was there"
        facts = {"name": shown(candidate), "how": "joins" if joins else "leaves"}
        facts["found"] = f"{how} on line {earlier.line} already"
        self._findings.add(codes.PRESENT_TWICE, place, facts, Label(earlier, how))
