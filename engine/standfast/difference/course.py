"""What the course of a test, or of one event, does: what is known at once first, then what must be walked for."""

from collections.abc import Callable, Sequence

from standfast.difference.by_lines import course_by_lines
from standfast.difference.claims import NONE, UNKNOWN, Claim, Course
from standfast.difference.guided import lone_log, reaches_go
from standfast.difference.shortest import shortest
from standfast.difference.shown import Editions
from standfast.difference.unpassable import EFFORT, nobody_passes
from standfast.difference.walks import GoWalk, by_reasons
from standfast.values import evolve

_FEW_PAIRS = 2_000
"""Pairs of positions after which a log that need not be the shortest is preferred to a longer walk; as many are
then looked at for a shorter one, and of one edition by itself for a way to GO."""

_FEW_OF_ALL = 3
"""Or after one in so many of those that may be looked at."""

_FEWER = 4
"""After one in so many of these a log that events by themselves show is preferred."""

_EFFORT_A_PAIR = 10
"""How much may be looked at of each edition alone for each pair of positions of both."""

_OF_REASONS = 2
"""For reasons alone one in so many of all pairs of positions is looked at."""

_FEW_OF_ONE = 300
"""Positions of each edition alone that are looked at before both are walked together."""

Known = list[Claim | None]
"""What is known of logs that are GO under the old edition alone, and of those under the new alone."""


def _nothing(side: int) -> Claim | None:
    return None


def course_of(
    editions: Editions,
    most: int,
    at_once: Callable[[int], Claim | None] = _nothing,
    by_parts: Callable[[int], Claim | None] = _nothing,
    told: Claim | None = None,
) -> Course:
    """Both editions walked from the session's zero, as far as one of two directions is not settled otherwise.

    `at_once` says what is known without a walk of the whole, `by_parts` what a short one leaves open; `told` is
    what is known of reasons.
    """
    lines = course_by_lines(*(edition.read for edition in editions))
    told = lines.told if lines.told.decided else told
    if lines.lost.decided and lines.gained.decided:
        return evolve(lines, told=told or by_reasons(editions, most // _OF_REASONS))
    known: Known = [
        claim if claim.decided else at_once(side) for side, claim in enumerate((lines.lost, lines.gained))
    ]
    few, more = min(most // _FEW_OF_ALL, _FEW_PAIRS), min(most, _FEW_PAIRS)
    for side in (0, 1):
        if known[side] is None and reaches_go(editions, side, min(few, _FEW_OF_ONE)) is False:
            known[side] = NONE
    walk = GoWalk(editions)
    known = _walked(walk, few // _FEWER, known)
    known = [claim or by_parts(side) for side, claim in enumerate(known)]
    known = _walked(walk, few, known)
    effort = min(EFFORT, _EFFORT_A_PAIR * most)
    for side, edition in enumerate(editions):
        if known[side] is None:
            reached = reaches_go(editions, side, most)
            nobody = not reached and (reached is False or nobody_passes(edition.bears, effort))
            known[side] = NONE if nobody else lone_log(editions, side, most)
    claims = [claim or UNKNOWN for claim in _walked(walk, most, known)]
    lost, gained = shortest(editions, claims, more)
    return Course(lost, gained, told or by_reasons(editions, most // _OF_REASONS))


def _walked(walk: GoWalk, most: int, known: Sequence[Claim | None]) -> Known:
    """What was known, and what so long a walk decides."""
    if None not in known:
        return list(known)
    return [claim if claim.decided else None for claim in walk.until(most, (known[0], known[1]))]
