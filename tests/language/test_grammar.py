"""The grammar itself: no conflict, the units and words that other modules know, the lines shown as models."""

import logging
import re
from importlib.resources import files
from itertools import chain

import pytest
from lark import Lark, Token
from lark import logger as parser_log
from lark.indenter import Indenter

from standfast.language import words
from standfast.language.nodes import Node
from standfast.language.places import OPENINGS, RULES, opener
from standfast.language.reader import _grammar, attempt, read
from standfast.quantity import UNITS
from standfast.source import Source

GRAMMAR = files("standfast.language").joinpath("grammar.lark").read_text(encoding="utf-8")
KINDS = re.findall(r"^(_?[A-Z_]+)(?:\.\d)?: ", GRAMMAR, re.MULTILINE)
FIXED = dict(re.findall(r'^([A-Z_]+): "([A-Za-z-]+)"$', GRAMMAR, re.MULTILINE))


class Outline(Indenter):
    NL_type = "_NL"
    OPEN_PAREN_types: list[str] = []  # noqa: RUF012
    CLOSE_PAREN_types: list[str] = []  # noqa: RUF012
    INDENT_type = "_INDENT"
    DEDENT_type = "_DEDENT"
    tab_len = 4


def conflicts(grammar: str, start: tuple[str, ...], caplog: pytest.LogCaptureFixture) -> list[str]:
    caplog.clear()
    with caplog.at_level(logging.DEBUG, logger=parser_log.name):
        Lark(grammar, parser="lalr", lexer="basic", postlex=Outline(), start=list(start), debug=True)
    return [record.message for record in caplog.records if "onflict" in record.message]


def test_no_conflict(caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(parser_log, "propagate", True)
    assert conflicts(GRAMMAR, RULES, caplog) == []
    broken = GRAMMAR.replace("within 90", "").replace("duration: measure", "duration: measure+")
    assert broken != GRAMMAR
    assert conflicts(broken, RULES, caplog)


def test_wherever_a_line_gets_stuck_something_is_expected() -> None:
    lark, looked_at = _grammar(*RULES), 0
    for rule in RULES[1:]:
        known: set[tuple[object, ...]] = set()
        todo = [(lark.parse_interactive("", start=rule), list[str]())]
        while todo:
            parser, kinds = todo.pop()
            place = (parser.parser_state.state_stack[-1], *kinds[-3:])
            if place in known or kinds[-1:] == ["_NL"]:
                continue
            known.add(place)
            wanted = frozenset(parser.accepts())  # type: ignore[no-untyped-call]
            assert words.expectation(kinds, wanted), (rule, kinds)
            for kind in wanted:
                further = parser.copy()  # type: ignore[no-untyped-call]
                further.feed_token(Token(kind, kind))
                todo.append((further, [*kinds, kind]))
        looked_at += len(known)
    assert looked_at > 2000


def test_results_made_the_grammar_grow_by_less_than_half() -> None:
    """From the language of one pass or fail, before there were figures: 79 rules, 183 lines, 91 kinds of words."""
    lines = [line for line in GRAMMAR.splitlines() if line.strip() and not line.startswith("//")]
    rules = [line for line in lines if re.match(r"\??[a-z_]+:", line)]
    assert len(rules) * 2 < 79 * 3
    assert len(lines) * 2 < 183 * 3
    assert len(KINDS) * 2 < 91 * 3


def test_every_word_is_said_as_it_is_written() -> None:
    assert len(FIXED) > 60
    assert set(KINDS) == set(FIXED) | set(words.OPEN_KINDS) | {"COMMENT"}
    for kind, text in FIXED.items():
        assert words.is_word(kind)
        assert words.spelled(kind) == text


def test_every_open_kind_is_known() -> None:
    assert not any(words.is_word(kind) for kind in words.OPEN_KINDS)
    assert not words.is_word("_INDENT")


def test_the_units_of_the_grammar_are_those_of_the_measures() -> None:
    listed = re.search(r"^UNIT\.\d: /\((.*?)\)\(", GRAMMAR, re.MULTILINE)
    assert listed is not None
    assert sorted(listed[1].replace("\\", "").split("|")) == sorted(UNITS)
    for unit in UNITS:
        assert isinstance(attempt(f"load in {unit}", "marks_line"), Node)


def test_every_unit_meant_is_one() -> None:
    assert set(words.UNIT_MEANT.values()) <= set(UNITS)
    assert not set(words.UNIT_MEANT) & set(UNITS)


@pytest.mark.parametrize(
    "line", [*words.MODELS, *chain(*words.MODELS_IN.values()), *(o.hint for o in OPENINGS.values())]
)
def test_a_line_shown_to_an_author_is_one(line: str) -> None:
    opens = opener(line)
    rules = [OPENINGS[opens].head] if opens else [opening.line for opening in OPENINGS.values()]
    assert any(isinstance(attempt(line, rule), Node) for rule in rules)


@pytest.mark.parametrize("word", sorted({*FIXED.values(), *UNITS}))
def test_a_reserved_word_is_no_name_and_its_substitute_is(word: str) -> None:
    text = 'standard a\n    edition "1"\nmarks\n    check is one of {} "A check"\n'
    tree, problems = read(Source("a", text.format(word)))
    assert tree is None
    assert [each.span.line for each in problems if each.span] == [4]
    if word.islower() and "/" not in word:
        assert problems[0].code.number == "R123"
        assert f"`{words.substitute(word)}`" in problems[0].help
    tree, _ = read(Source("a", text.format(words.substitute(word))))
    assert tree is not None
