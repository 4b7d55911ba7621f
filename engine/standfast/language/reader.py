"""Reading a standard: text in, syntax tree out, or everything that is wrong with the text.

A text that follows the grammar is parsed as a whole. One that does not is gone through line by line, each line
by the grammar's rule for the lines of its block, so that one mistake hides no other and makes no other. There is
a tree only if nothing was wrong.
"""

from functools import cache
from importlib.resources import files

from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedCharacters, UnexpectedInput, UnexpectedToken
from lark.indenter import Indenter
from lark.parsers.lalr_interactive_parser import InteractiveParser

from standfast.diagnostic import Diagnostic, in_reading_order
from standfast.language import syntax
from standfast.language.amounts import Amounts
from standfast.language.build import Builder
from standfast.language.layout import TAB, lay_out
from standfast.language.line_by_line import by_lines, case_shapes, declared_marks, not_too_many, once_each
from standfast.language.nodes import Node, Stuck, Word
from standfast.language.places import RULES
from standfast.source import Source

_LOOKED_BACK = 200  # characters before a word that does not fit, in which another may be to blame
_FITTING: dict[tuple[object, ...], frozenset[str]] = {}  # what fits, by all that it depends on: asking is dear


class _Outline(Indenter):
    NL_type = "_NL"
    OPEN_PAREN_types: list[str] = []  # noqa: RUF012 - declared so by the class it comes from
    CLOSE_PAREN_types: list[str] = []  # noqa: RUF012
    INDENT_type = "_INDENT"
    DEDENT_type = "_DEDENT"
    tab_len = TAB


@cache
def _grammar(*starts: str) -> Lark:
    text = files("standfast.language").joinpath("grammar.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer="basic", postlex=_Outline(), start=list(starts))


def _node(tree: "Tree[Token]") -> Node:
    """The parser's tree as nodes."""
    parts: list[Node | Word] = []
    for child in tree.children:
        if isinstance(child, Token):
            start = child.start_pos or 0
            parts.append(Word(child.type, str(child), start, start + len(child)))
        else:
            parts.append(_node(child))
    return Node(str(tree.data), tuple(parts))


def attempt(text: str, rule: str) -> Node | Stuck:
    """One line, without indentation and comment, by a rule of the grammar."""
    lark = _grammar(*RULES)
    try:
        return _node(lark.parse(text + "\n", start=rule))
    except UnexpectedInput as error:
        return _stuck(lark, text + "\n", rule, (error.pos_in_stream or 0) - _LOOKED_BACK)


def _stuck(lark: Lark, text: str, rule: str, since: int) -> Stuck:
    """The same again word by word, for what would have fitted at the first and at each from `since` on."""
    words: list[Word] = []
    expected: list[frozenset[str]] = []
    parser = lark.parse_interactive(text, start=rule)
    try:
        for token in parser.iter_parse():
            start = token.start_pos or 0
            words.append(Word(token.type, str(token), start, start + len(token)))
            expected.append(_accepted(parser, rule) if not expected or start >= since else frozenset())
    except UnexpectedToken:
        return Stuck(tuple(words), tuple(expected), words[-1].start)
    except UnexpectedCharacters as error:
        at = error.pos_in_stream or 0
    else:
        at = len(text)
    return Stuck(tuple(words), (*expected, _accepted(parser, rule)), at)


def _accepted(parser: InteractiveParser, rule: str) -> frozenset[str]:
    where = (rule, *parser.parser_state.state_stack)
    if where not in _FITTING:
        _FITTING[where] = frozenset(parser.accepts())  # type: ignore[no-untyped-call] # the library gives it no types
    return _FITTING[where]


def read(source: Source) -> tuple[syntax.Standard | None, tuple[Diagnostic, ...]]:
    """The tree, or None and the findings, in reading order."""
    source = Source(source.name, source.text.removeprefix("\ufeff"))
    outline = lay_out(source)
    amounts = Amounts(source)
    builder = Builder(amounts, outline.comments, declared_marks(outline))
    node = None if outline.problems or outline.strays else _whole(source.text)
    tree = None if node is None else builder.standard(node)
    if tree is None:
        problems = tuple(by_lines(source, outline, builder, attempt))
    else:
        problems = tuple(case_shapes(source, outline, frozenset()))
    found = once_each(in_reading_order((*outline.problems, *amounts.problems, *problems)))
    problems = not_too_many(found)
    return (None if problems else tree), problems


def _whole(text: str) -> Node | None:
    """A whole text, if it follows the grammar."""
    try:
        return _node(_grammar("file").parse(text + "\n", start="file"))
    except UnexpectedInput:
        return None
