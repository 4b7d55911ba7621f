"""Rehearsing from the command line. `bench` is the folder and the command line of `conftest.py`."""

import json
from collections.abc import Callable, Iterator
from importlib import resources
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from attrs import evolve

from standfast.definition import judge
from standfast.log.entry import SessionLog
from standfast.model.standard import Standard
from standfast.verdict import Verdict

MORE = "        within 5 throws as never\n"


def broken_case(bench: Any, file: str = "a.standard") -> Path:
    path: Path = bench.standard(file)
    path.write_text(path.read_text().replace("gives GO", "gives NO-GO"))
    return path


def idle_limit(bench: Any, *, accepted: bool = False) -> Path:
    """A limit that another makes idle, and the acceptance of it where that is asked for."""
    path: Path = bench.standard("a.standard")
    more = MORE + ('        accept D120 "kept for the record"\n' if accepted else "")
    path.write_text(path.read_text().replace("        within 90 s\n", f"        within 90 s\n{more}"))
    return path


def test_the_text_has_untouched_clauses_a_table_and_the_logs(bench: Any) -> None:
    ran = bench.run("rehearse", bench.standard("a.standard"))
    assert (ran.code, ran.err) == (0, "")
    lines = ran.out.splitlines()
    rows = [" ".join(line.split()) for line in lines]
    assert lines[0] == "rope_throw, edition 1: Rope throw"
    assert (
        "clauses that no case touches: 1 of 7" in lines and "  conditions.lookouts  lookouts at least 2" in lines
    )
    assert "rope.throws.within_throw just broken NO-GO fails at 0:05, margin -1" in rows
    assert "rope.throws.within just kept GO is kept at 1:30, margin 0 s" in rows
    place = lines.index("rope.throws.within.broken")
    assert lines[place + 1 : place + 3] == ["  within 90 s: just broken", "    0:00 go; 1:30.000001 end"]
    assert lines[-1].endswith("no logs missing; 1 case, none failed; 6 of 7 clauses touched by them")
    assert max(map(len, lines)) <= 100


def test_a_standard_without_cases(bench: Any) -> None:
    path = bench.standard("a.standard")
    path.write_text(path.read_text().split("case ")[0])
    assert "the standard has no case that could touch a clause\n" in bench.run("rehearse", path).out


def test_the_document_is_valid_and_complete(bench: Any, valid: Callable[[str, object], None]) -> None:
    ran = bench.run("rehearse", "--format", "json", bench.standard("a.standard"), idle_limit_beside(bench))
    valid("rehearsal", ran.document)
    first, second = ran.document["books"]
    names = [page["name"] for page in first["pages"]]
    assert len(names) == len(set(names)) and all(page["alike"] for page in first["pages"])
    paired = {one["page"] for pair in first["pairs"] for one in pair["pages"]}
    assert paired == set(names) and not any(pair["missing"] for pair in first["pairs"])
    kept = next(page for page in first["pages"] if page["name"] == "rope.throws.within.kept")
    assert kept["shows"] == {
        "what": "is kept",
        "at": "1:30.000000",
        "figure": {"amount": "90", "unit": "s"},
        "margin": {"amount": "0", "unit": "s"},
    }
    assert kept["log"][-1] == "1:30 hit" and kept["file"] is None and kept["verdict"]["outcome"] == "GO"
    assert [one["code"] for one in second["findings"]] == ["D120"] and first["findings"] == []
    assert first["cases"] == [{"title": "two hits in three throws", "holds": True, "findings": []}]


def test_the_schema_is_strict() -> None:
    text = resources.files("standfast.report").joinpath("rehearsal.schema.json").read_text("utf-8")
    kinds = list(objects(json.loads(text)))
    named = [node for node in kinds if "properties" in node]
    assert len(named) == 11 and len(kinds) == 13  # two have names of the author's: conditions and facts
    assert all(node["additionalProperties"] is False for node in named)
    assert all(node["required"] == list(node["properties"]) for node in named)


def objects(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict) and node.get("type") == "object":
        yield node
    for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        yield from objects(inner)


def idle_limit_beside(bench: Any) -> Path:
    path = idle_limit(bench)
    text = path.read_text().replace("rope_throw", "other_throw")
    bench.standard("a.standard")
    return Path(bench.write("b.standard", text))


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (lambda bench: bench.standard("a.standard"), 0),
        (idle_limit, 1),
        (lambda bench: idle_limit(bench, accepted=True), 0),
        (broken_case, 1),
        (lambda bench: bench.write("a.standard", "standard 1\n"), 2),
        (lambda bench: "gone.standard", 2),
    ],
    ids=["nothing", "missing log", "missing log accepted", "failed case", "error", "no file"],
)
def test_the_exit_code(bench: Any, make: Callable[[Any], Path], code: int) -> None:
    for form in ("text", "json", "junit"):
        assert bench.run("rehearse", "--format", form, make(bench)).code == code


def test_verdicts_that_differ_are_an_error(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    def other(standard: Standard, log: SessionLog) -> tuple[Verdict, ...]:
        return tuple(evolve(verdict, decided_at=1) for verdict in judge(standard, log))

    monkeypatch.setattr("standfast.proofing.pages.judge", other)
    ran = bench.run("rehearse", "--format", "junit", bench.standard("a.standard"))
    suite = ElementTree.fromstring(ran.out).find("testsuite")
    assert ran.code == 2 and suite is not None and suite.get("failures") == str(int(suite.get("tests", "0")) - 1)


# --- JUnit -----------------------------------------------------------------------------------------------


def structure(text: str) -> ElementTree.Element:
    """The document, held against what readers of such files count on."""
    root = ElementTree.fromstring(text)
    assert text.startswith('<?xml version="1.0" encoding="UTF-8"?>\n') and root.tag == "testsuites"
    assert {suite.tag for suite in root} == {"testsuite"}
    for whole in (root, *root):
        assert whole.get("name")
        cases = whole.findall(".//testcase")
        assert whole.get("tests") == str(len(cases))
        assert whole.get("failures") == str(len(whole.findall(".//failure")))
        assert whole.get("errors") == str(len(whole.findall(".//error")))
    for suite in root:
        assert suite.get("skipped") == str(len(suite.findall(".//skipped")))
        assert {case.tag for case in suite} <= {"testcase"}
        for case in suite:
            assert case.get("name") and case.get("classname") and set(case.keys()) == {"name", "classname"}
            assert len(case) <= 1 and {each.tag for each in case} <= {"failure", "error", "skipped"}
            assert all(each.get("message") and each.get("type") and each.text for each in case)
    return root


def test_junit_of_what_holds(bench: Any) -> None:
    root = structure(bench.run("rehearse", "--format", "junit", bench.standard("a.standard")).out)
    assert [suite.get("name") for suite in root] == ["rope_throw 1"]
    assert (root.get("failures"), root.get("errors")) == ("0", "0")
    cases = {(case.get("classname"), case.get("name")) for case in root.iter("testcase")}
    assert ("rope_throw.cases", "two hits in three throws") in cases
    assert ("rope_throw.book", "rope.throws.within: just kept (rope.throws.within.kept)") in cases


def test_junit_of_what_does_not_hold(bench: Any) -> None:
    bench.write("files/x.standard", "standard 1\n")
    broken_case(bench, "files/a.standard")
    missing = idle_limit_beside(bench)
    root = structure(bench.run("rehearse", "--format", "junit", "files", missing).out)
    failures = [(each.get("type"), each.get("message")) for each in root.iter("failure")]
    assert failures[0] == ("C301", "the verdict is GO, and NO-GO was expected")
    assert {kind for kind, _ in failures[1:]} == {"D120"} and len(failures) == 3
    error = next(root.iter("error"))
    assert (root.get("errors"), error.get("type", "")[0]) == ("1", "R")
    accepted = structure(bench.run("rehearse", "--format", "junit", idle_limit(bench, accepted=True)).out)
    assert {each.get("message") for each in accepted.iter("skipped")} == {"accepted: kept for the record"}


# --- keeping the book ------------------------------------------------------------------------------------


def test_the_logs_kept_are_graded_as_the_index_says(bench: Any, valid: Callable[[str, object], None]) -> None:
    path = bench.standard("a.standard")
    ran = bench.run("rehearse", "--write", "books", path)
    folder = Path("books/rope_throw-1")
    assert ran.code == 0 and ran.out.startswith(f"{folder}: ")
    index = json.loads((folder / "index.json").read_text())
    valid("rehearsal", index)
    (book,) = index["books"]
    files = {file.name for file in folder.iterdir()}
    assert files == {"index.json", "index.txt", *(page["file"] for page in book["pages"])}
    graded = bench.run("grade", "--standard", path, "--format", "json", folder).document
    assert graded["diagnostics"] == []
    found = {verdict["session"]: verdict for verdict in graded["verdicts"]}
    files_of = {page["name"]: str(folder / page["file"]) for page in book["pages"]}
    assert found == {page["name"]: page["verdict"] | {"log": files_of[page["name"]]} for page in book["pages"]}
    assert (folder / "index.txt").read_text() == bench.run("rehearse", path).out


def test_what_there_is_to_object_to_is_shown_also_where_the_book_is_kept(bench: Any) -> None:
    path = idle_limit(bench)
    path.write_text(path.read_text().replace("gives GO", "gives NO-GO"))
    for more in ((), ("--write", "books")):
        ran = bench.run("rehearse", *more, path)
        assert ran.code == 1 and 'failed case "two hits in three throws"\n  the verdict is GO, and' in ran.out
        assert (
            "doubt D120 " in ran.said
            and "found no log shows `within 5 throws` just kept or just broken: it" in ran.said
        )


def test_a_book_is_kept_anew_and_nothing_else_touched(bench: Any) -> None:
    path = bench.standard("a.standard")
    bench.run("rehearse", "--write", "books", path)
    folder = Path("books/rope_throw-1")
    beside = bench.write("books/rope_throw-1/notes.txt", "my own")
    gone = folder / "rope.throws.within.kept.jsonl"
    assert gone.exists()
    path.write_text(path.read_text().replace("        within 90 s\n", ""))
    assert bench.run("rehearse", "--write", "books", path).code == 0
    assert not gone.exists() and beside.read_text() == "my own"
    again = {file.name: file.read_bytes() for file in folder.iterdir()}
    assert bench.run("rehearse", "--write", "books", path).code == 0
    assert {file.name: file.read_bytes() for file in folder.iterdir()} == again


@pytest.mark.parametrize("name", ["mine.txt", "index.json", "rope.quickest.jsonl"])
def test_files_of_another_origin_are_never_replaced(bench: Any, name: str) -> None:
    path = bench.standard("a.standard")
    mine = bench.write(f"books/rope_throw-1/{name}", "{}")
    ran = bench.run("rehearse", "--write", "books", path)
    assert ran.code == 2 and "F517" in ran.err and name in ran.err
    assert [file.name for file in mine.parent.iterdir()] == [name] and mine.read_text() == "{}"


def test_a_file_in_the_way_of_a_kept_book_stops_it(bench: Any) -> None:
    path = bench.standard("a.standard")
    path.write_text(path.read_text().replace("        within 90 s\n", ""))
    bench.run("rehearse", "--write", "books", path)
    mine = bench.write("books/rope_throw-1/rope.throws.within.kept.jsonl", "mine")
    ran = bench.run("rehearse", "--write", "books", bench.standard("a.standard"))
    assert ran.code == 2 and "F517" in ran.err and mine.read_text() == "mine"


def test_two_files_of_one_edition(bench: Any) -> None:
    paths = (bench.standard("a.standard"), bench.standard("b.standard"))
    ran = bench.run("rehearse", "--write", "books", *paths)
    assert ran.code == 2 and "F518" in ran.err


def test_a_folder_that_cannot_be_made(bench: Any) -> None:
    bench.write("books", "a file")
    ran = bench.run("rehearse", "--write", "books/of/mine", bench.standard("a.standard"))
    assert ran.code == 2 and "F515" in ran.err


@pytest.mark.parametrize("verb", ["brief", "rehearse"])
def test_a_file_named_where_a_folder_is_written_is_a_mistake(bench: Any, verb: str) -> None:
    taken, path = bench.write("taken", "a file"), bench.standard("a.standard")
    ran = bench.run(verb, path, "--write", taken)
    assert ran.code == 2 and ran.out == "" and taken.read_text() == "a file"
    assert ran.err.endswith("error: `taken` after --write is a file; name a folder\n")
    ran = bench.run(verb, path, "--write", "")
    assert ran.code == 2 and ran.err.endswith("error: the name after --write is empty; name a folder\n")
