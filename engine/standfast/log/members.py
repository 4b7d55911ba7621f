"""One line of JSON as the members of an object, each with its place.

Numbers are kept as they are written, never as a float; `NaN` and the like are kept as a word, which no key
takes. What the line's values may be is not looked at here.
"""

import json
from itertools import takewhile

from standfast.codes import log as codes
from standfast.log.findings import Refused, shown
from standfast.log.lines import TextLine
from standfast.values import frozen

DEEPEST = 8
_NO_LIST = "take it out: a log is one object a line, with no brackets around them and no commas between"
_BLANK = " \t\r\n"


@frozen
class Number:
    text: str


@frozen
class Word:
    """`NaN`, `Infinity` or `-Infinity`: found in some files, but not JSON."""

    text: str


Value = str | bool | Number | Word | list[object] | dict[str, object] | None


@frozen
class Member:
    """One key and its value, with their offsets in the line: `quotes` of each end are no part of the text."""

    key: str
    key_start: int
    key_end: int
    value: Value
    start: int
    end: int
    quotes: int = 0


_DECODER = json.JSONDecoder(parse_float=Number, parse_int=Number, parse_constant=Word)
_PAIRS = json.JSONDecoder(parse_float=Number, parse_int=Number, parse_constant=Word, object_pairs_hook=tuple)

# What the JSON reader expected, by the beginning of what it says.
_WANTED = (
    ("Expecting property name", "a key in double quotes"),
    ("Expecting ':'", "a `:` after the key"),
    ("Expecting ','", "a `,` or the closing bracket"),
    ("Expecting value", "a value"),
    ("Illegal trailing comma", "nothing before the closing bracket"),
    ("Invalid control character", "no control character in a text"),
    ("Invalid \\", "an escape such as `\\n` or `\\u00e9`"),
)


def members_of(line: TextLine) -> tuple[Member, ...] | Refused:
    """The members of the object a line holds, in written order, a key that stands twice twice."""
    text = line.text
    try:
        value = _DECODER.decode(text)
    except json.JSONDecodeError as error:
        return _not_json(line, error)
    except RecursionError:
        return Refused(codes.TOO_DEEP)
    if _deeper(value, DEEPEST):
        return Refused(codes.TOO_DEEP)
    if not isinstance(value, dict):
        return Refused(codes.NOT_OBJECT, {"found": described(value)})
    return members_at(text, _skip(text, 0))


def pairs_of(text: str) -> tuple[tuple[str, object], ...] | None:
    """The keys and values of an object in written order, without their places, those of objects within likewise;
    None for a text that is no object, or not JSON.
    """
    try:
        pairs = _PAIRS.decode(text)
    except (ValueError, RecursionError):
        return None
    return pairs if isinstance(pairs, tuple) else None


def members_at(text: str, start: int) -> tuple[Member, ...]:
    """The members of the object that opens at `start`.

    INVARIANT: `text` as a whole was read as JSON before, so nothing here can fail.
    """
    found: list[Member] = []
    position = _skip(text, start + 1)
    while text[position] != "}":
        key, key_end = _DECODER.raw_decode(text, position)
        value_start = _skip(text, _skip(text, key_end) + 1)
        value, value_end = _DECODER.raw_decode(text, value_start)
        found.append(Member(key, position, key_end, value, value_start, value_end, int(isinstance(value, str))))
        position = _skip(text, value_end)
        if text[position] == ",":
            position = _skip(text, position + 1)
    return tuple(found)


def items_at(text: str, start: int) -> tuple[Member, ...]:
    """The items of the array that opens at `start`, as members without a key. INVARIANT: as above."""
    found: list[Member] = []
    position = _skip(text, start + 1)
    while text[position] != "]":
        value, end = _DECODER.raw_decode(text, position)
        found.append(Member("", position, position, value, position, end, int(isinstance(value, str))))
        position = _skip(text, end)
        if text[position] == ",":
            position = _skip(text, position + 1)
    return tuple(found)


def described(value: Value) -> str:
    """What a value is, in the words of a message."""
    match value:
        case str():
            return f"the text `{shown(value)}`"
        case True | False:
            return f"`{str(value).lower()}`"
        case None:
            return "`null`"
        case Number(text):
            return f"the number `{shown(text)}`"
        case Word(text):
            return f"`{text}`"
        case list():
            return "a list"
        case _:
            return "an object"


def _comma_before_end(text: str, at: int) -> int | None:
    """Where the comma stands after which, at `at` or right behind it, only the closing bracket comes."""
    before = text[:at].rstrip(_BLANK) if text[at : at + 1] != "," else text[: at + 1]
    closing = text[len(before) :].lstrip(_BLANK)[:1]
    return len(before) - 1 if before.endswith(",") and closing and closing in "}]" else None


def _deeper(value: object, levels: int) -> bool:
    within: list[object] = [value]
    for _ in range(levels):
        within = [
            inner
            for outer in within
            if isinstance(outer, dict | list)
            for inner in (outer.values() if isinstance(outer, dict) else outer)
        ]
        if not within:
            return False
    return True


def _skip(text: str, position: int) -> int:
    while position < len(text) and text[position] in _BLANK:
        position += 1
    return position


def _not_json(line: TextLine, error: json.JSONDecodeError) -> Refused:
    text, at = line.text, error.pos
    if not line.ended and not text.rstrip().endswith("}"):
        return Refused(codes.CUT_OFF)
    if error.msg.startswith("Unterminated string"):
        return Refused(codes.NOT_JSON, {"found": "the end of the line", "wanted": "the closing quote"}, at)
    if (comma := _comma_before_end(text, at)) is not None:
        facts = {"found": "`,`", "wanted": "the end of what it is in", "advice": "take the comma out"}
        return Refused(codes.NOT_JSON, facts, comma, comma + 1)
    if text.strip(_BLANK) in ("[", "]", "[]"):
        facts = {"found": f"`{text.strip(_BLANK)}`", "wanted": "an object", "advice": _NO_LIST}
        return Refused(codes.NOT_JSON, facts)
    if at >= len(text):
        found, end = "the end of the line", at
    else:
        word = "".join(takewhile(str.isalnum, text[at : at + 61])) or text[at]
        found, end = f"`{shown(word)}`", at + len(word)
    if error.msg.startswith("Extra data"):
        advice = {"advice": _NO_LIST} if text[at:].strip(_BLANK) == "," else {}
        return Refused(codes.MORE_ON_LINE, {"found": found} | advice, at)
    wanted = next((words for begins, words in _WANTED if error.msg.startswith(begins)), "something else")
    return Refused(codes.NOT_JSON, {"found": found, "wanted": wanted}, at, end)
