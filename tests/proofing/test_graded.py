"""Rows and grades that are said to be out of reach: small random scores, held against many logs of each."""

from collections import Counter
from fractions import Fraction
from random import Random

import pytest

from standfast.log.entry import Entry, SessionLog
from standfast.machine.compile import compile_standard
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.findings import proof
from standfast.quantity import UNITS, Quantity
from standfast.replay import replay
from standfast.source import Source

HEAD = """standard tried "Tried"
    edition "1"
    in force from 2026-01-01

marks
    go "A signal"
    done "It is done"
    hit "A hit"
    load in kg "A load"
    watch in s, of 2 the mean, of 3 the middle, rounded up to 0.5 s "A watch"

"""
FIGURES = {
    "time": ("2 s", "3 s", "4 s"),
    "count of hit": ("1", "2", "3"),
    "count of hit plus count of load": ("1", "2", "4"),
    "total of load": ("2 kg", "4 kg", "6 kg"),
    "largest of load": ("1 kg", "2 kg", "3 kg"),
    "last of load": ("1 kg", "2 kg", "3 kg"),
    "reading of watch": ("1 s", "2 s", "3 s"),
    "rate of hit": ("20 per min", "30 per min", "60 per min"),
    "time of lap": ("1 s", "2 s", "3 s"),
}
LIMITS = (
    "within 3 s",
    "under 2 s",
    "not before 2 s",
    "within 1 hit",
    "at least 2 hit",
    "largest of load at most 2 kg",
    "total of load at least 3 kg",
    "each of load over 1 kg",
    "reading of watch at most 2 s",
    "points at least 2",
    "points under 3",
)
STEPS = {"time": ("1 s", "1.5 s"), "count": ("2",), "kg": ("2 kg", "0.5 kg"), "rate": ("20 per min",)}


def written(rng: Random) -> str:
    figure, bounds = rng.choice(list(FIGURES.items()))
    kind = figure.split()[0] if figure.split()[0] in ("time", "count", "rate") else "kg"
    rounding = ""
    if not figure.startswith("reading") and rng.random() < 0.4:
        way = rng.choice(("up to {}", "down to {}", "nearest to {}, ties to even", "nearest to {}, ties up"))
        rounding = f", rounded {way.format(rng.choice(STEPS[kind]))}"
    upward = rng.random() < 0.5
    rows = "".join(
        f"        {rng.choice(('over', 'at least') if upward else ('under', 'at most'))} {bound} gives {points}\n"
        for points, bound in enumerate(reversed(bounds) if upward else bounds, 1)
    )
    limits = "".join(f"    {limit}\n" for limit in rng.sample(LIMITS, rng.randrange(3)))
    grades = "".join(
        f"grade g{number}\n    points at least {least}\n\n"
        for number, least in enumerate(sorted(rng.sample(range(1, 7), rng.randrange(3)), reverse=True))
    )
    return (
        f"{HEAD}{grades}event only_one\n    attempts 1\n    start on go\n{limits}"
        f"    score from {figure}{rounding}\n{rows}        otherwise gives {rng.randrange(5)}\n"
        "    step lap\n        until done\n    step rest_of_it\n        until done\n"
    )


def logs(rng: Random, standard: Standard, number: int) -> list[SessionLog]:
    found = []
    for _ in range(number):
        at, entries = 0, [Entry(number=1, line=2, at=0, mark="go", value=None, candidate="C-1", by="G-1")]
        wanted = [rng.choice(("hit", "load", "watch")) for _ in range(rng.randrange(6))]
        for place in sorted(rng.randrange(len(wanted) + 1) for _ in range(2)):
            wanted.insert(place, "done")
        for mark in (*wanted, "done", "done"):
            at += rng.choice((0, 0, 499_999, 500_000, 500_001, 1_000_000, 1_500_000))
            unit = {"load": "kg", "watch": "s"}.get(mark)
            value = (
                None
                if unit is None
                else Quantity(((rng.choice((0, 1, 2, 3, 4, 7)) * Fraction(1, 2), UNITS[unit]),))
            )
            count = len(entries) + 1
            entries.append(
                Entry(number=count, line=count + 1, at=at, mark=mark, value=value, candidate="C-1", by="G-1")
            )
        found.append(
            SessionLog(
                session="s",
                standard=standard.name,
                edition=None,
                candidates=("C-1",),
                conditions={},
                entries=tuple(entries),
                end=at,
                grader=None,
                started=None,
                digest="",
            )
        )
    return found


@pytest.mark.parametrize("seed", range(4))
def test_what_is_out_of_reach_is_never_given(seed: int) -> None:
    rng, seen = Random(f"out of reach {seed}"), Counter[str]()
    while seen["standards"] < 12:
        standard, _ = load_standard(Source("tried", written(rng)))
        if standard is None:
            continue
        seen["standards"] += 1
        found = [each for each in proof(standard).findings if each.code.number in ("D123", "D124", "D125")]
        rows = {each.facts["words"] for each in found if each.code.number == "D123"}
        grades = {each.facts["name"] for each in found if each.code.number != "D123"}
        seen["rows"] += len(rows)
        seen["grades"] += len(grades)
        machine = compile_standard(standard)
        for log in logs(rng, standard, 150):
            (verdict,) = replay(machine, log)
            given = [scored.words for e in verdict.events for a in e.attempts for scored in a.scores]
            seen["given"] += len(given)
            assert not rows & set(given), (standard.events[0].clause.score, log.entries)
            assert verdict.grade not in grades, (standard.grades, log.entries)
    assert seen["rows"] >= 1 and seen["given"] >= 300, seen
