"""Proof-reading from the command line. `bench` is the folder and the command line of `conftest.py`."""

from collections.abc import Callable
from typing import Any

import pytest

from standfast.codes import CODES

Codes = Callable[[Any], list[str]]


def test_a_standard_that_holds(bench: Any) -> None:
    ran = bench.run("proof", bench.standard("a.standard"))
    assert (ran.code, ran.out, ran.err) == (0, "no errors, 1 case holds\n", "")


def test_a_failed_case_is_shown_where_it_says_so(bench: Any, codes: Codes) -> None:
    path = bench.standard("a.standard", limit=2)
    ran = bench.run("proof", path)
    assert ran.code == 2
    assert ran.out.startswith("a.standard:29:5: error C301: the verdict is NO-GO, and GO was expected\n")
    assert "what decided: `rope.throws.within_throw` fails at 0:04;" in ran.out
    assert ran.out.endswith("1 error, no cases hold\n")
    assert codes(bench.run("proof", "--format", "json", path)) == ["C301"]


def test_errors_come_in_reading_order_and_no_case_is_tried(bench: Any) -> None:
    path = bench.standard("a.standard", limit=2)
    path.write_text(
        path.read_text().replace("until 2 hits", "until 2 misses").replace("start on go", "start on og")
    )
    document = bench.run("proof", "--format", "json", path).document
    lines = [one["place"]["line"] for one in document["diagnostics"]]
    assert len(lines) == 2 and lines == sorted(lines) and document["cases"] == 0
    assert not any(one["code"].startswith("C") for one in document["diagnostics"])


def test_folders_and_standard_input(bench: Any) -> None:
    text = bench.standard("rules/a.standard").read_bytes()
    bench.standard("rules/inner/b.standard")
    bench.feed(text)
    ran = bench.run("proof", "rules", "rules/a.standard", "-")
    assert (ran.code, ran.out) == (0, "no errors, 3 cases hold\n")


def test_what_cannot_be_read(bench: Any, codes: Codes) -> None:
    latin = bench.write("latin.standard", b'standard a "A"\n    edition "\xe9"\n')
    binary = bench.write("binary.standard", b"\0\1")
    ran = bench.run("proof", "--format", "json", "gone.standard", latin, binary)
    assert codes(ran) == ["F501", "F505", "F506"] and ran.code == 2
    place = ran.document["diagnostics"][1]["place"]
    assert (place["line"], place["column"]) == (2, 14)


@pytest.mark.parametrize("code", sorted(CODES))
def test_every_code_is_explained(bench: Any, code: str) -> None:
    ran = bench.run("proof", "--about", code.lower())
    assert ran.code == 0 and ran.out.startswith(f"{code}, {CODES[code].severity}: {CODES[code].title}\n\n")
    assert max(len(line) for line in ran.out.splitlines()[1:]) <= 80


def test_a_code_that_does_not_exist(bench: Any) -> None:
    ran = bench.run("proof", "--about", "C30")
    assert ran.code == 2 and "no finding has the code `C30`: did you mean `C" in ran.err


def test_nothing_to_read_is_a_mistake_in_the_command(bench: Any) -> None:
    assert "name a standard, a folder of them, or - for standard input" in bench.run("proof").err
    assert bench.run("proof", "--about", "C301", "a.standard").code == 2
