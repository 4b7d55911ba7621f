"""The canonical layout: print then read is identity, one layout for one meaning, golden files."""

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import attrs
import pytest

from standfast.language import syntax
from standfast.language.printer import canonical, words
from standfast.language.reader import read
from standfast.source import Source

GOOD = Path(__file__).parents[1] / "cases" / "good"
FILES = sorted(GOOD.glob("*.standard"))
SEEDS = range(100)


def tree_of(text: str) -> syntax.Standard:
    tree, problems = read(Source("good.standard", text))
    assert tree is not None, [(each.span, each.message) for each in problems]
    assert problems == ()
    return tree


def test_there_are_good_files() -> None:
    assert len(FILES) >= 2
    assert any(path.with_suffix(".tidy").exists() for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_golden(path: Path) -> None:
    """A file is laid out as the `.tidy` beside it, or, without one, is in the canonical layout already."""
    text = path.read_text(encoding="utf-8")
    tidy = path.with_suffix(".tidy")
    expected = tidy.read_text(encoding="utf-8") if tidy.exists() else text
    assert canonical(tree_of(text)) == expected
    assert canonical(tree_of(expected)) == expected


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
@pytest.mark.parametrize(
    "rewrite",
    [
        pytest.param(lambda text: text.replace("\n", "\r\n"), id="line ends of two characters"),
        pytest.param(lambda text: "\ufeff" + text, id="byte order mark"),
        pytest.param(lambda text: text.rstrip("\n"), id="no line end at the end"),
        pytest.param(lambda text: text + "\n\t\n   ", id="blanks at the end"),
        pytest.param(lambda text: text.replace("    ", "\t"), id="tabs"),
        pytest.param(lambda text: text.replace("    ", "  "), id="two blanks a level"),
        pytest.param(lambda text: text.replace("\n", "  \n\n"), id="empty lines"),
    ],
)
def test_what_the_canonical_text_does_not_depend_on(path: Path, rewrite: Callable[[str], str]) -> None:
    expected = canonical(tree_of(path.read_text(encoding="utf-8")))
    assert canonical(tree_of(rewrite(expected))) == expected


def test_print_then_read_is_identity(
    random_tree: Callable[[int], syntax.Standard], plain: Callable[[Any], Any]
) -> None:
    for seed in SEEDS:
        tree = random_tree(seed)
        text = canonical(tree)
        again = tree_of(text)
        assert plain(again) == plain(tree), seed
        assert canonical(again) == text, seed


def test_the_random_trees_hold_every_construct(random_tree: Callable[[int], syntax.Standard]) -> None:
    kinds = {type(line) for seed in SEEDS for line in _lines(random_tree(seed))}
    every = {kind for kind in vars(syntax).values() if isinstance(kind, type) and issubclass(kind, syntax.Line)}
    assert kinds == every - {syntax.Line}


def _lines(block: Any) -> list[Any]:
    found = [] if isinstance(block, syntax.Standard) else [block]
    for name in ("header", "blocks", "lines", "given", "entries", "gives"):
        for inner in getattr(block, name, ()):
            found += _lines(inner)
    return found


def test_the_order_of_lines_of_unlike_kinds_does_not_matter(random_tree: Callable[[int], syntax.Standard]) -> None:
    for seed in SEEDS:
        tree, random = random_tree(seed), Random(seed)
        shuffled = attrs.evolve(
            tree,
            header=_shuffled(tree.header, random),
            blocks=_shuffled(tuple(_with_lines_shuffled(block, random) for block in tree.blocks), random),
        )
        assert canonical(shuffled) == canonical(tree), seed


def _shuffled(lines: tuple[Any, ...], random: Random) -> tuple[Any, ...]:
    """Shuffled, but for lines of one kind among themselves."""
    order = list(map(_kind, lines))
    random.shuffle(order)
    left = {kind: iter([line for line in lines if _kind(line) == kind]) for kind in order}
    return tuple(next(left[kind]) for kind in order)


def _kind(line: syntax.Line) -> str:
    for kind, kinds in {
        "goal": (syntax.Until, syntax.UntilTotals, syntax.For),
        "limit": (syntax.TimeLimit, syntax.CountLimit, syntax.SilenceLimit, syntax.FigureLimit),
        "row": (syntax.ScoreRow, syntax.Otherwise),
        "item": (syntax.Block, syntax.Rest),
    }.items():
        if isinstance(line, kinds):
            return kind
    return type(line).__name__


def _with_lines_shuffled(block: Any, random: Random) -> Any:
    if not hasattr(block, "lines"):
        return block
    inner = tuple(_with_lines_shuffled(line, random) for line in block.lines)
    return attrs.evolve(block, lines=_shuffled(inner, random))


def test_without_comments_only_the_comments_are_gone(
    random_tree: Callable[[int], syntax.Standard], plain: Callable[[Any], Any]
) -> None:
    def bare(value: Any) -> Any:
        if isinstance(value, list):
            return [bare(each) for each in value]
        if not isinstance(value, dict):
            return value
        comments = ("above", "beside", "below", "log_above", "log_beside")
        return {name: bare(inner) for name, inner in value.items() if name not in comments}

    for seed in SEEDS:
        tree = random_tree(seed)
        text = canonical(tree, comments=False)
        assert bare(plain(tree_of(text))) == bare(plain(tree)), seed
        assert canonical(tree_of(text)) == text


@pytest.mark.parametrize("indent", ["", " " * 4, " " * 6, " " * 12])
@pytest.mark.parametrize("every", [1, 2, 23])
def test_no_comment_is_lost_wherever_it_stands(indent: str, every: int) -> None:
    """Comments before and beside the lines of a file that has none are printed again, each once."""
    text = canonical(tree_of((GOOD / "quay_rescue.standard").read_text(encoding="utf-8")), comments=False)
    marked = []
    for at, line in enumerate(text.splitlines()):
        above = [f"{indent}# above {at}"] if at % every == 0 else []
        marked += [*above, f"{line} #beside {at}" if line and at % every == 0 else line]
    said = canonical(tree_of("\n".join([*marked, f"{indent}# last"])))
    assert said.count("# last\n") == 1
    for at, line in list(enumerate(text.splitlines()))[::every]:
        assert said.count(f"# above {at}\n") == 1
        assert not line or f"{line}  # beside {at}\n" in said
    assert canonical(tree_of(said)) == said


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ('fail on hand_down more than twice "third" as hands', "fail on hand_down more than twice"),
        ('restart at once on let_go "let go", at most 1 time', "restart at once on let_go, at most once"),
        ('halt on stop_call "stop", charged', "halt on stop_call, charged"),
        ('note on no answer for over 45 s "?"', "note on no answer for over 45 s"),
        (
            "fail on check other than fuel or cord out of order",
            "fail on check other than fuel or cord out of order",
        ),
        ('within 1 min 30.50 s "late" as pace', "within 1 min 30.5 s"),
        ("within 4 throws", "within 4 throws"),
        ('no answer for 45 s or more "idle"', "no answer for 45 s or more"),
        ("until load from 20 kg to 22.5 kg", "until load from 20 kg to 22.5 kg"),
        ("until 2 hits", "until 2 hits"),
        ("until line_in totals 060 m", "until line_in totals 60 m"),
        ("for 4 min", "for 4 min"),
        ("start on go", "start on go"),
        ("start with first pull", "start with first pull"),
        ('rest at least 20 s, else fail "early", at most 5 min, else note', "rest at least 20 s, at most 5 min"),
        ('rest from 20 s to 1 min, else fail "early"', "rest from 20 s to 1 min"),
        ("attempts 2, rest at least 2 min between, else note", "rest at least 2 min between"),
    ],
)
def test_words_of_a_line(line: str, expected: str) -> None:
    text = f'standard a\n    edition "1"\nevent b\n    {line}\n'
    event = tree_of(text).blocks[0]
    assert isinstance(event, syntax.Block)
    assert words(event.lines[0]) == expected


def test_words_of_a_condition() -> None:
    tree = tree_of(
        'standard a\n    edition "1"\nconditions\n    depth at least 2.50 m "Depth"\n    aid yes "Worn"\n'
    )
    conditions = tree.blocks[0]
    assert isinstance(conditions, syntax.Conditions)
    assert [words(line) for line in conditions.lines] == ["depth at least 2.5 m", "aid yes"]
