"""Which clauses fail whom most, over logs without number: counts, and what is said of them.

What is counted grows with the standards and their clauses, and not with the logs.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import TypeVar

from standfast.model.standard import Standard
from standfast.quantity import decimal
from standfast.report.documents import Plain
from standfast.report.lines import folded
from standfast.values import define, field, frozen
from standfast.verdict import Outcome, Verdict, deciding

_Issue = tuple[str, str]
"""The name and the edition of a standard."""
Counted = TypeVar("Counted")


@frozen
class Count:
    """What is counted of one verdict: its outcome, the clauses it rests on where it is NO-GO or VOID, and of what
    sorts its candidate is (`duty boat`), by the facts that are choices.
    """

    issue: _Issue
    outcome: Outcome
    clauses: tuple[str, ...]
    sorts: tuple[str, ...]


def count_of(standard: Standard, verdict: Verdict) -> Count:
    choices = {fact.name for fact in standard.facts if fact.choices}
    return Count(
        issue=(verdict.standard, verdict.edition),
        outcome=verdict.outcome,
        clauses=tuple(dict.fromkeys(reason.path for reason in deciding(verdict))),
        sorts=tuple(f"{name} {stated}" for name, stated in verdict.facts if name in choices),
    )


@define
class Tally:
    """All counts so far."""

    logs: int = 0
    not_graded: int = 0
    outcomes: dict[_Issue, Counter[Outcome]] = field(factory=dict)
    failed: dict[_Issue, Counter[str]] = field(factory=dict)
    sorts: dict[_Issue, Counter[str]] = field(factory=dict)
    failed_of: dict[_Issue, Counter[tuple[str, str]]] = field(factory=dict)

    def add(self, counts: Iterable[Count]) -> None:
        """The verdicts of one more log, none if it was not graded."""
        self.logs += 1
        graded = False
        for each in counts:
            graded = True
            self.outcomes.setdefault(each.issue, Counter())[each.outcome] += 1
            self.failed.setdefault(each.issue, Counter()).update(each.clauses)
            self.sorts.setdefault(each.issue, Counter()).update(each.sorts)
            pairs = ((clause, sort) for clause in each.clauses for sort in each.sorts)
            self.failed_of.setdefault(each.issue, Counter()).update(pairs)
        self.not_graded += not graded

    def add_all(self, other: "Tally") -> None:
        """All that another has counted."""
        self.logs += other.logs
        self.not_graded += other.not_graded
        _add(self.outcomes, other.outcomes)
        _add(self.failed, other.failed)
        _add(self.sorts, other.sorts)
        _add(self.failed_of, other.failed_of)


def _add(to: dict[_Issue, Counter[Counted]], others: Mapping[_Issue, Counter[Counted]]) -> None:
    for issue, counts in others.items():
        to.setdefault(issue, Counter()).update(counts)


def tally_document(tally: Tally) -> Plain:
    """See `summary.schema.json`."""
    return {
        "schema": "summary/1",
        "logs": tally.logs,
        "not_graded": tally.not_graded,
        "standards": [_standard(tally, issue) for issue in sorted(tally.outcomes)],
    }


def _standard(tally: Tally, issue: _Issue) -> Plain:
    outcomes = tally.outcomes[issue]
    return {
        "standard": issue[0],
        "edition": issue[1],
        "verdicts": outcomes.total(),
        "outcomes": {outcome.value: outcomes[outcome] for outcome in Outcome if outcomes[outcome]},
        "clauses": [
            {
                "path": clause,
                "verdicts": number,
                "of": [
                    {"sort": sort, "verdicts": failed, "among": among}
                    for sort, failed, among in _of(tally, issue, clause)
                ],
            }
            for clause, number in _most_first(tally.failed[issue])
        ],
    }


def tally_text(tally: Tally) -> str:
    """Of each standard the outcomes, then the clauses that the most NO-GO and VOID rest on."""
    lines = [f"{_many(tally.logs, 'log')}, {tally.not_graded} not graded"]
    for issue in sorted(tally.outcomes):
        outcomes = tally.outcomes[issue]
        parts = ", ".join(f"{outcomes[outcome]} {outcome.value}" for outcome in Outcome if outcomes[outcome])
        lines += folded(f"standard {issue[0]}, edition {issue[1]}: {_many(outcomes.total(), 'verdict')}, {parts}")
        for clause, number in _most_first(tally.failed[issue]):
            lines += folded(f"{_share(number, outcomes.total())} ({number}): {clause}", 2)
            of = [
                f"{sort} {_share(failed, among)} ({failed} of {among})"
                for sort, failed, among in _of(tally, issue, clause)
            ]
            lines += folded(", ".join(of), 6)
    return "\n".join(lines) + "\n"


def _most_first(counter: Counter[str]) -> list[tuple[str, int]]:
    return sorted(counter.items(), key=lambda each: (-each[1], each[0]))


def _of(tally: Tally, issue: _Issue, clause: str) -> Iterator[tuple[str, int, int]]:
    """Whom a clause failed: of each sort of candidates how many, and how many there were; the most hit first."""
    sorts = tally.sorts[issue]
    of = [(sort, tally.failed_of[issue][clause, sort], among) for sort, among in sorts.items()]
    yield from sorted(of, key=lambda each: (-Fraction(each[1], each[2]), each[0]))


def _share(part: int, whole: int) -> str:
    return f"{decimal(Fraction(round(Fraction(1000 * part, whole)), 10))} %"


def _many(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
