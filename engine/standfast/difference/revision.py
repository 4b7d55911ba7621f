"""All that is said of a revision: what was changed, what difference it makes, and to whom it would have."""

from standfast.difference.clauses import ClauseChange
from standfast.difference.comparison import Comparison
from standfast.difference.impact import Impact
from standfast.values import frozen


@frozen
class Revision:
    """`impact` is None where no archive was looked at."""

    comparison: Comparison
    changes: tuple[ClauseChange, ...]
    impact: Impact | None
