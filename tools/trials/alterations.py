"""Random alterations of a rule file, as an author revises one: a number, a word, a line, a mark."""

import re
from collections.abc import Callable
from random import Random

from standfast.diagnostic import has_errors
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.model.standard import Standard
from standfast.source import Source

_MOST_DRAFTS = 200
_WORDS = (
    ("within", "under"),
    ("at most", "under"),
    ("at least", "over"),
    ("fail on", "note on"),
    ("fail on", "halt on"),
    ("restart on", "fail on"),
    ("else fail", "else note"),
    ("in order", "in any order"),
    ("more than once", "more than twice"),
    (" or more", ""),
    ("up to", "down to"),
    (", once a grader", ""),
    ("carry on", "owed at the end fails"),
)
"""Words that stand for one another, both ways."""

_HEADS = ("standard ", "edition ", "in force", "marks", "conditions", "candidate", "always", "grades", "case ")


def altered(rng: Random, text: str, times: int) -> tuple[str, Standard]:
    """The text altered so many times, still a legal standard, with its meaning."""
    for _ in range(_MOST_DRAFTS):
        draft = text
        for _ in range(times):
            draft = rng.choice(_WAYS)(rng, draft)
        standard = meant(draft) if draft != text else None
        if standard is not None:
            return draft, standard
    raise RuntimeError(f"no legal alteration was found of:\n{text}")


def meant(text: str) -> Standard | None:
    """The standard, or None where the text is not a legal one."""
    tree, found = read(Source("altered", text))
    if tree is None or has_errors(found):
        return None
    standard, found = resolve(tree)
    return None if has_errors(found) else standard


def _line(rng: Random, lines: list[str], wanted: str) -> int | None:
    """A line that fits, with every line of the header and of `marks` left alone."""
    first = next((n for n, line in enumerate(lines) if line.startswith(("event", "always"))), 0)
    fitting = [n for n in range(first, len(lines)) if re.search(wanted, lines[n])]
    return rng.choice(fitting) if fitting else None


def _number(rng: Random, text: str) -> str:
    """Another number."""
    lines = text.splitlines()
    place = _line(rng, lines, r"\b\d+\b")
    if place is None:
        return text
    found = rng.choice(list(re.finditer(r"(?<![\w.])\d+(?![\w.])", lines[place])) or [None])
    if found is None:
        return text
    number = int(found[0])
    other = max(0, number + rng.choice((-2, -1, -1, 1, 1, 2, 5)))
    lines[place] = f"{lines[place][: found.start()]}{other}{lines[place][found.end() :]}"
    return _joined(lines)


def _word(rng: Random, text: str) -> str:
    """A word for one like it."""
    one, other = rng.choice(_WORDS)
    if rng.random() < 0.5 and other:
        one, other = other, one
    lines = text.splitlines()
    place = _line(rng, lines, re.escape(one))
    if place is not None:
        lines[place] = lines[place].replace(one, other, 1)
    return _joined(lines)


def _dropped(rng: Random, text: str) -> str:
    """A line taken out; what the line around it held besides stays."""
    lines = text.splitlines()
    place = _line(
        rng, lines, r"^ +(within|under|not before|no |at least|before|fail|note|restart|halt|carry|rest)"
    )
    if place is not None:
        del lines[place]
    return _joined(lines)


def _added(rng: Random, text: str) -> str:
    """A limit or fault put in behind the start or goal of a clause."""
    lines = text.splitlines()
    place = _line(rng, lines, r"^ +(until|for|start on) ")
    if place is None:
        return text
    pad = lines[place][: len(lines[place]) - len(lines[place].lstrip())]
    mark = rng.choice(re.findall(r"(?m)^    ([a-z_]+) \"", text) or ["go"])
    rule = rng.choice(
        (
            f"within {rng.randrange(1, 12)} s",
            f"not before {rng.randrange(1, 4)} s",
            f"no {mark} for over {rng.randrange(1, 6)} s",
            f"within {rng.randrange(1, 4)} {mark}",
            f"fail on {mark} more than {rng.randrange(1, 3)} times",
            f"restart on {mark}, at most {rng.randrange(1, 3)}",
            f"note on {mark}",
            f"halt on {mark}",
        )
    )
    lines.insert(place + 1, f"{pad}{rule} as added_{rng.randrange(1000)}")
    return _joined(lines)


def _mark(rng: Random, text: str) -> str:
    """Another mark in a line."""
    lines, marks = text.splitlines(), re.findall(r"(?m)^    ([a-z_]+) \"", text)
    if len(marks) < 2:
        return text
    one, other = rng.sample(marks, 2)
    place = _line(rng, lines, rf"\b{one}s?\b")
    if place is not None:
        lines[place] = re.sub(rf"\b{one}(s?)\b", rf"{other}\1", lines[place], count=1)
    return _joined(lines)


def _choice(rng: Random, text: str) -> str:
    """A choice of a mark taken away, or put to it."""
    found = re.search(r"(?m)^    [a-z_]+ is one of ([a-z, ]+)", text)
    if found is None:
        return text
    choices = found[1].strip().split(", ")
    changed = [*choices, "grey"] if rng.random() < 0.5 or len(choices) < 2 else choices[:-1]
    return f"{text[: found.start(1)]}{', '.join(changed)} {text[found.end(1) :]}"


def _attempts(rng: Random, text: str) -> str:
    """Another number of attempts."""
    lines = text.splitlines()
    place = _line(rng, lines, r"^ +attempts ")
    if place is not None:
        words = rng.choice(("1", "2", "3", "without limit"))
        lines[place] = re.sub(r"attempts (\d+|without limit)", f"attempts {words}", lines[place])
    return _joined(lines)


def _demand(rng: Random, text: str) -> str:
    """Another number in a condition."""
    lines = text.splitlines()
    heads = [n for n, line in enumerate(lines) if line == "conditions"]
    body = [n for n in range(heads[0] + 1, len(lines)) if lines[n].startswith("    ")] if heads else []
    fitting = [n for n in body[:6] if re.search(r" \d+", lines[n]) and not lines[n].lstrip().startswith(_HEADS)]
    if fitting:
        place = rng.choice(fitting)
        lines[place] = re.sub(r" (\d+)", lambda found: f" {int(found[1]) + 1}", lines[place], count=1)
    return _joined(lines)


def _joined(lines: list[str]) -> str:
    return "".join(f"{line}\n" for line in lines)


_WAYS: tuple[Callable[[Random, str], str], ...] = (
    _number,
    _number,
    _number,
    _word,
    _word,
    _dropped,
    _added,
    _mark,
    _choice,
    _attempts,
    _demand,
)
