"""All that proof finds in one standard, beside its cases: the findings and what else it can tell."""

from attrs import frozen

from standfast.codes import doubts
from standfast.diagnostic import Diagnostic, has_errors, in_reading_order
from standfast.model.standard import Event, Standard
from standfast.proofing.explored import explored_findings
from standfast.proofing.finding import accepted
from standfast.proofing.stated import stated_findings
from standfast.proofing.survey import Surveys, surveyed


@frozen
class EventFacts:
    """How long an attempt that ends GO can last, in microseconds (None: never, or for ever), and what to watch.

    `watched` says for each step how many different marks a grader must look out for at once. All this holds only
    of an event that is `decided`: another was too large to be looked through. Where not `exact` no attempt lasts
    less or more.
    """

    label: str
    decided: bool
    shortest: int | None
    longest: int | None
    watched: tuple[tuple[str, int], ...]
    exact: bool = True


@frozen
class Proof:
    """`undecided`: the paths of events that were too large and of rules neither seen to act nor proved not to."""

    findings: tuple[Diagnostic, ...]
    events: tuple[EventFacts, ...]
    undecided: tuple[str, ...]


def proof(standard: Standard) -> Proof:
    """The findings in reading order, those the author accepts marked so."""
    surveys = surveyed(standard)
    found = [*stated_findings(standard), *explored_findings(standard, surveys)]
    told = [finding.diagnostic for finding in accepted(standard, found)]
    if surveys.undecided or has_errors(told):  # then what is accepted may only not have been come to
        told = [one for one in told if one.code is not doubts.NOTHING_TO_ACCEPT]
    return Proof(
        in_reading_order(told),
        tuple(_facts(event, surveys) for event in standard.events),
        tuple(sorted(path for path in surveys.undecided if _outermost(path, surveys.undecided))),
    )


def _outermost(path: str, undecided: set[str]) -> bool:
    return path.partition(".")[0] not in undecided - {path}


def _facts(event: Event, surveys: Surveys) -> EventFacts:
    survey = surveys.events[event.label]
    if event.label in surveys.undecided:
        return EventFacts(event.label, False, None, None, ())
    steps = (clause.path for clause in event.clause.walk())
    return EventFacts(
        event.label,
        True,
        survey.shortest,
        None if survey.go is None else survey.longest,
        tuple((path, survey.watched[path]) for path in steps if path in survey.watched),
        not survey.rough,
    )
