"""Timed words with one clock.

Alur and Dill, "A theory of timed automata", Theoretical Computer Science 126 (1994), section 3 (from memory). The
language is elementary, so memory is not the only witness: `_in_language` below says it again in whole tenths.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest

from standfast.model.standard import Standard
from standfast.verdict import Outcome, Verdict

_HERE = Path(__file__).resolve().parent
Load = Callable[[Path], Standard]
Written = Callable[[Standard, str, Mapping[str, str | bool]], bytes]
Verdicts = Callable[[Standard, str, bytes], tuple[Verdict, ...]]
Word = Sequence[tuple[str, int]]


@pytest.fixture(scope="session")
def accepts(load: Load, written: Written, verdicts: Verdicts) -> Callable[[Word], bool]:
    """Whether a word, its times in tenths of a second, passes `one_clock.standard`."""
    standard = load(_HERE / "one_clock.standard")

    def accepted(word: Word) -> bool:
        last = word[-1][1] + 100 if word else 0
        letters = [*word, ("closed", last)]
        entries = " | ".join(f"0:{at // 10:02d}.{at % 10} {letter}" for letter, at in letters)
        (verdict,) = verdicts(standard, "word", written(standard, f"0:00 ready | {entries}", {}))
        assert verdict.outcome in (Outcome.GO, Outcome.NO_GO)
        return verdict.outcome is Outcome.GO

    return accepted


def _in_language(word: Word) -> bool:
    """Letters in pairs of a and b, each b less than 20 tenths after its a."""
    pairs = list(zip(word[::2], word[1::2], strict=False))
    return len(word) % 2 == 0 and all(a == "a" and b == "b" and t - s < 20 for (a, s), (b, t) in pairs)


_WORDS: list[tuple[Word, bool]] = [
    ([("a", 10), ("b", 29)], True),
    ([("a", 10), ("b", 30)], False),
    ([("a", 10), ("b", 20), ("a", 100), ("b", 115)], True),
    ([("a", 0), ("b", 10), ("b", 15)], False),
    ([("a", 10), ("b", 20), ("a", 30)], False),
    ([("a", 3), ("b", 23)], False),
    ([("a", 13), ("b", 33)], False),
    ([], True),
    ([("b", 10)], False),
    ([("a", 1), ("b", 2), ("a", 3), ("b", 4), ("a", 5), ("b", 24)], True),
    ([("a", 1), ("b", 2), ("a", 3), ("b", 4), ("a", 5), ("b", 25)], False),
]


@pytest.mark.parametrize(("word", "expected"), _WORDS)
def test_pairs_less_than_two_seconds_apart(accepts: Callable[[Word], bool], word: Word, expected: bool) -> None:
    assert _in_language(word) == expected
    assert accepts(word) == expected


def test_exactly_two_seconds_is_never_less(accepts: Callable[[Word], bool]) -> None:
    """The hundred pairs of which floating point would call some less than 2 s apart and some more."""
    starts = range(100)
    assert any((start / 10 + 2) - start / 10 != 2 for start in starts)
    for start in starts:
        assert not accepts([("a", start), ("b", start + 20)])
        assert accepts([("a", start), ("b", start + 19)])


@pytest.mark.parametrize(("tenths", "expected"), [((5, 7, 15), True), ((5, 7, 14), False)])
def test_the_language_reference_names_what_no_such_machine_can_say(tenths: Sequence[int], expected: bool) -> None:
    """Section 3 of the same paper: "some two entries exactly 1 s apart" has no deterministic machine.

    The page must say so, with the two words of the check.
    """
    assert any(later - earlier == 10 for earlier in tenths for later in tenths) == expected
    page = (_HERE.parents[1] / "standards" / "language.md").read_text(encoding="utf-8")
    section = " ".join(page.partition("\n## What cannot be said\n")[2].partition("\n## ")[0].split())
    assert "Some two entries exactly 1 s apart" in section
    assert "Alur and Dill" in section
    first, second, third = (f"{at / 10} s" for at in tenths)
    assert f"{first}, {second} and {third}" in section
