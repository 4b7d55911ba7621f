"""Bad texts, each expected message on the line that causes it; a missing one and an unexpected one both fail.

A file is chunks between `---` lines. The first chunk stands before every later one that has no standard of its
own. `#! CODE fragments` says what is expected there: words of the message and its help, in their order. It is
taken out of the text before the text is read.
"""

import re
from pathlib import Path

import pytest

from standfast.codes import CODES
from standfast.language.nodes import Node, Stuck
from standfast.language.reader import attempt, read
from standfast.source import Source

FOLDER = Path(__file__).parents[1] / "cases" / "bad" / "reading"
EXPECTED = re.compile(r" *#! (R\d{3})([^#]*)")


def chunks() -> list[tuple[str, str]]:
    found = []
    for path in sorted(FOLDER.glob("*.txt")):
        first, *others = path.read_text(encoding="utf-8").split("---\n")
        for number, other in enumerate(others, 1):
            alone = re.search("^ *standa?rd |R108|# nothing but", other, re.MULTILINE | re.IGNORECASE)
            found.append((f"{path.stem}-{number}", other if alone else first + other))
    return found


@pytest.mark.parametrize("text", [pytest.param(text, id=name) for name, text in chunks()])
def test_each_message_stands_on_the_line_that_causes_it(text: str) -> None:
    lines = text.split("\n")
    wanted = [
        (number, code, words.strip())
        for number, line in enumerate(lines, 1)
        for code, words in EXPECTED.findall(line)
    ]
    assert wanted
    tree, found = read(Source("bad.standard", "\n".join(EXPECTED.sub("", line) for line in lines)))
    assert tree is None
    got = [
        (each.span.line if each.span else 0, each.code.number, f"{each.message}; {each.help}") for each in found
    ]
    assert sorted(each[:2] for each in got) == sorted(each[:2] for each in wanted), "\n".join(map(str, got))
    for line, code, words in wanted:
        said = [message for each_line, each_code, message in got if (each_line, each_code) == (line, code)]
        assert any(in_turn(words, message) for message in said), (words, said)


def in_turn(words: str, message: str) -> bool:
    """Whether the words stand in the message one after another, with anything between them."""
    return re.search(".*".join(re.escape(word) for word in words.split()), message, re.DOTALL) is not None


def test_every_code_of_this_stage_is_tried() -> None:
    tried = {code for _, text in chunks() for code, _ in EXPECTED.findall(text)}
    elsewhere = {"R101", "R106", "R109", "R115", "R131"}  # characters a file here should not hold, or too long
    assert tried | elsewhere == {number for number in CODES if number.startswith("R")}
    assert not tried & elsewhere


@pytest.mark.parametrize(
    ("text", "code", "message"),
    [
        ("", "R109", "the file says nothing"),
        ("\n# only a comment\n  \n", "R109", "the file says nothing"),
        ('standard a "A"\n    edition "1\x00"', "R101", "found the character U+0000"),
        ('standard a "A"\n    edition\f "1"', "R101", "found the character U+000C"),
        ('standard a "A"\n    edition "1"\r    caution "x"\n', "R101", "found the character U+000D"),
        ('standard a "A"\n    edition "1"  # \u2028', "R101", "found the character U+2028"),
        ('standard a "A"\n    edition\u00a0"1"', "R131", "found the blank U+00A0, expected an ordinary one"),
        ('standard a "A"\n\u3000   edition "1"', "R131", "found the blank U+3000"),
    ],
)
def test_characters(text: str, code: str, message: str) -> None:
    tree, found = read(Source("bad.standard", text))
    assert tree is None
    assert [each.code.number for each in found] == [code]
    assert found[0].message.startswith(message)


def test_only_so_many_are_reported() -> None:
    text = 'standard a "A"\n    edition "1"\nevent b\n' + "    within 90\n" * 100
    _, found = read(Source("bad.standard", text))
    assert {each.code.number for each in found} == {"R140"} and len(found) == 100
    _, found = read(Source("bad.standard", text + "    within 90\n"))
    assert [each.code.number for each in found[99:]] == ["R140", "R115"]
    assert found[-1].message.startswith("found 100 problems up to here")


def test_so_many_wordings_are_tried_for_a_mend_and_no_more(monkeypatch: pytest.MonkeyPatch) -> None:
    tried = 0

    def counted(text: str, rule: str) -> Node | Stuck:
        nonlocal tried
        tried += 1
        return attempt(text, rule)

    monkeypatch.setattr("standfast.language.reader.attempt", counted)
    monkeypatch.setattr("standfast.language.faulty.MOST_TRIED", 20_000)
    lines = 4_000
    text = 'standard a "A"\n    edition "1"\n    log\n        0:01 go\n    gives GO\n' + "    nts 1\n" * lines
    _, found = read(Source("bad.standard", text))
    assert found
    assert lines < tried < 2 * lines + 1_000
