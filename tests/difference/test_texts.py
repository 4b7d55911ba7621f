"""Both texts side by side: every line of each once, in order, and what changed marked on both sides."""

from collections import Counter
from random import Random

import pytest
from trials.pairs import legal_standard

from standfast.difference.texts import Beside, TextLine, Touched, side_by_side
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.source import Source

OLD = """\
standard quay_check "Quay check"
    edition "1"
    in force from 2026-01-01
    caution "Cold water can kill."

marks
    # the marks
    go "The signal"
    hit "A hit"
    slip "A slip"

event throws "Two hits"
    attempts 2
    start on go
    until 2 hits
    within 60 s
    within 4 slips
    fail on slip more than twice "a third slip"
"""


def meant(text: str) -> Standard:
    standard, found = load_standard(Source("quay_check.standard", text))
    assert standard is not None, [(d.span and d.span.line, d.message) for d in found]
    return standard


def marked(*edits: tuple[str, str]) -> dict[str, tuple[str, Touched]]:
    """By the line of the old edition (or the new, where there is none) what is beside it and how it is marked."""
    text = OLD
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    rows: dict[str, tuple[str, Touched]] = {}
    for one, other in side_by_side(meant(OLD), meant(text)):
        first = one or other
        assert first is not None
        touched = {line.touched for line in (one, other) if line is not None}
        if touched != {Touched.SAME}:
            assert len(touched) == 1
            beside = "" if one is None or other is None else other.text.strip()
            rows[first.text.strip()] = beside, next(iter(touched))
    return rows


def test_an_altered_line_stands_beside_what_it_is_now() -> None:
    assert marked(("within 60 s", "within 50 s")) == {"within 60 s": ("within 50 s", Touched.CHANGED)}


def test_a_line_that_came_or_went_has_nothing_beside_it() -> None:
    assert marked(("    within 60 s\n", "")) == {"within 60 s": ("", Touched.CHANGED)}
    assert marked(("    within 60 s\n", "    within 60 s\n    within 9 hits\n")) == {
        "within 9 hits": ("", Touched.CHANGED)
    }


def test_a_setting_is_marked_on_its_own_line() -> None:
    assert marked(("attempts 2", "attempts 3")) == {"attempts 2": ("attempts 3", Touched.CHANGED)}
    assert marked(("attempts 2", 'attempts 2, rest at least 60 s between, else note "early"')) == {
        "attempts 2": ('attempts 2, rest at least 60 s between, else note "early"', Touched.CHANGED)
    }


def test_other_words_and_what_means_the_same() -> None:
    assert marked(("a third slip", "slipped"), ("Cold water", "Water")) == {
        'caution "Cold water can kill."': ('caution "Water can kill."', Touched.WORDED),
        'fail on slip more than twice "a third slip"': (
            'fail on slip more than twice "slipped"',
            Touched.WORDED,
        ),
    }
    assert marked(("60 s", "1 min"), ('edition "1"', 'edition "2"')) == {
        'edition "1"': ('edition "2"', Touched.OTHER),
        "within 60 s": ("within 1 min", Touched.OTHER),
    }


def test_comments_and_layout_are_not_there() -> None:
    assert marked(("    # the marks\n", ""), ("    start on go\n", "\n\n    start on go  # now\n")) == {}


def test_lines_bear_the_numbers_they_have_in_the_files() -> None:
    texts = (OLD, f"# revised\n\n{OLD}".replace("within 60 s", "within 50 s  # was 60 s"))
    rows = side_by_side(meant(texts[0]), meant(texts[1]))
    for side, text in enumerate(texts):
        found = [row[side] for row in rows]
        numbered = [line for line in found if line is not None and line.number is not None]
        assert len(numbered) == len([line for line in OLD.splitlines() if line and "#" not in line])
        for line in numbered:
            assert line.number is not None and text.splitlines()[line.number - 1].startswith(line.text)


def lines(rows: tuple[Beside, ...], side: int) -> list[str]:
    found = [row[side] for row in rows]
    kept = [line for line in found if isinstance(line, TextLine)]
    numbers = [line.number for line in kept if line.number is not None]
    assert len(numbers) == len(set(numbers))
    return [line.text for line in kept]


@pytest.mark.parametrize("seed", [f"texts {number}" for number in range(12)])
def test_every_line_of_both_is_there_once(seed: str) -> None:
    rng = Random(seed)
    texts = [legal_standard(rng)[0] for _ in range(2)]
    rows = side_by_side(meant(texts[0]), meant(texts[1]))
    for side, text in enumerate(texts):
        tree, _ = read(Source("random", text))
        assert tree is not None
        assert lines(rows, side) == canonical(tree, comments=False).splitlines()
    same = side_by_side(meant(texts[0]), meant(texts[0]))
    assert Counter(line.touched for row in same for line in row if line) == {Touched.SAME: 2 * len(same)}
