"""All that proof finds in one standard, beside its cases: the findings and what else it can tell."""

from attrs import frozen

from standfast.diagnostic import Diagnostic, in_reading_order
from standfast.model.standard import Event, Standard
from standfast.proofing.explored import explored_findings
from standfast.proofing.finding import accepted
from standfast.proofing.stated import stated_findings
from standfast.proofing.survey import Survey, surveyed


@frozen
class EventFacts:
    """How long an attempt that ends GO can last, in microseconds (None: never, or for ever), and what to watch.

    `watched` says for each step how many different marks a grader must look out for at once.
    """

    label: str
    shortest: int | None
    longest: int | None
    watched: tuple[tuple[str, int], ...]


@frozen
class Proof:
    """`undecided` are rules of `always` of which neither a way to break them nor its absence was found."""

    findings: tuple[Diagnostic, ...]
    events: tuple[EventFacts, ...]
    undecided: tuple[str, ...]


def proof(standard: Standard) -> Proof:
    """The findings in reading order, those the author accepts marked so."""
    surveys = surveyed(standard)
    found = [*stated_findings(standard), *explored_findings(standard, surveys)]
    return Proof(
        in_reading_order(finding.diagnostic for finding in accepted(standard, found)),
        tuple(_facts(event, surveys.events[event.label]) for event in standard.events),
        tuple(sorted(surveys.undecided)),
    )


def _facts(event: Event, survey: Survey) -> EventFacts:
    steps = (clause.path for clause in event.clause.walk())
    return EventFacts(
        event.label,
        survey.shortest,
        None if survey.go is None else survey.longest,
        tuple((path, survey.watched[path]) for path in steps if path in survey.watched),
    )
