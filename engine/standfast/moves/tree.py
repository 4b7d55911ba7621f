"""What has been learned of one move, as Python: what it asks, and what it does after each row of answers."""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from standfast.moves.known import Unlearnable
from standfast.moves.layout import DUE
from standfast.values import define, field, frozen

AMOUNT = "amount"
"""What the entry measured, in millionths."""
_SUM = re.compile(r"\((?:r\[\d+\]|now) [-+] (?:r\[\d+\]|\w+)\)")
DEEPEST = 60
"""Indentations of a move that are still Python's to read."""


@frozen
class Leaf:
    """What the step did: a text for each thing it told, for each register it set, and for where it came to."""

    told: tuple[str, ...]
    sets: Mapping[int, str]
    then: str


@define(eq=False)
class Fork:
    """A question, and what was learned after each answer to it."""

    asks: str
    after: "dict[bool, Tree]" = field(factory=dict)


Tree: TypeAlias = Fork | Leaf


def grown(tree: Tree | None, asked: Iterable[tuple[str, bool]], leaf: Leaf) -> Tree:
    """The tree with one more row of answers."""
    rest = iter(asked)
    first = next(rest, None)
    if first is None:
        if tree is not None:
            raise AssertionError(f"learned before: {leaf}")
        return leaf
    question, answer = first
    fork = Fork(question) if tree is None else tree
    if not isinstance(fork, Fork) or fork.asks != question:
        raise AssertionError(f"another question after the same answers: {question}")
    fork.after[answer] = grown(fork.after.get(answer), rest, leaf)
    return fork


def source(tree: Tree, more: str) -> str:
    """A function of the registers `r`, the instant, the entry and where to tell; it returns the next position."""
    body = _body(tree, f"return {more}(r, now, entry, account, passed)", 1)
    return "\n".join(["def move(r, now, entry, account, passed):", *body])


def loop_source(here: str, due: str, marks: Mapping[str, Tree | Mapping[str, Tree]]) -> str:
    """The moves of a position as one function, which goes on as long as entries stay `here`.

    `due` is the instant of what falls due next here. A mark with values in words has a move for each.
    """
    other = f"{here}[mark](r, now, entry, account, passed)"
    lines = ["def loop(entries, r, account, passed):", "    for entry in entries:", "        now = entry.at"]
    lines += [f"        if now >= r[{DUE}]:", f"            r[{DUE}] = {due}", f"            if now >= r[{DUE}]:"]
    lines += [f"                return late({here}, entry, r, account, passed)", "        mark = entry.mark"]
    for mark, tree in marks.items():
        lines += [f"        if mark == {mark!r}:"]
        if isinstance(tree, Mapping):
            for value, each in tree.items():
                lines += [f"            if entry.value == {value!r}:", *_body(each, f"return {other}", 4, here)]
        else:
            lines += _body(tree, f"return {other}", 3, here)
    return "\n".join([*lines, f"        return {other}"])


def stays(tree: Tree, here: str) -> bool:
    """Whether a branch comes back to the position."""
    return any(stays(each, here) for each in tree.after.values()) if isinstance(tree, Fork) else tree.then == here


def _body(tree: Tree, more: str, depth: int, here: str = "") -> Iterator[str]:
    """The lines of a move. What is asked of first and used again is reckoned once."""
    lines, indent = list(_lines(tree, more, depth, here)), "    " * depth
    reckoned = list[str]()
    for part in dict.fromkeys(_SUM.findall(tree.asks)) if isinstance(tree, Fork) else ():
        if sum(line.count(part) for line in lines) > 1:
            name = f"figure_{len(reckoned)}"
            lines = [line.replace(part, name) for line in lines]
            reckoned.append(f"{indent}{name} = {part[1:-1]}")
    if any(AMOUNT in line for line in (*reckoned, *lines)):
        yield f"{indent}{AMOUNT} = entry.value.millionths"
    yield from (*reckoned, *lines)


def _lines(tree: Tree | None, more: str, depth: int, here: str = "") -> Iterator[str]:
    """Both answers known: `if` with an early return; one known: the other is learned when it is met."""
    if depth > DEEPEST:
        raise Unlearnable
    indent = "    " * depth
    while isinstance(tree, Fork):
        yes, no = tree.after.get(True), tree.after.get(False)
        if yes is None or no is None:
            yield f"{indent}if {f'not ({tree.asks})' if no is None else tree.asks}:"
            yield f"{indent}    {more}"
            tree = yes if no is None else no
        else:
            nested, tree, asks = (
                (yes, no, tree.asks) if _size(yes) <= _size(no) else (no, yes, f"not ({tree.asks})")
            )
            yield f"{indent}if {asks}:"
            yield from _lines(nested, more, depth + 1, here)
    if tree is not None:
        goes = "continue" if tree.then == here else f"return {tree.then}"
        yield from (f"{indent}{line}" for line in (*tree.told, *_settings(tree.sets), goes))


def _size(tree: Tree | None) -> int:
    return 1 + max(map(_size, tree.after.values()), default=0) if isinstance(tree, Fork) else 0


def _settings(sets: Mapping[int, str]) -> Iterator[str]:
    """A register is set when no other that is still to be set needs what it was; else they are set at once.

    What falls due next is reckoned by what they have been set to.
    """
    due = sets.get(DUE)
    left = {number: (text, {int(n) for n in re.findall(r"\br\[(\d+)\]", text)}) for number, text in sets.items()}
    left.pop(DUE, None)
    while left:
        free = [n for n in left if not any(n in needs for m, (_, needs) in left.items() if m != n)]
        if not free:
            yield f"{', '.join(f'r[{n}]' for n in left)} = {', '.join(text for text, _ in left.values())}"
            break
        for number in free:
            yield f"r[{number}] = {left.pop(number)[0]}"
    if due is not None:
        yield f"r[{DUE}] = {due}"
