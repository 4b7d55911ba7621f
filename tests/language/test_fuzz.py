"""Texts changed at random: reading never raises, and says either what it read or what is wrong, in plain words."""

import re
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from standfast.codes import CODES
from standfast.language import syntax
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.source import Source

GOOD = sorted((Path(__file__).parents[1] / "cases" / "good").glob("*.standard"))
SIGNS = "\"#,.:\n\t \r\u201c\u00df0aZ_-\x00\u00a0\u2028'/"
INSERTED = (
    "rest",
    "within 90",
    '"',
    " or ",
    "2.5",
    "1:40",
    "\n    ",
    "\n",
    "as x",
    ", else",
    "end",
    "\t",
    "\ufeff",
)
RAW = re.compile(r"_[A-Z]|\b(NAME|TEXT|INT|UNIT|CLOCK|COMMA|DECIMAL|PATH|NO_GO)\b|\$|Token|Tree|<|\bNone\b")


def check(text: str) -> bool:
    """Whether it was read."""
    source = Source("changed.standard", text)
    tree, found = read(source)
    assert (tree is None) == bool(found)
    for each in found:
        assert CODES[each.code.number] is each.code
        assert each.span is not None
        assert 0 <= each.span.start <= each.span.end <= len(text)
        assert each.span.text.count("\n") == 0
        said = f"{each.message} {each.help}"
        for fact in sorted(each.facts.values(), key=len, reverse=True):
            said = said.replace(fact, "") if fact and fact in text else said
        assert not RAW.search(said), said
        assert each.message[0].islower() or each.message[0] == "`"
        assert not each.message.endswith(".")
        assert "{" not in each.code.help_for(each.facts) or "{" in text
    if tree is not None:
        said = canonical(tree)
        again, nothing = read(Source("again.standard", said))
        assert nothing == () and again is not None
        assert canonical(again) == said
    return tree is not None


def changed(text: str, random: Random) -> str:
    for _ in range(random.choice((1, 1, 1, 2, 5, 20))):
        at = random.randrange(len(text) + 1)
        lines = text.split("\n")
        row = random.randrange(len(lines))
        match random.randint(0, 8):
            case 0:
                text = text[:at] + text[at + 1 :]
            case 1:
                text = text[:at] + random.choice(SIGNS) + text[at:]
            case 2:
                text = text[:at] + random.choice(INSERTED) + text[at:]
            case 3:
                text = text[:at] + text[at + random.randint(1, 40) :]
            case 4:
                del lines[row]
                text = "\n".join(lines)
            case 5:
                lines.insert(random.randrange(len(lines)), lines[row])
                text = "\n".join(lines)
            case 6:
                lines[row] = " " * random.randint(0, 9) + lines[row].lstrip()
                text = "\n".join(lines)
            case 7:
                words = lines[row].split(" ")
                random.shuffle(words)
                lines[row] = " ".join(words)
                text = "\n".join(lines)
            case _:
                words = text.split(" ")
                here = random.randrange(len(words))
                words[here] = random.choice(words)
                text = " ".join(words)
    return text


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_changed_files(path: Path) -> None:
    random, text = Random(path.stem), path.read_text(encoding="utf-8")
    read_at_all = sum(check(changed(text, random)) for _ in range(80))
    assert 2 < read_at_all < 78


def test_changed_random_trees(random_tree: Callable[[int], syntax.Standard]) -> None:
    random = Random(7)
    read_at_all = sum(check(changed(canonical(random_tree(seed)), random)) for seed in range(100))
    assert 5 < read_at_all < 95


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.text(max_size=60))
def test_any_text(text: str) -> None:
    assert not check(text)


@settings(derandomize=True, max_examples=150, deadline=None)
@given(st.text(alphabet=st.sampled_from('abz019 \t,.:#"-_/GO\u201c'), max_size=30))
def test_any_line_of_an_event(line: str) -> None:
    check(f'standard a\n    edition "1"\nevent b\n    attempts 2\n    {line}\n')
