"""Where a clause of a machine stands, what can happen to it, and where its figures are read."""

from enum import IntEnum


class Location(IntEnum):
    """Where one clause stands."""

    ASLEEP = 0  # not reached
    RESTING = 1  # in a rest that time alone ends
    WAITING = 2  # for its start mark
    OPEN = 3
    LATE = 4  # its `for` is over, but an `at least` of it is not met: open for this instant only
    DONE = 5


class Phase(IntEnum):
    """The order of what happens at one instant (rule 1); entries stand between STRICT and LAST."""

    COMPLETION = 0
    STRICT = 1
    LAST = 3


class Keep(IntEnum):
    """Which of a mark's values a register keeps."""

    LARGEST = 0
    SMALLEST = 1
    LAST = 2
    NEAREST = 3  # with the smallest margin to the test


class Deed(IntEnum):
    """What a `Due` does."""

    COMPLETE = 0  # the goal of the place is reached; without an `at least` it becomes late
    BEGIN = 1  # the rest before the place is over
    BREAK = 2  # a time limit is broken
    SILENCE = 3  # a silence acts
    OVERSTAY = 4  # a rest has lasted too long
    TOO_FEW = 5  # a late place is judged


class Gauge(IntEnum):
    """Where the figure of a row is read."""

    CLOCK = 0
    COUNTER = 1
    SILENCE = 2
    TOTAL = 3
    RESTARTS = 4
    VALUE = 5
    RATE = 6
    KEPT = 7  # the figure of a clause inside, from when it was completed
    SUM = 8
    ROUNDS = 9  # rounds made, missed, or the furthest made
    MISSES = 10  # tries missed, in all or in the longest row
    READING = 11
    POINTS = 12  # those the place would have if it completed now; the register is its number
