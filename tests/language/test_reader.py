"""One mistake makes one finding, in the line that has it, and hides no other."""

from pathlib import Path
from time import process_time

import pytest

from standfast.diagnostic import Diagnostic
from standfast.language import syntax
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.source import Source

GOOD = Path(__file__).parents[1] / "cases" / "good" / "quay_rescue.standard"
FIRST_WORDS_SPELT_LIKE_OTHERS = {"at", "in", "no", "on", "for"}


@pytest.fixture(scope="module")
def lines() -> list[str]:
    """A whole standard without comments and empty lines."""
    tree, _ = read(Source("good.standard", GOOD.read_text(encoding="utf-8")))
    assert tree is not None
    return [line for line in canonical(tree, comments=False).splitlines() if line]


def problems(lines: list[str]) -> tuple[Diagnostic, ...]:
    tree, found = read(Source("bad.standard", "\n".join(lines)))
    assert (tree is None) == bool(found)
    return found


def places(found: tuple[Diagnostic, ...]) -> list[int]:
    """Line indices, from 0."""
    return [each.span.line - 1 for each in found if each.span]


def test_noughts_before_a_number_change_nothing() -> None:
    noughts = "0" * 5_000
    text = (
        'standard a "A"\n    edition "1"\n    in force from 2026-03-01\nmarks\n    go "A signal"\n'
        "event b\n    attempts {0}2\n    start on go\n    for {0}9.5 s\n"
        'case "c"\n    log\n        {0}:01 go\n    gives GO\n'
    )
    tree, found = read(Source("a.standard", text.format(noughts)))
    plain, _ = read(Source("a.standard", text.format("0")))
    assert tree is not None and plain is not None and found == ()
    assert canonical(tree) == canonical(plain)


def test_the_lines_are_good(lines: list[str]) -> None:
    assert len(lines) > 120
    assert problems(lines) == ()


def test_one_finding_for_each_line_with_a_sign_too_many(lines: list[str]) -> None:
    for index, line in list(enumerate(lines))[::2]:
        assert places(problems([*lines[:index], f"{line} ?", *lines[index + 1 :]])) == [index], line


def test_one_finding_for_each_quote_left_out(lines: list[str]) -> None:
    for index, line in list(enumerate(lines))[::2]:
        if '"' in line:
            at = line.rindex('"')
            found = problems([*lines[:index], line[:at] + line[at + 1 :], *lines[index + 1 :]])
            assert [(each.code.number, *places((each,))) for each in found] == [("R126", index)], line


def test_all_at_once(lines: list[str]) -> None:
    """Fifty faulty lines make fifty findings."""
    faulty = set(range(1, len(lines), len(lines) // 50))
    found = problems([f"{line} ?" if index in faulty else line for index, line in enumerate(lines)])
    assert places(found) == sorted(faulty)


def test_a_misspelt_first_word_is_named(lines: list[str]) -> None:
    tried = 0
    for index, line in list(enumerate(lines))[::2]:
        first = line.split()[0]
        if first in FIRST_WORDS_SPELT_LIKE_OTHERS or not first.isalpha() or len(first) < 4:
            continue
        before = _head_of(lines, index)
        if before.split()[0] in {"conditions", "marks", "log"} and first != "guidance":
            continue
        indent = " " * (len(line) - len(line.lstrip()))
        wrong = indent + first[0] + first[2:] + line.strip().removeprefix(first)
        found = problems([*lines[:index], wrong, *lines[index + 1 :]])
        assert places(found) == [index], wrong
        assert found[0].help == f"write `{first}`, if that is meant", wrong
        tried += 1
    assert tried > 30


def _head_of(lines: list[str], index: int) -> str:
    """The first line of the block that a line stands in."""

    def indent(line: str) -> int:
        return len(line) - len(line.lstrip())

    return next((line for line in reversed(lines[:index]) if indent(line) < indent(lines[index])), "standard")


@pytest.mark.parametrize("move", [1, -1])
def test_one_finding_for_a_line_indented_wrongly(lines: list[str], move: int) -> None:
    for index, line in list(enumerate(lines))[::2]:
        indent = len(line) - len(line.lstrip()) + move
        if indent < 0 or (move > 0 and index == len(lines) - 1):
            continue
        found = problems([*lines[:index], " " * indent + line.lstrip(), *lines[index + 1 :]])
        only_line_of_its_block = not found
        assert len(found) == 1 or (only_line_of_its_block and _alone(lines, index)), line


@pytest.mark.parametrize("move", [4])
def test_few_findings_for_a_line_indented_by_whole_levels(lines: list[str], move: int) -> None:
    """Such a line may look like another's, so that the lines after it are wrong, too."""
    for index, line in list(enumerate(lines))[::3]:
        assert len(problems([*lines[:index], " " * move + line, *lines[index + 1 :]])) <= 3, line


def _alone(lines: list[str], index: int) -> bool:
    """Whether the line is the only one of its block, so that any indentation is as good."""

    def indent(line: str) -> int:
        return len(line) - len(line.lstrip())

    own = indent(lines[index])
    return indent(lines[index - 1]) < own and (index + 1 == len(lines) or indent(lines[index + 1]) < own)


def test_a_file_of_300_lines_is_read_at_once(lines: list[str]) -> None:
    text = "\n".join([*lines, *lines[lines.index("marks") :], *lines[lines.index("always") :]])
    whole = Source("long.standard", text)
    read(whole)
    began = process_time()
    tree, found = read(whole)
    assert process_time() - began < 0.5
    assert text.count("\n") > 300
    assert tree is not None, found


def blown_up() -> list[object]:
    head = 'standard a\n    edition "1"\n'
    nested = "".join(f"{' ' * (4 * deep)}in order a{deep}\n" for deep in range(1, 400))
    return [
        pytest.param(head + "event b\n" + nested, id="nested"),
        pytest.param(head + "event b\n    within " + "9" * 1_000_000 + " s\n", id="long number"),
        pytest.param(head + "event b\n    within 0." + "0" * 1_000_000 + "1 s\n", id="many decimals"),
        pytest.param(head + "event b\n    for " + "1 s " * 20_000 + "\n", id="many parts"),
        pytest.param(head + "event b\n    " + "a" * 1_000_000 + "\n", id="long word"),
        pytest.param(head + "event b\n    until a " + "a or " * 20_000 + "\n", id="long line"),
        pytest.param(head + "event b\n    note on a, " + "#" * 100_000 + "\n", id="long comment"),
        pytest.param(head + '"' * 100_000 + "\n", id="quotes"),
        pytest.param(head + "case \n" * 5_000, id="many problems"),
        pytest.param(head + "foo\n bar\n" * 5_000, id="no language"),
        pytest.param("\n".join(" " * (n % 97) + "x" for n in range(5_000)), id="indentation of all kinds"),
        pytest.param(head + 'case "x"\n    log\n        ' + "9" * 100_000 + ":00 a\n    gives GO\n", id="late"),
    ]


@pytest.mark.parametrize("text", blown_up())
def test_nothing_hangs_or_blows_up(text: str) -> None:
    began = process_time()
    tree, found = read(Source("big.standard", text))
    assert process_time() - began < 8
    assert tree is None
    assert 1 <= len(found) <= 101
    assert all(len(each.message) < 400 and len(each.help) < 400 for each in found)


def test_forty_levels_are_read_and_forty_one_are_not() -> None:
    def nested(levels: int) -> str:
        groups = [f"{' ' * (4 * deep)}in order a{deep}" for deep in range(1, levels - 1)]
        step = [f"{' ' * (4 * (levels - 1))}step z", f"{' ' * (4 * levels)}until a"]
        return "\n".join(["standard a", '    edition "1"', "event b", *groups, *step, ""])

    tree, found = read(Source("a", nested(40)))
    assert tree is not None
    assert canonical(tree).replace("\n\n", "\n") == nested(40)
    tree, found = read(Source("a", nested(41)))
    assert tree is None
    assert [each.code.number for each in found] == ["R106"]


def test_a_place_is_that_of_the_text() -> None:
    text = (
        '\ufeffstandard a "A"\r\n    edition "1"\r\nevent b\r\n\tattempts 2\r\n    within 90 s "late" as pace\r\n'
    )
    tree, found = read(Source("a", text.replace("\t", "    ")))
    assert found == () and tree is not None
    event = tree.blocks[0]
    assert isinstance(event, syntax.Block)
    limit = event.lines[1]
    assert isinstance(limit, syntax.TimeLimit) and limit.sentence and limit.label
    shown = [(span.text, span.line, span.column) for span in (limit.span, limit.length.span, limit.label.span)]
    assert shown == [('within 90 s "late" as pace', 5, 5), ("90 s", 5, 12), ("pace", 5, 27)]
    assert (limit.sentence.span.text, limit.sentence.text) == ('"late"', "late")
    assert (tree.name.span.line, tree.name.span.column) == (1, 10)
