"""The language reference: every example is read, resolved and its cases run; every construct has an example.

A block of `standard` is a whole file. A block of `lines in PLACE` is set into a block of that kind, with the
conditions and marks of the page's first file; what the place needs and the example leaves out is added. A block
of `refused CODE in PLACE` is set in likewise and must give that error.
"""

import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import pytest
from lark import Lark, Token, Tree
from lark.indenter import Indenter

from standfast.diagnostic import Diagnostic, Severity
from standfast.model.standard import Standard
from standfast.pipeline import load_standard
from standfast.proofing.cases import case_findings
from standfast.source import Source

_PAGE = (Path(__file__).resolve().parents[2] / "standards" / "language.md").read_text(encoding="utf-8")
_BLOCKS = [(info, text) for info, text in re.findall(r"^```([^\n]+)\n(.*?)^```$", _PAGE, re.M | re.S)]
_GRAMMAR = files("standfast.language").joinpath("grammar.lark").read_text(encoding="utf-8")

_FIRST = next(text for info, text in _BLOCKS if info == "standard")
_HEAD, _CONDITIONS, _MARKS = _FIRST.split("\n\n")[:3]
_EVENT = "event drill\n    attempts 1\n    start on go\n    until ashore"


def _indented(text: str, levels: int = 1) -> str:
    return "\n".join(f"{'    ' * levels}{line}" if line else line for line in text.splitlines())


def _begins(text: str, *words: str) -> bool:
    """Whether an outermost line of the text begins with one of the words."""
    return re.search(rf"^({'|'.join(words)})\b", text, re.M) is not None


def _header(text: str) -> str:
    needed = {"edition": 'edition "1"', "in force": "in force from 2026-01-01"}
    lines = [line for words, line in needed.items() if not _begins(text, words)]
    return 'standard sample "Sample"\n' + _indented("\n".join([*lines, text]))


def _in_event(text: str) -> str:
    lines = [text]
    if not _begins(text, "attempts"):
        lines.insert(0, "attempts 1")
    if not _begins(text, "start"):
        lines.insert(0, "start on go")
    if not _begins(text, "until", "for"):
        lines.append("step final\n    until ashore")
    return "event sample\n" + _indented("\n".join(lines))


def _in_step(text: str) -> str:
    goal = "" if _begins(text, "until", "for") else "\n    until ashore"
    return _in_event(f"step sample\n{_indented(text)}{goal}")


def _set_in(place: str, text: str) -> str:
    """A whole file with the lines in a block of that kind."""
    head, conditions, marks, event = _HEAD, _CONDITIONS, _MARKS, _EVENT
    match place:
        case "the header":
            head = _header(text)
        case "conditions":
            conditions += "\n" + _indented(text)
        case "marks":
            marks += "\n" + _indented(text)
        case "always":
            event = f"always\n{_indented(text)}\n\n{event}"
        case "a file":
            event = text
        case "an event":
            event = _in_event(text)
        case "a step":
            event = _in_step(text)
        case "a group":
            event = _in_event(f"in order sample\n{_indented(text)}")
        case _:
            raise AssertionError(place)
    return "\n\n".join((head, conditions, marks, event)) + "\n"


def _whole(info: str, text: str) -> str:
    return text if info == "standard" else _set_in(info.partition(" in ")[2], text)


_ACCEPTED = [(info, text) for info, text in _BLOCKS if info == "standard" or info.startswith("lines in ")]
_REFUSED = [(info, text) for info, text in _BLOCKS if info.startswith("refused ")]


def _loaded(text: str) -> tuple[Standard | None, tuple[Diagnostic, ...]]:
    return load_standard(Source("language.md", text))


def test_the_page_has_its_examples() -> None:
    assert "a mark is an observation, never points" in _PAGE.splitlines()[0]
    assert len(_ACCEPTED) >= 34
    assert len(_REFUSED) >= 20
    assert {info.split()[0] for info, _ in _BLOCKS} == {"standard", "lines", "refused", "words"}


@pytest.mark.parametrize(("info", "text"), _ACCEPTED)
def test_an_example_means_something(info: str, text: str) -> None:
    standard, found = _loaded(_whole(info, text))
    assert [(d.code.number, d.message, d.span and d.span.text) for d in found] == []
    assert standard is not None
    assert [d.message for case in standard.cases for d in case_findings(standard, case)] == []


@pytest.mark.parametrize(("info", "text"), _REFUSED)
def test_a_refused_example_is_refused_for_its_reason(info: str, text: str) -> None:
    standard, found = _loaded(_whole(info, text))
    assert standard is None
    assert {d.code.number for d in found if d.severity is Severity.ERROR} == {info.split()[1]}


class _Outline(Indenter):
    NL_type = "_NL"
    OPEN_PAREN_types: list[str] = []  # noqa: RUF012 - declared so by the class it comes from
    CLOSE_PAREN_types: list[str] = []  # noqa: RUF012
    INDENT_type = "_INDENT"
    DEDENT_type = "_DEDENT"
    tab_len = 4


def _names(tree: "Tree[Token]") -> Iterator[str]:
    for node in tree.iter_subtrees():
        yield str(node.data)
        for child in node.children:
            if isinstance(child, Token):
                yield child.type


def test_every_construct_of_the_grammar_has_an_example() -> None:
    """Rules that the parser folds away, and alternatives with names of their own, are counted by their rule."""
    spelt_out = re.sub(r"\s+-> \w+", "", re.sub(r"^\?", "", _GRAMMAR, flags=re.M))
    rules = set(re.findall(r"^([a-z_]+):", spelt_out, re.M))
    words = set(re.findall(r"^([A-Z_]+)(?:\.\d+)?:", spelt_out, re.M)) - {"COMMENT"}
    assert len(rules) > 40 and len(words) > 60
    parser = Lark(spelt_out, parser="lalr", lexer="basic", postlex=_Outline(), start="file", keep_all_tokens=True)
    shown = {name for info, text in _ACCEPTED for name in _names(parser.parse(_whole(info, text) + "\n"))}
    assert rules - shown == set()
    assert words - shown == set()


def test_the_reserved_words_are_those_of_the_grammar() -> None:
    (listed,) = [text.split() for info, text in _BLOCKS if info == "words"]
    assert listed == sorted(re.findall(r'^[A-Z_]+: "([a-z]+)"', _GRAMMAR, re.M))
