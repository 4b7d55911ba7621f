"""Mistakes planted in the shipped standards: proof must report each, and nothing on the standards as they are.

A plant is an edit of the text at a place where it makes just the mistake it is meant to make. It is reported when
proof finds one of the codes expected at one of the lines expected, and the author has not accepted it.
"""

import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from multiprocessing import Pool
from pathlib import Path
from random import Random

from attrs import frozen

from standfast.diagnostic import Diagnostic, Severity
from standfast.model.rules import (
    Effect,
    Fault,
    FigureKind,
    For,
    Limit,
    Occurrence,
    Rule,
    Silence,
    Until,
)
from standfast.model.standard import Clause, Event, Kind, Standard
from standfast.pipeline import load_standard
from standfast.proofing.cases import case_findings
from standfast.proofing.findings import proof
from standfast.quantity import Comparison
from standfast.source import Source

SHIPPED = Path(__file__).resolve().parents[2] / "standards"
NEW_MARK = "planted"


@frozen
class Plant:
    """`added` are (line after which, text) and `dropped` the lines left out; `expected` codes at `lines`.

    Lines count from 1 in the untouched file; 0 in `lines` stands for any line added.
    """

    expected: frozenset[str]
    lines: frozenset[int]
    added: tuple[tuple[int, str], ...] = ()
    dropped: frozenset[int] = frozenset()
    changed: tuple[tuple[int, str, str], ...] = ()


@frozen
class Ground:
    """A standard to plant in."""

    name: str
    text: str
    standard: Standard

    def pad(self, line: int) -> str:
        text = self.text.split("\n")[line - 1]
        return text[: len(text) - len(text.lstrip())]

    def inside(self, clause: Clause, *texts: str) -> tuple[int, str]:
        """Lines for the block of a clause, after its head line."""
        pad = self.pad(clause.span.line) + "    "
        return clause.span.line, "\n".join(f"{pad}{text}" for text in texts)

    def at_end(self, event: Event, *texts: str) -> tuple[int, str]:
        """Lines after the last line of an event."""
        lines = self.text.split("\n")
        last = event.clause.span.line
        for number in range(last + 1, len(lines) + 1):
            if lines[number - 1].strip():
                if not lines[number - 1].startswith(" "):
                    break
                last = number
        return last, "\n".join(f"    {text}" for text in texts)

    def mark(self, declaration: str) -> tuple[int, str]:
        return self.text.split("\n").index("marks") + 1, f"    {declaration}"

    def always(self, text: str) -> tuple[int, str]:
        lines = self.text.split("\n")
        if "always" in lines:
            return lines.index("always") + 1, f"    {text}"
        first = next(number for number, line in enumerate(lines) if line.startswith("event "))
        return first, f"always\n    {text}\n"


def chain(event: Event, clause: Clause) -> list[Clause]:
    """The clause and those around it, the event first."""
    return [c for c in event.clause.walk() if f"{clause.path}.".startswith(f"{c.path}.")]


def on_every_way(event: Event, clause: Clause) -> bool:
    return all(c.kind is not Kind.ONE_OF for c in chain(event, clause)[:-1])


def ends_by_time(rule: Rule) -> bool:
    if isinstance(rule, Limit):
        in_time = rule.figure.kind is FigureKind.TIME and rule.test.comparison is not Comparison.AT_LEAST
        return in_time or rule.figure.kind is FigureKind.SILENCE
    return isinstance(rule, Fault) and isinstance(rule.trigger, Silence)


def time_lines(ground: Ground, event: Event, clause: Clause) -> frozenset[int]:
    """The lines of all rules by which time could end the clause or what is around it."""
    always = (*ground.standard.always.limits, *ground.standard.always.faults)
    around = [rule for c in chain(event, clause) for rule in (*c.limits, *c.faults)]
    return frozenset(rule.span.line for rule in (*always, *around) if ends_by_time(rule))


def case_lines(ground: Ground) -> frozenset[int]:
    """The lines of all cases: they speak of rules that are dropped, and are no part of what is planted."""
    lines = ground.text.split("\n")
    starts = [number for number, line in enumerate(lines, start=1) if line and line[0] not in " #"]
    cases = [(a, b) for a, b in pairwise((*starts, len(lines) + 1)) if lines[a - 1].startswith("case ")]
    return frozenset(number for a, b in cases for number in range(a, b))


def clauses(ground: Ground) -> Iterator[tuple[Event, Clause]]:
    for event in ground.standard.events:
        for clause in event.clause.walk():
            yield event, clause


def within(clause: Clause) -> Limit | None:
    limits = (limit for limit in clause.limits if limit.test.comparison is Comparison.AT_MOST)
    return next((limit for limit in limits if limit.figure.kind is FigureKind.TIME), None)


def seconds(limit: Limit, more: int) -> str:
    return f"{int(limit.test.first.base) // 1_000_000 + more} s"


def plant_of(
    codes: str, lines: Sequence[int], *added: tuple[int, str], dropped: frozenset[int] = frozenset()
) -> Plant:
    return Plant(frozenset(codes.split()), frozenset(lines), added, dropped)


# --- the kinds ---------------------------------------------------------------------------------------------


def contradiction(ground: Ground) -> Iterator[Plant]:
    for event, clause in clauses(ground):
        limit = within(clause)
        if limit is not None and on_every_way(event, clause):
            added = ground.inside(clause, f"not before {seconds(limit, 60)} as planted")
            yield plant_of("P101", [event.clause.span.line], added)


def idle_limit(ground: Ground) -> Iterator[Plant]:
    for event, clause in clauses(ground):
        limit = within(clause)
        if limit is not None and not event.carry_on:
            yield plant_of("D102", [0], ground.inside(clause, f"within {seconds(limit, 60)} as planted"))


def clock_of_group(ground: Ground) -> Iterator[Plant]:
    for _, group in clauses(ground):
        for item in group.items if group.kind is Kind.ANY_ORDER else ():
            if item.start is None:
                yield plant_of("D111", [0], ground.inside(item, "within 7 min as planted"))


def clock_at_goal(ground: Ground) -> Iterator[Plant]:
    for event in ground.standard.events:
        if event.clause.items:
            yield plant_of("D117", [0], ground.at_end(event, "step planted", "    for 20 s"))


def clock_runs_again(ground: Ground) -> Iterator[Plant]:
    for _, clause in clauses(ground):
        if clause.start is None and (within(clause) is not None or isinstance(clause.goal, For)):
            rule = f'restart on {NEW_MARK} "planted", at most once'
            yield plant_of("D115", [0], ground.inside(clause, rule), ground.mark(f'{NEW_MARK} "Planted"'))


def shadowed_goal(ground: Ground) -> Iterator[Plant]:
    for event, clause in clauses(ground):
        goal = clause.goal
        if isinstance(goal, Until) and goal.number == 1 and on_every_way(event, clause):
            pattern = goal.words.removeprefix("until ")
            lines = [event.clause.span.line, goal.span.line]
            yield plant_of("P101 D106", lines, ground.inside(event.clause, f"fail on {pattern} as planted"))


def graver_fault(ground: Ground) -> Iterator[Plant]:
    for _, clause in clauses(ground):
        for fault in clause.faults:
            if (
                fault.effect is Effect.FAIL
                and isinstance(fault.trigger, Occurrence)
                and not fault.trigger.more_than
            ):
                pattern = fault.words.removeprefix("fail on ")
                added = ground.inside(clause, f"disqualify on {pattern} as planted")
                yield plant_of("D101 D107", [fault.span.line, 0], added)


def lifted_restart(ground: Ground) -> Iterator[Plant]:
    for event, clause in clauses(ground):
        for fault in clause.faults:
            if fault.effect is Effect.RESTART and fault.at_most is not None:
                line = ground.text.split("\n")[fault.span.line - 1]
                cut = line[line.index(", at most") :].split(" as ")[0]
                dropped = time_lines(ground, event, clause) | case_lines(ground)
                lines = frozenset({fault.span.line})
                change = ((fault.span.line, cut, ""),)
                yield Plant(frozenset({"D105"}), lines, dropped=dropped, changed=change)


def lifted_limits(ground: Ground) -> Iterator[Plant]:
    for event, clause in clauses(ground):
        dropped = time_lines(ground, event, clause)
        if isinstance(clause.goal, Until) and dropped:
            yield plant_of("D104", [clause.span.line], dropped=dropped | case_lines(ground))


def count_without_time(ground: Ground) -> Iterator[Plant]:
    for event, clause in clauses(ground):
        dropped = time_lines(ground, event, clause)
        for limit in clause.limits:
            counted = limit.figure.kind is FigureKind.COUNT and limit.test.comparison is not Comparison.AT_LEAST
            if counted and dropped and not isinstance(clause.goal, For):
                yield plant_of("D112", [limit.span.line], dropped=dropped | case_lines(ground))


def unused_mark(ground: Ground) -> Iterator[Plant]:
    yield plant_of("D108", [0], ground.mark(f'{NEW_MARK} "Planted"'))


def anybody_passes(ground: Ground) -> Iterator[Plant]:
    for event in ground.standard.events:
        if event.clause.items and not (event.clause.limits or event.clause.faults):
            yield plant_of("D109", [0], ground.at_end(event, "step planted", "    for 20 s"))


def start_twice(ground: Ground) -> Iterator[Plant]:
    for _, clause in clauses(ground):
        first = clause.items[0] if clause.kind is Kind.IN_ORDER else None
        if clause.start is not None and not clause.start.first and first is not None and first.start is None:
            yield plant_of("D110", [0], ground.inside(first, clause.start.words))


def start_not_counted(ground: Ground) -> Iterator[Plant]:
    for _, clause in clauses(ground):
        if clause.start is not None and not clause.start.first:
            mark = clause.start.pattern.mark
            lines = [clause.start.span.line, 0]
            yield plant_of("D114", lines, ground.inside(clause, f"within 9 {mark} as planted"))


def rest_before_group(ground: Ground) -> Iterator[Plant]:
    block = ("rest at least 10 s, else note", "in order planted", "    step inner", f"        start on {NEW_MARK}")
    for event in ground.standard.events:
        if event.clause.items:
            added = ground.at_end(event, *block, f"        until {NEW_MARK}")
            yield plant_of("D113", [0], added, ground.mark(f'{NEW_MARK} "Planted"'))


def other_values(ground: Ground) -> Iterator[Plant]:
    for event in ground.standard.events:
        if event.clause.items:
            mark = ground.mark(f'{NEW_MARK} is one of left, right "Planted"')
            added = ground.at_end(event, "step planted", f"    until {NEW_MARK} left")
            yield plant_of("D116", [0], added, mark)


def live_in_rest(ground: Ground) -> Iterator[Plant]:
    accepted = {a.path for a in ground.standard.acceptances if a.code == "D118"}
    for event, clause in clauses(ground):
        answered = any(c.path in accepted for c in chain(event, clause))
        if any(item.rest is not None for item in clause.items) and not answered:
            mark = ground.mark(f'{NEW_MARK} "Planted"')
            yield plant_of("D118", [0], ground.inside(clause, f"fail on {NEW_MARK}"), mark)


def clock_in_always(ground: Ground) -> Iterator[Plant]:
    if not any(a.code == "D119" for a in ground.standard.acceptances):
        yield plant_of("D119", [0], ground.always("within 5 h as planted"))


def mixed_units(ground: Ground) -> Iterator[Plant]:
    for unit, other in ((" m", "ft"), (" kg", "lb")):
        if f"{unit} " in ground.text or f"{unit}\n" in ground.text:
            end = len(ground.text.split("\n"))
            lines = range(end + 1)
            yield plant_of("A101", lines, ground.mark(f'{NEW_MARK} in {other} "Planted"'))


def goal_and_fault(ground: Ground) -> Iterator[Plant]:
    block = (
        "step planted",
        f"    until {NEW_MARK}",
        f"    fail on {NEW_MARK}",
        "step after",
        f"    until {NEW_MARK}",
    )
    for event in ground.standard.events:
        if event.clause.items and not event.carry_on:
            mark = ground.mark(f'{NEW_MARK} "Planted"')
            yield plant_of("D103", [0], ground.at_end(event, *block), mark)


def failing_case(ground: Ground) -> Iterator[Plant]:
    for number, line in enumerate(ground.text.split("\n"), start=1):
        head, at, clock = line.rpartition(" at ")
        if at and head.strip().startswith("gives"):
            change = ((number, f" at {clock}", " at 9:59:59"),)
            yield Plant(frozenset({"C303", "C304", "C305"}), frozenset({number}), changed=change)


def needless_acceptance(ground: Ground) -> Iterator[Plant]:
    for event in ground.standard.events:
        yield plant_of("A102", [0], ground.inside(event.clause, 'accept D116 "planted"'))


KINDS: dict[str, Callable[[Ground], Iterator[Plant]]] = {
    "two limits that contradict each other": contradiction,
    "a limit another makes idle": idle_limit,
    "a time limit on an any-order item": clock_of_group,
    "a time held from the goal before": clock_at_goal,
    "a restart whose clock runs again": clock_runs_again,
    "a goal shadowed by a fault": shadowed_goal,
    "a fault shadowed by a graver one": graver_fault,
    "a restart's number lifted": lifted_restart,
    "the time limits lifted": lifted_limits,
    "a count without a time limit": count_without_time,
    "a mark nobody uses": unused_mark,
    "a step any log passes": anybody_passes,
    "one start mark twice": start_twice,
    "a start mark counted": start_not_counted,
    "a rest before a group's first step": rest_before_group,
    "a value whose others nobody uses": other_values,
    "a fault live during a rest": live_in_rest,
    "a time limit on the whole test": clock_in_always,
    "mixed units": mixed_units,
    "a step nobody can come to": goal_and_fault,
    "a case that fails": failing_case,
    "an acceptance without a doubt": needless_acceptance,
}


# --- planting and looking ----------------------------------------------------------------------------------


def grounds() -> list[Ground]:
    found = []
    for path in sorted(SHIPPED.rglob("*.standard")):
        text = path.read_text(encoding="utf-8")
        standard, errors = load_standard(Source(path.name, text))
        assert standard is not None, errors
        found.append(Ground(path.stem, text, standard))
    return found


def planted(ground: Ground, plant: Plant) -> tuple[str, set[int]]:
    """The text with the plant in it, and the lines where it may be reported."""
    old = ground.text.split("\n")
    changed = {number: old[number - 1].replace(was, new) for number, was, new in plant.changed}
    new: list[str] = []
    lines: set[int] = set()
    for number in range(len(old) + 1):
        if number and number not in plant.dropped:
            new.append(changed.get(number, old[number - 1]))
            if number in plant.lines:
                lines.add(len(new))
        for after, text in plant.added:
            if after == number:
                more = text.split("\n")
                if 0 in plant.lines:
                    lines |= set(range(len(new) + 1, len(new) + len(more) + 1))
                new += more
    return "\n".join(new), lines


def found_in(standard: Standard) -> list[Diagnostic]:
    cases = [finding for case in standard.cases for finding in case_findings(standard, case)]
    return [*cases, *proof(standard).findings]


def reported(ground: Ground, plant: Plant) -> str | None:
    """None if proof reports the plant; else what it said instead."""
    text, lines = planted(ground, plant)
    standard, errors = load_standard(Source(ground.name, text))
    if standard is None:
        return f"not read: {[(e.code.number, e.message, e.span) for e in errors]}\n{text}"
    found = found_in(standard)
    for each in found:
        here = each.span is not None and each.span.line in lines
        if here and each.code.number in plant.expected and each.accepted is None:
            return None
    seen = [(f.code.number, f.span.line if f.span else 0, f.accepted is not None) for f in found]
    return f"expected {sorted(plant.expected)} at {sorted(lines)[:9]}, found {seen}\n{text}"


def chosen(grounds: Sequence[Ground], seed: int, count: int) -> list[tuple[str, Ground, Plant]]:
    """Plants in turn of every kind that some shipped standard has a place for."""
    rng = Random(seed)
    places = {kind: [(g, plant) for g in grounds for plant in make(g)] for kind, make in KINDS.items()}
    kinds = [kind for kind, found in places.items() if found]
    return [(kind, *rng.choice(places[kind])) for kind in (kinds[n % len(kinds)] for n in range(count))]


def _look(job: tuple[str, Ground, Plant]) -> tuple[str, str | None]:
    kind, ground, plant = job
    return kind, reported(ground, plant)


def plant(count: int, seed: int, jobs: int) -> int:
    """Print the table; 1 if a plant was missed or an untouched standard has something unaccepted."""
    began = time.monotonic()
    ready = grounds()
    untouched = {
        g.name: [f for f in found_in(g.standard) if f.accepted is None and f.severity is not Severity.ADVICE]
        for g in ready
    }
    with Pool(jobs) as pool:
        results = pool.map(_look, chosen(ready, seed, count), chunksize=4)
    tried, missed = (
        Counter(kind for kind, _ in results),
        Counter(kind for kind, said in results if said is not None),
    )
    print(f"{'kind':40} {'planted':>8} {'reported':>9} {'missed':>7}")
    for kind, number in tried.items():
        print(f"{kind:40} {number:8} {number - missed[kind]:9} {missed[kind]:7}")
    for kind in KINDS.keys() - tried.keys():
        print(f"{kind:40} no shipped standard has a place for it")
    for kind, said in [(kind, said) for kind, said in results if said is not None][:5]:
        print(f"--- {kind}: {said}")
    for name, findings in untouched.items():
        print(f"untouched {name}: {len(findings)} not accepted")
    print(f"plants: {len(results)}, seed {seed}, missed: {missed.total()}, {time.monotonic() - began:.0f} s")
    return 1 if missed or any(untouched.values()) else 0
