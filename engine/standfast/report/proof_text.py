"""What `proof` found beside its findings, for a terminal: what is accepted, how long a GO takes, what to watch."""

from collections.abc import Iterable, Sequence

from standfast.diagnostic import Diagnostic, Severity
from standfast.quantity import clock
from standfast.report.lines import folded, table
from standfast.report.proof_document import EventProof, Proofed


def proofed_text(proofed: Proofed, found: Iterable[Diagnostic]) -> str:
    """One standard's facts, and of what was found in it the doubts that its author accepts."""
    standard = proofed.standard
    lines = folded(f"{standard.name}, edition {standard.edition}")
    lines += ["  an attempt that ends GO takes"]
    lines += [f"    {line}" for line in table([(event.label, _lasts(event)) for event in proofed.events])]
    watched = [(path, str(marks)) for event in proofed.events for path, marks in event.watched]
    if watched:
        lines += ["  marks to look out for at once", *(f"    {line}" for line in table(watched))]
    if proofed.undecided:
        lines += folded(f"neither proved nor disproved: {', '.join(proofed.undecided)}", 2)
    return "\n".join([*lines, *_accepted(found)]) + "\n"


def proof_sum(proofed: Sequence[Proofed], found: Sequence[Diagnostic]) -> str:
    """The closing line: what was found, in numbers."""
    count = {
        severity: sum(one.severity is severity and one.accepted is None for one in found) for severity in Severity
    }
    accepted = sum(one.accepted is not None for one in found)
    said = [
        _number(count[Severity.ERROR], "error"),
        _number(count[Severity.DOUBT], "doubt"),
        f"{accepted} accepted" if accepted else "",
        f"{count[Severity.ADVICE]} advice" if count[Severity.ADVICE] else "",
        _cases(proofed),
    ]
    return ", ".join(filter(None, said)) + "\n"


def _cases(proofed: Sequence[Proofed]) -> str:
    """How many cases hold and fail; nothing where none was run, since no standard could be read."""
    held, every = sum(one.cases for one in proofed), sum(len(one.standard.cases) for one in proofed)
    if not every:
        return "no cases" if proofed else ""
    told = ((held, "hold"), (every - held, "fail"))
    return ", ".join(f"{_number(n, 'case')} {verb}{'s' if n == 1 else ''}" for n, verb in told if n)


def _lasts(event: EventProof) -> str:
    if not event.decided:
        return "not known: there is too much to look through"
    if event.shortest is None:
        return "no attempt ends GO"
    if event.longest is None:
        return f"{clock(event.shortest)} or more, and may go on for ever"
    if event.longest == event.shortest and event.exact:
        return f"exactly {clock(event.shortest)}"
    widest = "" if event.exact else " at the widest"
    return f"{clock(event.shortest)} to {clock(event.longest)}{widest}"


def _accepted(found: Iterable[Diagnostic]) -> list[str]:
    """The accepted doubts, each reason once."""
    by_reason: dict[tuple[str, str], list[Diagnostic]] = {}
    for one in found:
        if one.accepted is not None:
            by_reason.setdefault((one.code.number, one.accepted), []).append(one)
    lines = []
    for (code, why), ones in by_reason.items():
        lines += folded(f'accepted {code}: "{why}"', 2)
        for one in ones:
            where = "" if one.span is None else f"line {one.span.line}: "
            lines += folded(f"{where}{one.message}", 4)
    return lines


def _number(count: int, noun: str) -> str:
    return f"{count or 'no'} {noun}{'' if count == 1 else 's'}"
