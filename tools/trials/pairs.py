"""Machine against definition, on random pairs of a standard and a log."""

from collections import Counter
from collections.abc import Iterator
from random import Random

from attrs import frozen
from plausible import random_standard
from plausible_corrections import corrected
from plausible_logs import random_log

from standfast.definition import judge
from standfast.diagnostic import has_errors
from standfast.language.reader import read
from standfast.later import Later
from standfast.log.entry import SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.resolve import resolve
from standfast.replay import replay
from standfast.source import Source
from trials import shares

LOGS_A_STANDARD = 5
_SHARE = 500
_CORRECTED = 0.3


@frozen
class Disagreement:
    """A pair on which the two differ: enough to run it again."""

    seed: str
    text: str
    log: SessionLog
    difference: str

    def __str__(self) -> str:
        return f"--- {self.seed}\n{self.text}\n{_shown(self.log)}\n{self.difference}\n"


def legal_standard(rng: Random) -> tuple[str, Machine, int]:
    """A random legal standard with its machine, and how many drafts were refused before it."""
    refused = 0
    while True:
        text = random_standard(rng)
        tree, found = read(Source("random", text))
        if tree is not None and not has_errors(found):
            standard, found = resolve(tree)
            if standard is not None and not has_errors(found):
                return text, compile_standard(standard), refused
        refused += 1
        if refused > 200:
            raise RuntimeError("the generator makes hardly any legal standard:\n" + text + str(found))


def pairs(
    seed: str, count: int, *, off: tuple[int, ...] | None = None
) -> Iterator[tuple[str, Machine, SessionLog, int]]:
    """`count` pairs of a standard and a log; the last number counts the drafts refused on the way.

    `off`: how far from a deadline, in microseconds, an entry near one may lie.
    """
    made = 0
    number = 0
    while made < count:
        rng = Random(f"{seed}/{number}")
        number += 1
        text, machine, refused = legal_standard(rng)
        for _ in range(min(LOGS_A_STANDARD, count - made)):
            log = random_log(rng, machine) if off is None else random_log(rng, machine, off=off)
            by_hand = Random(f"{seed}/{number}/{made}")
            if by_hand.random() < _CORRECTED:
                log = corrected(by_hand, log, machine.standard)
            yield text, machine, log, refused
            refused = 0
            made += 1


def compare(
    seed: str, count: int, *, off: tuple[int, ...] | None = None
) -> tuple[Counter[str], list[Disagreement]]:
    """Run `count` pairs through machine and definition."""
    seen: Counter[str] = Counter()
    wrong = []
    for number, (text, machine, log, refused) in enumerate(pairs(seed, count, off=off)):
        seen["drafts refused"] += refused
        by_machine = replay(machine, log)
        by_definition = judge(machine.standard, log)
        for verdict in by_machine:
            seen[verdict.outcome.value] += 1
            seen.update(f"candidate {'joined' if each.joins else 'left'}" for each in verdict.presence)
            if verdict.uncorrected is not None:
                how = "changed it" if verdict.changed_by_corrections else "changed nothing"
                seen[f"corrections {'alone made it' if verdict.uncorrected.outcome is None else how}"] += 1
                seen.update(
                    f"correction {'strikes' if c.after is None else 'amends'}" for c in verdict.corrections
                )
            for event in verdict.events:
                for attempt in event.attempts:
                    seen.update(f"reason {reason.kind.value}" for reason in attempt.reasons)
        if by_machine != by_definition:
            difference = first_difference(by_machine, by_definition)
            wrong.append(Disagreement(f"seed {seed}, pair {number}", text, log, difference))
    return seen, wrong


def first_difference(one: object, other: object, where: str = "") -> str:
    """The first field in which two values of the same shape differ."""
    if type(one) is type(other) and hasattr(one, "__attrs_attrs__"):
        for attribute in one.__attrs_attrs__:
            a, b = getattr(one, attribute.name), getattr(other, attribute.name)
            if a != b:
                return first_difference(a, b, f"{where}.{attribute.name}")
    if isinstance(one, tuple | Later) and isinstance(other, tuple | Later):
        for position, (a, b) in enumerate(zip(one, other, strict=False)):
            if a != b:
                return first_difference(a, b, f"{where}[{position}]")
    return f"{where}\n  machine:    {one}\n  definition: {other}"


def disagree(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("pairs", "disagreements", compare, _SHARE, count, seed, jobs)


def _shown(log: SessionLog) -> str:
    lines = [
        f"{e.number}: {e.at / 1e6:.6f} {e.mark} {e.value or ''} {e.candidate or 'all'} {e.by or ''}"
        for e in log.entries
    ]
    lines += [
        f"{p.number}: {p.at / 1e6:.6f} {p.candidate} {'joins' if p.joins else 'leaves'}" for p in log.presence
    ]
    return "\n".join([*lines, f"end {log.end}", f"conditions {dict(log.conditions)}"])
