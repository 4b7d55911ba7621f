"""Random pairs of small editions with rounds, read by no clock: what comparing says, held against every log.

An edition is a few rows of which each can be there or not; the other has one or two of them otherwise.
"""

from random import Random

from standfast.model.standard import Standard
from trials import shares
from trials.alterations import meant
from trials.editions import Found, Pair, every_log_tried

_HEAD = """\
standard small "Small"
    edition "1"
    in force from 2026-01-01

marks
    go "A signal"
    reached names a round "The line is reached"
    short names a round "The line is not reached"
    turned names a round "The post is turned"

event drill
    attempts 1
    start on go
"""
_SHARE = 20
_MOST_DRAFTS = 200
_TWO = 0.4
"""How many have two clauses of rounds, side by side."""

Rows = tuple[str, ...]


def _rows(rng: Random, goal: str) -> list[Rows]:
    """What may be written in each row of a clause of rounds."""
    lengths = [f"{number} m" for number in range(1, 5) if rng.random() < 0.7] or ["2 m"]
    fewer, other = lengths[1:] or lengths, rng.sample(lengths, len(lengths))
    figures = [
        f"{figure} {test} {number}"
        for figure in ("made", "missed")
        for test in ("at least", "at most", "exactly")
        for number in (1, 2, 3)
    ]
    return [
        tuple(f"at {', '.join(row)}" for row in (lengths, lengths, lengths, fewer, [*fewer, "5 m"], other)),
        ("", "", "tries 2"),
        ("", *(f"unmarked rounds are {word}" for word in ("made", "missed", "missed", "passed"))),
        (f"until {goal}", f"until {goal}", f"until 2 {goal}"),
        ("", *rng.sample(figures, 2), f"furthest at least {lengths[-1]}"),
        ("", f"fail on {goal} out of order"),
        ("", *(f"out on {number} misses in {word}" for number in (1, 2, 3) for word in ("a row", "all"))),
        ("", "miss on short", "pass on short") if goal == "reached" else ("",),
    ]


def _text(clauses: list[tuple[str, list[str]]]) -> str:
    pad = "    " if len(clauses) == 1 else "        "
    body = "" if len(clauses) == 1 else "    in any order both\n"
    for name, lines in clauses:
        body += f"{pad}rounds {name}\n" + "".join(f"{pad}    {line}\n" for line in lines if line)
    return _HEAD + body


def pair(rng: Random) -> Pair:
    """Two editions, the text of each and its meaning."""
    for _ in range(_MOST_DRAFTS):
        goals = (("ladder", "reached"), ("laps_run", "turned"))[: 1 + (rng.random() < _TWO)]
        choices = {name: _rows(rng, goal) for name, goal in goals}
        old = {name: [rng.choice(row) for row in rows] for name, rows in choices.items()}
        new = {name: list(lines) for name, lines in old.items()}
        for _ in range(rng.choice((1, 2))):
            name, _ = rng.choice(goals)
            place = rng.randrange(len(choices[name]))
            new[name][place] = rng.choice(choices[name][place])
        texts = _text(list(old.items())), _text(list(new.items()))
        standards: list[Standard | None] = [meant(text) for text in texts]
        if old != new and standards[0] is not None and standards[1] is not None:
            return texts[0], standards[0], texts[1], standards[1]
    raise RuntimeError("no legal pair of editions was found")


def tried(seed: str, count: int) -> Found:
    return every_log_tried(seed, count, pair)


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("rounds", "wrong", tried, _SHARE, count, seed, jobs)
