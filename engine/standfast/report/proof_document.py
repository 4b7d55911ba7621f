"""What `proof` found, as a JSON document; the schema lies beside this module."""

from collections.abc import Iterable

from standfast.diagnostic import Diagnostic
from standfast.model.standard import Standard
from standfast.report.amounts import exact_clock
from standfast.report.documents import Plain, diagnostics_document
from standfast.values import frozen


@frozen
class EventProof:
    """What holds for every attempt at one event.

    `shortest` and `longest` are the microseconds from its opening to its GO: `shortest` None where no attempt ends
    GO, `longest` None where there is no longest. `watched` has for each step, by path, how many different marks a
    grader must look out for at once. Where not `exact` no attempt lasts less or more. All of it holds only of an
    event that is `decided`.
    """

    label: str
    decided: bool
    shortest: int | None
    longest: int | None
    watched: tuple[tuple[str, int], ...]
    exact: bool = True


@frozen
class Proofed:
    """One standard that was read without an error; `cases` is how many of its cases hold.

    `undecided` are the paths of what was neither proved nor disproved.
    """

    standard: Standard
    cases: int
    events: tuple[EventProof, ...]
    undecided: tuple[str, ...]

    @property
    def file(self) -> str:
        return self.standard.span.source.name


def proof_document(proofed: Iterable[Proofed], diagnostics: Iterable[Diagnostic]) -> Plain:
    """See `proof.schema.json`."""
    return {
        "schema": "proof/2",
        "standards": standards_document(proofed),
        "diagnostics": findings_document(diagnostics),
    }


def standards_document(proofed: Iterable[Proofed]) -> list[Plain]:
    return [
        {
            "file": one.file,
            "standard": {
                "name": one.standard.name,
                "edition": one.standard.edition,
                "digest": one.standard.digest,
            },
            "cases": one.cases,
            "events": [_event(event) for event in one.events],
            "undecided": list(one.undecided),
        }
        for one in proofed
    ]


def findings_document(diagnostics: Iterable[Diagnostic]) -> list[Plain]:
    """Diagnostics with the log that shows each and why the author accepts it: see `findings.schema.json`."""
    found = list(diagnostics)
    return [
        {**plain, "log": list(one.log), "accepted": one.accepted}
        for plain, one in zip(diagnostics_document(found), found, strict=True)
    ]


def _event(event: EventProof) -> Plain:
    longest = None if event.longest is None else exact_clock(event.longest)
    go = None
    if event.shortest is not None:
        go = {
            "shortest": exact_clock(event.shortest),
            "longest": longest,
            "exact": event.exact,
        }
    return {
        "label": event.label,
        "decided": event.decided,
        "go": go,
        "watched": [{"path": path, "marks": marks} for path, marks in event.watched],
    }
