"""Tidying from the command line. `bench` is the folder and the command line of `conftest.py`."""

import os
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest
from plausible import random_standard
from trials.tidy import untidied

from standfast.command import tidy
from standfast.command.tidy import tidied
from standfast.language.printer import canonical
from standfast.language.reader import read
from standfast.model.resolve import resolve
from standfast.source import Source

UNTIDY = """\
# a comment
standard  sample   "Sample"
  in force from 2026-03-01
  edition "1"   # beside
marks
  go   "Å signal"
  touch "A touch"


event swim "Swim"
  within 090.0 s
  # above the goal
  until touch
  start on go
  attempts 01
# the end
"""
TIDY = """\
# a comment
standard sample "Sample"
    edition "1"  # beside
    in force from 2026-03-01

marks
    go "Å signal"
    touch "A touch"

event swim "Swim"
    attempts 1
    start on go
    # above the goal
    until touch
    within 90 s

# the end
"""
COUNT = 300


def test_a_file_is_rewritten_once(bench: Any) -> None:
    path = bench.write("a.standard", UNTIDY)
    ran = bench.run("tidy", path)
    assert (ran.code, ran.out, ran.err) == (0, "tidied: a.standard\n1 file tidied, 0 tidy\n", "")
    assert path.read_text(encoding="utf-8") == TIDY
    again = bench.run("tidy", path)
    assert (again.code, again.out) == (0, "no files tidied, 1 tidy\n")
    assert list(bench.folder.iterdir()) == [path]


def test_asking_writes_nothing(bench: Any) -> None:
    untidy, neat = bench.write("rules/a.standard", UNTIDY), bench.write("rules/b.standard", TIDY)
    ran = bench.run("tidy", "--ask", "rules")
    assert (ran.code, ran.out) == (1, f"not tidy: {untidy}\n1 file not tidy, 1 tidy\n")
    assert untidy.read_text(encoding="utf-8") == UNTIDY
    assert bench.run("tidy", "--ask", neat).code == 0


def test_standard_input_goes_to_standard_output(bench: Any) -> None:
    bench.feed(UNTIDY.encode())
    ran = bench.run("tidy", "-")
    assert (ran.code, ran.out, ran.err) == (0, TIDY, "")
    bench.feed(UNTIDY.encode())
    asked = bench.run("tidy", "--ask", "-")
    assert (asked.code, asked.out) == (1, "not tidy: standard input\n1 file not tidy, 0 tidy\n")


def test_standard_input_stands_alone(bench: Any) -> None:
    ran = bench.run("tidy", "-", bench.write("a.standard", UNTIDY))
    assert ran.code == 2 and "standard input is tidied to standard output, alone" in ran.err


@pytest.mark.parametrize(("old", "code"), [("until touch", "M201"), ("start on go", "R102")])
def test_a_file_with_errors_is_left_alone_and_the_others_are_done(bench: Any, old: str, code: str) -> None:
    text = UNTIDY.replace(old, {"M201": "until toch", "R102": "strat on go"}[code])
    broken, good = bench.write("a.standard", text), bench.write("b.standard", UNTIDY)
    ran = bench.run("tidy", broken, good)
    assert ran.code == 2 and "a.standard, line " in ran.err and ran.out.startswith("tidied: b.standard\n")
    assert broken.read_text(encoding="utf-8") == text and good.read_text(encoding="utf-8") == TIDY


def test_broken_standard_input_gives_no_text(bench: Any) -> None:
    bench.feed(UNTIDY.replace("until touch", "until toch").encode())
    ran = bench.run("tidy", "-")
    assert (ran.code, ran.out) == (2, "") and "unknown mark `toch`" in ran.err


def test_line_ends_are_kept_and_a_byte_order_mark_is_not(bench: Any) -> None:
    path = bench.write("a.standard", b"\xef\xbb\xbf" + UNTIDY.replace("\n", "\r\n").encode())
    assert bench.run("tidy", path).code == 0
    assert path.read_bytes() == TIDY.replace("\n", "\r\n").encode()
    assert bench.run("tidy", "--ask", path).code == 0
    mixed = bench.write("b.standard", UNTIDY.replace("\n", "\r\n").replace("\r\n", "\n", 1).encode())
    assert bench.run("tidy", mixed).code == 0
    assert mixed.read_bytes() == TIDY.encode()


def test_permissions_and_links_are_kept(bench: Any) -> None:
    path = bench.write("inner/a.standard", UNTIDY)
    path.chmod(0o640)
    link = bench.folder / "link.standard"
    link.symlink_to(path)
    assert bench.run("tidy", link).code == 0
    assert link.is_symlink() and path.read_text(encoding="utf-8") == TIDY
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_file_that_cannot_be_replaced_is_left_as_it_was(
    bench: Any, monkeypatch: pytest.MonkeyPatch, codes: Callable[[Any], list[str]]
) -> None:
    def full(self: Path, target: Path) -> None:
        raise OSError(28, "No space left on device")

    path = bench.write("a.standard", UNTIDY)
    monkeypatch.setattr(Path, "replace", full)
    ran = bench.run("tidy", "--format", "json", path)
    assert ran.code == 2 and codes(ran) == ["F520"]
    assert "no space left" in ran.document["diagnostics"][0]["message"]
    assert path.read_text(encoding="utf-8") == UNTIDY and list(bench.folder.iterdir()) == [path]


def test_a_file_that_may_not_be_written_is_not_replaced(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    path = bench.write("a.standard", UNTIDY)
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    ran = bench.run("tidy", path)
    assert ran.code == 2 and "error F520 found `a.standard` cannot be rewritten: it may not be written" in ran.said
    assert path.read_text(encoding="utf-8") == UNTIDY


@pytest.mark.parametrize(
    ("loses", "lost"),
    [
        (lambda text: text.replace("within 90 s", "within 91 s"), "what it means"),
        (lambda text: text.replace("# above the goal", "# above a goal"), "a comment"),
        (lambda text: text.replace("    attempts 1\n", ""), "what it means"),
    ],
)
def test_nothing_is_written_that_does_not_say_the_same(
    bench: Any, monkeypatch: pytest.MonkeyPatch, loses: Callable[[str], str], lost: str
) -> None:
    monkeypatch.setattr(tidy, "canonical", lambda tree: loses(canonical(tree)))
    path = bench.write("a.standard", UNTIDY)
    ran = bench.run("tidy", path)
    assert ran.code == 2 and f"F521 found `a.standard` was left alone: its tidy form would lose {lost}" in ran.said
    assert path.read_text(encoding="utf-8") == UNTIDY


def test_the_document_is_that_of_its_schema(bench: Any, valid: Callable[[str, Any], None]) -> None:
    bench.write("a.standard", UNTIDY)
    asked = bench.run("tidy", "--ask", "--format", "json", "a.standard", "gone.standard")
    done = bench.run("tidy", "--format", "json", "a.standard")
    bench.feed(UNTIDY.encode())
    streamed = bench.run("tidy", "--format", "json", "-")
    for ran in (asked, done, streamed):
        valid("tidy", ran.document)
    assert [ran.code for ran in (asked, done, streamed)] == [2, 0, 0]
    assert asked.document["files"] == [{"file": "a.standard", "tidy": False, "written": False, "text": None}]
    assert done.document["files"][0]["written"] is True
    assert streamed.document["files"][0]["text"] == TIDY


def test_files_that_are_no_text(bench: Any) -> None:
    latin = bench.write("latin.standard", b'standard a "\xe9"\n')
    ran = bench.run("tidy", latin, "gone.standard", bench.folder / "empty")
    assert ran.code == 2 and "F505" in ran.err and ran.err.count("F501") == 2


def test_help_says_what_becomes_of_line_ends(bench: Any) -> None:
    out = bench.run("tidy", "--help").out
    assert "Line ends are kept" in out and "example: standfast tidy " in out


def test_random_standards_are_tidied_whatever_was_done_to_their_layout() -> None:
    rng, done, changed = Random("tidy"), 0, 0
    while done < COUNT:
        source = Source("random", random_standard(rng))
        tree, found = read(source)
        if tree is None or found or resolve(tree)[0] is None:
            continue
        done += 1
        expected = canonical(tree)
        text, trouble = tidied(Source("random", untidied(source.text, rng)))
        assert (text, trouble) == (expected, ()), done
        assert tidied(Source("random", expected)) == (expected, ())
        changed += expected != source.text
    assert changed > COUNT // 2
