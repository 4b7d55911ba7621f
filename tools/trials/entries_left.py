"""How many entries one side needs at least to its GO, against every way to it that a walk through both takes."""

from collections import Counter
from random import Random

from standfast.difference.candidates import candidates
from standfast.difference.shortest import entries_left
from standfast.difference.shown import Edition, Editions, together
from standfast.difference.side import GO
from standfast.difference.walks import product_of
from standfast.machine.compile import compile_standard
from standfast.model.candidate import specialised
from standfast.model.standard import Facts, Standard
from trials import shares
from trials.editions import Wrong, editions
from trials.untimed import editions as without_a_clock

_PAIRS = 300
_MORE = 2
"""Entries that are looked at beyond those of the longest way."""
_EFFORT = 20
"""Positions of one side by itself that are looked at for each pair of a walk through both."""
_SHARE = 25


def held(seed: str, count: int) -> tuple[Counter[str], list[Wrong]]:
    """Of so many pairs of editions, the half of them without a clock; what was seen, and what was wrong."""
    seen: Counter[str] = Counter()
    wrong = []
    for number in range(count):
        rng = Random(f"{seed}/{number}")
        text, old, other, new = editions(rng) if number % 2 else without_a_clock(rng)
        kinds = candidates(old, new).kinds
        if kinds:
            both = _edition(old, kinds[0][0]), _edition(new, kinds[0][1])
            told = [each for side in (0, 1) if (each := _too_many(both, side, seen)) is not None]
            wrong += [Wrong(f"{seed}/{number}", text, other, each) for each in told]
    return seen, wrong


def _edition(standard: Standard, facts: Facts) -> Edition:
    read = specialised(standard, facts) if standard.facts else standard
    return Edition(compile_standard(standard), facts, read)


def _too_many(both: Editions, side: int, seen: Counter[str]) -> str | None:
    """What was said of a position on a way to GO that has fewer entries left."""
    product, ends = product_of(both), []
    for node in product.nodes(lambda node: node.position(side) >= 0):
        if product.visited > _PAIRS:
            break
        if node.position(side) == GO:
            ends.append(node)
    if not ends:
        seen["sides without GO"] += 1
        return None
    seen["sides"] += 1
    longest = max(node.entries for node in ends)
    left = entries_left(together(both, telling=False), side, longest + _MORE, _EFFORT * _PAIRS)
    for end in ends:
        for node in end.path():
            said, there = left(node.position(side)), end.entries - node.entries
            seen["positions"] += 1
            seen["nought"] += not said
            seen["as many as there are"] += said == there > 0
            if said > there:
                return f"side {side}: {said} entries at least, after {node.entries} of {end.entries}"
    return None


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("entries_left", "wrong", held, _SHARE, count, seed, jobs)
