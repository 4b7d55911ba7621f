"""The candidates that two editions are compared for: one of each kind that neither tells apart."""

from standfast.model.candidate import leaves_some_out, representatives
from standfast.model.standard import Always, Fact, Facts, Standard
from standfast.values import evolve, frozen

MOST = 800
"""Kinds of candidate of which the lines are looked at."""


@frozen
class Candidates:
    """What is stated of each kind of candidate, to the old and to the new edition.

    `went` and `came` are the facts that one edition alone asks for, `changed` those that both ask for and of which
    nothing can be stated to both. `all_kinds`: every candidate is of one of the kinds.
    """

    kinds: tuple[tuple[Facts, Facts], ...]
    went: tuple[str, ...] = ()
    came: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    all_kinds: bool = True


def candidates(old: Standard, new: Standard) -> Candidates:
    if not old.facts and not new.facts:
        return Candidates((({}, {}),))
    facts, changed = list[Fact](), list[str]()
    for fact in old.facts:
        other = new.fact(fact.name)
        both = fact if other is None else _both(fact, other)
        facts += [] if both is None else [both]
        changed += [fact.name] if both is None else []
    facts += [fact for fact in new.facts if old.fact(fact.name) is None]
    joined = evolve(
        old,
        facts=tuple(facts),
        conditions=old.conditions + new.conditions,
        always=Always(old.always.limits + new.always.limits, old.always.faults + new.always.faults),
        events=old.events + new.events,
    )
    kinds: tuple[Facts, ...] = () if changed else representatives(joined, MOST)
    return Candidates(
        tuple((_asked(old, facts_of_one), _asked(new, facts_of_one)) for facts_of_one in kinds),
        tuple(fact.name for fact in old.facts if new.fact(fact.name) is None),
        tuple(fact.name for fact in new.facts if old.fact(fact.name) is None),
        tuple(changed),
        not changed and not leaves_some_out(joined, MOST),
    )


def _both(fact: Fact, other: Fact) -> Fact | None:
    """The fact with what can be stated to both editions."""
    if fact.unit is not None and other.unit is not None and fact.unit.dimension is other.unit.dimension:
        return evolve(fact, heading=fact.heading or other.heading, shared=fact.shared or other.shared)
    known = tuple(choice for choice in fact.choices if choice in other.choices)
    return evolve(fact, choices=known) if known else None


def _asked(standard: Standard, facts: Facts) -> Facts:
    return {name: fact for name, fact in facts.items() if standard.fact(name) is not None}
