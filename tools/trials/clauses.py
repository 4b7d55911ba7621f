"""Random pairs of editions, clause by clause: nothing of itself, mirrored when swapped, nothing passed over."""

import time
from collections import Counter
from multiprocessing import Pool
from random import Random

from standfast.difference.clauses import ChangeKind, ClauseChange, clause_changes
from standfast.difference.likeness import alike, bare
from standfast.difference.texts import side_by_side
from standfast.language.printer import canonical_lines
from standfast.language.reader import read
from standfast.model.standard import Standard
from trials.alterations import meant
from trials.editions import editions
from trials.pairs import legal_standard

_SHARE = 50
_UNLIKE = 0.1
"""How many of the pairs have nothing to do with one another."""


def pair(seed: str) -> tuple[str, Standard, str, Standard]:
    """A random standard and one to three alterations of it, or another one."""
    rng = Random(seed)
    if rng.random() < _UNLIKE:
        texts = legal_standard(rng)[0], legal_standard(rng)[0]
        old, new = (meant(text) for text in texts)
        assert old is not None and new is not None
        return texts[0], old, texts[1], new
    return editions(rng)


def wrong_with(old: Standard, new: Standard, counts: Counter[str]) -> str | None:
    """The first law that a pair breaks."""
    if clause_changes(old, old) or clause_changes(new, new):
        return "an edition is not the same as itself"
    there, back = clause_changes(old, new), clause_changes(new, old)
    if Counter(change.mirrored() for change in there) != Counter(back):
        return "swapped it is not mirrored"
    counts.update(f"{change.kind.value}, {change.points.value}" for change in there)
    if _means_the_same(there) != _is_the_same(old, new):
        return "a change was passed over, or made up"
    rows = side_by_side(old, new)
    for side, standard in enumerate((old, new)):
        tree, _ = read(standard.span.source)
        assert tree is not None
        lines = [(line.text, line.number) for row in rows if (line := row[side]) is not None]
        if lines != list(canonical_lines(tree)):
            return "a line is missing in the texts side by side, or is there twice"
    return None


def _means_the_same(changes: tuple[ClauseChange, ...]) -> bool:
    return all(change.kind is ChangeKind.WORDED for change in changes)


def _is_the_same(old: Standard, new: Standard) -> bool:
    """By the models alone, as the comparison by what they do has it."""
    declared = [
        (
            {
                (mark.name, frozenset(mark.choices), mark.unit, mark.heading, mark.names_round)
                for mark in each.marks
            },
            {(fact.name, frozenset(fact.choices), fact.unit, fact.heading) for fact in each.facts},
            {
                bare(held)
                for held in (*each.conditions, *(own for event in each.events for own in event.conditions))
            },
            None if each.times_within is None else each.times_within.base,
        )
        for each in (old, new)
    ]
    return declared[0] == declared[1] and alike(old, new)


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    started = time.monotonic()
    share = max(1, min(_SHARE, count // jobs))
    work = [(f"{seed}.{part}", min(share, count - part * share)) for part in range(-(-count // share))]
    counts: Counter[str] = Counter()
    wrong: list[str] = []
    with Pool(jobs) as pool:
        for found, told in pool.imap_unordered(_share, work):
            counts += found
            wrong += told
    for each in wrong[:3]:
        print(each)
    print(f"clauses: {count}, seed {seed}, wrong: {len(wrong)}, {time.monotonic() - started:.0f} s")
    for name, number in sorted(counts.items()):
        print(f"    {name}: {number}")
    return 1 if wrong else 0


def _share(job: tuple[str, int]) -> tuple[Counter[str], list[str]]:
    seed, count = job
    counts: Counter[str] = Counter()
    wrong = []
    for number in range(count):
        text, old, other, new = pair(f"{seed}/{number}")
        told = wrong_with(old, new, counts)
        if told is not None:
            wrong.append(f"--- {seed}/{number}\n{text}\n=== altered\n{other}\n!!! {told}\n")
    return counts, wrong
