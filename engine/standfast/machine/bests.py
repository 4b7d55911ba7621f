"""What an event needs that takes the best of its attempts (rule 40)."""

from standfast.values import frozen


@frozen
class BestRow:
    """Where the figure is kept by which the best is found, and whether the least is best.

    `kept` are the other figures of the event that `always` looks back at: those of the best attempt count.
    `matters` tells whether anything depends on which attempt is the best.
    """

    register: int
    least: bool
    kept: tuple[int, ...]
    matters: bool
