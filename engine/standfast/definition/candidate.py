"""Rules 36, 37 and 43: the standard read for one candidate.

The text is read through once, word for word: where a share stands, what it comes to for this candidate is written
instead, and a clause that is for others is passed over. Whatever has to be known for that and is not stated is
noted down on the way.
"""

from collections.abc import Iterable
from fractions import Fraction

from standfast.definition.finding import unmet
from standfast.log.entry import SessionLog
from standfast.model.rules import Fault, Limit, Misses, Pattern, Score, Silence, Start, Test, Until
from standfast.model.standard import Always, Clause, Condition, Event, Facts, Standard
from standfast.quantity import Comparison, Quantity
from standfast.values import define, evolve, field
from standfast.verdict import Reason, ReasonKind, Verdict, unjudged


def read_for(standard: Standard, facts: Facts) -> tuple[Standard, tuple[str, ...]]:
    """The standard as it is for the candidate, and the names of the facts that are wanted and not stated.

    With any of these wanting, the standard is not fit to judge by.
    """
    reader = _Reader(standard, facts)
    conditions = tuple(reader.condition(each) for each in standard.conditions)
    limits = tuple(reader.limit(each) for each in standard.always.limits)
    faults = tuple(reader.fault(each) for each in standard.always.faults)
    events = tuple(reader.event(each) for each in standard.events if reader.concerns(each.clause))
    read = evolve(
        standard,
        facts=(),
        settled=dict(facts),
        conditions=conditions,
        always=Always(limits, faults),
        events=events,
    )
    return read, tuple(fact.name for fact in standard.facts if fact.name in reader.wanting)


@define
class _Reader:
    standard: Standard
    stated: Facts
    wanting: set[str] = field(factory=set)

    def concerns(self, clause: Clause) -> bool:
        """Rule 37. Where the fact is wanting, nothing inside the clause is read."""
        if clause.only_for is None:
            return True
        if clause.only_for.fact not in self.stated:
            self.wanting.add(clause.only_for.fact)
            return False
        return self.stated[clause.only_for.fact] in clause.only_for.choices

    def event(self, event: Event) -> Event:
        conditions = tuple(self.condition(each) for each in event.conditions)
        return evolve(event, conditions=conditions, clause=self.clause(event.clause))

    def clause(self, clause: Clause) -> Clause:
        """Rule 37: the rest before an item goes with it, and a rest with no item before it falls away."""
        items: list[Clause] = []
        for item in clause.items:
            if self.concerns(item):
                read = self.clause(item)
                items.append(read if items else evolve(read, rest=None))
        start, goal = clause.start, clause.goal
        if isinstance(start, Start):
            start = evolve(start, pattern=self.pattern(start.pattern))
        if isinstance(goal, Until):
            goal = evolve(goal, pattern=self.pattern(goal.pattern))
        limits = tuple(self.limit(each) for each in clause.limits)
        faults = tuple(self.fault(each) for each in clause.faults)
        scores = tuple(each for each in clause.scores if self.gives(each))
        return evolve(
            clause, start=start, goal=goal, limits=limits, faults=faults, scores=scores, items=tuple(items)
        )

    def gives(self, score: Score) -> bool:
        """Rule 43: whether the candidate's points come from this table."""
        band = score.band
        if band is None:
            return True
        stated = self.stated.get(band.fact)
        if stated is None:
            self.wanting.add(band.fact)
            return False
        if band.test is None:
            return stated in band.choices
        return isinstance(stated, Quantity) and band.test.holds(stated.base)

    def condition(self, condition: Condition) -> Condition:
        if isinstance(condition.demand, bool):
            return condition
        return evolve(condition, demand=self.test(condition.demand))

    def limit(self, limit: Limit) -> Limit:
        return evolve(limit, test=self.test(limit.test))

    def fault(self, fault: Fault) -> Fault:
        if isinstance(fault.trigger, Silence | Misses):
            return fault
        return evolve(fault, trigger=evolve(fault.trigger, pattern=self.pattern(fault.trigger.pattern)))

    def pattern(self, pattern: Pattern) -> Pattern:
        return pattern if pattern.test is None else evolve(pattern, test=self.test(pattern.test))

    def test(self, test: Test) -> Test:
        """Rule 36."""
        fact = None if test.of is None else self.standard.fact(test.of)
        if fact is None or fact.unit is None:
            return test
        stated = self.stated.get(fact.name)
        if not isinstance(stated, Quantity):
            self.wanting.add(fact.name)
            return test
        if test.comparison is Comparison.WITHIN:
            return evolve(test, of=None, around=stated, heading=fact.heading)

        def share(percent: Quantity) -> Quantity:
            number = sum((each for each, _ in percent.parts), Fraction(0))
            assert fact is not None and fact.unit is not None
            return Quantity(((number * stated.base / 100 / fact.unit.factor, fact.unit),))

        second = None if test.second is None else share(test.second)
        return Test(test.comparison, share(test.first), second)


def void_for_want(standard: Standard, wanting: Iterable[str], log: SessionLog, candidate: str) -> Verdict:
    """Rule 36: VOID, with nothing judged but the conditions that wait for no fact."""
    names, facts = set(wanting), log.facts.get(candidate, {})
    reasons = [
        Reason(kind=ReasonKind.NOT_STATED, path=fact.path, words=fact.words, sentence=fact.title, at=None)
        for fact in standard.facts
        if fact.name in names
    ]
    reader = _Reader(standard, facts)
    conditions = list(standard.conditions)
    for event in standard.events:
        conditions += event.conditions if reader.concerns(event.clause) else ()
    for condition in conditions:
        reader.wanting.clear()
        read = reader.condition(condition)
        reasons += unmet((read,), log) if not reader.wanting else ()
    return unjudged(standard, log, candidate, tuple(reasons))
