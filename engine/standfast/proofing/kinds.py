"""What is found for each kind of candidate, put together to what is found in the standard.

That a line never acts is a doubt only if it never does for anybody who has it in the test; that a clause cannot be
passed is one already if it holds for some. The latter then say for whom.
"""

from collections.abc import Iterable, Iterator, Sequence

from standfast.codes import doubts
from standfast.diagnostic import Label
from standfast.model.standard import Standard
from standfast.proofing.finding import Finding
from standfast.source import Span
from standfast.values import evolve, frozen

_OF_EVERYBODY = frozenset(
    {
        doubts.UNUSED_MARK,
        doubts.OTHER_VALUES,
        doubts.NEVER_ACTS,
        doubts.IDLE_LIMIT,
        doubts.ROW_NEVER_GIVES,
        doubts.GRADE_OUT_OF_REACH,
        doubts.GRADE_COVERED,
    }
)


@frozen
class Looked:
    """A standard for one kind of candidate and what is found in it."""

    standard: Standard
    findings: tuple[Finding, ...]


def for_all_kinds(looked: Sequence[Looked]) -> Iterator[Finding]:
    """Each finding once, in the order it was first found."""
    if len(looked) == 1:
        yield from looked[0].findings
        return
    spans = [set(_spans(each.standard)) for each in looked]
    first: dict[tuple[str, str, Span | None], Finding] = {}
    found_in: dict[tuple[str, str, Span | None], dict[int, Standard]] = {}
    for number, each in enumerate(looked):
        for finding in each.findings:
            key = finding.diagnostic.code.number, finding.block, finding.diagnostic.span
            first.setdefault(key, finding)
            found_in.setdefault(key, {})[number] = each.standard
    for key, finding in first.items():
        having = [each for each, own in zip(looked, spans, strict=True) if finding.diagnostic.span in own]
        having = having or list(looked)
        if len(found_in[key]) >= len(having):
            yield finding
        elif finding.diagnostic.code not in _OF_EVERYBODY:
            here = next(iter(found_in[key].values()))
            yield _for_some(finding, here, [each.standard for each in having])


def _spans(standard: Standard) -> Iterator[Span]:
    yield from (mark.span for mark in standard.marks)
    yield from (rule.span for rule in standard.rules())
    yield from (row.span for _, score in standard.scores() for row in score.rows)
    yield from (grade.span for grade in standard.grades)
    for event in standard.events:
        yield from (clause.span for clause in event.clause.walk())


def _for_some(finding: Finding, here: Standard, others: Iterable[Standard]) -> Finding:
    """The finding with the facts of a candidate for whom it holds, as far as they differ."""
    kinds = [other.settled for other in others]
    told = [
        f"{name} {value}" for name, value in here.settled.items() if any(kind.get(name) != value for kind in kinds)
    ]
    if not told or finding.diagnostic.span is None:
        return finding
    label = Label(finding.diagnostic.span, f"for a candidate with {', '.join(told)}")
    return evolve(finding, diagnostic=evolve(finding.diagnostic, also=(*finding.diagnostic.also, label)))
