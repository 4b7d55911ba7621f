"""Random logs that look like real ones, for the trials and the laws.

A log is made by walking the machine: most entries are ones that something waits for, most times lie at, just
before or just after a deadline, and ties at one instant are common.
"""

from fractions import Fraction
from random import Random

from standfast.log.entry import Entry, Presence, SessionLog
from standfast.machine.candidate import for_candidate
from standfast.machine.parts import Location, Machine
from standfast.machine.state import State
from standfast.machine.step import Work, enter, initial
from standfast.model.rules import Pattern, Test
from standfast.model.standard import Condition, Mark, Standard
from standfast.quantity import UNITS, Comparison, Quantity, count

_OFF = (0, 0, 0, -1, 1, -500_000)
AT_THE_LIMIT = (0,)


def _quantity(number: Fraction | int, unit: str) -> Quantity:
    return Quantity(((Fraction(number), UNITS[unit]),))


def _value(
    rng: Random, machine: Machine, state: State, mark: Mark, pattern: Pattern | None
) -> str | Quantity | None:
    """Any value of the mark, or most often one that is at, above or below what is asked for."""
    if mark.names_round:
        return _round(rng, machine, state, mark)
    if mark.choices:
        return rng.choice(mark.choices)
    if mark.unit is None:
        return None
    if pattern is not None and pattern.test is not None and rng.random() < 0.5:
        return rng.choice(pattern.test.ends() or (pattern.test.first,))
    if mark.heading:
        return _quantity(rng.choice((0, 2, 5, 90, 181, 350, Fraction(359_999_999, 10**6))), "deg")
    if mark.readings is not None:
        return _quantity(Fraction(rng.choice((2, 5, 8, 9, 10, 11, 12, 13, 15, 20)), 4), mark.unit.name)
    if rng.random() < 0.1:
        return rng.choice((_quantity(300, "cm"), _quantity(10, "ft"), _quantity(Fraction(5, 2), "m")))
    return _quantity(rng.choice((0, 1, 2, 3, 4, 5)), mark.unit.name)


def _round(rng: Random, machine: Machine, state: State, mark: Mark) -> str | None:
    """Most often none or the open round, at times one before or after it."""
    place = machine.round_marks.get(mark.name)
    rounds = None if place is None else machine.places[place].rounds
    if rounds is None:
        return None
    number = state.counters[rounds.open] + rng.choice((-1, 0, 0, 1, 2))
    return None if rng.random() < 0.4 else rounds.names[max(0, min(number, len(rounds.names) - 1))]


def _time(rng: Random, work: Work, now: int, off: tuple[int, ...], stride: int) -> int:
    """The next entry's time: now, near a deadline, or some strides on."""
    dues = [since + due.after for due in work.live_dues() if (since := work.clocks[due.clock]) is not None]
    kind = rng.random()
    if dues and kind < 0.45:
        return max(now, rng.choice(dues) + rng.choice(off))
    if kind < 0.65:
        return now
    return now + rng.choice((1, 2, 3, 4, 6)) * stride


def _mark(rng: Random, machine: Machine, state: State) -> tuple[Mark, Pattern | None]:
    """A mark, most often one that something waits for, with the pattern of what waits."""
    wanted = [
        (name, use.pattern)
        for name, watch in machine.watches.items()
        for use in watch.uses
        if state.locations[use.place] is (Location.WAITING if use.begins else Location.OPEN)
    ]
    if wanted and rng.random() < 0.7:
        name, pattern = rng.choice(wanted)
        found = machine.standard.mark(name)
        assert found is not None
        return found, pattern
    return rng.choice(machine.standard.marks), None


def random_log(
    rng: Random, machine: Machine, *, longest: int = 24, off: tuple[int, ...] = _OFF, stride: int = 500_000
) -> SessionLog:
    """A log of up to `longest` entries of one or two candidates; `off`: microseconds from a deadline.

    Entries are some `stride` apart, microseconds too.
    """
    standard = machine.standard
    shared = 0.6 if standard.by_anyone else 0.1
    candidates = ("C-1", "C-2") if rng.random() < shared else ("C-1",)
    graders = ("G-1", "G-2", "G-3") if standard.once_a_grader else (None, "G-1", "G-2")
    facts = {candidate: _facts(rng, standard) for candidate in candidates}
    machine = for_candidate(machine, facts["C-1"])
    state, _ = initial(machine)
    entries: list[Entry] = []
    presence: list[Presence] = []
    last = rng.randrange(1, longest + 1)
    comings = _comings(rng, candidates, last) if len(candidates) > 1 else {}
    there = [each for each in candidates if (each, True) not in comings.values()]
    now = 0
    for number in range(1, last + 1):
        now = _time(rng, Work.of(machine, state), now, off, stride)
        if number in comings:
            whose, joins = comings[number]
            there = [*there, whose] if joins else [each for each in there if each != whose]
            presence.append(Presence(number=number, line=number + 1, at=now, candidate=whose, joins=joins))
            continue
        mark, pattern = _mark(rng, machine, state)
        candidate = rng.choice((None, *there)) if len(candidates) > 1 else "C-1"
        entry = Entry(
            number=number,
            line=number + 1,
            at=now,
            mark=mark.name,
            value=_value(rng, machine, state, mark, pattern),
            candidate=candidate,
            by=rng.choice(graders),
        )
        entries.append(entry)
        if candidate in (None, "C-1") and "C-1" in there:
            state, _ = enter(machine, state, entry)
        if state.decided is not None and rng.random() < 0.6:
            break
    end = None
    if rng.random() < 0.7:
        end = max(now, _time(rng, Work.of(machine, state), now, off, stride) + rng.choice((0, 0, 1, 30_000_000)))
    return SessionLog(
        session="trial",
        standard=machine.standard.name,
        edition=None,
        candidates=candidates,
        conditions=_conditions(rng, machine),
        facts={whose: stated for whose, of_one in facts.items() if (stated := _stated(rng, of_one))},
        entries=tuple(entries),
        presence=tuple(presence),
        end=end,
        grader=None,
        started=None,
        digest="",
    )


def _comings(rng: Random, candidates: tuple[str, ...], last: int) -> dict[int, tuple[str, bool]]:
    """Who joins (True) or leaves at which place in the log, of a few candidates; no joining after the leaving."""
    comings: dict[int, tuple[str, bool]] = {}
    for candidate in candidates:
        free = [number for number in range(1, last + 1) if number not in comings]
        places = sorted(rng.sample(free, min(2, len(free))))
        joins, leaves = rng.random() < 0.3, rng.random() < 0.3
        if places and joins:
            comings[places[0]] = candidate, True
        if places and leaves and (places[-1] not in comings):
            comings[places[-1]] = candidate, False
    return comings


def _facts(rng: Random, standard: Standard) -> dict[str, Quantity | str]:
    """All that the standard asks of a candidate."""
    facts: dict[str, Quantity | str] = {}
    for fact in standard.facts:
        if fact.unit is None:
            facts[fact.name] = rng.choice(fact.choices)
        elif fact.heading:
            facts[fact.name] = _quantity(rng.choice((0, 2, 5, 180, 355)), "deg")
        elif fact.is_number:
            facts[fact.name] = count(rng.choice((0, 29, 30, 39, 40)))
        else:
            facts[fact.name] = _quantity(rng.choice((1, 2, 4, 10)), fact.unit.name)
    return facts


def _stated(rng: Random, facts: dict[str, Quantity | str]) -> dict[str, Quantity | str]:
    """The facts as a log states them: seldom one is left out."""
    return {name: fact for name, fact in facts.items() if rng.random() < 0.97}


def _conditions(rng: Random, machine: Machine) -> dict[str, Quantity | bool]:
    """Most of the conditions of the standard stated, and most of those as demanded."""
    standard = machine.standard
    stated: dict[str, Quantity | bool] = {}
    for condition in (*standard.conditions, *(c for event in standard.events for c in event.conditions)):
        if rng.random() < 0.9:
            stated[condition.name] = _fact(rng, condition)
    return stated


def _fact(rng: Random, condition: Condition) -> Quantity | bool:
    demand, good = condition.demand, rng.random() < 0.8
    if isinstance(demand, bool):
        return demand is good
    bound = rng.choice(demand.ends() or (demand.first,))
    return _beside(bound, rng.choice((-1, 0, 0, 1))) if not good else _inside(demand)


def _inside(demand: Test) -> Quantity:
    """An amount that is as demanded."""
    step = {Comparison.OVER: 1, Comparison.UNDER: -1}.get(demand.comparison, 0)
    return _beside(demand.first if demand.around is None else demand.around, step)


def _beside(amount: Quantity, step: int) -> Quantity:
    """An amount a `step` of its own unit away, never below nought."""
    return Quantity(((max(Fraction(0), amount.parts[-1][0] + step), amount.unit),))
