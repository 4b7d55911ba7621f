"""Reading a standard: text in, syntax tree out, or everything that is wrong with the text.

A text that follows the grammar is parsed as a whole. One that does not is gone through line by line, each line
by the grammar's rule for the lines of its block, so that one mistake hides no other and makes no other. There is
a tree only if nothing was wrong.
"""

import marshal
import re
from collections.abc import Callable, Iterator
from functools import cache
from importlib.resources import files
from typing import Any

from lark import Lark, Token, Tree
from lark import __version__ as lark_version
from lark.common import LexerConf
from lark.exceptions import LarkError, UnexpectedCharacters, UnexpectedInput, UnexpectedToken
from lark.grammar import Rule
from lark.indenter import Indenter
from lark.lexer import Lexer, TerminalDef
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


_LINE_END = "_NL"


class _Lexer(Lexer):
    """From a text to words, each found by one pattern of all terminals; a line end stays a token of the library's.

    The library's own lexer knows line and column of every word and asks a pattern for each word of the language;
    here words are looked up, and reading takes a third of the time less.
    """

    def __init__(self, conf: LexerConf) -> None:
        terminals = sorted(conf.terminals, key=_before)
        patterns = [terminal for terminal in terminals if terminal.pattern.type == "re"]
        self._ignored = frozenset(conf.ignore)
        self._words: dict[str, dict[str, str]] = {}
        for terminal in terminals:
            around = [each for each in patterns if terminal.pattern.type == "str" and _holds(each, terminal)]
            if around:
                self._words.setdefault(around[0].name, {})[terminal.pattern.value] = terminal.name
        found = {name for words in self._words.values() for name in words.values()}
        apart = (terminal for terminal in terminals if terminal.name not in found)
        self._pattern = re.compile("|".join(f"(?P<{each.name}>{each.pattern.to_regexp()})" for each in apart))

    def lex(self, data: str) -> Iterator[Token | Word]:  # type: ignore[override] # the older of two forms it may have
        match, words, ignored = self._pattern.match, self._words, self._ignored
        at = 0
        while at < len(data):
            found = match(data, at)
            if found is None:
                raise UnexpectedCharacters(data, at, 0, 0)  # type: ignore[no-untyped-call] # it has no types
            kind, text, end = str(found.lastgroup), found.group(), found.end()
            if kind == _LINE_END:
                yield Token(kind, text, at)
            elif kind not in ignored:
                yield Word(words[kind].get(text, kind) if kind in words else kind, text, at, end)
            at = end


def _before(terminal: TerminalDef) -> tuple[object, ...]:
    """The library's order of terminals: of those that fit, the first is meant."""
    pattern = terminal.pattern
    return -terminal.priority, -pattern.max_width, -len(pattern.value), terminal.name


def _holds(names: TerminalDef, word: TerminalDef) -> bool:
    """Whether a pattern, such as that of names, fits a word of the language, which is then meant."""
    same = names.priority == word.priority
    return same and re.fullmatch(names.pattern.to_regexp(), word.pattern.value) is not None


class _Outline(Indenter):
    NL_type = _LINE_END
    OPEN_PAREN_types: list[str] = []  # noqa: RUF012 - declared so by the class it comes from
    CLOSE_PAREN_types: list[str] = []  # noqa: RUF012
    INDENT_type = "_INDENT"
    DEDENT_type = "_DEDENT"
    tab_len = TAB


Kept = Callable[[str], bytes | None]
Keep = Callable[[str, bytes], None]
_TABLES: list[tuple[Kept, Keep]] = []


def use_tables(kept: Kept, keep: Keep) -> None:
    """From now on the tables of the grammar are those that `kept` gives for a name, where it gives any, and others
    are handed to `keep`: to work them out takes many times as long as to read a standard. Whoever gives them
    answers for them; only that they are tables at all is looked at.
    """
    _TABLES[:] = [(kept, keep)]


@cache
def _grammar(*starts: str) -> Lark:
    name = " ".join(("tables", lark_version, *starts))
    for kept, keep in _TABLES:
        tables = kept(name)
        lark = None if tables is None else _of_tables(tables)
        if lark is None:
            lark = _of_text(starts)
            keep(name, _tables_of(lark))
        return lark
    return _of_text(starts)


def _of_text(starts: tuple[str, ...]) -> Lark:
    text = files("standfast.language").joinpath("grammar.lark").read_text(encoding="utf-8")
    return Lark(text, parser="lalr", start=list(starts), **_our_parts())


def _our_parts() -> dict[str, Any]:
    """What of ours the library goes by; with `tree_class` it makes nodes, not trees of its own."""
    return {"lexer": _Lexer, "postlex": _Outline(), "tree_class": _node}


def _tables_of(lark: Lark) -> bytes:
    """Plain values, without what is ours."""
    data, memo = lark.memo_serialize([TerminalDef, Rule])
    for name in _our_parts():
        del data["options"][name]
    del data["parser"]["lexer_conf"]["lexer_type"]
    return marshal.dumps((data, memo))


def _of_tables(tables: bytes) -> Lark | None:
    try:
        data, memo = marshal.loads(tables)
        data["options"] |= _our_parts()
        data["parser"]["lexer_conf"]["lexer_type"] = _Lexer
        return Lark.load({"data": data, "memo": memo})
    except (LarkError, ValueError, TypeError, EOFError, LookupError, AttributeError, AssertionError):
        return None


def _node(rule: str, parts: list[Any]) -> Node | Tree[Any]:
    """What a rule of the grammar made; a repetition, which has no name, is taken apart again by the library."""
    return Tree(rule, parts) if rule.startswith("_") else Node(str(rule), tuple(parts))


def attempt(text: str, rule: str) -> Node | Stuck:
    """One line, without indentation and comment, by a rule of the grammar."""
    lark = _grammar(*RULES)
    try:
        return _parsed(lark, text, rule)
    except UnexpectedInput as error:
        token = error.token if isinstance(error, UnexpectedToken) else None
        at = token.start if isinstance(token, Word) else error.pos_in_stream or 0
        return _stuck(lark, text + "\n", rule, at - _LOOKED_BACK)


def _parsed(lark: Lark, text: str, rule: str) -> Node:
    node: object = lark.parse(text + "\n", start=rule)
    assert isinstance(node, Node)
    return node


def _stuck(lark: Lark, text: str, rule: str, since: int) -> Stuck:
    """The same again word by word, for what would have fitted at the first and at each from `since` on."""
    words: list[Word] = []
    expected: list[frozenset[str]] = []
    parser = lark.parse_interactive(text, start=rule)
    try:
        for token in parser.iter_parse():
            word = _word(token)
            words.append(word)
            expected.append(_accepted(parser, rule) if not expected or word.start >= since else frozenset())
    except UnexpectedToken:
        return Stuck(tuple(words), tuple(expected), words[-1].start)
    except UnexpectedCharacters as error:
        at = error.pos_in_stream or 0
    else:
        at = len(text)
    return Stuck(tuple(words), (*expected, _accepted(parser, rule)), at)


def _word(token: Token | Word) -> Word:
    """A token as a word: line ends and what the indenter made of them too."""
    if isinstance(token, Word):
        return token
    start = token.start_pos or 0
    return Word(token.type, str(token), start, start + len(token))


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
        return _parsed(_grammar("file"), text, "file")
    except UnexpectedInput:
        return None
