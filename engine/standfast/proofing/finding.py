"""A finding of proof and where an author may accept it."""

from collections.abc import Iterable, Iterator

from standfast.codes import boundary, doubts
from standfast.codes.code import Code
from standfast.diagnostic import Diagnostic, Label, Severity
from standfast.log.entry import Entry, SessionLog
from standfast.machine.witness import log_of
from standfast.model.rules import Rule
from standfast.model.standard import Clause, Facts, Standard
from standfast.proofing.sights import Sight
from standfast.quantity import clock
from standfast.source import Span
from standfast.values import evolve, frozen


@frozen
class Finding:
    """`block` is the path of the block the doubt is about; `accept` there or in a block around it answers it."""

    diagnostic: Diagnostic
    block: str


def about(
    code: Code, block: str, span: Span, facts: dict[str, str], *also: Label, sight: Sight | None = None
) -> Finding:
    """A finding with, where there is one, the log that shows it."""
    return Finding(Diagnostic(code, span, facts, also, () if sight is None else _case_log(sight)), block)


def _case_log(sight: Sight) -> tuple[str, ...]:
    """A log on the way to a sight as a case has it: `log EVENT`, then its entries."""
    log = log_of(sight.machine, sight.node, session="", last=sight.last, demand=sight.demand)
    events = sight.machine.standard.events
    head = f"log {events[0].label}" if len(events) == 1 else "log"
    if log is None:
        return ()
    return (*fact_lines(sight.machine.standard.settled), head, *(f"    {line}" for line in log_lines(log)))


def fact_lines(facts: Facts) -> tuple[str, ...]:
    """The facts of a candidate as the lines of a case."""
    return tuple(f"with {name} {value}" for name, value in facts.items())


def log_lines(log: SessionLog) -> tuple[str, ...]:
    """The entries of a log as the lines of a case."""
    lines = [f"{clock(e.at)} {e.mark}{_with(e, several=len(log.candidates) > 1)}" for e in log.entries]
    return (*lines, *(() if log.end is None else (f"{clock(log.end)} end",)))


def _with(entry: Entry, *, several: bool) -> str:
    """What is logged with the mark."""
    value = "" if entry.value is None else f" {entry.value}"
    by = "" if entry.by is None else f" by {entry.by}"
    return f"{value}{by}{f' for {entry.candidate}' if several and entry.candidate is not None else ''}"


def block_of(rule: Rule, owners: dict[str, Clause]) -> str:
    """The path of the clause a rule stands in; of the rules of the test, `always` or `conditions`."""
    owner = owners.get(rule.path)
    return owner.path if owner is not None else rule.path.split(".")[0]


def owners(standard: Standard) -> dict[str, Clause]:
    """The clause each rule stands in, by the rule's path; a rest's bounds belong to the item after it."""
    return {
        rule.path: clause for event in standard.events for clause in event.clause.walk() for rule in clause.rules()
    }


def accepted(standard: Standard, findings: Iterable[Finding], *, of_book: bool = False) -> Iterator[Finding]:
    """The findings, those that the author accepts marked so, and an advice for each acceptance without one.

    They are all that proof finds or, `of_book`, all that the boundary book does.
    """
    met = set()
    acceptances = [a for a in standard.acceptances if (a.code == boundary.NO_PAIR.number) is of_book]
    for finding in findings:
        answers = [a for a in acceptances if _answers(a.code, a.path, finding)]
        answer = max(answers, key=lambda a: len(a.path), default=None)  # the innermost
        if answer is None or finding.diagnostic.severity is Severity.ERROR:
            yield finding
        else:
            met.add(answer)
            yield evolve(finding, diagnostic=evolve(finding.diagnostic, accepted=answer.why))
    for acceptance in acceptances:
        if acceptance not in met:
            yield about(doubts.NOTHING_TO_ACCEPT, acceptance.path, acceptance.span, {"code": acceptance.code})


def _answers(code: str, path: str, finding: Finding) -> bool:
    inside = not path or finding.block == path or finding.block.startswith(f"{path}.")
    return code == finding.diagnostic.code.number and inside
