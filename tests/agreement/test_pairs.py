"""Entries matched by mark and order: the least differences of time, against every way there is."""

from itertools import combinations
from random import Random

from standfast.agreement.pairs import pairs
from standfast.log.entry import Entry


def entries(*logged: tuple[int, str] | tuple[int, str, str]) -> list[Entry]:
    return [
        Entry(number=number, line=number + 1, at=at, mark=mark, value=value[0] if value else None)
        for number, (at, mark, *value) in enumerate(logged, 1)
    ]


def matched(first: list[Entry], second: list[Entry]) -> list[tuple[int | None, int | None]]:
    return [(number(pair.first), number(pair.second)) for pair in pairs(first, second)]


def number(entry: Entry | None) -> int | None:
    return None if entry is None else entry.number


def test_each_mark_is_matched_in_its_order() -> None:
    first = entries((0, "go"), (5, "throw"), (7, "hit"), (20, "throw"))
    second = entries((1, "go"), (7, "hit"), (8, "throw"), (21, "throw"))
    assert matched(first, second) == [(1, 1), (2, 3), (3, 2), (4, 4)]
    assert [pair.apart for pair in pairs(first, second)] == [1, 3, 0, 1]


def test_what_only_one_has_is_what_fits_the_other_least() -> None:
    first = entries((5, "throw"), (20, "throw"), (40, "throw"))
    second = entries((21, "throw"))
    assert matched(first, second) == [(1, None), (2, 1), (3, None)]
    assert matched(second, first) == [(None, 1), (1, 2), (None, 3)]
    alone = pairs(first, second)[0]
    assert (alone.apart, alone.same_value, alone.mark, alone.at) == (None, True, "throw", 5)


def test_another_value_is_matched_and_said() -> None:
    (pair,) = pairs(entries((5, "check", "fuel")), entries((5, "check", "neutral")))
    assert pair.apart == 0 and not pair.same_value


def test_logs_of_nothing() -> None:
    assert pairs([], []) == ()
    assert matched([], entries((5, "go"))) == [(None, 1)]


def test_no_other_way_to_match_has_times_less_apart() -> None:
    rng = Random("pairs")
    for _ in range(400):
        few = sorted(rng.randint(0, 30) for _ in range(rng.randint(0, 4)))
        many = sorted(rng.randint(0, 30) for _ in range(rng.randint(len(few), 7)))
        found = pairs(entries(*((at, "hit") for at in few)), entries(*((at, "hit") for at in many)))
        both = [pair for pair in found if pair.apart is not None]
        numbers = [(number(pair.first) or 0, number(pair.second) or 0) for pair in both]
        assert len(both) == len(few) and len(found) == len(many) and numbers == sorted(numbers)
        ways = combinations(many, len(few))
        least = min(sum(abs(a - b) for a, b in zip(few, way, strict=True)) for way in ways)
        assert sum(abs(pair.apart or 0) for pair in both) == least
