"""Random pairs of editions: what comparing says of them held against logs, and against itself the other way."""

from collections import Counter
from collections.abc import Callable, Iterator
from random import Random

from attrs import evolve, frozen
from plausible_logs import AT_THE_LIMIT, random_log

from standfast.difference.behaviour import compare
from standfast.difference.claims import Course
from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.machine.parts import Machine
from standfast.model.standard import Standard
from standfast.quantity import Quantity
from standfast.replay import replay
from standfast.verdict import Outcome
from trials import shares
from trials.alterations import altered
from trials.enumeration import TooMany
from trials.pairs import legal_standard
from trials.small import small_standard
from trials.together import least_entries

LOGS = 200
_SHARE = 10
_SMALL = 0.3
"""How many of the pairs are small ones."""
_MOST_SMALL = 8_000
MOST_PAIRS = 1_500
"""Pairs of positions looked at for one verdict: enough for nearly all, and soon given up."""


@frozen
class Wrong:
    """A pair of editions of which something untrue was said."""

    seed: str
    old: str
    new: str
    told: str

    def __str__(self) -> str:
        return f"--- {self.seed}\n{self.old}\n=== altered\n{self.new}\n!!! {self.told}\n"


Pair = tuple[str, Standard, str, Standard]
"""Two editions, the text of each and its meaning."""

Found = tuple[Counter[str], list[Wrong]]
"""What was seen, and what was wrong."""


def editions(rng: Random, *, small: bool | None = None) -> Pair:
    """A random standard and one to three alterations of it; `small`: one of which every log can be tried."""
    if small or (small is None and rng.random() < _SMALL):
        text, old = small_standard(rng)
    else:
        text, machine, _ = legal_standard(rng)
        old = machine.standard
    other, new = altered(rng, text, rng.choice((1, 1, 2, 3)))
    return text, old, other, new


def hold_to(seed: str, pair: Pair, rng: Random, found: Found, most: int) -> Comparison:
    """Compares two editions, and holds what is said of them against logs and against itself."""
    (text, old, other, new), (counts, wrong) = pair, found
    comparison = compare(old, new, most)
    counts["pairs"] += 1
    counts[f"whole test {comparison.word.value}"] += 1
    counts["reasons not decided"] += comparison.whole.told.word is None
    counts["same but for reasons"] += comparison.word is Word.SAME and bool(comparison.whole.told.word)
    for event in comparison.events:
        counts[f"event {'in one only' if event.course is None else event.course.word.value}"] += 1
    told = [
        *_contradicted(rng, comparison, counts),
        *_unconfirmed(comparison),
        *_unlike_itself(comparison, most),
    ]
    wrong += (Wrong(seed, text, other, each) for each in told)
    return comparison


# --- what may not be -------------------------------------------------------------------------------------------


def _contradicted(rng: Random, comparison: Comparison, counts: Counter[str]) -> Iterator[str]:
    """Logs that are GO under one edition alone where it is said that there are none."""
    machines = compile_standard(comparison.old), compile_standard(comparison.new)
    for number in range(LOGS):
        made = machines[number % 2]
        log = random_log(rng, made) if number % 4 < 2 else random_log(rng, made, off=AT_THE_LIMIT)
        logs = _read_by_both(comparison, log, random_log(rng, machines[1 - number % 2], longest=1))
        old, new = (_outcome(machine, log) for machine, log in zip(machines, logs, strict=True))
        counts[f"logs {'GO' if old is Outcome.GO else 'not GO'}, {'GO' if new is Outcome.GO else 'not GO'}"] += 1
        for claim, only in ((comparison.whole.lost, (True, False)), (comparison.whole.gained, (False, True))):
            if (old is Outcome.GO, new is Outcome.GO) == only and claim.word is False:
                yield f"{old.value} and {new.value} on {_written(logs[0])}"


def _read_by_both(comparison: Comparison, log: SessionLog, other: SessionLog) -> tuple[SessionLog, SessionLog]:
    """The log as each edition reads it: of the shared marks, and with the facts that each asks for."""
    changes = comparison.marks
    unshared = {*changes.went, *changes.came, *(each.mark for each in changes.changed if each.kind)}
    only_one = {each.mark: {*each.old, *each.new} for each in changes.changed}

    def both(entry: Entry) -> bool:
        return entry.mark not in unshared and entry.value not in only_one.get(entry.mark, ())

    kept = [entry for entry in log.entries if both(entry)]
    once = comparison.old.once_a_grader | comparison.new.once_a_grader
    entries = tuple(
        evolve(entry, number=number, by=entry.by or ("G-1" if entry.mark in once else None))
        for number, entry in enumerate(kept, 1)
    )
    stated = {**other.conditions, **log.conditions}
    facts = {whose: {**other.facts.get("C-1", {}), **log.facts.get(whose, {})} for whose in log.candidates}
    made = []
    for standard in (comparison.old, comparison.new):
        names = {c.name for c in (*standard.conditions, *(c for e in standard.events for c in e.conditions))}
        asked = {fact.name for fact in standard.facts}
        made.append(
            evolve(
                log,
                edition=None,
                entries=entries,
                conditions={name: fact for name, fact in stated.items() if name in names},
                facts={who: {n: f for n, f in known.items() if n in asked} for who, known in facts.items()},
            )
        )
    return made[0], made[1]


def _outcome(machine: Machine, log: SessionLog) -> Outcome:
    return replay(machine, log)[0].outcome


def _unconfirmed(comparison: Comparison) -> Iterator[str]:
    """Logs that are shown and do not show what they should, each graded anew."""
    for course in (comparison.whole, comparison.course):
        for name, claim in (("lost", course.lost), ("gained", course.gained)):
            if claim.shown is None:
                continue
            old = _outcome(compile_standard(comparison.old), claim.shown.old_log)
            new = _outcome(compile_standard(comparison.new), claim.shown.new_log)
            if (old is Outcome.GO, new is Outcome.GO) != (name == "lost", name == "gained"):
                yield f"{name}, but {old.value} and {new.value} on {_written(claim.shown.old_log)}"


def _unlike_itself(comparison: Comparison, most: int) -> Iterator[str]:
    """`compare(b, a)` mirrors `compare(a, b)`; an edition is the same as itself."""
    mirrored = compare(comparison.new, comparison.old, most)
    for one, other in ((comparison.whole, mirrored.whole), (comparison.course, mirrored.course)):
        if _claims(one) != _turned(other):
            yield f"mirrored: {_claims(one)}, then {_turned(other)}"
    events = {event.label: event for event in mirrored.events}
    for event in comparison.events:
        twin = events[event.label].course
        if (event.course is None) != (twin is None):
            yield f"mirrored: event {event.label} is in both one way only"
        elif event.course is not None and twin is not None and _claims(event.course) != _turned(twin):
            yield f"mirrored: event {event.label}"
    for standard in (comparison.old, comparison.new):
        same = compare(standard, standard, most)
        if same.word is not Word.SAME or same.different:
            yield "not the same as itself"


def _turned(course: Course) -> tuple[tuple[bool | None, int | None], ...]:
    return _claims(Course(course.gained, course.lost, course.told))


def _claims(course: Course) -> tuple[tuple[bool | None, int | None], ...]:
    return tuple(
        (claim.word, None if claim.shown is None else claim.shown.entries)
        for claim in (course.lost, course.gained, course.told)
    )


def _written(log: SessionLog) -> str:
    def value(given: str | Quantity | None) -> str:
        return "" if given is None else f" {given}"

    entries = "; ".join(
        f"{e.at} {e.mark}{value(e.value)} {e.candidate or ''} {e.by or ''}".rstrip() for e in log.entries
    )
    return f"{entries}; end {log.end}; {dict(log.conditions)} {dict(log.facts)}"


# --- small ones ------------------------------------------------------------------------------------------------


def hold_to_every_log(seed: str, pair: Pair, found: Found) -> None:
    """A pair of small editions: what is claimed, and how long the logs are, held against every log."""
    (text, old, other, new), (counts, wrong) = pair, found
    try:
        least = least_entries(compile_standard(old), compile_standard(new), _MOST_SMALL)
    except TooMany:
        counts["too large, left out"] += 1
        return
    comparison = compare(old, new, MOST_PAIRS)
    counts["pairs"] += 1
    counts[f"whole test {comparison.course.word.value}"] += 1
    for name, claim, wanted in zip(
        ("lost", "gained"), (comparison.course.lost, comparison.course.gained), least, strict=True
    ):
        if claim.word is None:
            counts[f"{name} not decided"] += 1
        elif claim.word != (wanted is not None):
            wrong.append(Wrong(seed, text, other, f"{name}: {claim.word} claimed, of every log {wanted}"))
        elif claim.shown is not None and claim.shortest:
            counts["shortest logs"] += 1
            if claim.entries != wanted:
                told = f"{name}: {claim.entries} entries, but {wanted} are enough"
                wrong.append(Wrong(seed, text, other, told))


# --- many ------------------------------------------------------------------------------------------------------


def tried(seed: str, count: int, most: int = MOST_PAIRS) -> Found:
    found: Found = Counter(), []
    for number in range(count):
        rng = Random(f"{seed}/{number}")
        hold_to(f"{seed}/{number}", editions(rng), rng, found, most)
    return found


def every_log_tried(seed: str, count: int, pair: Callable[[Random], Pair]) -> Found:
    found: Found = Counter(), []
    for number in range(count):
        hold_to_every_log(f"{seed}/{number}", pair(Random(f"{seed}/{number}")), found)
    return found


def tried_small(seed: str, count: int) -> Found:
    return every_log_tried(seed, count, lambda rng: editions(rng, small=True))


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("editions", "wrong", tried, _SHARE, count, seed, jobs)


def hold_small(count: int, seed: int, jobs: int) -> int:
    """The same of small pairs, against every log."""
    return shares.held("small_editions", "wrong", tried_small, _SHARE, count, seed, jobs)
