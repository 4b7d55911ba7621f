"""What an author chooses among, as later stages know it too."""

from enum import Enum


class Effect(Enum):
    """What a breach does, from the mildest to the gravest."""

    NOTE = "note"
    PASS = "pass"
    RESTART = "restart"
    MISS = "miss"
    OUT = "out"  # the rounds end; by a line of its own
    FAIL = "fail"
    HALT = "halt"
    DISQUALIFY = "disqualify"

    @property
    def gravity(self) -> int:
        """0 for a note, and more the graver it is."""
        return list(Effect).index(self)


class PickWord(Enum):
    """Which of several readings counts."""

    FIRST = "first"
    MIDDLE = "middle"
    MEAN = "mean"
    LONGER = "longer"
    SHORTER = "shorter"
    LARGER = "larger"
    SMALLER = "smaller"
