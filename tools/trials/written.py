"""Random alterations of standards written by hand, the shipped ones and those of the checks against the outside:
what comparing says of both editions held against logs, and against itself the other way round.
"""

from collections import Counter
from random import Random

from standfast.difference.conditions import Word
from trials import shares
from trials.alterations import altered, meant
from trials.editions import Found, hold_to
from trials.manuscript import ROOT, SHIPPED

PUBLISHED = {path.stem: path for path in sorted((ROOT / "tests" / "published").glob("*.standard"))}
TEXTS = {name: path.read_text("utf-8") for name, path in {**SHIPPED, **PUBLISHED}.items()}
_SHARE = 4
MOST_PAIRS = 8_000
"""Pairs of positions looked at for one verdict; the command looks at more."""


def tried(seed: str, count: int, most: int = MOST_PAIRS, names: tuple[str, ...] = tuple(TEXTS)) -> Found:
    found: Found = Counter(), []
    for number in range(count):
        rng = Random(f"{seed}/{number}")
        name = rng.choice(names)
        old = meant(TEXTS[name])
        assert old is not None, f"{name} is no legal standard"
        try:
            other, new = altered(rng, TEXTS[name], rng.choice((1, 1, 2, 3)))
        except RuntimeError:
            found[0]["no legal alteration was found"] += 1
            continue
        word = hold_to(f"{seed}/{number}, {name}", (TEXTS[name], old, other, new), rng, found, most).word
        found[0][f"not decided, of {name}"] += word is Word.NOT_DECIDED
    return found


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("written", "wrong", tried, _SHARE, count, seed, jobs)
