"""Briefing from the command line. `bench` is the folder and the command line of `conftest.py`."""

import json
from importlib.resources import files
from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry, Resource

PAGES = ("candidate", "grader", "picture")


def test_text_goes_to_standard_output(bench: Any) -> None:
    ran = bench.run("brief", bench.standard("a.standard"))
    assert (ran.code, ran.err) == (0, "")
    assert [
        ran.out.count(title) for title in ("Candidate's briefing.", "Grader's sheet.", "Picture of the test.")
    ] == [
        1,
        1,
        1,
    ]
    assert ran.out.startswith("ROPE THROW\n") and ran.out.count("CAUTION") == 3


def test_pages_are_chosen(bench: Any) -> None:
    path = bench.standard("a.standard")
    grader = bench.run("brief", path, "--page", "grader").out
    assert "Grader's sheet." in grader and "Candidate's briefing." not in grader
    both = bench.run("brief", path, "--page", "grader", "--page", "candidate").out
    assert both.endswith(grader) and "Candidate's briefing." in both
    assert bench.run("brief", path, "--page", "other").code == 2


def test_html_is_written_into_a_folder_that_is_made(bench: Any) -> None:
    path = bench.standard("a.standard", edition="2/b c")
    names = [f"rope_throw.2%2Fb%20c.{page}.html" for page in PAGES]
    for _ in range(2):
        ran = bench.run("brief", path, "--write", "out/pages")
        assert (ran.code, ran.err) == (0, "")
        assert ran.out.splitlines() == [f"wrote out/pages/{name}" for name in names]
        assert sorted(each.name for each in (bench.folder / "out/pages").iterdir()) == names
    html = (bench.folder / "out/pages" / names[0]).read_text(encoding="utf-8")
    assert html.startswith("<!DOCTYPE html>") and "2/b c" in html


def test_errors_are_reported_and_the_others_are_briefed(bench: Any) -> None:
    good = bench.standard("good.standard")
    bad = bench.write("bad.standard", good.read_text().replace("until 2 hits", "until 2 misses"))
    ran = bench.run("brief", bad, good, "gone.standard", "--page", "picture")
    assert ran.code == 2 and "bad.standard, line " in ran.err and "F501" in ran.err
    assert ran.out.count("Picture of the test.") == 1


def test_what_cannot_be_written(bench: Any) -> None:
    path = bench.standard("a.standard")
    taken = bench.write("taken", "a file")
    ran = bench.run("brief", path, "--write", "taken/pages", "--page", "grader")
    assert ran.code == 2
    assert "error F515 found `taken/pages/rope_throw.1.grader.html` cannot be written: " in ran.said
    assert taken.read_text() == "a file" and ran.out == ""


def test_a_name_too_long_for_the_system(bench: Any) -> None:
    path = bench.standard("a.standard", edition="x" * 300)
    ran = bench.run("brief", path, "--write", "out")
    assert ran.code == 2 and ran.err.count("F515") == 3


def test_two_files_of_one_edition(bench: Any) -> None:
    first, second = bench.standard("a.standard"), bench.standard("b.standard", limit=9)
    ran = bench.run("brief", first, second, "--write", "out", "--page", "candidate")
    assert (
        ran.code == 2
        and " error F516 " in ran.said
        and "found edition `1` of `rope_throw` is in two files, `a.standard` and" in ran.said
    )
    (written,) = (bench.folder / "out").iterdir()
    assert "at most 4 times" in written.read_text(encoding="utf-8")


def test_json(bench: Any) -> None:
    path = bench.standard("a.standard")
    schemas = [
        json.loads(files("standfast.report").joinpath(f"{name}.schema.json").read_text("utf-8"))
        for name in ("brief", "diagnostics")
    ]
    registry = Registry().with_resources((each["$id"], Resource.from_contents(each)) for each in schemas)
    Draft202012Validator.check_schema(schemas[0])
    validator = Draft202012Validator(schemas[0], registry=registry)
    for more in ((), ("--write", "out")):
        ran = bench.run("brief", "--format", "json", path, "gone", *more)
        validator.validate(ran.document)
        assert ran.code == 2 and ran.err == ""
        assert [each["page"] for each in ran.document["pages"]] == list(PAGES)
        assert [each["file"] is None for each in ran.document["pages"]] == [not more] * 3
        assert [each["text"] is None for each in ran.document["pages"]] == [bool(more)] * 3
        assert [each["code"] for each in ran.document["diagnostics"]] == ["F501"]
