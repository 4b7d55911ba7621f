"""Entries that name rounds, where the editions have other rounds, or end them sooner."""

from collections.abc import Callable

import pytest

from standfast.difference.comparison import Comparison
from standfast.difference.conditions import Word
from standfast.difference.marks import SharedMark
from standfast.difference.rounds import RoundNames

from .conftest import lines

Compared = Callable[..., Comparison]

MARKS = """
marks
    go "A signal"
    cleared names a round "Over the bar"
    knocked names a round "The bar fell"
    turned names a round "Round the post"
"""
HEIGHTS = """\
event drill
    attempts 1
    start on go
    rounds heights
        at {heights}
        until cleared
{more}"""
BOTH = """\
event drill
    attempts 1
    start on go
    in any order both
        rounds heights
            at 1 m, 2 m
            unmarked rounds are passed
            until cleared
            made at least 1
            miss on knocked
        rounds turns
            at {turns}
            until turned
"""


def heights(lengths: str, *more: str) -> str:
    return HEIGHTS.format(heights=lengths, more="".join(f"        {line}\n" for line in more))


MISSED = "unmarked rounds are missed", "missed at least 3"
FOUR = "1 m, 2 m, 3 m, 4 m"

# What was, what is, the word, the shortest log that is GO under the old alone and under the new alone.
PAIRS = {
    "the rounds are over for the old edition before the round that is named": (
        heights(FOUR, *MISSED, "out on 2 misses in a row"),
        heights(FOUR, *MISSED, "out on 3 misses in a row"),
        Word.EASIER,
        None,
        ["0 go", "1 cleared 4 m"],
    ),
    "the open round of one is a later one of the other": (
        heights("1 m, 2 m"),
        heights("2 m, 3 m"),
        Word.MIXED,
        ["0 go", "1 cleared", "2 cleared 2 m"],
        ["0 go", "1 cleared 2 m", "2 cleared"],
    ),
    "it may not be named yet where nothing is said of unmarked rounds": (
        heights("1 m, 2 m", "made at least 1", "unmarked rounds are passed"),
        heights("1 m, 2 m", "made at least 1"),
        Word.HARDER,
        ["0 go", "1 cleared 2 m"],
        None,
    ),
    "a round comes sooner in the row": (
        heights("1 m, 2 m, 3 m", "made at least 1", "unmarked rounds are passed"),
        heights("3 m, 2 m, 1 m", "made at least 1", "unmarked rounds are passed"),
        Word.MIXED,
        ["0 go", "1 cleared 3 m"],
        ["0 go", "1 cleared 1 m"],
    ),
    "two rows of rounds at once": (
        BOTH.format(turns="1 m, 2 m"),
        BOTH.format(turns="1 m"),
        Word.EASIER,
        None,
        ["0 go", "1 cleared 2 m", "2 turned"],
    ),
}


@pytest.mark.parametrize("name", PAIRS)
def test_the_word_and_the_shortest_logs(name: str, compared: Compared) -> None:
    old, new, word, lost, gained = PAIRS[name]
    comparison = compared(old, new, (MARKS, MARKS))
    assert comparison.word is word
    for claim, log in ((comparison.whole.lost, lost), (comparison.whole.gained, gained)):
        assert claim.word is (log is not None)
        assert log is None or lines(claim) == log


def test_a_name_that_one_alone_can_read_is_not_tried(compared: Compared) -> None:
    old = heights("1 m, 2 m", "made at least 1", "unmarked rounds are passed", "miss on knocked")
    new = heights("2 m, 3 m", "made at least 1", "unmarked rounds are passed")
    comparison = compared(old, new, (MARKS, MARKS))
    for claim in (comparison.whole.lost, comparison.whole.gained):
        assert claim.shown is None or {e.value for e in claim.shown.old_log.entries} <= {None, "2 m"}


def test_a_ladder_with_a_round_more_takes_as_many_names_as_it_has_rounds(
    compared: Compared, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A name is tried from where the rounds before it are closed, and not again from each round before those."""
    tried = 0
    names = RoundNames.names

    def counted(self: RoundNames, mark: SharedMark) -> tuple[str, ...]:
        nonlocal tried
        found = names(self, mark)
        tried += len(found)
        return found

    monkeypatch.setattr(RoundNames, "names", counted)
    rounds = 60
    ladder = [f"{number} m" for number in range(1, rounds + 1)]
    rules = "unmarked rounds are made", "made at least 30"
    comparison = compared(
        heights(", ".join(ladder), *rules), heights(", ".join(ladder[1:]), *rules), (MARKS, MARKS)
    )
    assert comparison.word is Word.EASIER  # the last round comes a clearance sooner
    assert tried < 20 * rounds
