"""What the lines alone show of two editions, without a walk: of one kind of candidate, and of every candidate.

What is shown of lines as they are written, for all candidates and for some, is so for each kind, of which the same
lines hold in both editions, and the same amounts stand in them.
"""

from standfast.difference.bearing import acting, alike_for_go, bearing
from standfast.difference.claims import NONE, SAME, UNKNOWN, Course
from standfast.difference.likeness import alike, bare
from standfast.difference.stricter import asks_no_less
from standfast.difference.unpassable import its_lines_cannot_be_met
from standfast.model.standard import Fact, Standard

NOTHING = Course(UNKNOWN, UNKNOWN, UNKNOWN)


def course_by_lines(old: Standard, new: Standard, *, for_one: bool = True) -> Course:
    """Every condition met; `for_one`: both are meant for one kind of candidate, not as they are written."""
    if alike(old, new):
        return SAME
    told = NONE if alike(acting(old), acting(new)) else UNKNOWN
    bears = bearing(old), bearing(new)
    if alike_for_go(*bears):
        return Course(NONE, NONE, told)
    none = (
        asks_no_less(bears[1 - side], bears[side]) or (for_one and its_lines_cannot_be_met(bears[side]))
        for side in (0, 1)
    )
    lost, gained = (NONE if each else UNKNOWN for each in none)
    return Course(lost, gained, told)


def course_for_all(old: Standard, new: Standard) -> Course:
    """Every condition met, and of whom the same can be stated to both.

    Choices that came or went are nothing to that, nor facts that one edition alone asks for: no line that both
    have names them.
    """
    both = [(fact, other) for fact in old.facts if (other := new.fact(fact.name)) is not None]
    if not all(_can_be_stated(fact, other) for fact, other in both):
        return NOTHING
    return course_by_lines(old, new, for_one=False)


def whole_for_all(old: Standard, new: Standard) -> Course:
    """The course, where no condition differs."""
    return course_for_all(old, new) if _asked(old) == _asked(new) else NOTHING


def _can_be_stated(fact: Fact, other: Fact) -> bool:
    """Whether something can be stated to both, and means the same."""
    same = bare(fact.unit) == bare(other.unit) and fact.heading == other.heading
    return same and (fact.unit is not None or not frozenset(fact.choices).isdisjoint(other.choices))


def _asked(standard: Standard) -> object:
    return bare(standard.conditions), tuple(bare(event.conditions) for event in standard.events)
