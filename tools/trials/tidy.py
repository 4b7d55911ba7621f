"""The written standard, on random ones: print and read, tidy and tidy again, tidy what was untidied."""

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from random import Random
from typing import Any

import attrs
from attrs import define, field
from plausible import random_standard

from standfast.command.tidy import tidied
from standfast.language import syntax
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.source import Source, Span
from trials import shares

_SHARE = 500
_KINDS = {
    "until": "goal",
    "for": "goal",
    **dict.fromkeys(("within", "under", "not", "before", "at", "no"), "limit"),
    **dict.fromkeys((word.value for word in syntax.FigureWord), "limit"),
    "otherwise": "limit",
    **dict.fromkeys(("note", "pass", "restart", "miss", "fail", "halt", "disqualify", "out"), "fault"),
    **dict.fromkeys(("step", "in order", "in any", "any", "rest", "rounds"), "item"),
}
_ONE_KIND = {
    syntax.TimeLimit: "limit",
    syntax.CountLimit: "limit",
    syntax.SilenceLimit: "limit",
    syntax.FigureLimit: "limit",
    syntax.ScoreRow: "row",
    syntax.Otherwise: "row",
    syntax.Fault: "fault",
    syntax.Out: "fault",
    syntax.Block: "item",
    syntax.Rest: "item",
}
_AS_WELL = {
    "more than once": "more than 1 time",
    "more than twice": "more than 2 times",
    "at most once": "at most 1 time",
}


@define
class _Line:
    """A line with the comments above it and the lines of its block."""

    text: str
    above: list[str] = field(factory=list)
    inner: "list[_Line]" = field(factory=list)

    @property
    def kind(self) -> str:
        words = self.text.split()
        pair = " ".join(words[:2])
        return _KINDS.get(pair) or _KINDS.get(words[0]) or (words[0] if words[0] in _OPENING else "named")


_OPENING = {
    "edition",
    "in",
    "authority",
    "caution",
    "guidance",
    "carry",
    "events",
    "owed",
    "times",
    "accept",
    "attempts",
    "start",
}
_OPENING |= {"candidate", "conditions", "marks", "always", "grade", "event", "case", "score", "only"}
_FIXED = ("case", "log", "score", "rounds")


def untidied(text: str, rng: Random) -> str:
    """The same standard in another layout: lines of unlike kinds in another order, other indentation, blanks, line
    ends, empty lines and spellings."""
    outline, closing = _outline(text)
    step = rng.choice(("  ", "\t", " ", "        "))
    end = rng.choice(("\n", "\r\n"))
    lines: list[str] = []
    first, *rest = outline
    for line in (first, *_shuffled(rest, rng)):
        lines += _written(line, 0, step, rng)
    return end.join([*lines, *closing]) + rng.choice(("", end, end * 2))


def _outline(text: str) -> tuple[list[_Line], list[str]]:
    """The lines of a text in its canonical indentation, and the comments after the last."""
    top = _Line("")
    inside: list[tuple[int, _Line]] = [(-1, top)]
    above: list[str] = []
    for written in filter(None, text.splitlines()):
        bare = written.lstrip(" ")
        level = (len(written) - len(bare)) // 4
        if bare.startswith("#"):
            above.append(bare)
            continue
        while inside[-1][0] >= level:
            inside.pop()
        line = _Line(bare, above)
        inside[-1][1].inner.append(line)
        inside.append((level, line))
        above = []
    return top.inner, above


def _written(line: _Line, level: int, step: str, rng: Random) -> Iterator[str]:
    for comment in line.above:
        yield step * level + comment
    yield step * level + _respelt(line.text, rng) + rng.choice(("", "", " ", "\t"))
    yield from [""] * rng.choice((0, 0, 1))
    inner = line.inner if line.text.split()[0] in _FIXED else _shuffled(line.inner, rng)
    for each in inner:
        yield from _written(each, level + 1, step, rng)


def _shuffled(lines: Iterable[_Line], rng: Random) -> list[_Line]:
    """Shuffled, but for those of one kind among themselves."""
    left = list(lines)
    order = [line.kind for line in left]
    rng.shuffle(order)
    by_kind = {kind: iter([line for line in left if line.kind == kind]) for kind in order}
    return [next(by_kind[kind]) for kind in order]


def _respelt(line: str, rng: Random) -> str:
    """The line with other blanks and numbers that say the same, outside of quotes and comments."""
    found = re.match(r'((?:[^"#]|"[^"]*")*)(.*)', line)
    assert found is not None
    parts = re.split(r'("[^"]*")', found[1])
    for number in range(0, len(parts), 2):
        part = parts[number]
        for one, other in _AS_WELL.items():
            part = part.replace(one, other) if rng.random() < 0.5 else part
        part = re.sub(r"(?<![.\d])(\d+) (s|m)\b", r"0\1.0 \2", part) if rng.random() < 0.2 else part
        parts[number] = re.sub(" ", lambda _: " " * rng.choice((1, 1, 2)), part)
    return "".join(parts) + found[2]


def trial(seed: str, count: int) -> tuple[Counter[str], list[str]]:
    """Tries `count` legal standards; what was seen, and what went wrong."""
    rng = Random(seed)
    seen: Counter[str] = Counter()
    wrong: list[str] = []
    while seen["standards"] < count:
        text = random_standard(rng)
        tree = _legal(text)
        if tree is None:
            seen["drafts refused"] += 1
            continue
        seen["standards"] += 1
        seen["with comments"] += "#" in text
        expected = canonical(tree)
        seen["not tidy as drafted"] += expected != text
        if unplaced(_legal(expected)) != unplaced(tree):
            wrong.append(f"--- seed {seed}: print then read\n{text}")
        if tidied(Source("random", expected)) != (expected, ()):
            wrong.append(f"--- seed {seed}: tidy of tidied\n{text}")
        loose = untidied(expected, rng)
        if tidied(Source("random", loose)) != (expected, ()):
            wrong.append(f"--- seed {seed}: tidy of untidied\n{loose}")
    return seen, wrong


def hold(count: int, seed: int, jobs: int) -> int:
    """Prints what was found; the result is the exit code."""
    return shares.held("tidy", "broken laws", trial, _SHARE, count, seed, jobs)


def unplaced(value: Any) -> Any:
    """A tree without the places in the text; lines in the order of their kind, those of one kind as written."""
    if isinstance(value, Span | Source):
        return None
    if isinstance(value, tuple) and any(isinstance(each, syntax.Line) for each in value):
        kinds: dict[str, list[object]] = {}
        for line in value:
            kinds.setdefault(_ONE_KIND.get(type(line), type(line).__name__), []).append(unplaced(line))
        return kinds
    if isinstance(value, tuple):
        return tuple(unplaced(each) for each in value)
    if attrs.has(type(value)):
        return type(value).__name__, {
            a.name: unplaced(getattr(value, a.name)) for a in type(value).__attrs_attrs__
        }
    return value


def _legal(text: str) -> syntax.Standard | None:
    tree, _ = read(Source("random", text))
    return None if tree is None or resolve(tree)[0] is None else tree
