"""All that proof finds in one standard, beside its cases: the findings and what else it can tell."""

from standfast.codes import doubts
from standfast.diagnostic import Diagnostic, has_errors, in_reading_order
from standfast.machine.effort import Effort
from standfast.model.candidate import leaves_some_out, representatives, specialised
from standfast.model.standard import Event, Standard
from standfast.proofing import survey
from standfast.proofing.explored import explored_findings
from standfast.proofing.finding import accepted
from standfast.proofing.kinds import Looked, for_all_kinds
from standfast.proofing.stated import stated_findings, unused_facts
from standfast.proofing.survey import Surveys
from standfast.values import frozen


@frozen
class EventFacts:
    """How long an attempt that ends GO can last, in microseconds (None: never, or for ever), and what to watch.

    `watched` says for each step how many different marks a grader must look out for at once. All this holds only
    of an event that is `decided`: another was too large to be looked through, or came when the effort was spent.
    Where not `exact` no attempt lasts less or more.
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
    """The findings in reading order, those the author accepts marked so.

    Where candidates differ in their facts, everything is looked at for each kind of them. All of it together
    takes no more than the most effort; what could not be looked at is undecided.
    """
    effort = Effort(survey.MOST_EFFORT)
    kinds = [specialised(standard, facts) for facts in representatives(standard)] if standard.facts else [standard]
    surveys = [survey.surveyed(kind, effort) for kind in kinds]
    looked_at = [
        Looked(kind, (*stated_findings(kind), *explored_findings(kind, surveys_of_it)))
        for kind, surveys_of_it in zip(kinds, surveys, strict=True)
    ]
    found = [*unused_facts(standard), *for_all_kinds(looked_at)]
    undecided = {path for each in surveys for path in each.undecided}
    if leaves_some_out(standard):
        undecided.add("candidate")
    told = [finding.diagnostic for finding in accepted(standard, found)]
    if undecided or has_errors(told):  # then what is accepted may only not have been come to
        told = [one for one in told if one.code is not doubts.NOTHING_TO_ACCEPT]
    return Proof(
        in_reading_order(told),
        tuple(_of_all_kinds(event, surveys) for event in standard.events),
        tuple(sorted(path for path in undecided if _outermost(path, undecided))),
    )


def _of_all_kinds(event: Event, surveys: list[Surveys]) -> EventFacts:
    """What holds of the event for every kind of candidate for whom it is in the test."""
    own = [_facts(each, one) for one in surveys for each in one.standard.events if each.label == event.label]
    if len(own) == 1 or not own:
        return own[0] if own else EventFacts(event.label, False, None, None, ())
    if not all(each.decided for each in own):
        return EventFacts(event.label, False, None, None, ())
    shortest = [each.shortest for each in own if each.shortest is not None]
    longest = [each.longest for each in own if each.longest is not None]
    watched: dict[str, int] = {}
    for each in own:
        for path, number in each.watched:
            watched[path] = max(number, watched.get(path, 0))
    order = [clause.path for clause in event.clause.walk()]
    return EventFacts(
        event.label,
        True,
        min(shortest, default=None),
        max(longest) if len(longest) == len(own) else None,
        tuple((path, watched[path]) for path in order if path in watched),
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
