"""`logsheet` from the command line: what is written, never over a file, graded. `bench` is in `conftest.py`."""

from typing import Any

import pytest


def sheet(bench: Any, *more: object, roster: str = "candidate\nC-1\n'=cmd()\n") -> Any:
    bench.standard("a.standard")
    bench.write("class.csv", roster)
    return bench.run(
        "logsheet", "a.standard", "--roster", "class.csv", "--session", "S-1", "--write", "out.csv", *more
    )


def test_a_sheet_is_written_filled_in_and_graded(bench: Any) -> None:
    ran = sheet(bench, "--grader", "G-2")
    assert (ran.code, ran.err, ran.out) == (0, "", "wrote out.csv, for 2 candidates\n")
    text = (bench.folder / "out.csv").read_bytes().decode("utf-8-sig")
    assert text.splitlines()[:8] == [
        "# session: S-1",
        "# standard: rope_throw",
        "# edition: 1",
        "# order: by candidate",
        "# candidate: C-1",
        "# candidate: '=cmd()",
        "# grader: G-2",
        "# condition lookouts: _",
    ]
    assert text.splitlines()[8:13] == [
        "at,mark,value,candidate,by,note",
        "_,go,,C-1,,",
        "_,hit,,C-1,,",
        "_,hit,,C-1,,",
        "_,throw,,C-1,,",
    ]
    for old, new in (
        ("lookouts: _", "lookouts: 2"),
        ("_,go,,C-1", "0:00.0,go,,all"),
        ("_,hit,,C-1", "0:40.0,hit,,C-1"),
        ("_,hit,,C-1", "0:41.0,hit,,C-1"),
        ("_,throw,,C-1", "0:39.0,throw,,C-1"),
        ("_,hit,,'=cmd()", "0:20.0,hit,,'=cmd()"),
        ("_,end", "1:30.1,end"),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    bench.write("out.csv", text)
    ran = bench.run("grade", "--standard", "a.standard", "out.csv", "--format", "json")
    assert ran.err == ""
    assert [(v["candidate"], v["outcome"]) for v in ran.document["verdicts"]] == [
        ("C-1", "GO"),
        ("=cmd()", "NO-GO"),
    ]
    assert ran.document["diagnostics"] == []


def test_no_file_is_written_over(bench: Any) -> None:
    bench.write("out.csv", "what was seen")
    ran = sheet(bench)
    assert ran.code == 2 and ran.out == "" and "F523" in ran.err
    assert (bench.folder / "out.csv").read_text() == "what was seen"


def test_a_bad_roster_leaves_nothing_behind(bench: Any) -> None:
    ran = sheet(bench, roster="candidate,shoe\nC-1,44\n")
    assert ran.code == 2 and "class.csv, line 1, column 11: error L489" in ran.err
    assert not (bench.folder / "out.csv").exists()


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--session", " "), "nothing is said after --session"),
        (("--started", "noon"), "the sheet cannot be headed so: "),
        (("--grader", "\u202ex"), "the sheet cannot be headed so: "),
        (("--write", ""), "nothing is said after --write"),
        (("--write", "S.xlsx"), "a log sheet is a table whose name ends in `.csv`, found `S.xlsx`"),
        (("--write", "sheet"), "a log sheet is a table whose name ends in `.csv`, found `sheet`"),
        (("--roster", "-"), "a log sheet is made from files"),
    ],
)
def test_what_cannot_be_is_a_mistake(bench: Any, more: tuple[str, ...], said: str) -> None:
    ran = sheet(bench, *more)
    assert ran.code == 2 and ran.out == "" and said in ran.said
    assert not any((bench.folder / name).exists() for name in ("out.csv", "S.xlsx", "sheet"))


def test_files_that_are_not_there_are_said_to_be(bench: Any) -> None:
    assert "F501" in sheet(bench, "--roster", "gone.csv").err
    ran = bench.run("logsheet", "gone.standard", "--roster", "class.csv", "--session", "S", "--write", "x.csv")
    assert ran.code == 2 and "F501" in ran.err
