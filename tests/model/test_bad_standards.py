"""Bad standards, each expected message on the line that causes it; a missing one and an unexpected one both fail.

A file is chunks between `---` lines. The first chunk stands before every later one that does not begin with a
standard of its own. `#! CODE fragments` says what is expected there: the words of the message and its help that
follow the code.
"""

import re
from pathlib import Path

import pytest

from standfast.codes import CODES
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.source import Source

FOLDER = Path(__file__).parents[1] / "cases" / "bad" / "meaning"
EXPECTED = re.compile(r"#! (M\d{3})([^#]*)")


def chunks() -> list[tuple[str, str]]:
    found = []
    for path in sorted(FOLDER.glob("*.txt")):
        first, *others = path.read_text(encoding="utf-8").split("---\n")
        whole = [other if other.startswith("standard ") else first + other for other in others]
        whole += [first] if "#!" in first else []
        found += [(f"{path.stem}-{number}", text) for number, text in enumerate(whole, 1)]
    return found


@pytest.mark.parametrize("text", [pytest.param(text, id=name) for name, text in chunks()])
def test_each_message_stands_on_the_line_that_causes_it(text: str) -> None:
    wanted = [
        (number, code, words.strip())
        for number, line in enumerate(text.split("\n"), 1)
        for code, words in EXPECTED.findall(line)
    ]
    assert wanted
    tree, found = read(Source("bad.standard", text))
    assert tree is not None, [(each.message, each.span) for each in found]
    standard, diagnostics = resolve(tree)
    assert standard is None
    got = [(each.span.line if each.span else 0, each.code.number) for each in diagnostics]
    assert sorted(got) == sorted((line, code) for line, code, _ in wanted)
    for line, code, words in wanted:
        said = [
            f"{each.message}\n{each.help}"
            for each in diagnostics
            if each.span and (each.span.line, each.code.number) == (line, code)
        ]
        assert any(_in_turn(words, each) for each in said), (words, said)


def _in_turn(words: str, message: str) -> bool:
    """Whether the words stand in the message one after another, with anything between them."""
    return re.search(".*".join(re.escape(word) for word in words.split()), message, re.DOTALL) is not None


def test_every_code_of_this_stage_is_tried() -> None:
    tried = {code for _, text in chunks() for code, _ in EXPECTED.findall(text)}
    assert tried == {number for number in CODES if number.startswith("M")}
