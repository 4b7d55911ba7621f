"""Laws of the written standard: what the printer writes, the reader reads back."""

import re
from importlib.resources import files
from random import Random
from typing import Any

import attrs
import pytest
from plausible import random_standard
from trials.tidy import unplaced

from standfast.language import syntax
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.source import Source, Span

SEEDS = [f"print {number}" for number in range(100)]


def tree_of(text: str) -> syntax.Standard:
    tree, found = read(Source("random", text))
    assert tree is not None, [(d.span and d.span.line, d.message) for d in found]
    assert found == ()
    return tree


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_printed_reads_as_the_same_tree(seed: str) -> None:
    tree = tree_of(random_standard(Random(seed)))
    assert unplaced(tree_of(canonical(tree))) == unplaced(tree)


@pytest.mark.parametrize("seed", SEEDS)
def test_tidy_twice_is_tidy_once(seed: str) -> None:
    once = canonical(tree_of(random_standard(Random(seed))))
    assert canonical(tree_of(once)) == once


@pytest.mark.parametrize("seed", SEEDS)
def test_the_layout_says_nothing(seed: str) -> None:
    rng = Random(seed)
    text = random_standard(rng)
    assert canonical(tree_of(_laid_out_anew(rng, text))) == canonical(tree_of(text))


def _laid_out_anew(rng: Random, text: str) -> str:
    """Another indentation, blanks and empty lines where they say nothing, another line end."""
    step = rng.choice(("  ", "\t", " ", "        "))
    end = rng.choice(("\n", "\r\n"))
    lines = []
    for line in text.splitlines():
        bare = line.lstrip(" ")
        level = (len(line) - len(bare)) // 4
        lines += [step * level + bare + rng.choice(("", "", " ", "\t"))] if bare else []
        lines += [""] * rng.randrange(2)
    return end.join(lines) + rng.choice(("", end, end * 2))


def test_the_generator_uses_every_word_of_the_language() -> None:
    grammar = files("standfast.language").joinpath("grammar.lark").read_text(encoding="utf-8")
    words = set(re.findall(r'^[A-Z_]+: "([\w-]+)"$', grammar, re.MULTILINE))
    assert len(words) > 70
    for number in range(1000):
        said = re.sub(r'"[^"]*"|#.*', "", random_standard(Random(f"words {number}")))
        words -= set(re.findall(r"[\w-]+", said))
    assert words == set()


def test_the_sample_has_every_construct() -> None:
    """The laws above say something about each kind of line."""
    seen: set[str] = set()
    for seed in SEEDS:
        seen |= _kinds(tree_of(random_standard(Random(seed))))
    lines = {each.__name__ for each in _all_kinds(syntax.Line)}
    assert lines - seen == set()
    assert {"Choices", "Test", "Occurrence", "OutOfOrder", "Silence", "Bound"} - seen == set()


def _all_kinds(kind: type) -> set[type]:
    below: list[type] = kind.__subclasses__()
    return {each for one in below for each in (one, *_all_kinds(one))}


def _kinds(value: Any) -> set[str]:
    if isinstance(value, tuple):
        return {kind for each in value for kind in _kinds(each)}
    if attrs.has(type(value)) and not isinstance(value, Span | Source):
        inner = (getattr(value, a.name) for a in attrs.fields(type(value)))
        return {type(value).__name__} | {kind for each in inner for kind in _kinds(each)}
    return set()
